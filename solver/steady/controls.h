#pragma once

#include <vector>

#include "handwheel/steady.h"
#include "steady/plan.h"

namespace handwheel {

// Which of a controlled component's two sayings governs its flow.
enum class ControlMode : char {
  kFree,     // its law alone
  kByFrom,   // its control: the head at `from`
  kByTo,     // its control: the head at `to`
  kAtLimit,  // its control: a set flow
  kShut,     // its control lets nothing through
  kLifted,   // its law alone, against its control, which would leave no solution (choking)
};

// The head at one end sets the flow, by the control's law.
inline bool IsGoverned(ControlMode mode) {
  return mode == ControlMode::kByFrom || mode == ControlMode::kByTo;
}
// The component's own law holds.
inline bool LawGoverns(ControlMode mode) {
  return mode == ControlMode::kFree || mode == ControlMode::kLifted;
}

// How a control judges a flow at the heads around its component. Heads in metres; a flow of -0.0 is
// backward.
class ControlJudge {
 public:
  ControlJudge(const Plan& plan, const PlanControl& control)
      : plan_(plan), control_(control), component_(static_cast<std::size_t>(control.component)) {}

  // The mode to try next, given that `mode` led to this flow and these heads; `mode` itself where
  // nothing contradicts it within the tolerances.
  ControlMode NextMode(ControlMode mode, double flow, double head_from, double head_to,
                       double flow_tolerance, double head_tolerance) const;
  // The same, with the heads by node and within the tolerances of the options.
  ControlMode NextMode(ControlMode mode, double flow, const std::vector<double>& head,
                       const SteadyOptions& options) const;

  // How far (flow, heads) lie off what law and control allow together [m].
  double HeadMisfit(double flow, double head_from, double head_to) const;

  // The mode in which the control governs flow in the direction of `flow`.
  ControlMode GoverningMode(double flow) const;
  // The fixed head against which a governed component works, and its law there.
  double GroundHead(ControlMode mode) const;
  Law GovernedLaw() const;
  double set_flow() const { return std::get<LimitFlow>(control_.control).flow; }  // of a limit

 private:
  // Head to spare [m] before the law, or the control, binds at this flow; for backward flow by
  // choking with the ends exchanged.
  double LawSlack(double flow, double head_from, double head_to) const;
  double ControlSlack(double flow, double head_from, double head_to) const;
  // Whether the liquid's pressure is below what it chokes at before the valve already; then choking
  // is no longer the question, and the law governs.
  bool InletBoils(double flow, double head_from, double head_to) const;
  int NodeFrom() const { return plan_.from[component_]; }
  int NodeTo() const { return plan_.to[component_]; }

  const Plan& plan_;
  const PlanControl& control_;
  std::size_t component_;
};

struct ControlState {
  const PlanControl* control;
  ControlMode mode = ControlMode::kFree;
  double fed_flow = 0.0;  // what enters or leaves at the end that does not govern [m³/s]
};

// A plan without controls: what is governed stands between the end that governs it and a fixed
// head, and its fed_flow is drawn or fed at the other end. Components keep their numbers, nodes
// theirs; the fixed heads come last.
Plan WithoutControls(const Plan& plan, const std::vector<ControlState>& states);

}  // namespace handwheel
