#ifndef HANDWHEEL_CORRELATIONS_WATER_H_
#define HANDWHEEL_CORRELATIONS_WATER_H_

#include <optional>

namespace handwheel {

inline constexpr double kWaterMinTemperature = 273.15;  // [K], 0 °C
inline constexpr double kWaterMaxTemperature = 423.15;  // [K], 150 °C

// Liquid water. These three do not check their range.

// Density [kg/m³] at temperature [K] and absolute pressure [Pa]; 273.15 to 623.15 K, from
// saturation pressure to 100 MPa.
// Source: IAPWS R7-97(2012), "IAPWS-IF97", eq. 7 (region 1), Table 2.
double WaterDensity(double temperature, double pressure);

// Dynamic viscosity [Pa s] at temperature [K] and density [kg/m³].
// Source: IAPWS R12-08, eqs. 10-12, Tables 1 and 2, without the critical enhancement (which
// passes 2 % only between 645.91 and 650.77 K).
double WaterViscosity(double temperature, double density);

// Vapour pressure [Pa], absolute, at temperature [K]; 273.15 to 647.096 K.
// Source: IAPWS R7-97(2012), eq. 30 (region 4), Table 34.
double WaterVapourPressure(double temperature);

struct WaterProperties {
  double density = 0.0;          // [kg/m³]
  double viscosity = 0.0;        // [Pa s], dynamic
  double vapour_pressure = 0.0;  // [Pa], absolute
};

// Liquid water at one atmosphere, or at its vapour pressure where that is higher. nullopt outside
// kWaterMinTemperature to kWaterMaxTemperature [K], give or take the rounding of a unit.
std::optional<WaterProperties> WaterAt(double temperature);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_WATER_H_
