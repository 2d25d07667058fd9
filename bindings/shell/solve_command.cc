#include <iostream>
#include <memory>
#include <optional>

#include "commands.h"
#include "handwheel/errors.h"
#include "handwheel/file.h"
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
  std::string file;
  std::string case_name;
  std::vector<std::string> settings;  // "HV-3.opening=0.4"
  SteadyOptions options;
  std::string method = "newton";
  bool json = false;
  bool csv = false;
  std::string table;
  std::string output;
};

std::string ReadableReport(const Solution& solution, const SolveRequest& request,
                           const Settings& settings) {
  std::string text;
  if (!request.case_name.empty()) text += "case: " + request.case_name + "\n";
  for (const auto& [target, value] : settings)
    text += "set: " + target + " = " + Shown(value) + "\n";
  return text + solution.Report() + "\n" + std::string(kCaution) + "\n";
}

std::string Format(const Solution& solution, const SolveRequest& request,
                   const Settings& settings) {
  if (request.json) return JsonReport(solution, request.case_name, settings);
  if (request.table.empty() && !request.csv) return ReadableReport(solution, request, settings);
  const ResultTable table =
      Tabulate(solution, request.table.empty() ? "components" : request.table);
  return request.csv ? AsCsv(table) : AsText(table);
}

Solution SolveUntilInterrupted(const Network& network, SteadyOptions options) {
  const CatchInterrupt catch_interrupt;
  options.callback = [](const IterationNews&) { return !CatchInterrupt::Pressed(); };
  return steady::Solve(network, options);
}

void CheckTableName(const std::string& name) {
  if (!name.empty()) Tabulate(Solution(), name);  // throws before the long part starts
}

int RunSolve(const SolveRequest& request) {
  CheckTableName(request.table);
  const Settings settings = ParseSettings(request.settings);
  Network network = LoadNetwork(request.file);
  if (!request.case_name.empty()) network.ApplyCase(request.case_name);
  network.Apply(settings);
  SteadyOptions options = request.options;
  options.method = *MethodFromName(request.method);

  const Solution solution = SolveUntilInterrupted(network, options);
  if (solution.summary().termination == Termination::kInterrupted) {
    std::cerr << "handwheel: interrupted\n";
    return kInterrupted;
  }
  WriteOutput(Format(solution, request, settings), request.output);
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
  solve->add_option("FILE", request->file, "Network file (TOML)")->required();
  solve->add_option("--case", request->case_name, "Apply a case of the file first")
      ->type_name("NAME");
  solve->add_option("--set", request->settings, "Apply a setting, such as HV-3.opening=0.4")
      ->type_name("COMPONENT.PROPERTY=VALUE")
      ->expected(1)
      ->take_all();
  solve->add_option("--method", request->method, "How to solve")
      ->check(CLI::IsMember(MethodNames()))
      ->capture_default_str();
  solve->add_option("--flow-tolerance", request->options.flow_tolerance, "[m3/s]")
      ->capture_default_str();
  solve->add_option("--head-tolerance", request->options.head_tolerance, "[m]")
      ->capture_default_str();
  solve->add_option("--max-iterations", request->options.max_num_iterations,
                    "0 is the method's own limit");
  auto* json = solve->add_flag("--json", request->json, "Everything as JSON, in SI");
  auto* csv = solve->add_flag("--csv", request->csv, "A table as CSV, in SI");
  auto* table = solve->add_option("--table", request->table,
                                  "One table, in SI: points, components, pipes, valves, ...");
  json->excludes(csv)->excludes(table);
  solve->add_option("-o,--output", request->output, "Write to this file instead of the screen");
  solve->callback([=] { *chosen = [request] { return RunSolve(*request); }; });
}

}  // namespace handwheel::shell
