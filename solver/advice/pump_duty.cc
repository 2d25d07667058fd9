#include <algorithm>
#include <cmath>

#include "advice/rules.h"
#include "advice/thresholds.h"
#include "advice/words.h"

namespace handwheel {
namespace {

// Margin of NPSH available over required: at least a tenth, and half a metre. Common practice, no
// source: 1.1 to 1.3 times, or 0.5 to 1 m.
constexpr double kNpshRatio = 1.1;
constexpr double kNpshMargin = 0.5;  // [m]

// ANSI/HI 9.6.7 has been measured up to this specific speed (a guide to it, seen).
constexpr double kMethodSpecificSpeed = 60.0;

// A positive displacement pump that delivers less than this share of what it displaces is
// dead-headed: the rest slips back. Common practice, no source.
constexpr double kDeadHeaded = 0.1;

bool IsDeadHeaded(const PumpItem& item) {
  return item.Flow() < kDeadHeaded * *item.part.displacement * item.part.speed;
}

Advice DeadHeaded(const PumpItem& item) {
  const PlantView& plant = item.evidence.plant;
  const double displaced = *item.part.displacement * item.part.speed;
  const double delivered = item.Flow() > kAtRest ? item.Flow() : 0.0;
  const double pressure = plant.Gauge(item.part.to);
  return {.kind = "no relief valve",
          .severity = kDanger,
          .message = Cat(item.part.name, " is dead-headed and nothing relieves it: it delivers ",
                         InUnitOf(delivered, displaced), " of the ", InCubicMetres(displaced),
                         " that it displaces, the rest slips back, and its discharge ",
                         std::isnan(pressure) ? "is at an undetermined pressure"
                                              : Cat("would stand at ", InBarGauge(pressure)),
                         "."),
          .check =
              "what is shut or blocked at its discharge; stop it before anything else, then "
              "fit a relief valve before whatever can be shut.",
          .caution = "It raises pressure until something bursts or the drive stops. Keep clear.",
          .value = pressure};
}

}  // namespace

double WantedNpsh(double required) {
  return std::max(kNpshRatio * required, required + kNpshMargin);
}

MaybeAdvice ShortOfNpsh(const PumpItem& item) {
  const double available = item.reading.npsh_available, required = item.reading.npsh_required;
  const double wanted = WantedNpsh(required);
  if (!(item.Flow() > 0.0) || !(available < wanted)) return std::nullopt;
  const bool short_of_it = available < required;
  return Advice{.kind = "short of NPSH",
                .severity = short_of_it ? kDanger : kWarning,
                .message = Cat(item.part.name, " has ", InMetres(available), " of NPSH and needs ",
                               InMetres(required),
                               short_of_it ? ": it cavitates, and its head and flow fall off what "
                                             "is computed here."
                                           : ": less margin than the usual 10 % and half a metre."),
                .check = "suction level, strainer and valves; less flow needs less.",
                .caution =
                    "At the required NPSH a pump has already lost 3 % of its head to "
                    "cavitation.",
                .value = available,
                .limit = short_of_it ? required : wanted};
}

MaybeAdvice MotorOverloaded(const PumpItem& item) {
  const double power = item.reading.shaft_power;
  if (!item.part.rated_power || !(power > *item.part.rated_power)) return std::nullopt;
  return Advice{.kind = "motor overloaded",
                .severity = kWarning,
                .message = Cat(item.part.name, " takes ", InKiloWatt(power),
                               " at its shaft; its "
                               "motor gives ",
                               InKiloWatt(*item.part.rated_power), "."),
                .check = "motor current; throttle its discharge or slow it down.",
                .caution = "An overloaded motor trips, and the line then stops at once.",
                .value = power,
                .limit = *item.part.rated_power};
}

MaybeAdvice ViscosityBeyondMethod(const PumpItem& item) {
  const PumpReading& reading = item.reading;
  if (reading.flow_factor == 1.0) return std::nullopt;
  const char* reason = nullptr;
  if (!reading.viscosity_within_method) reason = "the liquid is thicker than the method takes";
  if (reading.specific_speed > kMethodSpecificSpeed) reason = "its specific speed exceeds 60";
  if (!item.liquid().IsNewtonian()) reason = "the liquid is not Newtonian";
  if (!reason) return std::nullopt;
  return Advice{.kind = "viscosity beyond the method",
                .severity = kWarning,
                .message = Cat(item.part.name,
                               "'s curve is corrected for viscosity beyond the range "
                               "of ANSI/HI 9.6.7: ",
                               reason, "."),
                .check =
                    "the maker's curve for this liquid; a positive displacement pump may suit "
                    "better."};
}

// Whatever can be shut against a positive displacement pump must have a relief valve before it:
// common practice, no source; codes ask for it.
MaybeAdvice NoReliefValve(const PumpItem& item) {
  if (item.part.kind != "positive displacement" || item.State() != FlowState::kRunning) {
    return std::nullopt;
  }
  const Paths::Guard guard = item.evidence.paths.GuardOf(item.evidence.plant.PointOf(item.part.to));
  if (guard.relief_valve) return std::nullopt;
  if (IsDeadHeaded(item)) return DeadHeaded(item);
  if (guard.open_way) return std::nullopt;
  return Advice{
      .kind = "no relief valve",
      .severity = kWarning,
      .message = Cat(item.part.name,
                     " is a positive displacement pump, and nothing "
                     "relieves its discharge before a valve that can be shut."),
      .check = "for a relief valve inside the pump or on its skid; else fit one.",
      .caution = "Shut in, it raises pressure until something bursts or the drive stops."};
}

}  // namespace handwheel
