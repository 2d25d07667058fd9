#include "correlations/water.h"

#include <gtest/gtest.h>

namespace handwheel {
namespace {

constexpr double kZeroCelsius = 273.15;  // [K]

// IAPWS R7-97(2012), Table 5; nine digits printed.
TEST(Water, DensityMatchesIf97VerificationValues) {
  EXPECT_NEAR(1.0 / WaterDensity(300.0, 3e6), 0.100215168e-2, 0.6e-11);
  EXPECT_NEAR(1.0 / WaterDensity(300.0, 80e6), 0.971180894e-3, 0.6e-12);  // memory
  EXPECT_NEAR(1.0 / WaterDensity(500.0, 3e6), 0.120241800e-2, 0.6e-11);
}

// IAPWS R7-97(2012), Table 35; nine digits printed.
TEST(Water, VapourPressureMatchesIf97VerificationValues) {
  EXPECT_NEAR(WaterVapourPressure(300.0), 0.353658941e4, 0.6e-5);
  EXPECT_NEAR(WaterVapourPressure(500.0), 2.63889776e6, 0.6e-2);
  EXPECT_NEAR(WaterVapourPressure(600.0), 12.3443146e6, 0.6e-1);
}

// IAPWS R12-08, Table 4; six decimals of a micropascal second printed.
TEST(Water, ViscosityMatchesR12VerificationValues) {
  EXPECT_NEAR(WaterViscosity(298.15, 998.0), 889.735100e-6, 0.6e-12);
  EXPECT_NEAR(WaterViscosity(298.15, 1200.0), 1437.649467e-6, 0.6e-12);
  EXPECT_NEAR(WaterViscosity(433.15, 1.0), 14.538324e-6, 0.6e-12);
  EXPECT_NEAR(WaterViscosity(433.15, 1000.0), 217.685358e-6, 0.6e-12);
}

// Water at 101 325 Pa computed with independent implementations of IAPWS-95 (first density), IF97
// and R12-08; the last digit shown is rounded. IF97 states 0.001 % of IAPWS-95 for density here;
// the two differ by up to 0.0016 %.
TEST(Water, PropertiesMatchIndependentImplementationsAtOneAtmosphere) {
  struct Row {
    double celsius, density_95, density_97, viscosity_upas, kinematic_mm2s, vapour_pressure;
  };
  constexpr Row kRows[] = {
      {0.01, 999.8438, 999.8450, 1791.13, 1.79141, 611.657},
      {4, 999.9749, 999.9754, 1567.29, 1.56733, 813.549},
      {10, 999.7025, 999.7015, 1305.90, 1.30629, 1228.184},
      {15, 999.1026, 999.1011, 1137.57, 1.13859, 1705.745},
      {20, 998.2072, 998.2061, 1001.60, 1.00340, 2339.215},
      {25, 997.0476, 997.0480, 890.02, 0.89266, 3169.747},
      {30, 995.6495, 995.6521, 797.22, 0.80071, 4246.688},
      {40, 992.2164, 992.2243, 652.73, 0.65785, 7384.427},
      {50, 988.0350, 988.0475, 546.52, 0.55313, 12351.27},
      {60, 983.1958, 983.2106, 466.04, 0.47400, 19945.80},
      {70, 977.7646, 977.7793, 403.55, 0.41273, 31200.64},
      {80, 971.7904, 971.8029, 354.05, 0.36433, 47414.72},
      {90, 965.3096, 965.3187, 314.18, 0.32547, 70182.36},
      {95, 961.8879, 961.8951, 297.09, 0.30886, 84608.94},
      {99.6, 958.6364, 958.6418, 282.77, 0.29497, 99978.83},
  };
  for (const Row& row : kRows) {
    const auto water = WaterAt(row.celsius + kZeroCelsius);
    ASSERT_TRUE(water);
    EXPECT_NEAR(water->density, row.density_95, 1.6e-5 * row.density_95) << row.celsius;
    EXPECT_NEAR(water->density, row.density_97, 0.6e-4) << row.celsius;
    EXPECT_NEAR(water->viscosity * 1e6, row.viscosity_upas, 0.011) << row.celsius;
    EXPECT_NEAR(water->viscosity / water->density * 1e6, row.kinematic_mm2s, 1.5e-5) << row.celsius;
    const double rounding = row.celsius < 45 ? 0.6e-3 : 0.6e-2;
    EXPECT_NEAR(water->vapour_pressure, row.vapour_pressure, rounding) << row.celsius;
  }
}

// IAPWS R7-97(2012), saturated water at 100 °C boils at one atmosphere to 0.03 % (the temperature
// scale of 1990 put the boiling point at 99.974 °C).
TEST(Water, BoilsAtOneAtmosphereNear100Celsius) {
  EXPECT_LT(WaterVapourPressure(kZeroCelsius + 99.96), 101325.0);
  EXPECT_GT(WaterVapourPressure(kZeroCelsius + 99.99), 101325.0);
}

TEST(Water, PropertiesCarryOnSmoothlyAboveTheBoilingPoint) {
  double last_density = WaterAt(kWaterMinTemperature + 5.0)->density;
  double last_viscosity = WaterAt(kWaterMinTemperature + 5.0)->viscosity;
  for (double t = kWaterMinTemperature + 6.0; t <= kWaterMaxTemperature; t += 1.0) {
    const auto water = WaterAt(t);
    ASSERT_TRUE(water);
    EXPECT_LT(water->density, last_density) << t;
    EXPECT_GT(water->density, last_density - 1.0) << t;
    EXPECT_LT(water->viscosity, last_viscosity) << t;
    EXPECT_GT(water->viscosity, 0.96 * last_viscosity) << t;
    last_density = water->density;
    last_viscosity = water->viscosity;
  }
}

TEST(Water, IsRefusedOutsideItsRange) {
  EXPECT_TRUE(WaterAt(kWaterMinTemperature));
  EXPECT_TRUE(WaterAt(kWaterMaxTemperature));
  EXPECT_TRUE(WaterAt((302.0 + 459.67) / 1.8));  // 150 °C, by way of Fahrenheit
  EXPECT_FALSE(WaterAt(kWaterMinTemperature - 0.001));
  EXPECT_FALSE(WaterAt(kWaterMaxTemperature + 0.001));
  EXPECT_FALSE(WaterAt(0.0 / 0.0));
}

}  // namespace
}  // namespace handwheel
