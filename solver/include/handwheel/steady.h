#pragma once

#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "handwheel/network.h"

namespace handwheel {

enum class Method {
  kNewton,       // hybrid head-flow Newton; the default
  kHardyCross,   // loop corrections
  kTrustRegion,  // least squares on the same residuals; needs handwheel/optimise.h
};

enum class Termination {
  kNotRun,
  kConverged,
  kNoConvergence,  // iterations ran out
  kInterrupted,    // the callback said stop
};

// One correction of one loop in one Hardy-Cross pass.
struct LoopCorrection {
  int pass = 0;           // from 1
  int loop = 0;           // index into Solution::loops()
  double correction = 0;  // added to the flow around the loop [m³/s]
};

// Told after every iteration (a pass, for Hardy-Cross).
struct IterationNews {
  int iteration = 0;              // from 1
  double max_flow_imbalance = 0;  // [m³/s]
  double max_head_imbalance = 0;  // [m]
};

struct SteadyOptions {
  Method method = Method::kNewton;
  // Converged when  max_i |net inflow_i - net draw_i|          <= flow_tolerance          [m³/s]
  //            and  max_l |head difference_l - drop_l(flow_l)| <= head_tolerance          [m]
  //            and  the last step changed no flow by more than step_tolerance * largest flow, or
  //                 (newton) no part's own head imbalance asks for such a change          [m³/s].
  double flow_tolerance = 1e-9;
  double head_tolerance = 1e-6;
  double step_tolerance = 1e-9;
  // 0: the method's own limit: newton 2 000, hardy_cross 20 000 passes, trust_region 500.
  int max_num_iterations = 0;
  int max_full_steps = 60;  // newton: passes before the line search on the convex merit takes over
  bool record_loop_corrections = false;                  // Hardy-Cross only
  std::function<bool(const IterationNews&)> callback{};  // false: stop. May be empty.

  // Flows to begin with, one per component in network order; empty: about 1 m/s everywhere.
  // Hardy-Cross closes the balance of what is given along its spanning forest.
  std::vector<double> initial_flow{};  // [m³/s]

  bool IsValid(std::string* error) const;  // *error: the field, its value, the rule it breaks
};

struct SteadySummary {
  Method method = Method::kNewton;
  Termination termination = Termination::kNotRun;
  std::string message = "Solve was not called.";
  int num_iterations = 0;
  int num_fallback_iterations = 0;  // of them with the line search on the convex merit
  // Recomputed from the reported heads and flows, by code that the solvers do not share.
  double max_flow_imbalance = std::numeric_limits<double>::quiet_NaN();  // [m³/s]
  double max_head_imbalance = std::numeric_limits<double>::quiet_NaN();  // [m]
  std::string worst_point{};                                             // of the flow imbalance
  std::string worst_component{};                                         // of the head imbalance
  // Components whose settings contradict each other, if that is why no solution was found.
  std::vector<std::string> contradicting{};

  bool IsSolutionUsable() const { return termination == Termination::kConverged; }
  std::string BriefReport() const;  // one line
};

// How a component stands in a solution.
enum class FlowState {
  kOpen,      // passes, or could pass, liquid both ways
  kShut,      // closed by hand, or a one-way part holding: flow exactly 0
  kForward,   // a one-way part passing liquid
  kRunning,   // a pump
  kStopped,   // a pump
  kHolding,   // a regulator at its set pressure, or a balanced relief valve lifting
  kLimiting,  // a regulator at its set flow
  kChoked,    // a valve whose flow a lower pressure behind it would not raise
};

// A loop of a Hardy-Cross run: components in order, +1 where the loop runs from -> to.
struct Loop {
  std::vector<int> components{};
  std::vector<int> signs{};
  bool between_vessels = false;  // closed through two points of fixed head (a virtual loop)
};

// Belongs under every output meant for readers.
inline constexpr std::string_view kCaution =
    "Estimates. A check valve is never isolation. Local codes, the site's permit and lock-out "
    "rules "
    "and a licensed engineer decide.";

// One finding on a solution.
struct Advice {
  std::string component{};  // or point
  std::string kind{};       // "shut-in", "pump beyond its curve", ...
  std::string severity{};   // "note", "warning", "danger"
  std::string message{};
  std::string check{};    // what to look at next
  std::string caution{};  // the usual one; may be empty
  // What was found and what it should keep to, SI; NaN where it is no number.
  double value = std::numeric_limits<double>::quiet_NaN();
  double limit = std::numeric_limits<double>::quiet_NaN();
};

// The fields of a Solution, by which one can be stored and made again.
struct SolutionData {
  Network network;
  Liquid liquid;
  SteadySummary summary;
  std::vector<double> head{}, pressure{}, outflow{};  // by point
  std::vector<bool> shut_in{};
  std::vector<double> flow{}, velocity{}, drop{}, leak{};  // by component
  std::vector<FlowState> state{};
  std::vector<Loop> loops{};
  std::vector<LoopCorrection> loop_corrections{};
};

// One steady state, self-contained: it keeps the network that it was solved for, settings applied.
class Solution {
 public:
  // Throws NetworkError if an array does not fit the network.
  static Solution FromData(SolutionData data);

  const Network& network() const { return network_; }
  const Liquid& liquid() const { return liquid_; }
  const SteadySummary& summary() const { return summary_; }
  bool converged() const { return summary_.IsSolutionUsable(); }

  const std::vector<std::string>& point_names() const { return point_names_; }
  const std::vector<std::string>& component_names() const { return component_names_; }

  // By point, network order. NaN where the point is shut in and nothing sets its pressure.
  const std::vector<double>& head() const { return head_; }          // [m]
  const std::vector<double>& pressure() const { return pressure_; }  // gauge, at the point [Pa]
  const std::vector<bool>& shut_in() const { return shut_in_; }
  // What each point takes out of the network [m³/s]: the net draw of a junction, the flow into a
  // vessel, and what leaks to the open air there.
  const std::vector<double>& outflow() const { return outflow_; }

  // By component, network order.
  const std::vector<double>& flow() const { return flow_; }  // from -> to [m³/s]
  const std::vector<double>& velocity() const {
    return velocity_;
  }  // in its bore [m/s]; NaN without one
  // Head at `from` less head at `to` [m]; NaN where one of them is undetermined.
  const std::vector<double>& drop() const { return drop_; }
  const std::vector<FlowState>& state() const { return state_; }
  // What a damaged component lets out to the open air [m³/s].
  const std::vector<double>& leak() const { return leak_; }

  // By name. Throw NetworkError for an unknown name, with a suggestion.
  double Head(std::string_view point) const;
  double Pressure(std::string_view point) const;
  double Flow(std::string_view component) const;
  double Velocity(std::string_view component) const;
  double Drop(std::string_view component) const;
  FlowState State(std::string_view component) const;

  const std::vector<Loop>& loops() const { return loops_; }  // Hardy-Cross
  const std::vector<LoopCorrection>& loop_corrections() const {
    return corrections_;
  }  // if recorded
  // Findings, danger first, then warnings, then notes, each in network order. Of a solve that did
  // not converge only that. An empty list is no proof that all is well.
  std::vector<Advice> advice() const;

  // A table of flows and pressures that fits a screen for small networks.
  std::string Report() const;

 private:
  friend class SolutionBuilder;
  int PointIndex(std::string_view name) const;
  int ComponentIndex(std::string_view name) const;

  Network network_;
  Liquid liquid_;
  SteadySummary summary_;
  std::vector<std::string> point_names_, component_names_;
  std::vector<double> head_, pressure_, outflow_;
  std::vector<bool> shut_in_;
  std::vector<double> flow_, velocity_, drop_, leak_;
  std::vector<FlowState> state_;
  std::vector<Loop> loops_;
  std::vector<LoopCorrection> corrections_;
};

// The steady state of a network. Throws NetworkError for a network that is malformed or has no
// solution; reports non-convergence in the summary. kTrustRegion throws here: its solver lives in
// handwheel/optimise.h, whose Solve takes every method.
//
// newton: Todini & Pilati's head-flow iteration on head corrections, one linearisation point per
// component; if it does not settle, damped Newton on the convex content (Cherry & Millar 1951).
Solution Solve(const Network& network, const SteadyOptions& options = {});

// The same with settings applied to a copy first.
Solution Solve(const Network& network, const Settings& settings, const SteadyOptions& options = {});

std::string_view MethodName(Method method);  // "newton", "hardy_cross", "trust_region"
std::optional<Method> MethodFromName(std::string_view name);
std::string_view FlowStateName(FlowState state);

}  // namespace handwheel
