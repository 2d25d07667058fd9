#include <algorithm>
#include <cmath>

#include "advice/rules.h"
#include "advice/words.h"

namespace handwheel {
namespace {

// A departure from the set pressure that is more than round-off [Pa].
constexpr double kAnyDeparture = 100.0;

// A relief valve that passes less than this share of its rated flow has hardly left its seat.
constexpr double kHardlyLifted = 1e-3;

constexpr const char* kSeatMayPass =
    "A regulator is neither a relief valve nor an isolation: shut, its seat may still pass.";

bool HardlyPasses(const ReliefValveItem& item) {
  return item.Flow() <= std::max(kAtRest, kHardlyLifted * item.reading.rated_flow);
}

// A spring against the open air shuts at a gauge pressure; against a line, at a difference.
std::string SetPressure(const ReliefValve& valve) {
  const bool gauge = valve.to.empty() || valve.balanced;
  return gauge ? InBarGauge(valve.set_pressure) : InBar(valve.set_pressure);
}

std::string FlowOfRated(const ReliefValveItem& item) {
  const double flow = item.Flow(), rated = item.reading.rated_flow;
  return Cat(InUnitOf(flow, rated), " of its ", InUnitOf(rated, flow));
}

}  // namespace

// A flow limit that stands wide open does what it should.
MaybeAdvice WideOpen(const RegulatorItem& item) {
  if (item.State() != FlowState::kForward || item.part.kind == "flow-limiting") return std::nullopt;
  const double held = item.reading.held_pressure, set = *item.part.set_pressure;
  const bool reducing = item.part.kind == "pressure-reducing";
  if (!((reducing ? set - held : held - set) > kAnyDeparture)) return std::nullopt;
  return Advice{
      .kind = "wide open",
      .severity = kWarning,
      .message = Cat(item.part.name, " stands wide open and cannot hold ", InBarGauge(set), ": ",
                     reducing ? item.part.to : item.part.from, " has ", InBarGauge(held), "."),
      .check = reducing ? "the supply pressure before it, and its size."
                        : "what feeds the line before it, and its size.",
      .caution = kSeatMayPass,
      .value = held,
      .limit = set};
}

// Shut, which is all it can do: what it watches departs from its set pressure all the same.
MaybeAdvice ShutAndNotHolding(const RegulatorItem& item) {
  if (item.State() != FlowState::kShut || item.part.kind == "flow-limiting") return std::nullopt;
  const double held = item.reading.held_pressure, set = *item.part.set_pressure;
  const bool reducing = item.part.kind == "pressure-reducing";
  if (!((reducing ? held - set : set - held) > kAnyDeparture)) return std::nullopt;
  const Regulator& part = item.part;
  return Advice{
      .kind = "shut and not holding",
      .severity = kNote,
      .message = reducing
                     ? Cat(part.name, " is shut: something else keeps ", part.to, " at ",
                           InBarGauge(held), ", above its set pressure of ", InBarGauge(set), ".")
                     : Cat(part.name, " is shut: ", part.from, " has ", InBarGauge(held),
                           " and does not reach its set pressure of ", InBarGauge(set), "."),
      .check = reducing ? "where that pressure comes from: a bypass, a height or another supply."
                        : "whether the pressure before it is meant to be so low.",
      .caution = kSeatMayPass,
      .value = held,
      .limit = set};
}

// Pressure behind it adds to its spring. Without that it would lift: what its own lift needs beyond
// the set pressure (its excess) is no back pressure.
MaybeAdvice HeldShut(const ReliefValveItem& item) {
  const ReliefValve& valve = item.part;
  const double line = item.evidence.plant.Gauge(valve.from);
  const double over = line - valve.set_pressure;
  const double lift = std::isnan(item.reading.excess) ? 0.0 : std::max(0.0, item.reading.excess);
  if (!HardlyPasses(item) || !(over - lift > kAnyDeparture)) return std::nullopt;
  const double behind = line - item.Drop();
  const bool beyond = over > valve.overpressure * valve.set_pressure;
  return Advice{
      .kind = "held shut",
      .severity = beyond ? kDanger : kWarning,
      .message = Cat(valve.name, " is held shut by ",
                     std::isnan(behind) ? std::string("the liquid shut in") : InBarGauge(behind),
                     " behind it; the line stands ", InBar(over), " over its set pressure of ",
                     InBar(valve.set_pressure), "."),
      .check =
          "where it discharges to: a shut valve, a filled line or a pressurised header; a "
          "balanced valve or an open discharge lifts in time.",
      .caution =
          "It does not protect the line as it stands. Keep people away until the pressure "
          "is down.",
      .value = line,
      .limit = valve.set_pressure};
}

MaybeAdvice Lifting(const ReliefValveItem& item) {
  if (!(item.Flow() > kAtRest) || HeldShut(item)) return std::nullopt;
  const ReliefValve& valve = item.part;
  const bool hardly = HardlyPasses(item);
  const bool overwhelmed = item.reading.excess > valve.overpressure * valve.set_pressure &&
                           item.Flow() > item.reading.rated_flow * (1.0 + 1e-9);
  std::string what = Cat(" lifts at ", SetPressure(valve), " and passes ", FlowOfRated(item));
  if (hardly) what = Cat(" is on the point of lifting at ", SetPressure(valve));
  if (overwhelmed) {
    what = Cat(" lifts at ", SetPressure(valve), " and passes ",
               InUnitOf(item.Flow(), item.reading.rated_flow), ", more than its ",
               InUnitOf(item.reading.rated_flow, item.Flow()),
               ": pressure rises beyond its overpressure");
  }
  return Advice{.kind = overwhelmed ? "relief overwhelmed" : "lifting",
                .severity = overwhelmed ? kDanger : (hardly ? kNote : kWarning),
                .message = Cat(valve.name, what, "."),
                .check = "what drives the pressure up; where its discharge goes.",
                .caution = "Stay clear of its discharge. It may not reseat tight.",
                .value = item.Flow(),
                .limit = overwhelmed ? item.reading.rated_flow : 0.0};
}

}  // namespace handwheel
