#ifdef HANDWHEEL_OPTIMISE

#include "readings_file.h"

#include <algorithm>
#include <fstream>
#include <iterator>

#include "handwheel/errors.h"
#include "text/suggest.h"

namespace handwheel::shell {
namespace {

struct CsvCell {
  std::string text;
  int line = 1, column = 1;
};
using CsvRow = std::vector<CsvCell>;

const std::vector<std::string>& KnownColumns() {
  static const std::vector<std::string> columns = {"gauge", "value", "uncertainty", "case",
                                                   "settings"};
  return columns;
}

// Rows of cells, blanks around them dropped, empty lines and remarks left out.
class CsvReader {
 public:
  CsvReader(std::string text, const std::string& file) : text_(std::move(text)), file_(file) {
    constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
    if (text_.starts_with(kByteOrderMark)) text_.erase(0, kByteOrderMark.size());
  }

  std::vector<CsvRow> Read() {
    std::vector<CsvRow> rows;
    while (at_ < text_.size()) {
      if (text_[at_] == '#') {
        SkipLine();
        continue;
      }
      CsvRow row = ReadRow();
      if (row.size() > 1 || !row[0].text.empty()) rows.push_back(std::move(row));
    }
    return rows;
  }

 private:
  void Advance() {
    if (text_[at_] == '\n') {
      ++line_;
      column_ = 0;
    }
    ++at_;
    ++column_;
  }

  void SkipLine() {
    while (at_ < text_.size() && text_[at_] != '\n') Advance();
    if (at_ < text_.size()) Advance();
  }

  CsvRow ReadRow() {
    CsvRow row;
    while (true) {
      row.push_back(ReadCell());
      const bool more = at_ < text_.size() && text_[at_] == ',';
      if (at_ < text_.size()) Advance();
      if (!more) return row;
    }
  }

  CsvCell ReadCell() {
    while (at_ < text_.size() && text_[at_] == ' ') Advance();
    CsvCell cell{"", line_, column_};
    if (at_ < text_.size() && text_[at_] == '"') ReadQuoted(&cell);
    while (at_ < text_.size() && text_[at_] != ',' && text_[at_] != '\n') {
      cell.text += text_[at_];
      Advance();
    }
    while (!cell.text.empty() && (cell.text.back() == ' ' || cell.text.back() == '\r')) {
      cell.text.pop_back();
    }
    return cell;
  }

  void ReadQuoted(CsvCell* cell) {
    Advance();
    while (true) {
      if (at_ == text_.size()) {
        throw FileError(file_ + ":" + std::to_string(cell->line) + ":" +
                            std::to_string(cell->column) + ": a quote is not closed.",
                        file_, cell->line, cell->column);
      }
      const bool quote = text_[at_] == '"';
      const bool doubled = quote && at_ + 1 < text_.size() && text_[at_ + 1] == '"';
      if (quote) Advance();
      if (quote && !doubled) return;
      cell->text += text_[at_];
      Advance();
    }
  }

  std::string text_;
  const std::string& file_;
  std::size_t at_ = 0;
  int line_ = 1, column_ = 1;
};

class ReadingsReader {
 public:
  explicit ReadingsReader(const std::string& path) : path_(path) {}

  std::vector<Measurement> Read() {
    std::ifstream file(path_, std::ios::binary);
    if (!file) throw FileError(path_ + ": cannot be read.", path_, 0, 0);
    const std::string text((std::istreambuf_iterator<char>(file)), {});
    const std::vector<CsvRow> rows = CsvReader(text, path_).Read();
    if (rows.empty()) throw FileError(path_ + ": no readings in it.", path_, 0, 0);
    ReadHeading(rows[0]);
    std::vector<Measurement> readings;
    for (std::size_t r = 1; r < rows.size(); ++r) readings.push_back(ReadingOf(rows[r]));
    return readings;
  }

 private:
  [[noreturn]] void Fail(const CsvCell& cell, const std::string& what) const {
    throw FileError(
        path_ + ":" + std::to_string(cell.line) + ":" + std::to_string(cell.column) + ": " + what,
        path_, cell.line, cell.column);
  }

  void ReadHeading(const CsvRow& row) {
    for (const CsvCell& cell : row) {
      const auto& known = KnownColumns();
      if (std::find(known.begin(), known.end(), cell.text) == known.end()) {
        Fail(cell, "column " + Quoted(cell.text) + " is unknown;" + Suggest(cell.text, known));
      }
      if (std::find(columns_.begin(), columns_.end(), cell.text) != columns_.end()) {
        Fail(cell, "column " + Quoted(cell.text) + " stands twice.");
      }
      columns_.push_back(cell.text);
    }
    for (const char* needed : {"gauge", "value"}) {
      if (std::find(columns_.begin(), columns_.end(), needed) == columns_.end()) {
        Fail(row[0], "column " + Quoted(needed) +
                         " is missing; the first line names them, as in gauge,value,uncertainty.");
      }
    }
  }

  Measurement ReadingOf(const CsvRow& row) const {
    if (row.size() > columns_.size()) {
      Fail(row[columns_.size()], "more cells than the " + std::to_string(columns_.size()) +
                                     " columns; quote a cell that holds a comma.");
    }
    Measurement reading;
    for (std::size_t c = 0; c < row.size(); ++c) {
      const std::string& text = row[c].text;
      if (columns_[c] == "gauge") reading.gauge = text;
      if (columns_[c] == "value") reading.value = text;
      if (columns_[c] == "uncertainty") reading.uncertainty = text;
      if (columns_[c] == "case") reading.case_name = text;
      if (columns_[c] == "settings") reading.settings = SettingsOf(row[c]);
    }
    if (reading.gauge.empty()) Fail(row[0], "the row names no gauge.");
    return reading;
  }

  Settings SettingsOf(const CsvCell& cell) const {
    try {
      return SettingsFromText(cell.text);
    } catch (const SettingError& error) {
      Fail(cell, error.what());
    }
  }

  const std::string& path_;
  std::vector<std::string> columns_;
};

}  // namespace

std::vector<Measurement> LoadReadings(const std::string& path) {
  return ReadingsReader(path).Read();
}

}  // namespace handwheel::shell

#endif
