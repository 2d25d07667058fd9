#ifdef HANDWHEEL_OPTIMISE

#include "readings_file.h"

#include <algorithm>
#include <fstream>

#include "csv.h"
#include "handwheel/errors.h"
#include "text/suggest.h"

namespace handwheel::shell {
namespace {

using CsvRow = std::vector<CsvCell>;

const std::vector<std::string>& KnownColumns() {
  static const std::vector<std::string> columns = {"gauge", "value", "uncertainty", "case",
                                                   "settings"};
  return columns;
}

class ReadingsReader {
 public:
  explicit ReadingsReader(const std::string& path)
      : path_(path), file_(path, std::ios::binary), csv_(file_, path) {}

  std::vector<Measurement> Read() {
    if (!file_) throw FileError(path_ + ": cannot be read.", path_, 0, 0);
    CsvRow row;
    if (!csv_.Next(&row)) throw FileError(path_ + ": no readings in it.", path_, 0, 0);
    ReadHeading(row);
    std::vector<Measurement> readings;
    while (csv_.Next(&row)) readings.push_back(ReadingOf(row));
    return readings;
  }

 private:
  void ReadHeading(const CsvRow& row) {
    for (const CsvCell& cell : row) {
      const auto& known = KnownColumns();
      if (std::find(known.begin(), known.end(), cell.text) == known.end()) {
        csv_.Refuse(cell,
                    "column " + Quoted(cell.text) + " is unknown;" + Suggest(cell.text, known));
      }
      if (std::find(columns_.begin(), columns_.end(), cell.text) != columns_.end()) {
        csv_.Refuse(cell, "column " + Quoted(cell.text) + " stands twice.");
      }
      columns_.push_back(cell.text);
    }
    for (const char* needed : {"gauge", "value"}) {
      if (std::find(columns_.begin(), columns_.end(), needed) == columns_.end()) {
        csv_.Refuse(row[0],
                    "column " + Quoted(needed) +
                        " is missing; the first line names them, as in gauge,value,uncertainty.");
      }
    }
  }

  Measurement ReadingOf(const CsvRow& row) const {
    if (row.size() > columns_.size()) {
      csv_.Refuse(row[columns_.size()], "more cells than the " + std::to_string(columns_.size()) +
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
    if (reading.gauge.empty()) csv_.Refuse(row[0], "the row names no gauge.");
    return reading;
  }

  Settings SettingsOf(const CsvCell& cell) const {
    try {
      return SettingsFromText(cell.text);
    } catch (const SettingError& error) {
      csv_.Refuse(cell, error.what());
    }
  }

  const std::string& path_;
  std::ifstream file_;
  CsvReader csv_;
  std::vector<std::string> columns_;
};

}  // namespace

std::vector<Measurement> LoadReadings(const std::string& path) {
  return ReadingsReader(path).Read();
}

}  // namespace handwheel::shell

#endif
