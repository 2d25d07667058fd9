#include "csv.h"

#include <algorithm>

#include "handwheel/errors.h"

namespace handwheel::shell {

bool CsvReader::ReadLine() {
  if (!std::getline(stream_, text_)) return false;
  if (line_++ == 0 && text_.starts_with("\xEF\xBB\xBF")) text_.erase(0, 3);
  if (text_.ends_with('\r')) text_.pop_back();
  at_ = 0;
  return true;
}

void CsvReader::SkipBlanks() {
  while (!AtEnd() && text_[at_] == ' ') ++at_;
}

bool CsvReader::Next(std::vector<CsvCell>* row) {
  do {
    if (!ReadLine()) return false;
    SkipBlanks();
  } while (AtEnd() || text_[at_] == '#');
  row->clear();
  while (true) {
    row->push_back(ReadCell());
    if (AtEnd()) return true;
    ++at_;  // the comma
  }
}

CsvCell CsvReader::ReadCell() {
  SkipBlanks();
  CsvCell cell{"", line_, static_cast<int>(at_) + 1};
  if (!AtEnd() && text_[at_] == '"') {
    ReadQuoted(&cell);
    return cell;
  }
  const std::size_t end = std::min(text_.find(',', at_), text_.size());
  cell.text = text_.substr(at_, end - at_);
  cell.text.erase(cell.text.find_last_not_of(' ') + 1);
  at_ = end;
  return cell;
}

void CsvReader::ReadQuoted(CsvCell* cell) {
  for (++at_;; ++at_) {
    while (AtEnd()) {
      if (!ReadLine()) Refuse(*cell, "a quote is not closed.");
      cell->text += '\n';
    }
    if (text_[at_] == '"' && text_.compare(at_, 2, "\"\"") != 0) break;
    if (text_[at_] == '"') ++at_;
    cell->text += text_[at_];
  }
  ++at_;
  SkipBlanks();
  if (!AtEnd() && text_[at_] != ',') Refuse(*cell, "text behind a quote; expected a comma.");
}

void CsvReader::Refuse(const CsvCell& cell, const std::string& what) const {
  throw FileError(
      name_ + ":" + std::to_string(cell.line) + ":" + std::to_string(cell.column) + ": " + what,
      name_, cell.line, cell.column);
}

std::string QuotedForCsv(const std::string& text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string quoted = "\"";
  for (char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + "\"";
}

}  // namespace handwheel::shell
