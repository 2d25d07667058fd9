#pragma once

#include <cmath>
#include <cstdint>
#include <limits>

#include "components/law.h"

namespace handwheel {

// How one component moves in a full step of Newton's method (newton.h), where the flow that its
// tangent predicts is not always the one to go on with.

// Conductance in the matrix of a part whose flow does not change [m²/s]: only keeps zones behind it
// from floating. The residual never sees it.
inline constexpr double kTokenConductance = 1e-12;
// Least slope of a law in the matrix [s/m²]: pumps may be flat at shut-off.
inline constexpr double kLeastSlope = 1e-9;
inline constexpr double kSmallestFlowScale = 1e-9;  // of step_tolerance [m³/s]

// What is remembered of a component from pass to pass.
struct PartMemory {
  bool resting = false;    // held shut by hand or as a one-way part
  std::uint8_t flips = 0;  // changes between rest and flow so far
  bool hesitated = false;  // moved part-way instead of to rest last pass

  void CountFlip() { flips = static_cast<std::uint8_t>(flips < 200 ? flips + 1 : 200); }
};

struct PartStep {
  double flow;             // as it is [m³/s]
  double predicted;        // by its tangent and the head corrections [m³/s]
  double head_difference;  // across it, corrected [m]
  double head_round_off;   // what a head difference cannot resolve there [m]
  double start_flow;       // at 1 m/s [m³/s]
  bool held = false;       // no one-way part may change between rest and flow
};

// The flow to go on with.
double NextFlow(const Law& law, const PartStep& step, PartMemory* memory);

// What a head difference between two heads cannot resolve [m].
inline double HeadRoundOff(double head_from, double head_to) {
  return 8.0 * std::numeric_limits<double>::epsilon() * (std::abs(head_from) + std::abs(head_to));
}

// By how much the head across a part at rest exceeds what holds it shut [m]; at most 0 while it
// holds.
inline double ExcessOverHold(const Law& law, double head_difference) {
  const auto* one_way = std::get_if<OneWayLaw>(&law);
  return one_way ? head_difference - one_way->crack : 0.0;
}

}  // namespace handwheel
