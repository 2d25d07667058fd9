#pragma once

#include <type_traits>
#include <variant>

#include "components/loss_law.h"
#include "components/one_way_law.h"
#include "components/pipe_law.h"
#include "components/pump_law.h"
#include "components/rheology_law.h"
#include "components/valve_law.h"

namespace handwheel {

// Closed by hand: no flow whatever the heads.
struct ShutLaw {};

using Law =
    std::variant<PipeLaw, HazenWilliamsLaw, LossLaw, OneWayLaw, PassingLaw, PumpLaw, TwoWayLossLaw,
                 ViscousLossLaw, LinearLaw, RheologyPipeLaw, RheologyLossLaw, ShutLaw>;

inline bool IsShut(const Law& law) {
  return std::holds_alternative<ShutLaw>(law);
}
inline bool IsOneWay(const Law& law) {
  return std::holds_alternative<OneWayLaw>(law);
}

// Drop and slope at q. Not for a ShutLaw, nor for a OneWayLaw at q < 0: neither is a function of q.
inline DropSlope EvaluateLaw(const Law& law, double q) {
  return std::visit(
      [q]<typename AnyLaw>(const AnyLaw& any) -> DropSlope {
        if constexpr (std::is_same_v<AnyLaw, ShutLaw>) {
          return {0.0, 0.0};
        } else {
          return any.At(q);
        }
      },
      law);
}

}  // namespace handwheel
