#pragma once

#include <variant>

#include "components/loss_law.h"

// What may hold a component back beside its own law: the head at one of its ends, or a set flow.
// Its flow is then the least of what the law passes and what the control lets through, and never
// goes backwards because of a control.

namespace handwheel {

// Keeps the pressure at one end at or beyond a set point.
struct HoldPressure {
  bool at_to;       // at `to`, from rising above it (reducing); else at `from`, from falling below
  double pressure;  // gauge, at no flow [Pa]
  // Departure from it, towards more opening, against flow [m]. Its slope is above zero, so that
  // laws stay strictly increasing: a micrometre at 1 m³/s where the device holds exactly.
  LinearLaw droop;
};

// Passes no more than a set flow.
struct LimitFlow {
  double flow;  // [m³/s]
};

// Choking: with p the absolute pressure at the inlet, whichever end that is,
//   drop of `loss` at the flow <= (p - FF pv) / (density g).
struct Choke {
  LossLaw loss;
};

using Control = std::variant<HoldPressure, LimitFlow, Choke>;

}  // namespace handwheel
