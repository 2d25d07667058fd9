#include "steady/solution_builder.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <unordered_map>

#include "handwheel/errors.h"
#include "steady/coupled_newton.h"
#include "steady/feasibility.h"
#include "steady/run_controlled.h"
#include "steady/zones.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

FlowState StateOf(const Law& law, double flow) {
  if (IsShut(law)) return FlowState::kShut;
  if (IsOneWay(law)) return flow > 0.0 ? FlowState::kForward : FlowState::kShut;
  return FlowState::kOpen;
}

FlowState StateOf(const Control& control, ControlMode mode, FlowState free_state) {
  if (mode == ControlMode::kFree) return free_state;
  if (mode == ControlMode::kShut) return FlowState::kShut;
  if (std::holds_alternative<HoldPressure>(control)) return FlowState::kHolding;
  if (std::holds_alternative<LimitFlow>(control)) return FlowState::kLimiting;
  return FlowState::kChoked;
}

// How far (head difference, flow) lies off the component's curve, in metres of head.
double HeadMisfit(const Law& law, double flow, double head_difference) {
  if (IsShut(law)) return flow == 0.0 ? 0.0 : std::numeric_limits<double>::infinity();
  if (const auto* one_way = std::get_if<OneWayLaw>(&law); one_way && flow <= 0.0) {
    if (flow < 0.0) return std::numeric_limits<double>::infinity();
    return std::max(0.0, head_difference - one_way->crack);
  }
  return std::abs(head_difference - EvaluateLaw(law, flow).drop);
}

}  // namespace

class SolutionBuilder {
 public:
  SolutionBuilder(const Network& network, const Plan& plan, const SteadyOptions& options)
      : plan_(plan), options_(options) {
    solution_.network_ = network;
    solution_.liquid_ = plan.liquid;
    solution_.point_names_ = network.PointNames();
    solution_.component_names_ = network.ComponentNames();
    for (const auto* list : {&plan.controls, &plan.chokes}) {
      for (const PlanControl& control : *list) control_of_[control.component] = &control;
    }
  }

  Solution Build(MethodResult result, SteadySummary summary) {
    for (const auto& [component, mode] : result.modes) {
      if (mode == ControlMode::kLifted) control_of_.erase(component);
    }
    shut_in_ = ShutInNodes(result.solved_plan ? *result.solved_plan : plan_, result.state.flow);
    ClearShutInFlows(&result.state);
    solution_.summary_ = std::move(summary);
    RecomputeResiduals(result.state);
    ReportPoints(result.state);
    ReportComponents(result);
    ReportLeaks(result.state);
    solution_.loops_ = std::move(result.loops);
    solution_.corrections_ = std::move(result.loop_corrections);
    return std::move(solution_);
  }

 private:
  // The node of each point in network order: vessels, then junctions.
  int NodeOfPoint(std::size_t point) const {
    const int vessels = static_cast<int>(solution_.network_.vessels.size());
    const int i = static_cast<int>(point);
    return i < vessels ? plan_.num_free + i : i - vessels;
  }

  // Round-off of the iteration, not flow: nothing can leave a shut-in zone.
  void ClearShutInFlows(SteadyState* state) const {
    for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
      const bool inside = shut_in_[Index(plan_.from[l])] || shut_in_[Index(plan_.to[l])];
      if (inside && std::abs(state->flow[l]) <= options_.flow_tolerance) state->flow[l] = 0.0;
    }
  }

  void RecomputeResiduals(const SteadyState& state) {
    SteadySummary& summary = solution_.summary_;
    std::vector<double> balance(Index(plan_.num_nodes()), 0.0);
    summary.max_head_imbalance = 0.0;
    for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
      const double flow = state.flow[l];
      balance[Index(plan_.from[l])] -= flow;
      balance[Index(plan_.to[l])] += flow;
      const double difference = state.head[Index(plan_.from[l])] - state.head[Index(plan_.to[l])];
      const auto control = control_of_.find(static_cast<int>(l));
      const double misfit = control == control_of_.end()
                                ? HeadMisfit(plan_.laws[l], flow, difference)
                                : ControlJudge(plan_, *control->second)
                                      .HeadMisfit(flow, state.head[Index(plan_.from[l])],
                                                  state.head[Index(plan_.to[l])]);
      if (!(misfit <= summary.max_head_imbalance)) {
        summary.max_head_imbalance = misfit;
        summary.worst_component = solution_.component_names_[Listed(l)];
      }
    }
    summary.max_flow_imbalance = 0.0;
    for (int i = 0; i < plan_.num_free; ++i) {
      const double excess = std::abs(balance[Index(i)] - plan_.net_draw[Index(i)]);
      if (!(excess <= summary.max_flow_imbalance)) {
        summary.max_flow_imbalance = excess;
        summary.worst_point = solution_.network_.junctions[Index(i)].name;
      }
    }
    const bool within = summary.max_flow_imbalance <= options_.flow_tolerance &&
                        summary.max_head_imbalance <= options_.head_tolerance;
    if (summary.termination == Termination::kConverged && !within) {
      summary.termination = Termination::kNoConvergence;
    }
    summary.message = summary.BriefReport();
    outflow_ = std::move(balance);
  }

  void ReportPoints(const SteadyState& state) {
    const Network& network = solution_.network_;
    const double weight = plan_.liquid.density * plan_.gravity;  // [Pa/m]
    for (std::size_t p = 0; p < solution_.point_names_.size(); ++p) {
      const int node = NodeOfPoint(p);
      const bool shut_in = shut_in_[Index(node)];
      const double elevation = plan_.IsFixed(node) ? network.vessels[p].elevation
                                                   : network.junctions[Index(node)].elevation;
      const double head = shut_in ? kNaN : state.head[Index(node)];
      solution_.head_.push_back(head);
      solution_.pressure_.push_back((head - elevation) * weight);
      solution_.shut_in_.push_back(shut_in);
      const double drawn =
          plan_.IsFixed(node) ? outflow_[Index(node)] : plan_.net_draw[Index(node)];
      solution_.outflow_.push_back(drawn + LeakFrom(node, state));
    }
  }

  // The component that the network lists: itself, or the one whose leak it is.
  std::size_t Listed(std::size_t l) const {
    const std::size_t listed = Index(plan_.num_listed);
    return l < listed ? l : Index(plan_.leaks_from[l - listed]);
  }

  // What leaves by leaks to the open air at a node [m³/s].
  double LeakFrom(int node, const SteadyState& state) const {
    double leak = 0.0;
    for (std::size_t l = Index(plan_.num_listed); l < plan_.laws.size(); ++l) {
      if (plan_.from[l] == node) leak += state.flow[l];
    }
    return leak;
  }

  void ReportComponents(const MethodResult& result) {
    const SteadyState& state = result.state;
    const Network& network = solution_.network_;
    const std::size_t listed = Index(plan_.num_listed);
    solution_.flow_.assign(state.flow.begin(), state.flow.begin() + plan_.num_listed);
    for (std::size_t l = 0; l < listed; ++l) {
      const std::size_t from = Index(plan_.from[l]), to = Index(plan_.to[l]);
      solution_.velocity_.push_back(state.flow[l] / plan_.area[l]);
      solution_.drop_.push_back(shut_in_[from] || shut_in_[to] ? kNaN
                                                               : state.head[from] - state.head[to]);
      solution_.state_.push_back(StateOf(plan_.laws[l], state.flow[l]));
    }
    const std::size_t first_pump =
        network.pipes.size() + network.valves.size() + network.check_valves.size();
    for (std::size_t i = 0; i < network.pumps.size(); ++i) {
      const Pump& pump = network.pumps[i];
      solution_.state_[first_pump + i] =
          pump.running && pump.speed > 0.0 ? FlowState::kRunning : FlowState::kStopped;
    }
    for (const auto& [component, mode] : result.modes) {
      if (mode == ControlMode::kLifted) continue;
      FlowState& reported = solution_.state_[Index(component)];
      reported = StateOf(control_of_.at(component)->control, mode, reported);
    }
  }

  void ReportLeaks(const SteadyState& state) {
    solution_.leak_.assign(Index(plan_.num_listed), 0.0);
    for (std::size_t l = Index(plan_.num_listed); l < plan_.laws.size(); ++l) {
      solution_.leak_[Listed(l)] += state.flow[l];
    }
  }

  const Plan& plan_;
  const SteadyOptions& options_;
  Solution solution_;
  std::vector<bool> shut_in_;
  std::vector<double> outflow_;
  std::unordered_map<int, const PlanControl*> control_of_;
};

namespace {

MethodResult Run(const Network& network, const Plan& plan, const SteadyOptions& options,
                 const MethodFunction& method, SteadySummary* summary) {
  if (plan.controls.empty() && plan.chokes.empty()) return method(plan, options, summary);
  SteadyOptions left = options;
  int iterations = 0;
  if (options.method == Method::kNewton) {
    MethodResult result = RunCoupledNewton(plan, options, summary);
    if (summary->termination != Termination::kNoConvergence) return result;
    iterations = summary->num_iterations;
    if (options.max_num_iterations > 0) {
      left.max_num_iterations -= iterations;
      if (left.max_num_iterations <= 0) return result;
    }
  }
  MethodResult result = RunControlled(network, plan, left, method, summary);
  summary->num_iterations += iterations;
  return result;
}

}  // namespace

SolvedPlan SolvePlan(const Network& network, const SteadyOptions& options,
                     const MethodFunction& method) {
  std::string error;
  if (!options.IsValid(&error)) throw SettingError("options: " + error);
  network.Validate();
  SolvedPlan solved{.plan = CompilePlan(network), .result = {}, .summary = {}};
  const Plan& plan = solved.plan;
  SteadyOptions full_options = options;
  if (!options.initial_flow.empty()) {
    const auto listed = static_cast<std::size_t>(plan.num_listed);
    if (options.initial_flow.size() != listed) {
      throw SettingError(
          "options: initial_flow has " + std::to_string(options.initial_flow.size()) +
          " values; expected one for each of " + std::to_string(listed) + " components");
    }
    full_options.initial_flow.insert(full_options.initial_flow.end(),
                                     plan.start_flow.begin() + plan.num_listed,
                                     plan.start_flow.end());
  }
  CheckFeasible(network, plan);
  solved.summary.method = options.method;
  solved.result = Run(network, plan, full_options, method, &solved.summary);
  return solved;
}

Solution BuildSolution(const Network& network, const SteadyOptions& options, SolvedPlan solved) {
  return SolutionBuilder(network, solved.plan, options)
      .Build(std::move(solved.result), std::move(solved.summary));
}

Solution SolveWith(const Network& network, const SteadyOptions& options,
                   const MethodFunction& method) {
  return BuildSolution(network, options, SolvePlan(network, options, method));
}

MethodResult RunNewton(const Plan& plan, const SteadyOptions& options, SteadySummary* summary) {
  return {.state = NewtonSolver(plan, options).Solve(summary), .loops = {}, .loop_corrections = {}};
}

}  // namespace handwheel
