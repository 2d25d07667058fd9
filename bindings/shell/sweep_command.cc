#include "handwheel/sweep.h"

#include <algorithm>
#include <cmath>
#include <iostream>
#include <memory>

#include "commands.h"
#include "handwheel/errors.h"
#include "json.h"
#include "output.h"
#include "requests.h"
#include "text/number.h"
#include "text/suggest.h"

namespace handwheel::shell {
namespace {

constexpr std::size_t kMostValues = 1'000'000;

struct SweepRequest {
  PlantRequest plant;
  std::string target, values, target2, values2;
  std::vector<std::string> of;
  bool cold = false;
  bool csv = false;
};

std::vector<std::string> Split(const std::string& text, char at) {
  std::vector<std::string> parts(1);
  for (char c : text) {
    if (c == at) {
      parts.emplace_back();
    } else {
      parts.back() += c;
    }
  }
  return parts;
}

std::string Trimmed(const std::string& text) {
  const auto first = text.find_first_not_of(' ');
  if (first == std::string::npos) return "";
  return text.substr(first, text.find_last_not_of(' ') - first + 1);
}

// The number that the text starts with; what follows is put into *unit.
double NumberOf(const std::string& text, std::string* unit) {
  const std::string trimmed = Trimmed(text);
  std::string_view rest = trimmed;
  double number = 0.0;
  if (ReadDecimal(&rest, &number) != DecimalResult::kOk) {
    throw SettingError("values " + Quoted(text) + ": expected a number.");
  }
  if (!Trimmed(std::string(rest)).empty()) *unit = Trimmed(std::string(rest));
  return number;
}

// "0:1:0.1", first, last and step, perhaps with a unit: "1:3:0.5 m".
std::vector<Value> RangeOfValues(const std::vector<std::string>& parts) {
  std::string unit;
  const double first = NumberOf(parts[0], &unit), last = NumberOf(parts[1], &unit);
  const double step = NumberOf(parts[2], &unit);
  const double count = (last - first) / step;
  if (!(step != 0.0) || !(count >= 0.0)) {
    throw SettingError("values from " + parts[0] + " never reach " + parts[1] + " by steps of " +
                       parts[2] + ".");
  }
  if (count >= static_cast<double>(kMostValues)) {
    throw SettingError("more than " + std::to_string(kMostValues) + " values.");
  }
  // A last step that misses `last` by round-off only still counts.
  const auto steps = static_cast<std::size_t>(std::floor(count + 1e-9));
  std::vector<Value> values;
  for (std::size_t i = 0; i <= steps; ++i) {
    // To 12 digits, so that 3 steps of 0.1 are 0.3.
    std::string text = FormatDecimal(first + static_cast<double>(i) * step, 12);
    values.push_back(unit.empty() ? ParseValue(text) : Value(text + " " + unit));
  }
  return values;
}

// A range, or values with commas between: "sound,passing", "1 m,2 m".
std::vector<Value> ParseValues(const std::string& text) {
  const std::vector<std::string> parts = Split(text, ':');
  if (parts.size() == 3) return RangeOfValues(parts);
  std::vector<Value> values;
  for (const std::string& part : Split(text, ',')) values.push_back(ParseValue(Trimmed(part)));
  return values;
}

// What --of names, or everything: flows of components, pressures of points.
struct Wanted {
  std::vector<std::string> components, points;
};

bool Contains(const std::vector<std::string>& names, const std::string& name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

Wanted FindWanted(const SweepRequest& request, const Network& network) {
  const std::vector<std::string> components = network.ComponentNames();
  const std::vector<std::string> points = network.PointNames();
  if (request.of.empty()) return {components, points};
  Wanted wanted;
  for (const std::string& name : request.of) {
    if (Contains(components, name)) {
      wanted.components.push_back(name);
    } else if (Contains(points, name)) {
      wanted.points.push_back(name);
    } else {
      std::vector<std::string> known = components;
      known.insert(known.end(), points.begin(), points.end());
      throw SettingError("--of " + name + ": nothing is called so;" + Suggest(name, known));
    }
  }
  return wanted;
}

// --- Formats ---

Column AxisColumn(const SweepResult& sweep, std::size_t axis) {
  std::vector<double> numbers;
  std::vector<std::string> texts;
  for (std::size_t row = 0; row < sweep.num_rows(); ++row) {
    const Value& value = sweep.ValueAt(row, axis);
    texts.push_back(Shown(value));
    if (const double* number = std::get_if<double>(&value)) numbers.push_back(*number);
  }
  Column column{.name = sweep.axes[axis].target, .unit = sweep.units[axis], .values = {}};
  if (numbers.size() == texts.size()) {
    column.values = std::move(numbers);
  } else {
    column.values = std::move(texts);
  }
  return column;
}

std::string SweepAsCsv(const SweepResult& sweep, const Wanted& wanted) {
  ResultTable table{.kind = "sweep", .names = {}, .columns = {}};
  for (std::size_t row = 0; row < sweep.num_rows(); ++row) {
    table.names.push_back(std::to_string(row + 1));
  }
  for (std::size_t a = 0; a < sweep.axes.size(); ++a) table.columns.push_back(AxisColumn(sweep, a));
  const auto add = [&](const std::string& name, const char* unit, const auto& value) {
    std::vector<double> numbers;
    for (std::size_t row = 0; row < sweep.num_rows(); ++row) numbers.push_back(value(row));
    table.columns.push_back({name, unit, std::move(numbers)});
  };
  for (const std::string& name : wanted.components) {
    add(name, "m3/s", [&](std::size_t row) { return sweep.Flow(row, name); });
  }
  for (const std::string& name : wanted.points) {
    add(name, "Pa", [&](std::size_t row) { return sweep.Pressure(row, name); });
  }
  table.columns.push_back({"failure", "", sweep.reason});
  return AsCsv(table);
}

class SweepJson {
 public:
  static std::string Text(const SweepResult& sweep, const Wanted& wanted) {
    Json axes = Json::array(), installed = Json::array();
    for (std::size_t a = 0; a < sweep.axes.size(); ++a) {
      axes.push_back({{"target", sweep.axes[a].target}, {"unit", sweep.units[a]}});
    }
    for (const InstalledCharacteristic& valve : sweep.installed) installed.push_back(Of(valve));
    const Json report = {{"title", sweep.title},
                         {"units", {{"flow", "m3/s"}, {"pressure", "Pa gauge"}, {"drop", "m"}}},
                         {"targets", axes},
                         {"rows", RowsOf(sweep, wanted)},
                         {"installed", installed},
                         {"caution", kCaution}};
    return Dump(report);
  }

 private:
  static Json Of(const Value& value) {
    if (const double* number = std::get_if<double>(&value)) return Number(*number);
    if (const bool* on = std::get_if<bool>(&value)) return *on;
    return Shown(value);
  }

  static Json Of(const InstalledCharacteristic& valve) {
    return {{"valve", valve.valve},
            {"at", valve.other},
            {"full_flow", Number(valve.full_flow)},
            {"drop_open", Number(valve.drop_open)},
            {"drop_shut", Number(valve.drop_shut)},
            {"authority", Number(valve.authority)},
            {"enough_opening", Number(valve.enough_opening)},
            {"best_from", Number(valve.best_from)},
            {"best_to", Number(valve.best_to)},
            {"opening", Numbers(valve.opening)},
            {"flow", Numbers(valve.flow)},
            {"gain", Numbers(valve.gain)},
            {"relative_gain", Numbers(valve.relative_gain)}};
  }

  static Json RowsOf(const SweepResult& sweep, const Wanted& wanted) {
    Json rows = Json::array();
    for (std::size_t row = 0; row < sweep.num_rows(); ++row) {
      Json values = Json::array(), flow = Json::object(), pressure = Json::object();
      for (std::size_t a = 0; a < sweep.axes.size(); ++a)
        values.push_back(Of(sweep.ValueAt(row, a)));
      for (const auto& name : wanted.components) flow[name] = Number(sweep.Flow(row, name));
      for (const auto& name : wanted.points) pressure[name] = Number(sweep.Pressure(row, name));
      rows.push_back({{"values", values},
                      {"solved", bool{sweep.solved[row]}},
                      {"reason", sweep.reason[row]},
                      {"flow", flow},
                      {"pressure", pressure}});
    }
    return rows;
  }
};

SweepResult SweepUntilInterrupted(const SweepRequest& request, const Network& network) {
  std::vector<SweepAxis> axes = {{request.target, ParseValues(request.values)}};
  if (!request.target2.empty()) axes.push_back({request.target2, ParseValues(request.values2)});
  SweepOptions options;
  options.warm_start = !request.cold;
  const CatchInterrupt catch_interrupt;
  options.steady.callback = UntilInterrupted();
  return Sweep(network, axes, options);
}

std::string Format(const SweepResult& sweep, const SweepRequest& request, const Wanted& wanted) {
  if (request.plant.json) return SweepJson::Text(sweep, wanted);
  if (request.csv) return SweepAsCsv(sweep, wanted);
  std::string text =
      sweep.Report(request.of.empty() ? std::vector<std::string>() : wanted.components);
  return text;
}

int RunSweep(const SweepRequest& request) {
  const Network network = LoadPlant(request.plant);
  const Wanted wanted = FindWanted(request, network);
  const SweepResult sweep = SweepUntilInterrupted(request, network);
  if (sweep.interrupted) return ReportInterrupted();
  WriteOutput(Format(sweep, request, wanted), request.plant.output);
  const auto failed =
      static_cast<std::size_t>(std::count(sweep.solved.begin(), sweep.solved.end(), false));
  if (failed == 0) return kOk;
  std::cerr << "handwheel: " << Count(failed, "row") << " without a solution\n";
  return kNotConverged;
}

}  // namespace

void AddSweep(CLI::App& app, Command* chosen) {
  CLI::App* sweep =
      app.add_subcommand("sweep", "How does flow follow an opening, a level or a speed?");
  const auto request = std::make_shared<SweepRequest>();
  sweep->add_option("--of", request->of, "Components (flow) and points (pressure) to show")
      ->type_name("NAME ...");
  PlantHelp help;
  help.of_set = "Apply a setting, such as P-1.running=false";
  AddPlantOptions(sweep, &request->plant, help);
  sweep->add_option("TARGET", request->target, "What to vary, such as HV-3.opening")->required();
  sweep
      ->add_option("VALUES", request->values,
                   "First:last:step, such as 0:1:0.1 or '1:3:0.5 m', or values with commas between")
      ->required();
  auto* target2 = sweep->add_option("TARGET2", request->target2, "What else to vary");
  auto* values2 = sweep->add_option("VALUES2", request->values2, "Its values");
  target2->needs(values2);
  sweep->add_flag("--cold", request->cold, "Start every solve afresh");
  auto* json = AddJson(sweep, &request->plant.json);
  auto* csv = AddCsv(sweep, &request->csv);
  json->excludes(csv);
  AddOutput(sweep, &request->plant.output);
  sweep->callback([=] { *chosen = [request] { return RunSweep(*request); }; });
}

}  // namespace handwheel::shell
