#include "steady/part_step.h"

#include <algorithm>

namespace handwheel {
namespace {

// A part at rest starts to pass at this velocity at the most [m/s].
constexpr double kOpeningVelocity = 2.0;
constexpr int kFreeFlips = 3;  // changes between rest and flow before a part is damped

// The flow at which a law of no drop at rest drops so much [m], but `cap` at the most [m³/s]; to 1
// %.
double FlowAtDrop(const Law& law, double drop, double cap) {
  const double size = std::abs(drop);
  double low = 0.0, high = cap;
  if (EvaluateLaw(law, cap).drop <= size) return std::copysign(cap, drop);
  for (double down = cap; low == 0.0;) {
    down *= 1e-3;
    if (down < 1e-15 * cap) return std::copysign(size / EvaluateLaw(law, 0.0).slope, drop);
    (EvaluateLaw(law, down).drop <= size ? low : high) = down;
  }
  while (high > 1.01 * low) {
    const double middle = std::sqrt(low * high);
    (EvaluateLaw(law, middle).drop <= size ? low : high) = middle;
  }
  return std::copysign(low, drop);
}

bool IsRheology(const Law& law) {
  return std::holds_alternative<RheologyPipeLaw>(law) ||
         std::holds_alternative<RheologyLossLaw>(law);
}

// A pump's curve may be flat at shut-off, whose tangent then says any flow at all. One pass takes
// it to twice the end of its curve, or twice its last flow, at the most.
double NextPumpFlow(const PumpLaw& law, const PartStep& step) {
  const double limit = 2.0 * std::max(law.curve.max_flow() * law.speed, std::abs(step.flow));
  return std::clamp(step.predicted, -limit, limit);
}

// Shear thinning and a yield stress bend the curve sharply at rest: flat in flow, all but vertical
// about rest. Down the flat tangent, a step may land anywhere beyond rest. One that turns the flow
// round lands at the flow of the head predicted across the part, if that is nearer to rest.
double NextRheologyFlow(const Law& law, const PartStep& step) {
  const double wanted = step.predicted;
  if (wanted * step.flow >= 0.0) return wanted;
  return FlowAtDrop(law, step.head_difference, std::abs(wanted));
}

// A lifted disc has a nearly flat curve, its leak path a steep one: followed down the flat tangent,
// a closing valve would land far out on the steep branch and be thrown back, for ever. It lands at
// the leak flow of the head predicted across it instead.
double NextPassingFlow(const PassingLaw& law, const PartStep& step, PartMemory* memory) {
  const double now = step.flow, wanted = step.predicted;
  const bool damped = memory->flips >= kFreeFlips;
  if (!law.IsOpenAt(now)) {
    if (!law.IsOpenAt(wanted)) return wanted;
    memory->CountFlip();
    return damped ? wanted * std::pow(0.5, std::min(memory->flips - kFreeFlips, 10)) : wanted;
  }
  if (law.IsOpenAt(wanted)) {
    memory->hesitated = false;
    return std::min(wanted, 2.0 * std::max(now, law.open.full_flow));
  }
  if (damped && !memory->hesitated) {
    memory->hesitated = true;
    return 0.3 * now;
  }
  memory->CountFlip();
  return law.LeakAt(step.head_difference);
}

// A part in flow comes to rest when its tangent says backwards. A part at rest starts when the head
// across it exceeds what holds it: at the flow that the rest of the network then asks of it, or,
// where the token conductance says nothing, at the flow of that head, within reason.
double NextOneWayFlow(const OneWayLaw& law, const PartStep& step, PartMemory* memory) {
  if (step.held) return memory->resting ? 0.0 : std::max(step.predicted, 0.0);
  const bool damped = memory->flips >= kFreeFlips;
  if (!memory->resting) {
    if (step.predicted > 0.0) {
      memory->hesitated = false;
      // Down the flat tangent of a floating disc a step may land anywhere: not beyond twice full
      // lift, or twice its last flow.
      if (law.crack == 0.0) return step.predicted;
      return std::min(step.predicted, 2.0 * std::max(step.flow, law.full_flow));
    }
    if (damped && !memory->hesitated) {
      memory->hesitated = true;
      return 0.3 * step.flow;
    }
    memory->resting = true;
    memory->CountFlip();
    return 0.0;
  }
  if (!(step.head_difference - law.crack > step.head_round_off)) return 0.0;
  memory->resting = false;
  memory->hesitated = false;
  memory->CountFlip();
  const double cap = kOpeningVelocity * step.start_flow;  // start_flow is at 1 m/s
  const double by_head = std::min(law.FlowNear(step.head_difference), cap);
  const double next = std::max(step.predicted, by_head);
  return damped ? next * std::pow(0.5, std::min(memory->flips - kFreeFlips, 10)) : next;
}

}  // namespace

double NextFlow(const Law& law, const PartStep& step, PartMemory* memory) {
  if (const auto* one_way = std::get_if<OneWayLaw>(&law)) {
    return NextOneWayFlow(*one_way, step, memory);
  }
  if (const auto* passing = std::get_if<PassingLaw>(&law)) {
    return NextPassingFlow(*passing, step, memory);
  }
  if (const auto* pump = std::get_if<PumpLaw>(&law)) return NextPumpFlow(*pump, step);
  if (IsRheology(law)) return NextRheologyFlow(law, step);
  return step.predicted;
}

}  // namespace handwheel
