#include "drawing/text_size.h"

#include <algorithm>

#include "text/utf8.h"

namespace handwheel {
namespace {

constexpr double kBoldFactor = 1.1;
constexpr std::size_t kLongNameLine = 12;  // characters
constexpr std::size_t kLongestLine = 24;   // characters

// Width over font size of a character that starts with this byte; of a wide sans-serif, measured.
double WidthOf(unsigned char lead) {
  static constexpr std::string_view kNarrow = "iljI.,:;'|!()[]/ ";
  static constexpr std::string_view kWide = "mwMW@%";
  if (lead >= 0xE3) return 1.05;  // most scripts beyond: full width
  if (lead >= 0x80) return 0.8;
  const char c = static_cast<char>(lead);
  if (kNarrow.find(c) != std::string_view::npos) return 0.40;
  if (kWide.find(c) != std::string_view::npos) return 1.0;
  return c >= 'A' && c <= 'Z' ? 0.72 : 0.64;
}

bool IsContinuation(char c) {
  return (static_cast<unsigned char>(c) & 0xC0) == 0x80;
}

std::vector<std::string_view> WordsOf(std::string_view text) {
  std::vector<std::string_view> words;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t start = text.find_first_not_of(" \n\t\r", at);
    if (start == std::string_view::npos) break;
    at = std::min(text.find_first_of(" \n\t\r", start), text.size());
    words.push_back(text.substr(start, at - start));
  }
  return words;
}

std::string Cut(std::string_view line) {
  if (CharacterCount(line) <= kLongestLine) return std::string(line);
  std::size_t characters = 0, end = 0;
  while (end < line.size() && (characters < kLongestLine - 1 || IsContinuation(line[end]))) {
    ++end;
    if (end < line.size() && !IsContinuation(line[end])) ++characters;
  }
  return std::string(line.substr(0, end)) + "…";
}

// The break that leaves the longer of two lines as short as can be.
std::size_t BestBreak(std::string_view name) {
  std::size_t best = std::string_view::npos, best_length = name.size() + 1;
  for (std::size_t at = name.find(' '); at != std::string_view::npos; at = name.find(' ', at + 1)) {
    const std::size_t length = std::max(at, name.size() - at - 1);
    if (length < best_length) best = at;
    best_length = std::min(best_length, length);
  }
  return best;
}

}  // namespace

double TextWidth(std::string_view text, double font_size, bool bold) {
  double width = 0.0;
  for (const char c : text) {
    if (!IsContinuation(c)) width += WidthOf(static_cast<unsigned char>(c));
  }
  return width * font_size * (bold ? kBoldFactor : 1.0);
}

std::vector<std::string> WrapText(std::string_view text, double width, double font_size) {
  std::vector<std::string> lines;
  for (const std::string_view word : WordsOf(text)) {
    const std::string longer =
        lines.empty() ? std::string(word) : lines.back() + " " + std::string(word);
    if (!lines.empty() && TextWidth(longer, font_size) <= width) {
      lines.back() = longer;
    } else {
      lines.emplace_back(word);
    }
  }
  return lines;
}

std::vector<std::string> NameLines(std::string_view name) {
  const std::size_t at = CharacterCount(name) > kLongNameLine ? BestBreak(name) : name.npos;
  if (at == std::string_view::npos) return {Cut(name)};
  return {Cut(name.substr(0, at)), Cut(name.substr(at + 1))};
}

}  // namespace handwheel
