#include <cmath>
#include <cstdio>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "commands.h"
#include "handwheel/readings.h"
#include "handwheel/units.h"
#include "output.h"
#include "requests.h"

namespace handwheel::shell {
namespace {

constexpr double kMillimetre = 1e-3;  // [m]
constexpr double kNoTurn = 1e-6;      // turns: round-off

std::vector<Valve> Chosen(const Network& network, const std::string& name) {
  if (name.empty()) return network.valves;
  network.Get(name + ".opening");  // throws for what is no valve
  for (const Valve& valve : network.valves) {
    if (valve.name == name) return {valve};
  }
  return {};
}

// Its whole travel is a quarter turn.
bool IsLever(const Valve& valve) {
  return TurnsOfTravel(valve) <= 0.25;
}

std::string Printed(const char* format, double value) {
  char text[32];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

// "3.5", of a lever "54 deg". Turns that the file does not give are an estimate of two digits.
std::string Turned(const Valve& valve, double turns) {
  if (IsLever(valve)) return Printed("%.3g deg", 360.0 * turns);
  const bool estimated = !valve.turns && turns < 99.5;
  return Printed(estimated ? "%.2g" : "%.4g", turns);
}

template <typename Get>
Column TurnsColumn(const std::vector<Valve>& valves, const char* name, Get get) {
  std::vector<std::string> values;
  for (const Valve& valve : valves) values.push_back(Turned(valve, get(valve)));
  return {name, "", std::move(values)};
}

template <typename Get>
Column NumbersOf(const std::vector<Valve>& valves, const char* name, const char* unit, Get get) {
  std::vector<double> values;
  for (const Valve& valve : valves) values.push_back(get(valve));
  return {name, unit, std::move(values)};
}

ResultTable TurnsTable(const std::vector<Valve>& valves) {
  ResultTable table{.kind = "turns", .names = {}, .columns = {}};
  std::vector<std::string> kinds;
  for (const Valve& valve : valves) {
    table.names.push_back(valve.name);
    kinds.push_back(valve.kind);
  }
  table.columns.push_back({"kind", "", std::move(kinds)});
  table.columns.push_back(
      NumbersOf(valves, "open", "%", [](const Valve& v) { return 100.0 * v.opening; }));
  table.columns.push_back(TurnsColumn(
      valves, "turns from shut", [](const Valve& v) { return TurnsFromOpening(v, v.opening); }));
  table.columns.push_back(TurnsColumn(valves, "turns to open", [](const Valve& v) {
    return TurnsOfTravel(v) - TurnsFromOpening(v, v.opening);
  }));
  table.columns.push_back(TurnsColumn(valves, "turns in all", TurnsOfTravel));
  table.columns.push_back(NumbersOf(valves, "travel", "mm", [](const Valve& v) {
    return v.opening * StemTravelOf(v) / kMillimetre;
  }));
  table.columns.push_back(
      NumbersOf(valves, "of", "mm", [](const Valve& v) { return StemTravelOf(v) / kMillimetre; }));
  return table;
}

// What to do to get from how the file leaves a valve to an opening asked for.
std::string Instruction(const Valve& valve, double opening) {
  const double turns = TurnsFromOpening(valve, opening) - TurnsFromOpening(valve, valve.opening);
  const std::string stand = Printed("%.3g %% open", 100.0 * opening);
  if (std::abs(turns) < kNoTurn) return valve.name + ": already stands there, " + stand + "\n";
  return valve.name + ": " + Turned(valve, std::abs(turns)) + (IsLever(valve) ? "" : " turns") +
         (turns < 0.0 ? " clockwise" : " counter-clockwise") + " to stand " + stand + "\n";
}

struct TurnsRequest {
  PlantRequest plant;  // no settings
  std::string valve;
  std::string opening;  // "0.4", "40 %"; empty: not asked
};

int RunTurns(const TurnsRequest& request) {
  const std::vector<Valve> valves = Chosen(LoadPlant(request.plant), request.valve);
  std::string text = AsText(TurnsTable(valves));
  if (!request.opening.empty()) {
    text += "\n" + Instruction(valves.front(), ParseQuantity(request.opening, Dimension::kNumber));
  }
  text +=
      "\nClockwise shuts. Turns are within 50 % unless the file gives them: count yours once.\n"
      "A lever turns through degrees (deg), 90 in all.\n";
  WriteOutput(text, "");
  return kOk;
}

}  // namespace

void AddTurns(CLI::App& app, Command* chosen) {
  CLI::App* turns =
      app.add_subcommand("turns", "How many turns of its handwheel is each valve open?");
  const auto request = std::make_shared<TurnsRequest>();
  AddFile(turns, &request->plant.file);
  auto* valve = turns->add_option("VALVE", request->valve, "This valve only");
  AddCase(turns, &request->plant.case_name);
  turns
      ->add_option("--opening", request->opening,
                   "Which way and how far to turn to this opening, such as 0.4 or 40%")
      ->needs(valve);
  turns->callback([=] { *chosen = [request] { return RunTurns(*request); }; });
}

}  // namespace handwheel::shell
