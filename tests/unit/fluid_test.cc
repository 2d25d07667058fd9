#include "handwheel/fluid.h"

#include <gtest/gtest.h>

#include <limits>

#include "correlations/water.h"
#include "handwheel/errors.h"

namespace handwheel {
namespace {

Fluid Caustic() {
  Fluid fluid;
  fluid.name = "caustic soda";
  fluid.density = 1220.0;
  fluid.viscosity = 4.5e-3;
  return fluid;
}

std::string KeyOfFault(const Fluid& fluid) {
  try {
    fluid.Resolve();
  } catch (const NetworkError& error) {
    EXPECT_EQ(error.component(), "fluid");
    return error.key();
  }
  return "(accepted)";
}

// IAPWS R7-97 and R12-08 give 998.207 kg/m³ and 1.0016 mPa s at 20 °C and one atmosphere; the
// ordinary figures of water tables, 998.2 and 1.002. Vapour pressure 2.339 kPa (steam tables).
TEST(Fluid, IsWaterAt20DegreesByDefault) {
  const Liquid water = Fluid().Resolve();
  EXPECT_NEAR(water.density, 998.2, 0.05);           // last digit of the tables
  EXPECT_NEAR(water.viscosity, 1.002e-3, 0.001e-3);  // likewise
  EXPECT_NEAR(water.vapour_pressure, 2339.0, 1.0);   // likewise
  EXPECT_DOUBLE_EQ(water.KinematicViscosity(), water.viscosity / water.density);
}

TEST(Fluid, TakesWhatIsGivenAndTheRestFromWater) {
  Fluid fluid;
  fluid.temperature = 313.15;
  fluid.density = 1000.0;
  const Liquid liquid = fluid.Resolve();
  const auto water = WaterAt(313.15);
  ASSERT_TRUE(water);
  EXPECT_EQ(liquid.density, 1000.0);
  EXPECT_EQ(liquid.viscosity, water->viscosity);
  EXPECT_EQ(liquid.vapour_pressure, water->vapour_pressure);
}

TEST(Fluid, TakesEitherViscosity) {
  Fluid fluid = Caustic();
  EXPECT_EQ(fluid.Resolve().viscosity, 4.5e-3);
  fluid.viscosity.reset();
  fluid.kinematic_viscosity = 2e-6;
  EXPECT_DOUBLE_EQ(fluid.Resolve().viscosity, 2e-6 * 1220.0);
}

TEST(Fluid, OtherThanWaterHasNoVapourPressureUnlessGiven) {
  Fluid fluid = Caustic();
  EXPECT_EQ(fluid.Resolve().vapour_pressure, 0.0);
  fluid.vapour_pressure = 2000.0;
  EXPECT_EQ(fluid.Resolve().vapour_pressure, 2000.0);
}

TEST(Fluid, OtherThanWaterNeedsDensityAndOneViscosity) {
  Fluid fluid = Caustic();
  fluid.density.reset();
  EXPECT_EQ(KeyOfFault(fluid), "density");
  fluid = Caustic();
  fluid.viscosity.reset();
  EXPECT_EQ(KeyOfFault(fluid), "viscosity");
  fluid = Caustic();
  fluid.kinematic_viscosity = 2e-6;
  EXPECT_EQ(KeyOfFault(fluid), "kinematic_viscosity");
}

TEST(Fluid, WaterEndsAtFreezingAndAt150Degrees) {
  Fluid fluid;
  for (const double inside : {kWaterMinTemperature, 373.15, kWaterMaxTemperature}) {
    fluid.temperature = inside;
    EXPECT_EQ(KeyOfFault(fluid), "(accepted)") << inside;
  }
  for (const double outside : {0.0, 273.1, 423.2, std::numeric_limits<double>::quiet_NaN()}) {
    fluid.temperature = outside;
    EXPECT_EQ(KeyOfFault(fluid), "temperature") << outside;
  }
}

TEST(Fluid, RefusesValuesNoLiquidHas) {
  for (const double bad : {0.0, -1.0, std::numeric_limits<double>::quiet_NaN(),
                           std::numeric_limits<double>::infinity()}) {
    Fluid fluid = Caustic();
    fluid.density = bad;
    EXPECT_EQ(KeyOfFault(fluid), "density");
    fluid = Caustic();
    fluid.viscosity = bad;
    EXPECT_EQ(KeyOfFault(fluid), "viscosity");
    fluid = Caustic();
    fluid.viscosity.reset();
    fluid.kinematic_viscosity = bad;
    EXPECT_EQ(KeyOfFault(fluid), "kinematic_viscosity");
    if (bad == 0.0) continue;
    fluid = Caustic();
    fluid.vapour_pressure = bad;
    EXPECT_EQ(KeyOfFault(fluid), "vapour_pressure");
  }
}

}  // namespace
}  // namespace handwheel
