#include <cmath>

#include "advice/rules.h"
#include "advice/words.h"

namespace handwheel {

MaybeAdvice Choked(const ValveItem& item) {
  if (!item.reading.choked) return std::nullopt;
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

// Limit: xFz of IEC 60534-8-4, where cavitation becomes audible; far below choking. An estimated
// xFz is off by up to a third (see AudibleCavitationRatio), so up to that much above it is a note.
MaybeAdvice Cavitating(const ValveItem& item) {
  constexpr double kErrorOfEstimate = 4.0 / 3.0;
  const ValveReading& reading = item.reading;
  if (reading.choked || !(reading.drop_ratio > reading.cavitation_ratio)) return std::nullopt;
  const double sure = reading.cavitation_ratio * (item.part.xfz ? 1.0 : kErrorOfEstimate);
  const bool cavitates = reading.drop_ratio > sure;
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
