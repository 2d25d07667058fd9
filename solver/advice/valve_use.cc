#include <algorithm>
#include <cmath>

#include "advice/rules.h"
#include "advice/thresholds.h"
#include "advice/words.h"
#include "correlations/valve_characteristic.h"
#include "network/resolve.h"

namespace handwheel {
namespace {

// A valve below half its least opening for throttling is past a note. Common practice, no source.
constexpr double kFarBelow = 0.5;

// A trickle below this velocity in the bore (3 l/h in DN 15, 35 l/h in DN 50) is a valve not quite
// shut, or a line at rest, and nobody's throttling. Common practice, no source.
constexpr double kTrickle = 0.005;  // [m/s]

// A bore up to which a weir valve's plain bonnet stands vacuum: NPS 4, DOE-HDBK-1018/2-93; some
// makers want a reinforced diaphragm.
constexpr double kWeirVacuumBore = 0.1005;  // [m]; half a millimetre of grace
// Slight suction that soft parts with a body behind them stand. Common practice, no source.
constexpr double kSlightSuction = -0.1e5;  // gauge [Pa]

struct VacuumLimit {
  double pressure;  // gauge [Pa]
  const char* part;
  const char* severity;
};

// An exposed sleeve tends to collapse under any vacuum; an encased one stands it with its casing
// evacuated: DOE-HDBK-1018/2-93. Straight-through diaphragms and linings: common practice.
std::optional<VacuumLimit> VacuumLimitOf(const Valve& valve) {
  if (valve.min_pressure) return VacuumLimit{*valve.min_pressure, "soft part", kWarning};
  if (valve.kind == "pinch open frame") return VacuumLimit{0.0, "sleeve", kWarning};
  if (valve.kind == "pinch enclosed body") return VacuumLimit{0.0, "sleeve", kNote};
  if (valve.kind == "diaphragm straight-through") {
    return VacuumLimit{kSlightSuction, "diaphragm", kWarning};
  }
  if (valve.kind == "diaphragm weir" && *UnlinedBoreIfGiven(valve) > kWeirVacuumBore) {
    return VacuumLimit{kSlightSuction, "diaphragm", kWarning};
  }
  if (valve.lining > 0.0) return VacuumLimit{kSlightSuction, "lining", kWarning};
  return std::nullopt;
}

double LeastOpening(const Valve& valve, const ValveKind& kind) {
  if (!valve.rangeability) return kind.least_throttle.value;
  // The opening whose share of the coefficient is 1/rangeability, by the curve that it turns on.
  std::vector<double> opening, share;
  for (const auto& [h, c] : valve.curve) {
    opening.push_back(h);
    share.push_back(c);
  }
  const MonotoneCubic curve = opening.empty() ? RelativeCoefficient(kind)
                                              : MonotoneCubic(std::move(opening), std::move(share));
  double low = 0.0, high = 1.0;
  while (high - low > 1e-4) {
    const double middle = 0.5 * (low + high);
    (curve.Value(middle) < 1.0 / *valve.rangeability ? low : high) = middle;
  }
  return high;
}

}  // namespace

double ThrottleLimit(const Valve& valve) {
  return kFarBelow * LeastOpening(valve, *FindValveKind(valve.kind));
}

// By the kind's least_throttle, whose reason is cited there, or the valve's own rangeability.
MaybeAdvice ThrottledTooFar(const ValveItem& item) {
  const Valve& valve = item.part;
  const ValveKind& kind = *FindValveKind(valve.kind);
  if (std::abs(item.Velocity()) < kTrickle || valve.opening <= 0.0) return std::nullopt;
  const double least = LeastOpening(valve, kind);
  if (valve.opening >= least) return std::nullopt;
  return Advice{
      .kind = "throttled too far",
      .severity = valve.opening < kFarBelow * least ? kWarning : kNote,
      .message = Cat(valve.name, " passes ", InCubicMetres(std::abs(item.Flow())), " at ",
                     InPercent(valve.opening), " open; throttling, this ", kind.name,
                     " valve should stand above ", InPercent(least), ". ",
                     AsSentence(valve.rangeability ? "below it its rangeability is used up"
                                                   : kind.least_throttle.source.text)),
      .check = "a smaller valve, a slower pump, or another valve to share the drop.",
      .caution =
          "So near shut, flow jumps with a touch of the handwheel, and solids "
          "block the gap.",
      .value = valve.opening,
      .limit = least};
}

MaybeAdvice NotForSlurry(const ValveItem& item) {
  const ValveKind& kind = *FindValveKind(item.part.kind);
  if (!item.liquid().solids || kind.slurry.suits) return std::nullopt;
  return Advice{.kind = "not for slurry",
                .severity = kNote,
                .message = Cat(item.part.name, " is a ", kind.name, " valve in a slurry. ",
                               AsSentence(kind.slurry.source.text)),
                .check =
                    "its wear and whether it still shuts; a pinch or straight-through valve "
                    "would suit better."};
}

MaybeAdvice VacuumOnSoftParts(const ValveItem& item) {
  const auto limit = VacuumLimitOf(item.part);
  if (!limit) return std::nullopt;
  const PlantView& plant = item.evidence.plant;
  const double from = plant.Gauge(item.part.from), to = plant.Gauge(item.part.to);
  const double lowest = std::isnan(from) || to < from ? to : from;
  constexpr double kRoundOff = 100.0;  // [Pa]
  if (!(lowest < limit->pressure - kRoundOff)) return std::nullopt;
  return Advice{
      .kind = "vacuum on soft parts",
      .severity = limit->severity,
      .message = Cat(item.part.name, " stands at ", InBarGauge(lowest), "; below ",
                     InBarGauge(limit->pressure), " its ", limit->part, " may be drawn in."),
      .check =
          "the maker's figure for vacuum (min_pressure), and whether the pressure "
          "can be raised there.",
      .caution = "A sleeve or diaphragm drawn in chokes the line, and may not come back.",
      .value = lowest,
      .limit = limit->pressure};
}

}  // namespace handwheel
