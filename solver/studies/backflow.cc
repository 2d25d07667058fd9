#include "handwheel/backflow.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "handwheel/errors.h"
#include "handwheel/readings.h"
#include "steady/plant_view.h"
#include "studies/backflow_graph.h"
#include "studies/backflow_held.h"
#include "studies/backflow_paths.h"
#include "studies/backflow_words.h"
#include "text/cat.h"
#include "text/suggest.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

const char* const kFailures[] = {"stuck open", "passing"};  // the worse one first

Network Prepared(const Network& network, const BackflowScenario& scenario) {
  Network prepared = network;
  prepared.Apply(scenario.before);
  prepared.Validate();
  return prepared;
}

void Trip(Network* network, const std::string& name) {
  std::vector<std::string> pumps;
  for (Pump& pump : network->pumps) {
    pumps.push_back(pump.name);
    if (pump.name != name) continue;
    pump.running = false;
    return;
  }
  if (pumps.empty()) throw SettingError("trip " + Quoted(name) + ": the network has no pump.");
  throw SettingError(Cat("trip ", Quoted(name), ": no pump is called so;", Suggest(name, pumps)));
}

Network AfterEvent(const Network& before, const BackflowScenario& scenario) {
  Network after = before;
  if (!scenario.case_name.empty()) after.ApplyCase(scenario.case_name);
  for (const std::string& name : scenario.trips) Trip(&after, name);
  if (scenario.power_loss) {
    for (Pump& pump : after.pumps) pump.running = false;
  }
  after.Apply(scenario.settings);
  after.Validate();
  return after;
}

// One failure: a check valve by its index, and how it fails.
struct Failure {
  std::size_t valve;
  const char* condition;
};
using Failures = std::vector<Failure>;

// Each check valve can get worse than the network has it, not better.
std::vector<Failures> SingleFailures(const Network& network) {
  std::vector<Failures> singles;
  for (std::size_t i = 0; i < network.check_valves.size(); ++i) {
    const std::string& condition = network.check_valves[i].condition;
    for (const char* failure : kFailures) {
      const bool worse = condition == "sound" ||
                         (condition == "passing" && std::string_view(failure) == kFailures[0]);
      if (worse) singles.push_back({Failure{i, failure}});
    }
  }
  return singles;
}

// The states to solve, in order of importance, as far as `options` allow; *skipped counts the rest.
std::vector<Failures> StatesToSolve(const Network& network, const BackflowOptions& options,
                                    std::size_t* skipped) {
  std::vector<Failures> states = {{}};
  if (options.max_failed == 0) return states;
  const std::vector<Failures> singles = SingleFailures(network);
  states.insert(states.end(), singles.begin(), singles.end());
  *skipped = 0;
  const auto add_pairs = [&](bool stuck) {
    for (std::size_t a = 0; a < singles.size(); ++a) {
      for (std::size_t b = a + 1; b < singles.size(); ++b) {
        const Failure &first = singles[a][0], &second = singles[b][0];
        if (first.valve == second.valve) continue;
        const bool both_stuck = first.condition == kFailures[0] && second.condition == kFailures[0];
        if (both_stuck != stuck) continue;
        if (states.size() < options.max_states) {
          states.push_back({first, second});
        } else {
          ++*skipped;
        }
      }
    }
  };
  if (options.max_failed >= 2) {
    add_pairs(true);
    add_pairs(false);
  }
  if (states.size() > options.max_states) {
    *skipped += states.size() - options.max_states;
    states.resize(options.max_states);
  }
  return states;
}

// The normal state: what "backwards" is told by.
struct Before {
  bool solved = false;
  std::vector<double> flow;  // by component [m³/s]; NaN if not solved
  std::vector<double> gain;  // by node [m³/s]; likewise
};

class Study {
 public:
  Study(const Network& network, const BackflowScenario& scenario, const BackflowOptions& options)
      : options_(options),
        before_network_(Prepared(network, scenario)),
        after_network_(AfterEvent(before_network_, scenario)),
        graph_(after_network_) {
    result_.title = network.title;
    result_.scenario = ScenarioInWords(scenario);
    result_.least_flow = options.least_flow;
    result_.max_failed = options.max_failed;
  }

  BackflowResult Run() {
    SolveBefore();
    for (const Failures& failures : StatesToSolve(after_network_, options_, &result_.num_skipped)) {
      if (result_.interrupted) break;
      result_.states.push_back(SolveState(failures));
    }
    if (result_.states.empty()) result_.states.push_back(Unsolved("interrupted"));
    Rank();
    return std::move(result_);
  }

 private:
  // Empty, with the reason, if there is none.
  std::optional<Solution> SolutionOf(const Network& network, std::string* reason) {
    try {
      Solution solution = Solve(network, options_.steady);
      if (solution.converged()) return solution;
      *reason = solution.summary().message;
      if (solution.summary().termination == Termination::kInterrupted) {
        *reason = "interrupted";
        result_.interrupted = true;
      }
    } catch (const NetworkError& error) {
      *reason = error.what();
    }
    return std::nullopt;
  }

  void SolveBefore() {
    before_.flow.assign(graph_.num_components(), kNaN);
    before_.gain.assign(graph_.num_nodes(), kNaN);
    const auto solution = SolutionOf(before_network_, &result_.before_failure);
    if (!solution) return;
    before_.solved = true;
    before_.flow = solution->flow();
    before_.gain = graph_.GainOfNodes(before_.flow);
  }

  BackflowState Unsolved(const std::string& reason) const {
    BackflowState state;
    state.reason = reason;
    state.flow = kNaN;
    return state;
  }

  BackflowState SolveState(const Failures& failures) {
    Network network = after_network_;
    std::vector<FailedCheckValve> failed;
    for (const Failure& failure : failures) {
      CheckValve& valve = network.check_valves[failure.valve];
      valve.condition = failure.condition;
      failed.push_back({valve.name, valve.condition});
    }
    std::string reason;
    const auto solution = SolutionOf(network, &reason);
    BackflowState state = solution ? Judge(*solution) : Unsolved(reason);
    state.failed = std::move(failed);
    if (failures.empty() && solution) {
      result_.held = FindHeldPaths(graph_, *solution, options_.least_flow);
    }
    return state;
  }

  bool IsBackward(std::size_t c, double flow) const {
    const double least = options_.least_flow;
    if (graph_.HasDirection(c)) return flow < -least;
    return std::abs(flow) > least && std::abs(before_.flow[c]) > least &&
           (flow > 0.0) != (before_.flow[c] > 0.0);
  }

  WrongWay FindWrongWay(const std::vector<double>& flow, const std::vector<double>& gain) const {
    const double least = options_.least_flow;
    WrongWay wrong{std::vector<char>(flow.size(), 0), std::vector<char>(graph_.num_vessels(), 0)};
    for (std::size_t c = 0; c < flow.size(); ++c) wrong.component[c] = IsBackward(c, flow[c]);
    for (std::size_t v = 0; v < graph_.num_vessels(); ++v) {
      wrong.vessel[v] = (before_.gain[v] < -least && gain[v] > least) ||
                        (before_.gain[v] > least && gain[v] < -least);
    }
    return wrong;
  }

  BackflowState Judge(const Solution& solution) const {
    BackflowState state;
    state.solved = true;
    const std::vector<double>& flow = solution.flow();
    const std::vector<double> gain = graph_.GainOfNodes(flow);
    const WrongWay wrong = FindWrongWay(flow, gain);
    for (std::size_t c = 0; c < flow.size(); ++c) {
      if (wrong.component[c]) {
        state.backward.push_back({graph_.component_name(c), flow[c], before_.flow[c]});
      }
    }
    for (std::size_t v = 0; v < graph_.num_vessels(); ++v) {
      if (wrong.vessel[v]) state.reversed_vessels.push_back(graph_.node_name(v));
      const bool filled_before = before_.gain[v] > options_.least_flow;
      if (gain[v] > options_.least_flow && !filled_before) AddFilling(v, gain[v], &state);
    }
    AddPaths(solution, wrong, &state);
    AddReversedPumps(solution, &state);
    return state;
  }

  void AddFilling(std::size_t vessel, double gain, BackflowState* state) const {
    const auto& area = after_network_.vessels[vessel].area;
    state->filling.push_back({graph_.node_name(vessel), gain, area ? gain / *area : kNaN});
  }

  void AddPaths(const Solution& solution, const WrongWay& wrong, BackflowState* state) const {
    const std::vector<double> head = graph_.HeadOfNodes(solution);
    for (const FlowPath& path :
         SplitBackflow(graph_, solution.flow(), wrong, options_.least_flow)) {
      BackflowPath described;
      described.flow = path.flow;
      if (!path.goes_round) {
        described.source = graph_.node_name(path.source);
        described.sink = graph_.node_name(path.sink);
        described.driving_head = head[path.source] - head[path.sink];
      }
      for (std::size_t c : path.components) {
        const std::string& name = graph_.component_name(c);
        described.components.push_back(name);
        if (wrong.component[c]) described.backward.push_back(name);
        if (solution.state()[c] == FlowState::kRunning) described.driven_by.push_back(name);
      }
      state->flow += path.flow;
      state->paths.push_back(std::move(described));
    }
  }

  void AddReversedPumps(const Solution& solution, BackflowState* state) const {
    const std::size_t first = KindOffsets(after_network_).pumps;
    std::vector<PumpReading> readings;
    for (std::size_t i = 0; i < after_network_.pumps.size(); ++i) {
      const double flow = solution.flow()[first + i];
      if (!(flow < -options_.least_flow)) continue;
      if (readings.empty()) readings = ReadPumps(solution);
      state->reversed_pumps.push_back({after_network_.pumps[i].name, flow,
                                       readings[i].reverse_speed,
                                       solution.state()[first + i] == FlowState::kRunning});
    }
  }

  // In steps of least_flow, so that of like flows the one that takes fewer failures comes first.
  void Rank() {
    const auto steps = [this](const BackflowState& state) {
      return std::round(state.flow / options_.least_flow);
    };
    std::stable_sort(result_.states.begin() + 1, result_.states.end(),
                     [&](const BackflowState& a, const BackflowState& b) {
                       if (a.solved != b.solved) return a.solved;
                       if (!a.solved) return false;
                       if (steps(a) != steps(b)) return steps(a) > steps(b);
                       return a.failed.size() < b.failed.size();
                     });
  }

  const BackflowOptions& options_;
  Network before_network_, after_network_;
  BackflowGraph graph_;
  Before before_;
  BackflowResult result_;
};

}  // namespace

bool BackflowOptions::IsValid(std::string* error) const {
  if (!(least_flow > 0.0) || !std::isfinite(least_flow)) {
    *error = "least_flow is " + std::to_string(least_flow) + "; expected a value above 0";
    return false;
  }
  if (max_failed < 0 || max_failed > 2) {
    *error = "max_failed is " + std::to_string(max_failed) + "; expected 0, 1 or 2";
    return false;
  }
  if (max_states < 1) {
    *error = "max_states is 0; expected 1 or more";
    return false;
  }
  return steady.IsValid(error);
}

bool BackflowResult::RunsBackInAnyState() const {
  return std::any_of(states.begin(), states.end(),
                     [](const BackflowState& state) { return state.RunsBack(); });
}

BackflowResult Backflow(const Network& network, const BackflowScenario& scenario,
                        const BackflowOptions& options) {
  std::string error;
  if (!options.IsValid(&error)) throw SettingError("options: " + error);
  return Study(network, scenario, options).Run();
}

}  // namespace handwheel
