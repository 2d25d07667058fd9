#include "handwheel/backflow.h"

#include <iostream>
#include <memory>

#include "commands.h"
#include "handwheel/file.h"
#include "json.h"
#include "output.h"
#include "requests.h"

namespace handwheel::shell {
namespace {

struct BackflowRequest {
  PlantRequest plant;  // its case and settings are what happens
  std::vector<std::string> trips, before;
  bool power_loss = false;
  BackflowOptions options;
};

// Of the result as JSON.
class BackflowJson {
 public:
  static std::string Text(const BackflowResult& result) {
    Json states = Json::array(), held = Json::array();
    for (const BackflowState& state : result.states) states.push_back(State(state));
    for (const HeldPath& path : result.held) held.push_back(Held(path));
    const Json report = {
        {"title", result.title},
        {"scenario", result.scenario},
        {"verdict", result.Verdict()},
        {"runs_back", result.RunsBackInAnyState()},
        {"before_failure", result.before_failure},
        {"least_flow", result.least_flow},
        {"num_skipped", result.num_skipped},
        {"units", {{"flow", "m3/s"}, {"driving_head", "m"}, {"level_rise", "m/s"}}},
        {"states", states},
        {"held", held},
        {"caution", kCaution}};
    return Dump(report);
  }

 private:
  static Json State(const BackflowState& state) {
    Json failed = Json::object(), paths = Json::array(), backward = Json::array();
    Json filling = Json::array(), pumps = Json::array();
    for (const FailedCheckValve& valve : state.failed) failed[valve.name] = valve.condition;
    for (const BackflowPath& path : state.paths) paths.push_back(Path(path));
    for (const BackwardComponent& part : state.backward) {
      backward.push_back(
          {{"name", part.name}, {"flow", part.flow}, {"flow_before", Number(part.flow_before)}});
    }
    for (const FillingVessel& vessel : state.filling) {
      filling.push_back({{"name", vessel.name},
                         {"flow", vessel.flow},
                         {"level_rise", Number(vessel.level_rise)}});
    }
    for (const ReversedPump& pump : state.reversed_pumps) {
      pumps.push_back({{"name", pump.name},
                       {"flow", pump.flow},
                       {"reverse_speed", Number(pump.reverse_speed)},
                       {"running", pump.running}});
    }
    return {{"failed", failed},
            {"solved", state.solved},
            {"reason", state.reason},
            {"flow", Number(state.flow)},
            {"paths", paths},
            {"backward", backward},
            {"reversed_vessels", state.reversed_vessels},
            {"filling", filling},
            {"reversed_pumps", pumps}};
  }

  static Json Path(const BackflowPath& path) {
    return {{"source", path.source},
            {"sink", path.sink},
            {"goes_round", path.goes_round()},
            {"flow", path.flow},
            {"driving_head", Number(path.driving_head)},
            {"components", path.components},
            {"backward", path.backward},
            {"driven_by", path.driven_by}};
  }

  static Json Held(const HeldPath& path) {
    return {{"source", path.source},
            {"sink", path.sink},
            {"driving_head", Number(path.driving_head)},
            {"components", path.components},
            {"held_by", path.held_by},
            {"through", path.through},
            {"driven_by", path.driven_by}};
  }
};

BackflowResult StudyUntilInterrupted(const BackflowRequest& request) {
  const BackflowScenario scenario{.before = ParseSettings(request.before),
                                  .case_name = request.plant.case_name,
                                  .trips = request.trips,
                                  .power_loss = request.power_loss,
                                  .settings = ParseSettings(request.plant.settings)};
  const Network network = LoadNetwork(request.plant.file);
  BackflowOptions options = request.options;
  const CatchInterrupt catch_interrupt;
  options.steady.callback = UntilInterrupted();
  return Backflow(network, scenario, options);
}

int RunBackflow(const BackflowRequest& request) {
  const BackflowResult result = StudyUntilInterrupted(request);
  if (result.interrupted) return ReportInterrupted();
  WriteOutput(request.plant.json ? BackflowJson::Text(result) : result.Report(),
              request.plant.output);
  std::size_t unsolved = 0;
  for (const BackflowState& state : result.states) unsolved += state.solved ? 0 : 1;
  if (unsolved == 0) return kOk;
  std::cerr << "handwheel: " << Count(unsolved, "state") << " without a solution\n";
  return kNotConverged;
}

}  // namespace

void AddBackflow(CLI::App& app, Command* chosen) {
  CLI::App* backflow = app.add_subcommand(
      "backflow", "Can liquid run backwards, with each check valve sound, passing or stuck open?");
  const auto request = std::make_shared<BackflowRequest>();
  backflow->add_option("--trip", request->trips, "A pump that stops")
      ->type_name("PUMP")
      ->expected(1)
      ->take_all();
  backflow->add_flag("--power-loss", request->power_loss, "Every pump stops");
  AddPlantOptions(backflow, &request->plant,
                  {.of_case = "A case of the file happens", .of_set = "What else happens"});
  AddSettings(backflow, "--before", &request->before, "How the plant stands before it happens");
  backflow->add_option("--max-failed", request->options.max_failed, "Check valves failed at once")
      ->check(CLI::Range(0, 2))
      ->capture_default_str();
  backflow->add_option("--max-states", request->options.max_states, "States to solve at most")
      ->check(CLI::PositiveNumber)
      ->capture_default_str();
  AddAnswerOptions(backflow, &request->plant);
  backflow->callback([=] { *chosen = [request] { return RunBackflow(*request); }; });
}

}  // namespace handwheel::shell
