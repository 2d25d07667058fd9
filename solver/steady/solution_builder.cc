#include "steady/solution_builder.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "handwheel/errors.h"
#include "steady/feasibility.h"
#include "steady/zones.h"

namespace handwheel {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

std::size_t Index(int i) {
  return static_cast<std::size_t>(i);
}

FlowState StateOf(const Law& law, double flow, bool is_pump, bool running) {
  if (is_pump) return running ? FlowState::kRunning : FlowState::kStopped;
  if (IsShut(law)) return FlowState::kShut;
  if (IsOneWay(law)) return flow > 0.0 ? FlowState::kForward : FlowState::kShut;
  return FlowState::kOpen;
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
  }

  Solution Build(MethodResult result, SteadySummary summary) {
    shut_in_ = ShutInNodes(plan_, result.state.flow);
    ClearShutInFlows(&result.state);
    solution_.summary_ = std::move(summary);
    RecomputeResiduals(result.state);
    ReportPoints(result.state);
    ReportComponents(result.state);
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
      const double misfit = HeadMisfit(plan_.laws[l], flow, difference);
      if (!(misfit <= summary.max_head_imbalance)) {
        summary.max_head_imbalance = misfit;
        summary.worst_component = solution_.component_names_[l];
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
      solution_.outflow_.push_back(plan_.IsFixed(node) ? outflow_[Index(node)]
                                                       : plan_.net_draw[Index(node)]);
    }
  }

  void ReportComponents(const SteadyState& state) {
    const Network& network = solution_.network_;
    const std::size_t first_pump =
        network.pipes.size() + network.valves.size() + network.check_valves.size();
    solution_.flow_ = state.flow;
    for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
      const std::size_t from = Index(plan_.from[l]), to = Index(plan_.to[l]);
      solution_.velocity_.push_back(state.flow[l] / plan_.area[l]);
      solution_.drop_.push_back(shut_in_[from] || shut_in_[to] ? kNaN
                                                               : state.head[from] - state.head[to]);
      const bool is_pump = l >= first_pump && l < first_pump + network.pumps.size();
      const bool running = is_pump && std::holds_alternative<PumpLaw>(plan_.laws[l]);
      solution_.state_.push_back(StateOf(plan_.laws[l], state.flow[l], is_pump, running));
    }
  }

  const Plan& plan_;
  const SteadyOptions& options_;
  Solution solution_;
  std::vector<bool> shut_in_;
  std::vector<double> outflow_;
};

Solution SolveWith(const Network& network, const SteadyOptions& options,
                   const MethodFunction& method) {
  std::string error;
  if (!options.IsValid(&error)) throw SettingError("options: " + error);
  network.Validate();
  const Plan plan = CompilePlan(network);
  if (!options.initial_flow.empty() && options.initial_flow.size() != plan.laws.size()) {
    throw SettingError("options: initial_flow has " + std::to_string(options.initial_flow.size()) +
                       " values; expected one for each of " + std::to_string(plan.laws.size()) +
                       " components");
  }
  CheckFeasible(network, plan);
  SteadySummary summary;
  summary.method = options.method;
  MethodResult result = method(plan, options, &summary);
  return SolutionBuilder(network, plan, options).Build(std::move(result), std::move(summary));
}

MethodResult RunNewton(const Plan& plan, const SteadyOptions& options, SteadySummary* summary) {
  return {.state = NewtonSolver(plan, options).Solve(summary), .loops = {}, .loop_corrections = {}};
}

}  // namespace handwheel
