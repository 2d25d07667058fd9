#include "correlations/valve_sizing.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace handwheel {
namespace {

// Constants of the standard for Kv and millimetres.
constexpr double kN2 = 0.00160032;  // for 999.1 kg/m³, as in FlowCoefficient; the standard: 0.00160
constexpr double kN18 = 0.865;
constexpr double kN32 = 140.0;
constexpr double kLargestCoefficient = 0.047 * kN18;  // C/d² the standard's viscous formulas reach
constexpr double kLeastTrimFactor = kN2 / (kLargestCoefficient * kLargestCoefficient);

constexpr double kTurbulentRev = 1e4;
constexpr double kLaminarCorner = 0.1;     // h in ln FR
constexpr double kTurbulentCorner = 0.02;  // likewise

double Square(double x) {
  return x * x;
}

// The smaller of u and v, rounded for |u - v| < h: (u + v)/2 - h (1 + x²)/4 with x = (u - v)/h.
struct RoundedMinimum {
  double value;
  double weight_of_u;  // of du in the derivative; the rest is dv's
};
RoundedMinimum MinimumInsideCorner(double u, double v, double h) {
  const double x = (u - v) / h;
  return {0.5 * (u + v) - 0.25 * h * (1.0 + x * x), 0.5 * (1.0 - x)};
}

}  // namespace

double CriticalPressureRatioFactor(double vapour_pressure, double critical_pressure) {
  return 0.96 - 0.28 * std::sqrt(vapour_pressure / critical_pressure);
}

double ChokedDrop(double inlet_pressure, double vapour_pressure, double ff, double fl) {
  return fl * fl * (inlet_pressure - ff * vapour_pressure);
}

Reducers ReducersAround(double valve_bore, double inlet_bore, double outlet_bore) {
  const double inlet = Square(valve_bore / inlet_bore);
  const double outlet = Square(valve_bore / outlet_bore);
  return {.inlet_loss = 0.5 * Square(1.0 - inlet),
          .outlet_loss = Square(1.0 - outlet),
          .inlet_bernoulli = 1.0 - inlet * inlet,
          .outlet_bernoulli = 1.0 - outlet * outlet};
}

double PipingGeometryFactor(double k, const Reducers& reducers) {
  return 1.0 / std::sqrt(1.0 + reducers.Sum() / k);
}

double CombinedRecoveryFactor(double k, double fl, const Reducers& reducers) {
  return 1.0 / std::sqrt(reducers.Inlet() / k + 1.0 / (fl * fl));
}

double ValveReynoldsRatio(double k, double fl, double fd) {
  return fd * std::sqrt(std::sqrt(k + fl * fl) / fl);
}

double ValveReynolds(double flow, double bore, double kinematic_viscosity, double k, double fl,
                     double fd) {
  const double re = 4.0 * std::abs(flow) / (std::numbers::pi * bore * kinematic_viscosity);
  return re * ValveReynoldsRatio(k, fl, fd);
}

double ViscousTrimFactor(const TrimResistance& k) {
  const double reduced = 1.0 + kN32 * std::cbrt(kN2 / k.at_opening);
  return std::max(kLeastTrimFactor, std::min(k.full_open, reduced));
}

ViscousFactor::ViscousFactor(double n, double fl, double laminar_end, double transitional_start)
    : laminar(0.026 / fl * std::sqrt(n)),
      transitional(0.33 * std::sqrt(fl / std::sqrt(n)) / std::numbers::ln10),
      laminar_to(laminar_end),
      transitional_from(transitional_start),
      transitional_to(kTurbulentRev * std::exp(std::expm1(-kTurbulentCorner) / transitional)),
      turbulent_from(kTurbulentRev * std::exp(std::expm1(kTurbulentCorner) / transitional)) {}

ViscousFactor::ViscousFactor(double n, double fl) : ViscousFactor(n, fl, 0.0, 0.0) {
  laminar_to = CornerAt(std::exp(-kLaminarCorner));
  transitional_from = CornerAt(std::exp(kLaminarCorner));
}

double ViscousFactor::Transitional(double ln_rev) const {
  return 1.0 + transitional * (ln_rev - std::log(kTurbulentRev));
}

// The upper of the two Rev at which laminar/transitional has a given ratio. In ln Rev the
// difference laminar - ratio · transitional is convex and at Rev = 1e4 positive and rising, so
// Newton's method comes down on that root without passing it.
double ViscousFactor::CornerAt(double ratio) const {
  double ln_rev = std::log(kTurbulentRev);
  for (int i = 0; i < 50; ++i) {
    const double l = laminar * std::exp(0.5 * ln_rev);
    const double step = (l - ratio * Transitional(ln_rev)) / (0.5 * l - ratio * transitional);
    ln_rev -= step;
    if (std::abs(step) < 1e-13) break;
  }
  return std::exp(ln_rev);
}

ViscousFactor::Value ViscousFactor::At(double rev) const {
  if (rev >= turbulent_from) return {1.0, 0.0};
  const double l = laminar * std::sqrt(rev);
  if (rev <= laminar_to) return {l, 0.5};
  const double t = Transitional(std::log(rev));
  const double t_slope = transitional / t;
  if (rev < transitional_from) {
    const auto [ln_fr, weight] = MinimumInsideCorner(std::log(l), std::log(t), kLaminarCorner);
    return {std::exp(ln_fr), weight * 0.5 + (1.0 - weight) * t_slope};
  }
  if (rev <= transitional_to) return {t, t_slope};
  const auto [ln_fr, weight] = MinimumInsideCorner(std::log(t), 0.0, kTurbulentCorner);
  return {std::exp(ln_fr), weight * t_slope};
}

CavitationIndices CavitationIndicesOf(double inlet_pressure, double outlet_pressure,
                                      double vapour_pressure) {
  const double drop = inlet_pressure - outlet_pressure;
  return {.sigma = (inlet_pressure - vapour_pressure) / drop,
          .sigma2 = (outlet_pressure - vapour_pressure) / drop,
          .drop_ratio = drop / (inlet_pressure - vapour_pressure)};
}

double AudibleCavitationRatio(FlowCoefficient coefficient, double fl, double fd) {
  return 0.90 / std::sqrt(1.0 + 3.0 * fd * std::sqrt(coefficient.kv() / fl));
}

double AudibleCavitationRatioAt(double ratio_at_6_bar, double inlet_pressure) {
  return ratio_at_6_bar * std::pow(6e5 / inlet_pressure, 0.125);
}

std::string_view SigmaBand(double sigma) {
  struct Band {
    double from;
    std::string_view name;
  };
  constexpr std::array<Band, 4> kBands{
      {{2.0, "none"}, {1.7, "incipient"}, {1.5, "constant"}, {1.2, "damaging"}}};
  for (const Band& band : kBands) {
    if (sigma >= band.from) return band.name;
  }
  return "near choking";
}

}  // namespace handwheel
