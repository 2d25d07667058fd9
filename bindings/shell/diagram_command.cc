#include "handwheel/diagram.h"

#include <iostream>
#include <memory>

#include "commands.h"
#include "handwheel/errors.h"
#include "output.h"
#include "requests.h"

namespace handwheel::shell {
namespace {

struct DiagramRequest {
  PlantRequest plant;
  bool unsolved = false;
  DiagramOptions options;
};

template <typename Plant>
std::string Drawn([[maybe_unused]] const Plant& plant,
                  [[maybe_unused]] const DiagramOptions& options) {
#ifdef HANDWHEEL_DRAWING
  return drawing::DrawSvg(plant, options);
#else
  throw SettingError("this build draws no diagrams; install libgraphviz-dev and build again.");
#endif
}

Solution SolvedUnlessInterrupted(const Network& network) {
  const CatchInterrupt catch_interrupt;
  SteadyOptions options;
  options.callback = UntilInterrupted();
  return Solve(network, options);
}

int RunDiagram(const DiagramRequest& request) {
  DiagramOptions options = request.options;
  options.case_name = request.plant.case_name;
  const Network network = LoadPlant(request.plant);
  if (request.unsolved) {
    WriteOutput(Drawn(network, options), request.plant.output);
    return kOk;
  }
  const Solution solution = SolvedUnlessInterrupted(network);
  if (solution.summary().termination == Termination::kInterrupted) return ReportInterrupted();
  WriteOutput(Drawn(solution, options), request.plant.output);
  if (solution.converged()) return kOk;
  std::cerr << "handwheel: not converged: the numbers drawn are no solution\n";
  return kNotConverged;
}

}  // namespace

void AddDiagram(CLI::App& app, Command* chosen) {
  CLI::App* diagram =
      app.add_subcommand("diagram", "A piping diagram as SVG, with flows and pressures.");
  const auto request = std::make_shared<DiagramRequest>();
  DiagramOptions* options = &request->options;
  AddPlantOptions(diagram, &request->plant);
  diagram->add_flag("--unsolved", request->unsolved, "The plant alone, nothing computed");
  diagram->add_option("--flow-unit", options->flow_unit)->capture_default_str();
  diagram->add_option("--pressure-unit", options->pressure_unit)->capture_default_str();
  diagram->add_option("--length-unit", options->length_unit)->capture_default_str();
  diagram->add_option("--check-valve", options->check_valve, "Its symbol: dot or arrow")
      ->capture_default_str();
  diagram->add_option("--date", options->date, "For the title block, as given");
  AddOutput(diagram, &request->plant.output);
  diagram->callback([=] { *chosen = [request] { return RunDiagram(*request); }; });
}

}  // namespace handwheel::shell
