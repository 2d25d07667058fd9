#pragma once

#include <cmath>
#include <numbers>
#include <optional>

#include "components/make_law.h"
#include "correlations/flow_coefficient.h"
#include "correlations/rheology.h"

// What the makers of laws share.

namespace handwheel {

inline double AreaOf(double bore) {
  return std::numbers::pi / 4.0 * bore * bore;
}

// The flow at 1 m/s [m³/s], with which iterations begin.
inline double StartFlow(double bore) {
  constexpr double kStartVelocity = 1.0;  // [m/s]
  return kStartVelocity * AreaOf(bore);
}

// The flow at Reynolds number 1 [m³/s]: below it a square law is made linear.
inline double LinearFlow(double bore, const LawContext& context) {
  return std::numbers::pi / 4.0 * bore * context.liquid.KinematicViscosity();
}

inline LossLaw LossFromK(double k, double bore, const LawContext& context) {
  const double area = AreaOf(bore);
  return {k / (2.0 * context.gravity * area * area), LinearFlow(bore, context)};
}

// Q = Av sqrt(dp/rho), so drop = dp/(rho g) = Q²/(Av² g).
inline LossLaw LossFromCoefficient(FlowCoefficient coefficient, double bore,
                                   const LawContext& context) {
  const double av = coefficient.av();
  return {1.0 / (av * av * context.gravity), LinearFlow(bore, context)};
}

// The bore through which one velocity head passes what the coefficient passes: a length scale for
// parts that give none.
inline double BoreOfCoefficient(FlowCoefficient coefficient) {
  return std::sqrt(coefficient.av() / std::numbers::sqrt2 * 4.0 / std::numbers::pi);
}

// Adds what viscosity costs: K1/Re on the velocity head in a bore, up to Re 2000, fading until 1e4.
// K1 goes with the loss: `k1_over_k` times its K.
inline void AddViscousLoss(double k1_over_k, double bore, const LawContext& context, LossLaw* law) {
  constexpr double kFadeFromRe = 2000.0;
  const double flow_at_re_1 = LinearFlow(bore, context);
  law->linear = k1_over_k * law->r * flow_at_re_1;  // K1/Re q² = (K1 q_1/q) q²
  law->fade = kFadeFromRe * flow_at_re_1;
}

// K1/K of a sharp orifice or relief valve: with it the flow at a drop falls with Re as API 520-I
// has it (Kv of liquid relief, from memory), within 4 % as long as that is above 0.6; below, API's
// falls faster than the flow itself does.
inline constexpr double kOrificeK1OverK = 170.0;

// A hole's flow; Reynolds numbers are those in the hole: a tight seat passes less.
inline LossLaw LeakFromCoefficient(FlowCoefficient coefficient, const LawContext& context) {
  const double bore = BoreOfCoefficient(coefficient);
  LossLaw law = LossFromCoefficient(coefficient, bore, context);
  AddViscousLoss(kOrificeK1OverK, bore, context, &law);
  return law;
}

// A sharp-edged hole of a share of the bore's area; contraction coefficient 0.62.
inline FlowCoefficient HoleCoefficient(double share, double bore) {
  const double hole = 0.62 * share;
  return FlowCoefficient::FromK(1.0 / (hole * hole), bore);
}

std::optional<FlowCoefficient> CoefficientGiven(const std::optional<double>& kv,
                                                const std::optional<double>& cv);

inline LossLaw Scaled(LossLaw loss, double relative_coefficient) {
  loss.r /= relative_coefficient * relative_coefficient;
  loss.linear /= relative_coefficient * relative_coefficient;
  return loss;
}

Rheology RheologyOf(const Liquid& liquid);

}  // namespace handwheel
