#pragma once

#include <istream>
#include <string>
#include <vector>

namespace handwheel::shell {

struct CsvCell {
  std::string text;
  int line = 1, column = 1;  // where it begins
};

// Reads a table as RFC 4180 says, row by row: cells in quotes where they must be, lines ended by \n
// or \r\n, perhaps a byte order mark. Blanks around cells are dropped; empty lines, and remarks,
// which begin with #, are passed over.
class CsvReader {
 public:
  CsvReader(std::istream& stream, std::string name) : stream_(stream), name_(std::move(name)) {}

  // False at the end. Throws handwheel::FileError for a quote that is not closed, or has text
  // behind it.
  bool Next(std::vector<CsvCell>* row);

  // Throws handwheel::FileError naming the cell.
  [[noreturn]] void Refuse(const CsvCell& cell, const std::string& what) const;

 private:
  bool ReadLine();
  CsvCell ReadCell();
  void ReadQuoted(CsvCell* cell);
  void SkipBlanks();
  bool AtEnd() const { return at_ >= text_.size(); }

  std::istream& stream_;
  std::string name_;
  std::string text_;  // the line
  std::size_t at_ = 0;
  int line_ = 0;
};

// A text as a cell shows it: in quotes where it has to be.
std::string QuotedForCsv(const std::string& text);

}  // namespace handwheel::shell
