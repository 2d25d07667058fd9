#include <cmath>
#include <cstdio>
#include <memory>
#include <optional>

#include "commands.h"
#include "handwheel/file.h"
#include "handwheel/readings.h"
#include "output.h"

namespace handwheel::shell {
namespace {

constexpr double kMillimetre = 1e-3;  // [m]

std::vector<Valve> Chosen(const Network& network, const std::string& name) {
  if (name.empty()) return network.valves;
  network.Get(name + ".opening");  // throws for what is no valve
  for (const Valve& valve : network.valves) {
    if (valve.name == name) return {valve};
  }
  return {};
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
  table.columns.push_back(NumbersOf(valves, "turns from shut", "",
                                    [](const Valve& v) { return TurnsFromOpening(v, v.opening); }));
  table.columns.push_back(NumbersOf(valves, "turns to open", "", [](const Valve& v) {
    return TurnsOfTravel(v) - TurnsFromOpening(v, v.opening);
  }));
  table.columns.push_back(NumbersOf(valves, "turns in all", "", TurnsOfTravel));
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
  char text[96];
  std::snprintf(text, sizeof text, "%.2f turns %s to stand %.3g %% open", std::abs(turns),
                turns < 0.0 ? "clockwise" : "counter-clockwise", 100.0 * opening);
  return valve.name + ": " + text + "\n";
}

struct TurnsRequest {
  std::string file, case_name, valve;
  std::optional<double> opening;
};

int RunTurns(const TurnsRequest& request) {
  Network network = LoadNetwork(request.file);
  if (!request.case_name.empty()) network.ApplyCase(request.case_name);
  const std::vector<Valve> valves = Chosen(network, request.valve);
  std::string text = AsText(TurnsTable(valves));
  if (request.opening) text += "\n" + Instruction(valves.front(), *request.opening);
  text +=
      "\nClockwise shuts. Turns are within 50 % unless the file gives them: count yours once.\n";
  WriteOutput(text, "");
  return kOk;
}

}  // namespace

void AddTurns(CLI::App& app, Command* chosen) {
  CLI::App* turns =
      app.add_subcommand("turns", "How many turns of its handwheel is each valve open?");
  const auto request = std::make_shared<TurnsRequest>();
  turns->add_option("FILE", request->file, "Network file (TOML)")->required();
  auto* valve = turns->add_option("VALVE", request->valve, "This valve only");
  turns->add_option("--case", request->case_name, "Apply a case of the file first")
      ->type_name("NAME");
  turns->add_option("--opening", request->opening, "Which way and how far to turn to this opening")
      ->check(CLI::Range(0.0, 1.0))
      ->needs(valve);
  turns->callback([=] { *chosen = [request] { return RunTurns(*request); }; });
}

}  // namespace handwheel::shell
