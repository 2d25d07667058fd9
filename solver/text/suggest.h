#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace handwheel {

// What to say, after a semicolon, of a word that is not among the allowed ones:
//   ` did you mean "bore"?`                 if one is near: the nearest, the first of equals
//   ` expected "swing", "lift" or "ball".`  if they are few
//   ` none of the 340 known is near it.`    else
// Near: the same but for capitals, or few letters inserted, dropped, exchanged, or swapped with
// their neighbour: one of up to three, two of up to eight, else a third. A wrong capital is half a
// letter.
std::string Suggest(std::string_view found, const std::vector<std::string>& allowed);

// The same for a search that need not hold all allowed words at once.
class NearestWord {
 public:
  explicit NearestWord(std::string_view found);
  void Offer(std::string_view word);
  bool found_one() const { return !best_.empty(); }
  const std::string& best() const { return best_; }  // empty: none is near

 private:
  std::string_view found_;
  int best_cost_;  // in half letters
  std::string best_;
};

// `"a", "b" or "c"`
std::string QuotedList(const std::vector<std::string>& words);

// The text in double quotes as a message can hold it: control characters escaped, bytes that are
// not UTF-8 as \xNN, at most 80 characters and then "...".
std::string Quoted(std::string_view text);

}  // namespace handwheel
