#include "correlations/slurry.h"

#include <cmath>

namespace handwheel {
namespace {

// sqrt( 2 g D (S - 1) ) [m/s]
double SubmergedVelocity(double bore, double density_ratio, double gravity) {
  return std::sqrt(2.0 * gravity * bore * (density_ratio - 1.0));
}

}  // namespace

double SolidsVolumeFraction(double mass_fraction, double density_ratio) {
  const double solids = mass_fraction / density_ratio;
  return solids / (solids + (1.0 - mass_fraction));
}

double SolidsMassFraction(double volume_fraction, double density_ratio) {
  const double solids = volume_fraction * density_ratio;
  return solids / (solids + (1.0 - volume_fraction));
}

double MixtureDensityRatio(double volume_fraction, double density_ratio) {
  return 1.0 + volume_fraction * (density_ratio - 1.0);
}

double ThomasRelativeViscosity(double volume_fraction) {
  return 1.0 + volume_fraction * (2.5 + 10.05 * volume_fraction) +
         0.00273 * std::exp(16.6 * volume_fraction);
}

double SuspensionRelativeViscosity(double volume_fraction) {
  return 1.0 + volume_fraction * (2.5 + 10.05 * volume_fraction) +
         0.00273 * std::expm1(16.6 * volume_fraction);
}

double DurandDepositionVelocity(double chart_factor, double bore, double density_ratio,
                                double gravity) {
  return chart_factor * SubmergedVelocity(bore, density_ratio, gravity);
}

double WaspDepositionVelocity(double volume_fraction, double grain_size, double bore,
                              double density_ratio, double gravity) {
  return 3.116 * std::pow(volume_fraction, 0.186) *
         SubmergedVelocity(bore, density_ratio, gravity) * std::pow(grain_size / bore, 1.0 / 6.0);
}

double HeterogeneousGradient(double clear_gradient, double volume_fraction, double velocity,
                             double settling_velocity, double bore, double density_ratio,
                             double gravity) {
  const double submerged = SubmergedVelocity(bore, density_ratio, gravity);
  const double excess =
      1100.0 * 0.5 * submerged * submerged * settling_velocity / (velocity * velocity * velocity);
  return clear_gradient * (1.0 + volume_fraction * excess);
}

}  // namespace handwheel
