#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

// Lists, lines and columns as readers have them. Widths are in characters of UTF-8, not bytes, and
// no line ends in blanks.

namespace handwheel {

// The words with the separator between: "a, b, c".
std::string Joined(const std::vector<std::string>& words, std::string_view separator);

// "a", "a and b", "a, b and c"
std::string ListInWords(const std::vector<std::string>& words, std::string_view last = "and");
// The same of at most `most` words, else "a, b and 12 more" with one word fewer. most > 1.
std::string FirstInWords(const std::vector<std::string>& words, std::size_t most);

// Blanks added after or before the text, up to so many characters; a longer text stays whole.
std::string LeftAligned(std::string_view text, std::size_t width);
std::string RightAligned(std::string_view text, std::size_t width);

// Breaks a text at its blanks into lines of at most `width` characters, each ended by a new line;
// `first` leads the first, `rest` the others, and both count. A word that no line can hold has a
// line to itself, whole.
std::string Wrapped(std::string_view text, std::size_t width, std::string_view first = {},
                    std::string_view rest = {});
// The same with the later lines indented to the end of `first`.
std::string Hanging(std::string_view text, std::size_t width, std::string_view first);

// Rows of cells in columns, each as wide as its widest cell. Rows may differ in length.
class TextTable {
 public:
  struct Style {
    // How columns are aligned, 'l' to the left or 'r' to the right, in order; columns beyond go by
    // the last letter.
    std::string columns = "l";
    std::size_t indent = 0;  // blanks before the first column
    std::size_t gap = 2;     // blanks between columns
  };

  explicit TextTable(Style style) : style_(std::move(style)) {}

  void Add(std::vector<std::string> cells);
  // The last cell, a remark, runs on to the right and widens no column.
  void AddWithRemark(std::vector<std::string> cells);
  std::string Text() const;

 private:
  struct Row {
    std::vector<std::string> cells;
    std::size_t aligned;  // cells that count for the widths
  };

  std::vector<std::size_t> Widths() const;
  std::string Line(const Row& row, const std::vector<std::size_t>& widths) const;
  bool IsRight(std::size_t column) const;

  Style style_;
  std::vector<Row> rows_;
};

}  // namespace handwheel
