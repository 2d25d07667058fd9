#include "steady/controls.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "correlations/valve_sizing.h"

namespace handwheel {
namespace {

constexpr double kRoundOff = 1e-3;  // of the flow tolerance: what counts as flowing backwards

}  // namespace

double ControlJudge::LawSlack(double flow, double head_from, double head_to) const {
  const double slack = head_from - head_to - EvaluateLaw(plan_.laws[component_], flow).drop;
  return std::signbit(flow) ? -slack : slack;
}

double ControlJudge::ControlSlack(double flow, double head_from, double head_to) const {
  if (const auto* hold = std::get_if<HoldPressure>(&control_.control)) {
    const double droop = hold->droop.At(flow).drop;
    return hold->at_to ? GroundHead(ControlMode::kByTo) - head_to - droop
                       : head_from - GroundHead(ControlMode::kByFrom) - droop;
  }
  if (const auto* choke = std::get_if<Choke>(&control_.control)) {
    const double inlet = std::signbit(flow) ? head_to - GroundHead(ControlMode::kByTo)
                                            : head_from - GroundHead(ControlMode::kByFrom);
    return inlet - choke->loss.At(std::abs(flow)).drop;
  }
  return std::numeric_limits<double>::infinity();
}

bool ControlJudge::InletBoils(double flow, double head_from, double head_to) const {
  return std::holds_alternative<Choke>(control_.control) &&
         ControlSlack(std::copysign(0.0, flow), head_from, head_to) <= 0.0;
}

ControlMode ControlJudge::GoverningMode(double flow) const {
  if (const auto* hold = std::get_if<HoldPressure>(&control_.control)) {
    return hold->at_to ? ControlMode::kByTo : ControlMode::kByFrom;
  }
  if (std::holds_alternative<LimitFlow>(control_.control)) return ControlMode::kAtLimit;
  return std::signbit(flow) ? ControlMode::kByTo : ControlMode::kByFrom;
}

double ControlJudge::GroundHead(ControlMode mode) const {
  const int node = mode == ControlMode::kByTo ? NodeTo() : NodeFrom();
  if (const auto* hold = std::get_if<HoldPressure>(&control_.control)) {
    return plan_.HeadAt(node, hold->pressure);
  }
  const Liquid& liquid = plan_.liquid;
  const double ff = CriticalPressureRatioFactor(liquid.vapour_pressure, liquid.critical_pressure);
  return plan_.HeadAt(node, ff * liquid.vapour_pressure - plan_.atmospheric_pressure);
}

Law ControlJudge::GovernedLaw() const {
  if (const auto* hold = std::get_if<HoldPressure>(&control_.control)) return hold->droop;
  return std::get<Choke>(control_.control).loss;
}

ControlMode ControlJudge::NextMode(ControlMode mode, double flow, double head_from, double head_to,
                                   double flow_tolerance, double head_tolerance) const {
  if (mode == ControlMode::kLifted) return mode;
  const double rise = head_from - head_to;
  if (const auto* limit = std::get_if<LimitFlow>(&control_.control)) {
    if (mode == ControlMode::kFree) {
      return flow > limit->flow + flow_tolerance ? ControlMode::kAtLimit : mode;
    }
    return LawSlack(flow, head_from, head_to) < -head_tolerance ? ControlMode::kFree : mode;
  }
  if (mode == ControlMode::kFree) {
    if (std::abs(flow) <= flow_tolerance) {
      const bool holds_shut = std::holds_alternative<HoldPressure>(control_.control) &&
                              ControlSlack(0.0, head_from, head_to) < -head_tolerance;
      return holds_shut ? ControlMode::kShut : mode;
    }
    if (InletBoils(flow, head_from, head_to)) return mode;
    return ControlSlack(flow, head_from, head_to) < -head_tolerance ? GoverningMode(flow) : mode;
  }
  if (IsGoverned(mode)) {
    const bool chokes = std::holds_alternative<Choke>(control_.control);
    const bool forwards = !chokes || mode == ControlMode::kByFrom;
    if ((forwards ? flow : -flow) < -kRoundOff * flow_tolerance) {
      return chokes ? ControlMode::kLifted : ControlMode::kShut;
    }
    return LawSlack(flow, head_from, head_to) < -head_tolerance ? ControlMode::kFree : mode;
  }
  // Shut: whether both would let something through.
  const bool opens =
      rise > head_tolerance && ControlSlack(0.0, head_from, head_to) > head_tolerance;
  return opens ? GoverningMode(1.0) : mode;
}

ControlMode ControlJudge::NextMode(ControlMode mode, double flow, const std::vector<double>& head,
                                   const SteadyOptions& options) const {
  return NextMode(mode, flow, head[static_cast<std::size_t>(NodeFrom())],
                  head[static_cast<std::size_t>(NodeTo())], options.flow_tolerance,
                  options.head_tolerance);
}

double ControlJudge::HeadMisfit(double flow, double head_from, double head_to) const {
  constexpr double kInfinity = std::numeric_limits<double>::infinity();
  const bool two_way = std::holds_alternative<Choke>(control_.control);
  if (flow < 0.0 && !two_way) return kInfinity;
  if (flow == 0.0) {
    const double rise = head_from - head_to;
    const auto* one_way = std::get_if<OneWayLaw>(&plan_.laws[component_]);
    const double forwards =
        std::min(rise - (one_way ? one_way->crack : 0.0), ControlSlack(0.0, head_from, head_to));
    const double backwards =
        two_way ? std::min(-rise, ControlSlack(-0.0, head_from, head_to)) : 0.0;
    return std::max({0.0, forwards, backwards});
  }
  const double law_slack = LawSlack(flow, head_from, head_to);
  if (InletBoils(flow, head_from, head_to)) return std::abs(law_slack);
  if (const auto* limit = std::get_if<LimitFlow>(&control_.control)) {
    constexpr double kExcess = 1e-8;  // [m³/s]: what a free component may pass unnoticed
    if (flow > limit->flow + kExcess) return kInfinity;
    return flow < limit->flow ? std::abs(law_slack) : std::max(0.0, -law_slack);
  }
  return std::abs(std::min(law_slack, ControlSlack(flow, head_from, head_to)));
}

// --- A plan without controls -------------------------------------------------------------------

namespace {

void Govern(const Plan& plan, const ControlState& state, Plan* changed) {
  const ControlJudge judge(plan, *state.control);
  const auto l = static_cast<std::size_t>(state.control->component);
  const int from = plan.from[l], to = plan.to[l];
  const auto draw = [&](int node, double flow) {
    if (!plan.IsFixed(node)) changed->net_draw[static_cast<std::size_t>(node)] += flow;
  };
  switch (state.mode) {
    case ControlMode::kFree:
    case ControlMode::kLifted:
      return;
    case ControlMode::kShut:
      changed->laws[l] = ShutLaw{};
      return;
    case ControlMode::kAtLimit:
      changed->laws[l] = ShutLaw{};
      draw(from, judge.set_flow());
      draw(to, -judge.set_flow());
      return;
    case ControlMode::kByFrom:
      changed->laws[l] = judge.GovernedLaw();
      changed->to[l] = changed->AddFixed(judge.GroundHead(state.mode), 0.0);
      draw(to, -state.fed_flow);
      return;
    case ControlMode::kByTo:
      changed->laws[l] = judge.GovernedLaw();
      changed->from[l] = changed->AddFixed(judge.GroundHead(state.mode), 0.0);
      draw(from, state.fed_flow);
      return;
  }
}

}  // namespace

Plan WithoutControls(const Plan& plan, const std::vector<ControlState>& states) {
  Plan changed = plan;
  changed.controls.clear();
  changed.chokes.clear();
  for (const ControlState& state : states) Govern(plan, state, &changed);
  return changed;
}

}  // namespace handwheel
