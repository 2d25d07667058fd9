#include <iostream>
#include <memory>
#include <optional>

#include "commands.h"
#include "handwheel/errors.h"
#ifdef HANDWHEEL_OPTIMISE
#include "handwheel/optimise.h"
#endif
#include "handwheel/steady.h"
#include "handwheel/table.h"
#include "json_report.h"
#include "output.h"
#include "requests.h"

namespace handwheel::shell {
namespace {

#ifdef HANDWHEEL_OPTIMISE
namespace steady = handwheel::optimise;  // every method
#else
namespace steady = handwheel;
#endif

struct SolveRequest {
  PlantRequest plant;
  SteadyOptions options;
  std::string method = "newton";
  bool csv = false;
  std::string table;
};

std::string ReadableReport(const Solution& solution, const PlantRequest& plant) {
  std::string text;
  if (!plant.case_name.empty()) text += "case: " + plant.case_name + "\n";
  for (const auto& [target, value] : ParseSettings(plant.settings))
    text += "set: " + target + " = " + Shown(value) + "\n";
  return text + solution.Report() + "\n" + std::string(kCaution) + "\n";
}

std::string Format(const Solution& solution, const SolveRequest& request) {
  const PlantRequest& plant = request.plant;
  if (plant.json) return JsonReport(solution, plant.case_name, ParseSettings(plant.settings));
  if (request.table.empty() && !request.csv) return ReadableReport(solution, plant);
  const ResultTable table =
      Tabulate(solution, request.table.empty() ? "components" : request.table);
  return request.csv ? AsCsv(table) : AsText(table);
}

Solution SolveUntilInterrupted(const Network& network, SteadyOptions options) {
  const CatchInterrupt catch_interrupt;
  options.callback = UntilInterrupted();
  return steady::Solve(network, options);
}

void CheckTableName(const std::string& name) {
  if (!name.empty()) Tabulate(Solution(), name);  // throws before the long part starts
}

int RunSolve(const SolveRequest& request) {
  CheckTableName(request.table);
  const Network network = LoadPlant(request.plant);
  SteadyOptions options = request.options;
  options.method = *MethodFromName(request.method);

  const Solution solution = SolveUntilInterrupted(network, options);
  if (solution.summary().termination == Termination::kInterrupted) return ReportInterrupted();
  WriteOutput(Format(solution, request), request.plant.output);
  if (solution.converged()) return kOk;
  std::cerr << "handwheel: not converged: these numbers are no solution\n";
  return kNotConverged;
}

std::vector<std::string> MethodNames() {
  std::vector<std::string> names = {std::string(MethodName(Method::kNewton)),
                                    std::string(MethodName(Method::kHardyCross))};
#ifdef HANDWHEEL_OPTIMISE
  names.emplace_back(MethodName(Method::kTrustRegion));
#endif
  return names;
}

}  // namespace

void AddSolve(CLI::App& app, Command* chosen) {
  CLI::App* solve = app.add_subcommand("solve", "What flows where, at what pressure?");
  const auto request = std::make_shared<SolveRequest>();
  AddPlantOptions(solve, &request->plant);
  solve->add_option("--method", request->method, "How to solve")
      ->check(CLI::IsMember(MethodNames()))
      ->capture_default_str();
  solve->add_option("--flow-tolerance", request->options.flow_tolerance, "[m3/s]")
      ->capture_default_str();
  solve->add_option("--head-tolerance", request->options.head_tolerance, "[m]")
      ->capture_default_str();
  solve->add_option("--max-iterations", request->options.max_num_iterations,
                    "0 is the method's own limit");
  auto* json = AddJson(solve, &request->plant.json);
  auto* csv = AddCsv(solve, &request->csv);
  auto* table = solve->add_option("--table", request->table,
                                  "One table, in SI: points, components, pipes, valves, ...");
  json->excludes(csv)->excludes(table);
  AddOutput(solve, &request->plant.output);
  solve->callback([=] { *chosen = [request] { return RunSolve(*request); }; });
}

}  // namespace handwheel::shell
