#pragma once

#include <variant>

#include "components/loss_law.h"
#include "components/one_way_law.h"
#include "components/pipe_law.h"
#include "components/pump_law.h"

namespace handwheel {

// Closed by hand: no flow whatever the heads.
struct ShutLaw {};

using Law = std::variant<PipeLaw, HazenWilliamsLaw, LossLaw, OneWayLaw, PassingLaw, PumpLaw,
                         FixedFactorLaw, ShutLaw>;

inline bool IsShut(const Law& law) {
  return std::holds_alternative<ShutLaw>(law);
}
inline bool IsOneWay(const Law& law) {
  return std::holds_alternative<OneWayLaw>(law);
}

// Drop and slope at q. Not for a ShutLaw, nor for a OneWayLaw at q < 0: neither is a function of q.
inline DropSlope EvaluateLaw(const Law& law, double q) {
  switch (law.index()) {
    case 0:
      return std::get_if<PipeLaw>(&law)->At(q);
    case 1:
      return std::get_if<HazenWilliamsLaw>(&law)->At(q);
    case 2:
      return std::get_if<LossLaw>(&law)->At(q);
    case 3:
      return std::get_if<OneWayLaw>(&law)->At(q);
    case 4:
      return std::get_if<PassingLaw>(&law)->At(q);
    case 5:
      return std::get_if<PumpLaw>(&law)->At(q);
    case 6:
      return std::get_if<FixedFactorLaw>(&law)->At(q);
    default:
      return {0.0, 0.0};
  }
}

}  // namespace handwheel
