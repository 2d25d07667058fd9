#ifndef HANDWHEEL_CORRELATIONS_CITED_H_
#define HANDWHEEL_CORRELATIONS_CITED_H_

#include <string_view>

namespace handwheel {

// How far a datum may be trusted.
enum class Trust {
  kSeen,            // read in the publication named
  kFromMemory,      // recalled from the publication named: check a copy before relying on it
  kCommonPractice,  // of the trade; no source
  kDerived,         // by a formula or from other data, as the text says
};

// "seen", "from memory", "common practice", "derived".
constexpr std::string_view TrustWord(Trust trust) {
  switch (trust) {
    case Trust::kSeen:
      return "seen";
    case Trust::kFromMemory:
      return "from memory";
    case Trust::kCommonPractice:
      return "common practice";
    case Trust::kDerived:
      break;
  }
  return "derived";
}

struct Source {
  Trust trust = Trust::kCommonPractice;
  std::string_view text;  // publication, formula or reason, and what error to expect
};

// A number with where it comes from, so that documents are made of the very data computed with.
struct Cited {
  double value = 0.0;
  Source source;
};

// Whether something is so of a kind of part, and the sentence why or why not.
struct CitedFitness {
  bool suits = false;
  Source source;
};

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_CITED_H_
