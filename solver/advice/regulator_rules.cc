#include "advice/rules.h"
#include "advice/words.h"

namespace handwheel {
namespace {

// A departure from the set pressure that is more than round-off [Pa].
constexpr double kAnyDeparture = 100.0;

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
      .message = Cat(item.part.name, " stands wide open and cannot hold ", InBar(set), ": ",
                     reducing ? item.part.to : item.part.from, " has ", InBar(held), "."),
      .check = reducing ? "the supply pressure before it, and its size."
                        : "what feeds the line before it, and its size.",
      .caution = "A regulator is no relief valve.",
      .value = held,
      .limit = set};
}

MaybeAdvice Lifting(const ReliefValveItem& item) {
  if (!(item.Flow() > 0.0)) return std::nullopt;
  const ReliefValve& valve = item.part;
  const bool overwhelmed = item.reading.excess > valve.overpressure * valve.set_pressure &&
                           item.Flow() > item.reading.rated_flow * (1.0 + 1e-9);
  return Advice{
      .kind = overwhelmed ? "relief overwhelmed" : "lifting",
      .severity = overwhelmed ? kDanger : kWarning,
      .message = Cat(valve.name, " lifts at ", InBar(valve.set_pressure), " and passes ",
                     InCubicMetres(item.Flow()),
                     overwhelmed ? Cat(", more than its ", InCubicMetres(item.reading.rated_flow),
                                       ": pressure rises beyond its overpressure.")
                                 : Cat(" of its ", InCubicMetres(item.reading.rated_flow), ".")),
      .check = "what drives the pressure up; where its discharge goes.",
      .caution = "Stay clear of its discharge. It may not reseat tight.",
      .value = item.Flow(),
      .limit = overwhelmed ? item.reading.rated_flow : 0.0};
}

}  // namespace handwheel
