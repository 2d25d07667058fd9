#include "text/layout.h"

#include <algorithm>

#include "text/cat.h"
#include "text/utf8.h"

namespace handwheel {
namespace {

std::string Blanks(std::size_t count) {
  return std::string(count, ' ');
}

// Up to `width`; none where the text is longer.
std::string Fill(std::string_view text, std::size_t width) {
  return Blanks(width - std::min(width, CharacterCount(text)));
}

std::string Ended(std::string line) {
  line.erase(line.find_last_not_of(' ') + 1);
  return line + "\n";
}

}  // namespace

std::string Joined(const std::vector<std::string>& words, std::string_view separator) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) text += separator;
    text += words[i];
  }
  return text;
}

std::string ListInWords(const std::vector<std::string>& words, std::string_view last) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) text += i + 1 == words.size() ? Cat(" ", last, " ") : ", ";
    text += words[i];
  }
  return text;
}

std::string FirstInWords(const std::vector<std::string>& words, std::size_t most) {
  if (words.size() <= most) return ListInWords(words);
  const std::size_t shown = most - 1;
  const std::vector<std::string> first(words.begin(), words.end() - (words.size() - shown));
  return Cat(Joined(first, ", "), " and ", std::to_string(words.size() - shown), " more");
}

std::string LeftAligned(std::string_view text, std::size_t width) {
  return Cat(text, Fill(text, width));
}

std::string RightAligned(std::string_view text, std::size_t width) {
  return Cat(Fill(text, width), text);
}

std::string Wrapped(std::string_view text, std::size_t width, std::string_view first,
                    std::string_view rest) {
  std::string lines, line(first);
  bool is_fresh = true;
  while (!text.empty()) {
    const std::string_view word = text.substr(0, text.find(' '));
    text.remove_prefix(std::min(word.size() + 1, text.size()));
    if (!is_fresh && CharacterCount(line) + 1 + CharacterCount(word) > width) {
      lines += Ended(line);
      line = rest;
      is_fresh = true;
    }
    line += Cat(is_fresh ? "" : " ", word);
    is_fresh = false;
  }
  return lines + Ended(line);
}

std::string Hanging(std::string_view text, std::size_t width, std::string_view first) {
  return Wrapped(text, width, first, Blanks(CharacterCount(first)));
}

void TextTable::Add(std::vector<std::string> cells) {
  const std::size_t aligned = cells.size();
  rows_.push_back({std::move(cells), aligned});
}

void TextTable::AddWithRemark(std::vector<std::string> cells) {
  const std::size_t aligned = cells.empty() ? 0 : cells.size() - 1;
  rows_.push_back({std::move(cells), aligned});
}

std::string TextTable::Text() const {
  const std::vector<std::size_t> widths = Widths();
  std::string text;
  for (const Row& row : rows_) text += Line(row, widths);
  return text;
}

std::vector<std::size_t> TextTable::Widths() const {
  std::vector<std::size_t> widths;
  for (const Row& row : rows_) {
    widths.resize(std::max(widths.size(), row.cells.size()), 0);
    for (std::size_t c = 0; c < row.aligned; ++c) {
      widths[c] = std::max(widths[c], CharacterCount(row.cells[c]));
    }
  }
  return widths;
}

std::string TextTable::Line(const Row& row, const std::vector<std::size_t>& widths) const {
  std::string line = Blanks(style_.indent);
  for (std::size_t c = 0; c < row.cells.size(); ++c) {
    if (c > 0) line += Blanks(style_.gap);
    line +=
        IsRight(c) ? RightAligned(row.cells[c], widths[c]) : LeftAligned(row.cells[c], widths[c]);
  }
  return Ended(std::move(line));
}

bool TextTable::IsRight(std::size_t column) const {
  return style_.columns[std::min(column, style_.columns.size() - 1)] == 'r';
}

}  // namespace handwheel
