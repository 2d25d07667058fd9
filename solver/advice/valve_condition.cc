#include <cmath>

#include "advice/rules.h"
#include "advice/words.h"

namespace handwheel {
namespace {

// A drop over a shut diaphragm [Pa] that may tempt somebody to force it. Common practice, no
// source.
constexpr double kWorthANote = 1e3;

bool IsDiaphragm(const Valve& valve) {
  return valve.kind.starts_with("diaphragm");
}

// Excess force over-compresses the diaphragm on the weir and speeds its cracking: an article on the
// failure of diaphragm valves, seen.
constexpr const char* kDoNotForce =
    "Shut it by hand until it stops, no further: forced, a diaphragm is cut by its weir. Never use "
    "a bar on the wheel.";

// The solution has no air drawn in: what a vacuum on the line would draw is told, not computed.
std::string LossOfCutDiaphragm(const ValveItem& item) {
  const PlantView& plant = item.evidence.plant;
  const bool vacuum = plant.Gauge(item.part.from) < 0.0 || plant.Gauge(item.part.to) < 0.0;
  std::string text;
  if (item.reading.leak > kAtRest) {
    text = Cat("it lets ", InCubicMetres(item.reading.leak),
               " out past stem and bonnet to the open air");
  }
  if (vacuum) {
    text += text.empty() ? "the line there is under vacuum, so air may be drawn in past stem and "
                           "bonnet, which is not computed here"
                         : ", may draw air in where the line is under vacuum";
  }
  if (text.empty()) text = "no pressure drives liquid out now, but under pressure it leaks";
  return text;
}

Advice CutDiaphragm(const ValveItem& item) {
  return {.kind = "diaphragm cut",
          .severity = item.reading.leak > kAtRest ? kDanger : kWarning,
          .message = Cat(item.part.name, " has a cut diaphragm: ", LossOfCutDiaphragm(item),
                         ", and it will not shut tight."),
          .check = "stem, bonnet and floor for liquid; isolate it and change the diaphragm.",
          .caution =
              "Stay clear of it until the liquid is known and the line is drained: it sprays "
              "when the pressure changes.",
          .value = item.reading.leak,
          .limit = 0.0};
}

// "70 %"; what rounds to the whole is still not all of it.
std::string ShareLost(double blockage) {
  constexpr double kNearlyAll = 0.999;
  return blockage > kNearlyAll ? Cat("more than ", InPercent(kNearlyAll)) : InPercent(blockage);
}

Advice LostBore(const ValveItem& item, const std::string& message, const char* check) {
  return {.kind = item.part.condition,
          .severity = kWarning,
          .message = message,
          .check = check,
          .caution =
              "Pressure may stand behind a blocked valve: vent both sides before opening "
              "it."};
}

}  // namespace

MaybeAdvice Damaged(const ValveItem& item) {
  const Valve& valve = item.part;
  if (valve.condition == "diaphragm cut") return CutDiaphragm(item);
  const std::string lost = Cat(" has lost ", ShareLost(valve.blockage), " of its flow coefficient");
  if (valve.condition == "blocked") {
    return LostBore(item, Cat(valve.name, " is blocked: it", lost, "."),
                    "what blocks it; stroke it once, then flush or open it up.");
  }
  if (valve.condition == "sleeve collapsed") {
    return LostBore(item, Cat(valve.name, "'s sleeve has collapsed: it", lost, "."),
                    "for vacuum on the line, then the sleeve, which may have torn from its ends.");
  }
  if (valve.condition == "sleeve not reopening" && valve.opening > valve.stuck_opening) {
    return LostBore(
        item,
        Cat(valve.name, "'s sleeve does not reopen beyond ", InPercent(valve.stuck_opening),
            " though the wheel stands at ", InPercent(valve.opening), "."),
        "whether the sleeve's walls stick together; open it under pressure, or change "
        "the sleeve.");
  }
  return std::nullopt;
}

MaybeAdvice PassingThoughShut(const ValveItem& item) {
  const Valve& valve = item.part;
  if (valve.opening > 0.0 || std::abs(item.Flow()) <= kAtRest) return std::nullopt;
  return Advice{.kind = "passing though shut",
                .severity = kWarning,
                .message = Cat(valve.name, " is shut and still passes ",
                               InCubicMetres(std::abs(item.Flow())), "."),
                .check = "its seat; count on the next valve instead.",
                .caution = IsDiaphragm(valve) ? kDoNotForce
                                              : "It isolates nothing. Do not force it: stroke it "
                                                "once to clear the seat.",
                .value = item.Flow(),
                .limit = 0.0};
}

MaybeAdvice ShutDiaphragm(const ValveItem& item) {
  const double drop = std::abs(item.Drop());
  const bool holds = item.part.condition == "sound" && item.part.opening <= 0.0 &&
                     std::abs(item.Flow()) <= kAtRest && drop >= kWorthANote;
  if (!holds || !IsDiaphragm(item.part)) return std::nullopt;
  return Advice{.kind = "shut diaphragm valve",
                .severity = kNote,
                .message = Cat(item.part.name, " holds ", InBar(drop), " by its diaphragm alone."),
                .check = "that it is tight before relying on it.",
                .caution = kDoNotForce,
                .value = drop};
}

}  // namespace handwheel
