#ifndef HANDWHEEL_CORRELATIONS_SLURRY_H_
#define HANDWHEEL_CORRELATIONS_SLURRY_H_

// Solids carried by a liquid. Throughout:
//   volume_fraction Cv, mass_fraction Cw   of the solids in the mixture [-]
//   density_ratio S                        density of the grains over that of the liquid [-]
//   bore D, grain_size d (d50)             [m]
//   gravity g                              [m/s²]
namespace handwheel {

// Cv = (Cw/S) / (Cw/S + 1 - Cw), and back.
double SolidsVolumeFraction(double mass_fraction, double density_ratio);
double SolidsMassFraction(double volume_fraction, double density_ratio);

// Density of the mixture over that of the liquid: 1 + Cv (S - 1) = 1/(Cw/S + 1 - Cw).
double MixtureDensityRatio(double volume_fraction, double density_ratio);

// Viscosity of a suspension over that of its liquid, as printed, volume fraction 0 to 0.6:
//   1 + 2.5 Cv + 10.05 Cv² + 0.00273 exp(16.6 Cv)
// Grains of one size that do not settle while it matters; real slurries differ by tens of percent
// above 0.3. At Cv = 0 it gives 1.00273.
// Source: D. G. Thomas, J. Colloid Sci. 20, 267-277, 1965.
double ThomasRelativeViscosity(double volume_fraction);

// The same less 0.00273, so that a liquid without solids keeps its viscosity.
double SuspensionRelativeViscosity(double volume_fraction);

// Velocity [m/s] below which a bed of grains forms:  F_L sqrt( 2 g D (S - 1) ).
// F_L is read from Durand's chart by grain size and concentration: about 1.04 for d50 0.21 mm at
// Cv 14 %, 1.34 for 2 mm and more. It has no default.
// Source: R. Durand, 1952.
double DurandDepositionVelocity(double chart_factor, double bore, double density_ratio,
                                double gravity);

// The same without a chart:  3.116 Cv^0.186 sqrt( 2 g D (S - 1) ) (d/D)^(1/6).
// Two formulas for one thing that is not sharp: for 0.21 mm sand in 150 mm pipe at Cv 14 % this
// gives 30 % less than Durand's. Vanishes with Cv.
// Source: E. J. Wasp, J. P. Kenny and R. L. Gandhi, Solid-Liquid Flow: Slurry Pipeline
// Transportation, 1977.
double WaspDepositionVelocity(double volume_fraction, double grain_size, double bore,
                              double density_ratio, double gravity);

// Hydraulic gradient i [metres of the carrying liquid a metre of pipe] of settling solids:
//   (i - iw) / (Cv iw) = 1100 [ g D (S - 1) / V² ] [ u0 / V ]
//   clear_gradient iw     that of the liquid alone at the same velocity V [-]
//   velocity V            [m/s] of the mixture, > 0
//   settling_velocity u0  [m/s] of a grain in still liquid
// For flow above deposition. As a law of V it has a minimum (where i = 3 iw if iw goes as V²), so a
// network of such pipes may have several steady states.
// Source: J. M. Coulson and J. F. Richardson, Chemical Engineering vol. 1, eq. 5.20.
double HeterogeneousGradient(double clear_gradient, double volume_fraction, double velocity,
                             double settling_velocity, double bore, double density_ratio,
                             double gravity);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_SLURRY_H_
