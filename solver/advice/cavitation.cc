#include <cmath>

#include "advice/rules.h"
#include "advice/thresholds.h"
#include "advice/words.h"

namespace handwheel {
namespace {

constexpr double kRoundOff = 1e-6;  // share of a drop
// The square law and the solution's inlet pressure give the choked flow within this share.
constexpr double kWellBeyond = 0.02;

// The drop of a turbulent stream of the same flow, which is what chokes [Pa]; NaN at rest.
double TurbulentDrop(const ValveItem& item) {
  const double factor = item.reading.reynolds_factor;
  return factor * factor * std::abs(item.Drop());
}

// Its flow is set elsewhere, and choking could not be kept to.
bool AsksBeyondChoked(const ValveItem& item) {
  return !item.reading.choked &&
         TurbulentDrop(item) > item.reading.choked_drop * (1.0 + kWellBeyond);
}

}  // namespace

// Silent where nothing is known of it (an inlet below vapour pressure has its own finding).
MaybeAdvice Choked(const ValveItem& item) {
  const double limit = item.reading.choked_drop * (1.0 - kRoundOff);
  if (!item.reading.choked || !(std::abs(item.Drop()) >= limit)) return std::nullopt;
  const bool flashes = item.reading.outlet_pressure < item.liquid().vapour_pressure;
  const double drop = std::abs(item.Drop());
  return Advice{
      .kind = "choked",
      .severity = kWarning,
      .message = Cat(item.part.name, " is choked at ", InCubicMetres(std::abs(item.Flow())),
                     ": of ", InBar(drop), " drop it uses ", InBar(item.reading.choked_drop),
                     ", and the liquid ", flashes ? "flashes to vapour" : "cavitates", "."),
      .check =
          "noise and wear of valve and pipe behind it; share the drop between two "
          "valves or raise the pressure behind it.",
      .caution =
          "A choked valve wears fast, and a lower pressure behind it passes no "
          "more.",
      .value = drop,
      .limit = item.reading.choked_drop};
}

MaybeAdvice BeyondChoked(const ValveItem& item) {
  if (!AsksBeyondChoked(item)) return std::nullopt;
  const double flow = std::abs(item.Flow());
  const double limit = flow * std::sqrt(item.reading.choked_drop / TurbulentDrop(item));
  return Advice{.kind = "beyond choked",
                .severity = kDanger,
                .message = Cat(item.part.name, " would have to pass ", InUnitOf(flow, limit),
                               ", more than it can choked (limit about ", InUnitOf(limit, flow),
                               "); the pressures behind it are not real."),
                .check =
                    "what sets the flow: a draw, a feed or a positive displacement pump; open "
                    "the valve, or ask for less.",
                .caution =
                    "Do not act on the pressures and flows behind it: what was asked for "
                    "will not come.",
                .value = flow,
                .limit = limit};
}

// Limit: xFz of IEC 60534-8-4, where cavitation becomes audible; far below choking. An estimated
// xFz is off by up to a third (see AudibleCavitationRatio), so up to that much above it is a note.
double SureCavitationRatio(const Valve& valve, const ValveReading& reading) {
  constexpr double kErrorOfEstimate = 4.0 / 3.0;
  return reading.cavitation_ratio * (valve.xfz ? 1.0 : kErrorOfEstimate);
}

MaybeAdvice Cavitating(const ValveItem& item) {
  const ValveReading& reading = item.reading;
  if (Choked(item) || AsksBeyondChoked(item)) return std::nullopt;
  if (!(reading.drop_ratio > reading.cavitation_ratio)) return std::nullopt;
  const bool cavitates = reading.drop_ratio > SureCavitationRatio(item.part, reading);
  return Advice{
      .kind = "cavitating",
      .severity = cavitates ? kWarning : kNote,
      .message = Cat(item.part.name, cavitates ? " cavitates" : " may cavitate", ": it drops ",
                     InPercent(reading.drop_ratio),
                     " of the inlet's pressure above vapour pressure; cavitation sets in at ",
                     InPercent(reading.cavitation_ratio),
                     item.part.xfz ? "." : " (estimated, within a third)."),
      .check =
          "whether it rattles; open it further and throttle elsewhere, or raise the pressure "
          "behind it.",
      .caution = "Cavitation eats trim, lining and sleeve long before a valve chokes.",
      .value = reading.drop_ratio,
      .limit = reading.cavitation_ratio};
}

}  // namespace handwheel
