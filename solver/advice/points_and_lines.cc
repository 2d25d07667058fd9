#include <cmath>

#include "advice/rules.h"
#include "advice/thresholds.h"
#include "advice/words.h"

namespace handwheel {
namespace {

// Velocity of liquid in process lines at which erosion, noise and surge become a concern; 1 to 3
// m/s are usual. Common practice, no source.
constexpr double kUsualMaxVelocity = 5.0;  // [m/s]

// Gas over the liquid of a tank stands at no more than this. Common practice, no source.
constexpr double kBlanket = 0.5e5;  // gauge [Pa]

constexpr const char* kBoilingCheck =
    "the elevation, whether the line needs a vent or a seal at its high point, and what throttles "
    "upstream of it.";
constexpr const char* kBoilingCaution =
    "Flow past a vapour pocket is not what is computed here, and the pocket collapses with a blow "
    "when pressure returns.";

Advice BelowVacuum(const std::string& where, double pressure) {
  return {.kind = "below full vacuum",
          .severity = kDanger,
          .message = Cat(where, " would stand at ", InBarAbsolute(pressure),
                         ", which is impossible: the column parts, or air is drawn in, and "
                         "the flows here are wrong."),
          .check = kBoilingCheck,
          .caution = kBoilingCaution,
          .value = pressure,
          .limit = 0.0};
}

Advice BelowVapourPressure(const std::string& where, const char* severity, double pressure,
                           double vapour_pressure) {
  return {.kind = "below vapour pressure",
          .severity = severity,
          .message = Cat(where, " stands at ", InBarAbsolute(pressure), "; the liquid boils below ",
                         InBarAbsolute(vapour_pressure), "."),
          .check = kBoilingCheck,
          .caution = kBoilingCaution,
          .value = pressure,
          .limit = vapour_pressure};
}

}  // namespace

MaybeAdvice ShutIn(const PointItem& item) {
  if (!item.evidence.plant.solution.shut_in()[item.point]) return std::nullopt;
  return Advice{.kind = "shut-in",
                .severity = kNote,
                .message = "No open path joins " + item.name() +
                           " to a vessel: its pressure is undetermined. It may still hold "
                           "pressure; prove it before opening anything.",
                .check = "a gauge or bleed on each shut-in stretch.",
                .caution = "Liquid shut in and warmed bursts pipe: see that it can expand."};
}

// A vessel under more gas than a blanket is taken for a main, of which only the pressure counts.
MaybeAdvice EmptyVessel(const PointItem& item) {
  const PlantView& plant = item.evidence.plant;
  if (item.point >= plant.network.vessels.size()) return std::nullopt;
  const Vessel& vessel = plant.network.vessels[item.point];
  const double given = -plant.solution.outflow()[item.point];
  if (vessel.level > 0.0 || vessel.gas_pressure > kBlanket || !(given > kAtRest)) {
    return std::nullopt;
  }
  return Advice{
      .kind = "empty vessel",
      .severity = kWarning,
      .message = Cat(vessel.name, " is empty (level ", InMetres(vessel.level),
                     ") and is asked for ", InCubicMetres(given), "."),
      .check =
          "its level, and whether liquid stands in the line to it; a vessel that stands for a "
          "main or a river wants its level above its outlet.",
      .caution = "A pump that draws from an empty vessel takes in air and runs dry.",
      .value = vessel.level,
      .limit = 0.0};
}

MaybeAdvice PointBoils(const PointItem& item) {
  const double pressure = item.Absolute();
  const double vapour_pressure = item.evidence.plant.liquid.vapour_pressure;
  if (pressure < 0.0) return BelowVacuum(item.name(), pressure);
  if (!(pressure < vapour_pressure)) return std::nullopt;
  return BelowVapourPressure(item.name(), kDanger, pressure, vapour_pressure);
}

// Along a line; its ends are points and have their own rule. Heads are total heads: static pressure
// lies below by the velocity head.
MaybeAdvice LineBoils(const PipeItem& item) {
  const PlantView& plant = item.evidence.plant;
  const double pressure = item.reading.lowest_pressure;
  const double vapour_pressure = item.liquid().vapour_pressure;
  const double ends = std::min(plant.Absolute(item.part.from), plant.Absolute(item.part.to));
  if (std::isnan(pressure) || ends < vapour_pressure || ends < 0.0) return std::nullopt;
  const std::string where =
      pressure < ends ? Cat("The high point of ", item.part.name) : item.part.name;
  if (pressure < 0.0) return BelowVacuum(where, pressure);
  if (pressure < vapour_pressure) {
    return BelowVapourPressure(where, kDanger, pressure, vapour_pressure);
  }
  const double in_motion =
      pressure - 0.5 * item.liquid().density * item.Velocity() * item.Velocity();
  if (!(in_motion < vapour_pressure)) return std::nullopt;
  return BelowVapourPressure(Cat(where, ", its velocity head taken off,"), kWarning, in_motion,
                             vapour_pressure);
}

double MaxVelocityOf(const Pipe& pipe) {
  return pipe.max_velocity.value_or(kUsualMaxVelocity);
}

MaybeAdvice TooFast(const PipeItem& item) {
  const double limit = MaxVelocityOf(item.part);
  const double speed = std::abs(item.Velocity());
  if (!(speed > limit)) return std::nullopt;
  return Advice{
      .kind = "too fast",
      .severity = kWarning,
      .message = Cat(item.part.name, " runs at ", InSpeed(speed), ", above ", InSpeed(limit), "."),
      .check =
          "a larger bore or less flow; erosion at bends, noise, and the surge when "
          "it is shut.",
      .caution = "The faster a line runs, the harder its surge.",
      .value = speed,
      .limit = limit};
}

MaybeAdvice SolidsSettle(const PipeItem& item) {
  const double limit = item.reading.deposition_velocity;
  const double speed = std::abs(item.Velocity());
  if (!(speed < limit)) return std::nullopt;
  const bool stands = std::abs(item.Flow()) <= kAtRest;
  return Advice{
      .kind = "solids settle",
      .severity = stands ? kNote : kWarning,
      .message = Cat(item.part.name,
                     stands ? " stands, and its solids settle; it keeps them moving from "
                            : Cat(" runs at ", InSpeed(speed), ", and its solids settle below "),
                     "about ", InSpeed(limit), "."),
      .check = "more flow or a smaller bore; flush the line before it stands.",
      .caution =
          "The limit is an estimate for horizontal pipe, within a third; a settled "
          "line may not start again.",
      .value = speed,
      .limit = limit};
}

}  // namespace handwheel
