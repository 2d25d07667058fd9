#include <algorithm>
#include <cmath>
#include <fstream>
#include <iostream>
#include <map>
#include <memory>
#include <thread>

#include "commands.h"
#include "csv.h"
#include "handwheel/batch.h"
#include "handwheel/errors.h"
#include "handwheel/steady.h"
#include "output.h"
#include "requests.h"
#include "text/suggest.h"

namespace handwheel::shell {
namespace {

constexpr std::size_t kRowsPerBlock = 4096;

struct ManyRequest {
  PlantRequest plant;
  std::string table;
  std::vector<std::string> of;
  int workers = 0;  // one per core
};

// A spreadsheet's or pandas' flags too.
Value ParseCell(const std::string& cell) {
  if (cell == "True" || cell == "TRUE") return true;
  if (cell == "False" || cell == "FALSE") return false;
  return ParseValue(cell);
}

// One column of the table: texts, and block by block what the property takes.
class SettingColumn {
 public:
  explicit SettingColumn(std::string target) : target_(std::move(target)) {}

  const std::string& target() const { return target_; }

  void Clear() {
    numbers_.clear();
    values_.clear();
  }

  // Texts with a unit become numbers. Throws SettingError for what the property cannot be set to at
  // all; a number out of its range is a matter of its scenario.
  void Append(const std::string& cell, Network* trial) {
    Value value = ParseCell(cell);
    const bool bare = std::holds_alternative<double>(value);
    if (!bare) value = ReadOnce(cell, value, trial);
    if (std::holds_alternative<double>(value)) RefuseSomeUnits(bare);
    if (const double* number = std::get_if<double>(&value)) numbers_.push_back(*number);
    values_.push_back(std::move(value));
  }

  BatchValues values() const {
    if (numbers_.size() == values_.size()) return std::span<const double>(numbers_);
    return std::span<const Value>(values_);
  }

 private:
  const Value& ReadOnce(const std::string& cell, const Value& value, Network* trial) {
    const auto known = read_.find(cell);
    if (known != read_.end()) return known->second;
    trial->Apply(target_, value);
    const Value read = trial->Get(target_);
    const bool is_number = std::holds_alternative<double>(read);
    return read_.emplace(cell, is_number ? read : value).first->second;
  }

  // A number without a unit is SI; among others that have one, it is a slip.
  void RefuseSomeUnits(bool bare) {
    (bare ? some_bare_ : some_with_unit_) = true;
    if (!some_bare_ || !some_with_unit_) return;
    throw SettingError(
        Quoted(target_) +
        (bare ? " has no unit here, and has one above" : " has a unit here, and has none above") +
        "; expected one in each row.");
  }

  std::string target_;
  bool some_bare_ = false, some_with_unit_ = false;
  std::vector<double> numbers_;  // those of values_ that are
  std::vector<Value> values_;
  std::map<std::string, Value> read_;  // by cell
};

bool IsNanOrInfinite(const std::string& cell) {
  const Value value = ParseValue(cell);
  const double* number = std::get_if<double>(&value);
  return number != nullptr && !std::isfinite(*number);
}

// The table of settings, block by block.
class SettingTable {
 public:
  SettingTable(std::istream& stream, const std::string& name, const Network& network)
      : reader_(stream, name), trial_(network) {
    std::vector<CsvCell> heading;
    if (!reader_.Next(&heading)) {
      throw SettingError(name +
                         " is empty; expected a heading such as HV-3.opening for each column.");
    }
    for (CsvCell& target : heading) {
      trial_.Get(target.text);  // throws for an unknown one
      columns_.emplace_back(std::move(target.text));
    }
  }

  const std::vector<SettingColumn>& columns() const { return columns_; }
  // The cells of the block, row by row, as they were.
  const std::vector<std::vector<CsvCell>>& rows() const { return rows_; }

  // False at the end.
  bool ReadBlock() {
    rows_.clear();
    for (SettingColumn& column : columns_) column.Clear();
    std::vector<CsvCell> cells;
    while (rows_.size() < kRowsPerBlock && reader_.Next(&cells)) Append(cells);
    return !rows_.empty();
  }

 private:
  void Append(const std::vector<CsvCell>& cells) {
    if (cells.size() != columns_.size()) {
      reader_.Refuse(cells[0], Count(cells.size(), "cell") + "; expected " +
                                   std::to_string(columns_.size()) + ", as in the heading.");
    }
    for (std::size_t c = 0; c < cells.size(); ++c) Append(cells[c], &columns_[c]);
    rows_.push_back(cells);
  }

  void Append(const CsvCell& cell, SettingColumn* column) {
    if (cell.text.empty() || IsNanOrInfinite(cell.text)) {
      reader_.Refuse(cell, Quoted(column->target()) +
                               (cell.text.empty() ? " is empty" : " is " + cell.text) +
                               "; expected a value for every scenario.");
    }
    try {
      column->Append(cell.text, &trial_);
    } catch (const Error& error) {
      reader_.Refuse(cell, error.what());
    }
  }

  CsvReader reader_;
  Network trial_;
  std::vector<SettingColumn> columns_;
  std::vector<std::vector<CsvCell>> rows_;
};

// What is read of every scenario: flows of components, pressures of points.
struct BlockReadings {
  std::vector<std::size_t> components, points;
  std::vector<double> flow, pressure;  // of a block
};

BlockReadings FindReadings(const std::vector<std::string>& of, const CompiledNetwork& compiled) {
  BlockReadings readings;
  const auto& components = compiled.component_names();
  const auto& points = compiled.point_names();
  for (std::size_t i = 0; of.empty() && i < components.size(); ++i)
    readings.components.push_back(i);
  for (std::size_t i = 0; of.empty() && i < points.size(); ++i) readings.points.push_back(i);
  for (const std::string& name : of) {
    if (std::find(points.begin(), points.end(), name) != points.end()) {
      readings.points.push_back(compiled.PointIndex(name));
    } else {
      readings.components.push_back(compiled.ComponentIndex(name));
    }
  }
  return readings;
}

std::string ManyHeading(const SettingTable& table, const CompiledNetwork& compiled,
                        const BlockReadings& readings) {
  std::string line = "row";
  for (const SettingColumn& column : table.columns()) line += "," + QuotedForCsv(column.target());
  for (std::size_t c : readings.components) {
    line += "," + QuotedForCsv(compiled.component_names()[c] + " [m3/s]");
  }
  for (std::size_t p : readings.points)
    line += "," + QuotedForCsv(compiled.point_names()[p] + " [Pa]");
  return line + ",outcome,failure\n";
}

// A line per scenario of a block; the rows before it have been written.
std::string ManyLines(const SettingTable& table, const BlockReadings& readings,
                      const BatchSummary& summary, std::size_t before) {
  std::string text;
  auto failure = summary.failures.begin();
  for (std::size_t row = 0; row < table.rows().size(); ++row) {
    text += std::to_string(before + row + 1);
    for (const CsvCell& cell : table.rows()[row]) text += "," + QuotedForCsv(cell.text);
    const std::size_t components = readings.components.size(), points = readings.points.size();
    for (std::size_t c = 0; c < components; ++c)
      text += "," + Digits(readings.flow[row * components + c]);
    for (std::size_t p = 0; p < points; ++p)
      text += "," + Digits(readings.pressure[row * points + p]);
    text += "," + std::string(RowOutcomeName(summary.outcome[row])) + ",";
    if (failure != summary.failures.end() && failure->row == row)
      text += QuotedForCsv((failure++)->reason);
    text += "\n";
  }
  return text;
}

BatchSummary SolveBlock(const SettingTable& table, BatchSolver* solver, BlockReadings* readings) {
  const std::size_t rows = table.rows().size();
  readings->flow.resize(rows * readings->components.size());
  readings->pressure.resize(rows * readings->points.size());
  std::vector<BatchValues> values;
  for (const SettingColumn& column : table.columns()) values.push_back(column.values());
  std::vector<BatchOutput> outputs;
  if (!readings->components.empty()) {
    outputs.push_back({BatchReading::kFlow, readings->components, readings->flow});
  }
  if (!readings->points.empty()) {
    outputs.push_back({BatchReading::kPressure, readings->points, readings->pressure});
  }
  return solver->Solve(values, outputs);
}

BatchOptions ManyOptions(const ManyRequest& request) {
  const int cores = std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
  BatchOptions options;
  options.workers = request.workers == 0 ? cores : request.workers;
  options.progress = [](std::size_t, std::size_t) { return !CatchInterrupt::Pressed(); };
  return options;
}

int RunTable(const ManyRequest& request, const CompiledNetwork& compiled, std::istream& stream) {
  SettingTable table(stream, request.table == "-" ? "<standard input>" : request.table,
                     compiled.network());
  BlockReadings readings = FindReadings(request.of, compiled);
  std::vector<std::string> targets;
  for (const SettingColumn& column : table.columns()) targets.push_back(column.target());
  BatchSolver solver(compiled, targets, ManyOptions(request));
  OutputFile output(request.plant.output);
  output.Write(ManyHeading(table, compiled, readings));

  const CatchInterrupt catch_interrupt;
  std::size_t rows = 0, solved = 0;
  while (output.wanted() && table.ReadBlock()) {
    const BatchSummary summary = SolveBlock(table, &solver, &readings);
    if (summary.interrupted || CatchInterrupt::Pressed()) return ReportInterrupted();
    output.Write(ManyLines(table, readings, summary, rows));
    rows += summary.num_rows();
    solved += summary.num_solved;
  }
  if (rows == 0 && output.wanted())
    throw SettingError(request.table + " has no rows; expected one for every scenario.");
  output.Finish();
  std::cerr << solved << " of " << Count(rows, "scenario") << " solved\n" << kCaution << "\n";
  return solved == rows ? kOk : kNotConverged;
}

int RunMany(const ManyRequest& request) {
  const CompiledNetwork compiled(LoadPlant(request.plant));
  if (request.table == "-") return RunTable(request, compiled, std::cin);
  std::ifstream stream(request.table, std::ios::binary);
  if (!stream) throw OutputError("cannot read " + request.table);
  return RunTable(request, compiled, stream);
}

}  // namespace

void AddMany(CLI::App& app, Command* chosen) {
  CLI::App* many = app.add_subcommand("many", "What do thousands of scenarios look like?");
  const auto request = std::make_shared<ManyRequest>();
  AddPlantOptions(many, &request->plant);
  many->add_option("SETTINGS", request->table,
                   "Table (CSV), a column per setting, headed such as HV-3.opening, and a row per "
                   "scenario; - is standard input")
      ->required();
  many->add_option("--of", request->of, "Components (flow) and points (pressure) to write")
      ->type_name("NAME ...");
  many->add_option("--workers", request->workers,
                   "Threads; the results are the same (default: one per core)")
      ->check(CLI::Range(1, 1024));
  AddOutput(many, &request->plant.output);
  many->callback([=] { *chosen = [request] { return RunMany(*request); }; });
}

}  // namespace handwheel::shell
