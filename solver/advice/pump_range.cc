#include <algorithm>

#include "advice/rules.h"
#include "advice/words.h"
#include "components/pump_data.h"

namespace handwheel {
namespace {

bool IsCentrifugal(const Pump& pump) {
  return pump.kind == "centrifugal";
}

bool Runs(const PumpItem& item) {
  return item.State() == FlowState::kRunning;
}

// The end of its curve at its speed [m³/s].
double EndOfCurve(const PumpItem& item) {
  return DescribePump(item.part, item.liquid()).curve.max_flow() * item.part.speed;
}

// A rotor does not turn against its bearings and seal below this share of its speed. Common
// practice, no source.
constexpr double kTurns = 0.1;

// The head that liquid at rest asks of a pump: of the lowest vessel that it feeds.
std::optional<double> StaticHead(const PumpItem& item) {
  const PlantView& plant = item.evidence.plant;
  std::optional<double> least;
  for (const Paths::Delivery& to :
       item.evidence.paths.DeliveriesFrom(plant.PointOf(item.part.to), true)) {
    const double head = plant.solution.head()[to.vessel] - plant.Head(item.part.from);
    least = least ? std::min(*least, head) : head;
  }
  return least;
}

Advice BelowLeastFlow(const PumpItem& item, double least) {
  const double flow = item.Flow();
  return {.kind = "below its least flow",
          .severity = kWarning,
          .message = flow > kAtRest
                         ? Cat(item.part.name, " passes ", InUnitOf(flow, least),
                               "; its least continuous flow is ", InCubicMetres(least), ".")
                         : Cat(item.part.name,
                               " runs and nothing moves; its least "
                               "continuous flow is ",
                               InCubicMetres(least), "."),
          .check = "its recirculation line, and what is shut, blocked or stiff downstream.",
          .caution = "A pump that runs nearly shut heats its liquid and may boil, seize or burst.",
          .value = flow,
          .limit = least};
}

}  // namespace

MaybeAdvice BeyondItsCurve(const PumpItem& item) {
  if (!Runs(item) || !IsCentrifugal(item.part)) return std::nullopt;
  const double limit = EndOfCurve(item);
  if (!(item.Flow() > limit)) return std::nullopt;
  return Advice{.kind = "pump beyond its curve",
                .severity = kWarning,
                .message = item.part.name +
                           " runs beyond the end of its curve, where its head is an "
                           "extrapolation; check its motor and suction, or throttle.",
                .check = "motor current, suction pressure and noise; throttle its discharge.",
                .value = item.Flow(),
                .limit = limit};
}

MaybeAdvice PushedBackwards(const PumpItem& item) {
  if (!Runs(item) || !IsCentrifugal(item.part) || !(item.Flow() < -kAtRest)) return std::nullopt;
  return Advice{
      .kind = "pump pushed backwards",
      .severity = kWarning,
      .message = item.part.name +
                 " runs but liquid is pushed back through it: the head across it exceeds "
                 "its shut-off head.",
      .check = "its check valve, and the speed and state of the pumps beside it; stop it.",
      .caution = "It heats up fast, and would spin in reverse if its motor let go.",
      .value = item.Flow(),
      .limit = 0.0};
}

// Ranges: PreferredRange() after ANSI/HI 9.6.3, AllowableRange() by common practice, its lower end
// by the pump's own min_flow where given. Where the flow of best efficiency is itself an estimate,
// the preferred range says nothing.
MaybeAdvice OutsideItsRange(const PumpItem& item) {
  const PumpReading& reading = item.reading;
  const bool below_given = item.part.min_flow && item.Flow() < *item.part.min_flow;
  if (Runs(item) && item.Flow() >= -kAtRest && below_given) {
    return BelowLeastFlow(item, *item.part.min_flow);
  }
  if (reading.region.empty() || reading.region == "preferred") return std::nullopt;
  const bool outside = reading.region == "outside";
  if (!outside && reading.best_flow_is_estimated) return std::nullopt;
  if (outside && item.Flow() > EndOfCurve(item)) return std::nullopt;  // has its own finding
  const double ns = std::isnan(reading.specific_speed) ? 0.0 : reading.specific_speed;
  const FlowRange range = outside ? AllowableRange(ns) : PreferredRange(ns);
  const bool low = reading.flow_over_best < 1.0;
  return Advice{.kind = outside ? "outside its allowable range" : "outside its preferred range",
                .severity = outside ? kWarning : kNote,
                .message = Cat(item.part.name, " runs at ", InPercent(reading.flow_over_best),
                               " of its best-efficiency flow",
                               reading.best_flow_is_estimated ? " (estimated from its curve)" : "",
                               "; ", outside ? "allowed is " : "preferred is ",
                               InPercent(range.least), " to ", InPercent(range.greatest), "."),
                .check = low ? "its recirculation line, a smaller impeller or less speed."
                             : "motor current and suction pressure; throttle its discharge.",
                .caution = outside
                               ? (low ? "Long at low flow a pump shakes, heats and wears its seal."
                                      : "Far out it cavitates and may overload its motor.")
                               : "",
                .value = reading.flow_over_best,
                .limit = low ? range.least : range.greatest};
}

// Of the two flows that a drooping pump could have at one head, the solution has the larger; the
// smaller one is unstable: a little less flow gives less head, and so on down to none.
MaybeAdvice DroopingCurve(const PumpItem& item) {
  if (!Runs(item) || !IsCentrifugal(item.part) || PushedBackwards(item)) return std::nullopt;
  const auto droop = DescribePump(item.part, item.liquid()).droop;
  if (!droop) return std::nullopt;
  const double speed = item.part.speed;
  const double peak = droop->peak_flow * speed;
  const double shutoff = droop->shutoff_head * speed * speed;
  const double static_head = StaticHead(item).value_or(0.0);
  const bool flows = item.Flow() > kAtRest;
  const bool on_droop = flows && item.Flow() < peak;
  const bool may_not_start = static_head > shutoff;
  std::string message =
      Cat(item.part.name, "'s curve droops: it rises to ",
          InMetres(droop->peak_head * speed * speed), " of head at ", InCubicMetres(peak));
  if (on_droop) {
    message +=
        Cat("; at ", InUnitOf(item.Flow(), peak), " it hunts, and its head here is too high.");
  } else if (may_not_start) {
    message += Cat("; the ", InMetres(static_head), " of static head exceed its shut-off head of ",
                   InMetres(shutoff), ", so it may not start into this line.");
  } else if (!flows) {
    message += "; it passes nothing now.";
  } else {
    message += ". Of the two flows at one head it finds the larger, the stable one.";
  }
  return Advice{.kind = may_not_start && !on_droop ? "may not start" : "drooping curve",
                .severity = on_droop || may_not_start ? kWarning : kNote,
                .message = message,
                .check =
                    "its flow and pressure for swings; start it against a nearly shut valve "
                    "only with its recirculation open.",
                .value = may_not_start && !on_droop ? static_head : item.Flow(),
                .limit = may_not_start && !on_droop ? shutoff : peak};
}

MaybeAdvice SpunBackwards(const PumpItem& item) {
  if (Runs(item) || !(item.Flow() < -kAtRest)) return std::nullopt;
  const bool spins = item.reading.reverse_speed >= kTurns;
  const std::string speed =
      spins ? Cat(" and may spin it in reverse at about ", InPercent(item.reading.reverse_speed),
                  " of its speed: never start it so")
            : "";
  return Advice{.kind = "spun backwards",
                .severity = spins ? kWarning : kNote,
                .message = Cat(InCubicMetres(-item.Flow()), " runs back through ", item.part.name,
                               ", which stands", speed, "."),
                .check =
                    "its check valve; shut a hand valve at its discharge, and see that the "
                    "shaft stands still.",
                .caution =
                    "Started while it spins in reverse, a pump breaks its shaft or burns its "
                    "motor. A stopped pump is no isolation.",
                .value = item.Flow(),
                .limit = 0.0};
}

MaybeAdvice DrivenForwards(const PumpItem& item) {
  if (Runs(item) || !(item.Flow() > kAtRest)) return std::nullopt;
  return Advice{.kind = "driven forwards",
                .severity = kNote,
                .message = Cat(item.part.name,
                               " is stopped and is driven forwards: ", InCubicMetres(item.Flow()),
                               " runs through it and may spin its shaft."),
                .check = "whether liquid is meant to run through it; shut a hand valve if not.",
                .caution =
                    "A shaft that turns without its motor catches hands, and its seal and "
                    "bearings may run dry. A stopped pump is no isolation.",
                .value = item.Flow(),
                .limit = 0.0};
}

}  // namespace handwheel
