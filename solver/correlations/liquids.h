#ifndef HANDWHEEL_CORRELATIONS_LIQUIDS_H_
#define HANDWHEEL_CORRELATIONS_LIQUIDS_H_

#include <optional>

// Aqueous liquids by temperature [K] and mass fraction of what is dissolved, in the solution [-].
// Without anything dissolved each is water, as in water.h.
namespace handwheel {

inline constexpr double kWaterCriticalPressure = 22.064e6;  // [Pa]; taken for the solutions too

struct LiquidProperties {
  double density = 0.0;             // [kg/m³]
  std::optional<double> viscosity;  // [Pa s], dynamic; none where only the density is known
  double vapour_pressure = 0.0;     // [Pa], absolute
};

// Where data are to be had. Fractions start at 0.
struct LiquidRange {
  double min_temperature;  // [K]
  double max_temperature;  // [K]
  double max_fraction;     // [-]
};
struct LiquidRanges {
  LiquidRange density;    // and of the vapour pressure
  LiquidRange viscosity;  // lies within that of the density
};

// Each of the three returns nullopt outside its density range, give or take the rounding of a unit.
// None knows of freezing: caustic of 50 % freezes near 12 °C, acid of 100 % at 10 °C (memory).

// Density: one-atmosphere equation of state 1980, UNESCO Technical Papers in Marine Science 36,
//   1981, fed with practical salinity = 35/35.16504 of the g/kg given; within 0.001 % of IAPWS-08
//   at 35 g/kg, 20 and 25 °C.
// Viscosity: M. H. Sharqawy, J. H. Lienhard and S. M. Zubair, Desalin. Water Treat. 16, 354-380,
//   2010, relative to water; the authors state 1.5 %. Coefficients from memory.
// Vapour pressure: that of water times the mole fraction of water (Raoult), sea salt counted as
//   ions of 31.404 g/mol in the mean; true sea water lies 0.2 % higher at 35 g/kg.
inline constexpr LiquidRanges kSeawaterRanges{{273.15, 313.15, 0.042}, {273.15, 313.15, 0.042}};
std::optional<LiquidProperties> SeawaterAt(double temperature, double salinity);

// Density: to 19.4 % a published table (10 to 85 °C, see liquids.cc); from there to 50 % handbook
//   values at 20 °C, from memory, with the thermal expansion of the table's strongest solution.
//   Expected error 0.1 %, beyond 19.4 % and away from 20 °C 0.4 %.
// Viscosity: 20, 40 and 60 °C, from memory, after M. Laliberté, J. Chem. Eng. Data 52, 321-335,
//   2007; expected error 10 %.
// Vapour pressure: water's, an upper bound: the hydroxide does not boil off and binds water. (A
//   cautious value for cavitation, some ten times too high at 50 %, from memory.)
inline constexpr LiquidRanges kSodiumHydroxideRanges{{283.15, 358.15, 0.50},
                                                     {293.15, 333.15, 0.50}};
std::optional<LiquidProperties> SodiumHydroxideAt(double temperature, double mass_fraction);

// Density: handbook values at 0, 20, 40 and 60 °C, from memory; expected error at 20 °C 0.2 %, away
//   from it 0.4 %. Highest near 98 %, so density does not tell the strength of strong acid.
// Viscosity: to 50 % and 30 °C only, from memory, after G. W. Vinal and D. N. Craig, J. Res. Natl.
//   Bur. Stand. 10, 781-793, 1933; expected error 15 %.
// Vapour pressure: water's, an upper bound, far too high for strong acid.
inline constexpr LiquidRanges kSulphuricAcidRanges{{273.15, 333.15, 1.0}, {273.15, 303.15, 0.50}};
std::optional<LiquidProperties> SulphuricAcidAt(double temperature, double mass_fraction);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_LIQUIDS_H_
