#include "text/suggest.h"

#include <algorithm>
#include <array>

#include "text/cat.h"
#include "text/layout.h"
#include "text/utf8.h"

namespace handwheel {
namespace {

constexpr std::size_t kLongestCompared = 64;  // bytes; bounds the work per word
constexpr std::size_t kLongestList = 16;
constexpr std::size_t kLongestQuote = 80;  // characters

char Lower(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

int ExchangeCost(char a, char b) {
  if (a == b) return 0;
  return Lower(a) == Lower(b) ? 1 : 2;
}

bool DiffersOnlyInCapitals(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](char x, char y) { return Lower(x) == Lower(y); });
}

// Optimal string alignment distance in half letters, or more than `limit` if it is above that.
int Distance(std::string_view a, std::string_view b, int limit) {
  const std::size_t n = b.size();
  std::array<int, kLongestCompared + 1> rows[3];
  int* previous = rows[0].data();
  int* current = rows[1].data();
  int* before_previous = rows[2].data();
  for (std::size_t j = 0; j <= n; ++j) current[j] = static_cast<int>(2 * j);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::swap(before_previous, previous);
    std::swap(previous, current);
    current[0] = static_cast<int>(2 * i);
    int smallest = current[0];
    for (std::size_t j = 1; j <= n; ++j) {
      int cost = std::min({previous[j] + 2, current[j - 1] + 2,
                           previous[j - 1] + ExchangeCost(a[i - 1], b[j - 1])});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        cost = std::min(cost, before_previous[j - 2] + 2);
      }
      current[j] = cost;
      smallest = std::min(smallest, cost);
    }
    if (smallest > limit) return limit + 1;
  }
  return current[n];
}

}  // namespace

NearestWord::NearestWord(std::string_view found) : found_(found) {
  const int letters = static_cast<int>(std::min(found.size(), kLongestCompared));
  const int most_edits = letters < 4 ? 1 : std::max(2, letters / 3);
  best_cost_ = 2 * most_edits + 1;
  if (found.empty() || found.size() > kLongestCompared) best_cost_ = 0;
}

void NearestWord::Offer(std::string_view word) {
  if (word.empty() || word.size() > kLongestCompared) return;
  const std::size_t longer = std::max(word.size(), found_.size());
  const std::size_t shorter = std::min(word.size(), found_.size());
  if (static_cast<int>(2 * (longer - shorter)) >= best_cost_) return;
  const int cost = DiffersOnlyInCapitals(found_, word) ? 1 : Distance(found_, word, best_cost_ - 1);
  // A word with nothing in common is no suggestion, however short both are.
  if (cost >= best_cost_ || cost >= static_cast<int>(2 * longer)) return;
  best_cost_ = cost;
  best_ = word;
}

std::string QuotedList(const std::vector<std::string>& words) {
  std::vector<std::string> quoted;
  for (const std::string& word : words) quoted.push_back(Quoted(word));
  return ListInWords(quoted, "or");
}

std::string Suggest(std::string_view found, const std::vector<std::string>& allowed) {
  NearestWord nearest(found);
  for (const std::string& word : allowed) nearest.Offer(word);
  if (nearest.found_one()) return Cat(" did you mean ", Quoted(nearest.best()), "?");
  if (allowed.empty()) return " there is none.";
  if (allowed.size() <= kLongestList) return Cat(" expected ", QuotedList(allowed), ".");
  return Cat(" none of the ", std::to_string(allowed.size()), " known is near it.");
}

std::string Quoted(std::string_view text) {
  constexpr char kHex[] = "0123456789abcdef";
  std::string quoted = "\"";
  std::size_t count = 0;
  while (!text.empty()) {
    if (count++ == kLongestQuote) {
      quoted += "...";
      break;
    }
    const auto byte = static_cast<unsigned char>(text[0]);
    std::size_t length = 1;
    if (byte >= 0x80) {
      while (length < std::min<std::size_t>(4, text.size()) && !IsUtf8(text.substr(0, length))) {
        ++length;
      }
    }
    if (byte == '\n') {
      quoted += "\\n";
    } else if (byte == '\t') {
      quoted += "\\t";
    } else if (byte == '"' || byte == '\\') {
      quoted += '\\';
      quoted += text[0];
    } else if (byte < 0x20 || byte == 0x7F || !IsUtf8(text.substr(0, length))) {
      length = 1;
      quoted += "\\x";
      quoted += kHex[byte >> 4];
      quoted += kHex[byte & 15];
    } else {
      quoted += text.substr(0, length);
    }
    text.remove_prefix(length);
  }
  return quoted + '"';
}

}  // namespace handwheel
