#include "handwheel/fluid.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "correlations/liquids.h"
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

// --- Tables --------------------------------------------------------------------------------------

Fluid Glycol() {
  Fluid fluid;
  fluid.name = "glycol 40 %";
  fluid.density_table = {{273.15, 1070.0}, {293.15, 1060.0}, {333.15, 1035.0}};
  fluid.viscosity_table = {{273.15, 8e-3}, {293.15, 3.5e-3}, {333.15, 1.1e-3}};
  fluid.vapour_pressure_table = {{273.15, 500.0}, {293.15, 1900.0}, {333.15, 16e3}};
  return fluid;
}

TEST(FluidTables, AreExactAtTheirPoints) {
  Fluid fluid = Glycol();
  for (std::size_t i = 0; i < 3; ++i) {
    fluid.temperature = fluid.density_table[i][0];
    const Liquid liquid = fluid.Resolve();
    EXPECT_EQ(liquid.density, fluid.density_table[i][1]);
    EXPECT_EQ(liquid.viscosity, fluid.viscosity_table[i][1]);
    EXPECT_EQ(liquid.vapour_pressure, fluid.vapour_pressure_table[i][1]);
  }
}

TEST(FluidTables, RunFromPointToPointWithoutOvershoot) {
  Fluid fluid = Glycol();
  Liquid before = {.density = 1e9, .viscosity = 1e9, .vapour_pressure = 0.0};
  for (double t = 273.15; t <= 333.15; t += 0.5) {
    fluid.temperature = t;
    const Liquid here = fluid.Resolve();
    EXPECT_LT(here.density, before.density) << t;
    EXPECT_LT(here.viscosity, before.viscosity) << t;
    EXPECT_GT(here.vapour_pressure, before.vapour_pressure) << t;
    before = here;
  }
}

// Two points: a straight line in density and in the logarithm of viscosity.
TEST(FluidTables, AreStraightBetweenTwoPoints) {
  Fluid fluid = Glycol();
  fluid.density_table.pop_back();
  fluid.viscosity_table.pop_back();
  fluid.temperature = 283.15;
  EXPECT_NEAR(fluid.Resolve().density, 1065.0, 1e-9);
  EXPECT_NEAR(fluid.Resolve().viscosity, std::sqrt(8e-3 * 3.5e-3), 1e-15);
}

TEST(FluidTables, AreNeverExtrapolated) {
  Fluid fluid = Glycol();
  for (const double outside : {273.1, 333.2, std::nan("")}) {
    fluid.temperature = outside;
    EXPECT_EQ(KeyOfFault(fluid), "temperature") << outside;
  }
  // The rounding of 60 degC to kelvin and back is not outside.
  fluid.temperature = 333.15 + 1e-12;
  EXPECT_EQ(fluid.Resolve().density, 1035.0);
}

TEST(FluidTables, NeedTwoPointsAndRisingTemperatures) {
  Fluid fluid = Glycol();
  fluid.viscosity_table = {{293.15, 3.5e-3}};
  EXPECT_EQ(KeyOfFault(fluid), "viscosity_table");
  fluid = Glycol();
  fluid.density_table[1][0] = 273.15;
  EXPECT_EQ(KeyOfFault(fluid), "density_table");
  fluid = Glycol();
  fluid.vapour_pressure_table[2][1] = 0.0;
  EXPECT_EQ(KeyOfFault(fluid), "vapour_pressure_table");
  fluid = Glycol();
  fluid.density = 1050.0;
  EXPECT_EQ(KeyOfFault(fluid), "density_table");
}

// --- Liquids that are not Newtonian --------------------------------------------------------------

TEST(FluidRheology, OfANewtonianLiquidIsItsViscosity) {
  const Liquid liquid = Caustic().Resolve();
  EXPECT_TRUE(liquid.IsNewtonian());
  EXPECT_EQ(liquid.consistency, liquid.viscosity);
  EXPECT_EQ(liquid.yield_stress, 0.0);
  EXPECT_FALSE(liquid.solids);
}

TEST(FluidRheology, OfABinghamLiquidHasItsPlasticViscosity) {
  Fluid fluid = Caustic();
  fluid.yield_stress = 2.5;
  const Liquid liquid = fluid.Resolve();
  EXPECT_FALSE(liquid.IsNewtonian());
  EXPECT_EQ(liquid.yield_stress, 2.5);
  EXPECT_EQ(liquid.viscosity, 4.5e-3);
  EXPECT_EQ(liquid.consistency, 4.5e-3);
}

TEST(FluidRheology, OfAPowerLawLiquidIsAsGiven) {
  Fluid fluid = Caustic();
  fluid.viscosity.reset();
  fluid.consistency = 0.4;
  fluid.index = 0.5;
  const Liquid liquid = fluid.Resolve();
  EXPECT_EQ(liquid.consistency, 0.4);
  EXPECT_EQ(liquid.index, 0.5);
  EXPECT_DOUBLE_EQ(liquid.viscosity, 0.04);  // 0.4 Pa s^0.5 * (100 1/s)^-0.5
  fluid.index = 1.0;
  EXPECT_EQ(fluid.Resolve().viscosity, 0.4);
}

TEST(FluidRheology, NeedsConsistencyAndIndexTogetherAndInPlaceOfAViscosity) {
  Fluid fluid = Caustic();
  fluid.consistency = 0.4;
  fluid.index = 0.5;
  EXPECT_EQ(KeyOfFault(fluid), "consistency");  // and a viscosity
  fluid.viscosity.reset();
  EXPECT_EQ(KeyOfFault(fluid), "(accepted)");
  fluid.index.reset();
  EXPECT_EQ(KeyOfFault(fluid), "consistency");
  fluid = Caustic();
  fluid.index = 0.5;
  EXPECT_EQ(KeyOfFault(fluid), "index");
}

// --- Slurries ------------------------------------------------------------------------------------

Fluid Slurry() {
  Fluid fluid = Caustic();
  fluid.solids = 0.2;
  fluid.solids_density = 2650.0;
  fluid.d50 = 0.2e-3;
  return fluid;
}

// A kilogram of mixture takes 0.8/1220 + 0.2/2650 m³.
TEST(FluidSolids, MakeAMixtureOfTheVolumesOfBoth) {
  const Liquid liquid = Slurry().Resolve();
  const double volume = 0.8 / 1220.0 + 0.2 / 2650.0;
  EXPECT_NEAR(liquid.density, 1.0 / volume, 1e-9);
  ASSERT_TRUE(liquid.solids);
  EXPECT_NEAR(liquid.solids->volume_fraction, 0.2 / 2650.0 / volume, 1e-12);
  EXPECT_EQ(liquid.solids->density, 2650.0);
  EXPECT_EQ(liquid.solids->d50, 0.2e-3);
  EXPECT_EQ(liquid.solids->carrier_density, 1220.0);
  EXPECT_GT(liquid.viscosity, 4.5e-3);
}

TEST(FluidSolids, ChangeNothingWhenThereAreNone) {
  Fluid fluid = Slurry();
  fluid.solids = 0.0;
  const Liquid liquid = fluid.Resolve();
  EXPECT_EQ(liquid.density, 1220.0);
  EXPECT_EQ(liquid.viscosity, 4.5e-3);
  EXPECT_FALSE(liquid.solids);
}

TEST(FluidSolids, ThickenAKinematicViscosityOfTheCarrier) {
  Fluid fluid = Slurry();
  const double thickened = fluid.Resolve().viscosity;
  fluid.viscosity.reset();
  fluid.kinematic_viscosity = 4.5e-3 / 1220.0;
  EXPECT_DOUBLE_EQ(fluid.Resolve().viscosity, thickened);
}

TEST(FluidSolids, NeedADensityAboveThatOfTheCarrier) {
  Fluid fluid = Slurry();
  fluid.solids_density.reset();
  EXPECT_EQ(KeyOfFault(fluid), "solids");
  fluid.solids_density = 1220.0;
  EXPECT_EQ(KeyOfFault(fluid), "solids_density");
  fluid = Slurry();
  fluid.solids.reset();
  EXPECT_EQ(KeyOfFault(fluid), "solids_density");
  fluid = Slurry();
  fluid.solids = 1.0;
  EXPECT_EQ(KeyOfFault(fluid), "solids");
}

TEST(FluidSolids, TakeNoMoreThanSixTenthsOfTheVolume) {
  Fluid fluid = Slurry();
  fluid.solids = 0.9;
  EXPECT_EQ(KeyOfFault(fluid), "solids");
}

// --- Solutions -----------------------------------------------------------------------------------

Fluid Solution(const std::string& name, std::optional<double> strength) {
  Fluid fluid;
  fluid.name = name;
  fluid.strength = strength;
  return fluid;
}

TEST(FluidSolutions, BringTheirOwnProperties) {
  const Liquid caustic = Solution("sodium hydroxide", 0.32).Resolve();
  EXPECT_EQ(caustic.density, SodiumHydroxideAt(293.15, 0.32)->density);
  EXPECT_EQ(caustic.viscosity, SodiumHydroxideAt(293.15, 0.32)->viscosity);
  EXPECT_EQ(caustic.vapour_pressure, SodiumHydroxideAt(293.15, 0.32)->vapour_pressure);
  const Liquid acid = Solution("sulphuric acid", 0.3).Resolve();
  EXPECT_EQ(acid.density, SulphuricAcidAt(293.15, 0.3)->density);
  EXPECT_EQ(acid.viscosity, SulphuricAcidAt(293.15, 0.3)->viscosity);
}

// IAPWS-08 at 0.035 kg/kg, 20 °C and 101.325 kPa: 1024.6408 kg/m³ (computed from the published
// formulation); the equation of state used here lies within 0.001 % of it.
TEST(FluidSolutions, TakeSeawaterOfStandardSalinityUnlessTold) {
  Fluid fluid = Solution("seawater", std::nullopt);
  EXPECT_NEAR(fluid.Resolve().density, 1024.6408, 1e-5 * 1024.6);
  fluid.strength = 0.0;
  EXPECT_NEAR(fluid.Resolve().density, 998.2, 0.05);
}

TEST(FluidSolutions, NeedAStrengthUnlessDensityAndViscosityAreGiven) {
  Fluid fluid = Solution("sodium hydroxide", std::nullopt);
  EXPECT_EQ(KeyOfFault(fluid), "strength");
  fluid.density = 1350.0;
  EXPECT_EQ(KeyOfFault(fluid), "strength");
  fluid.viscosity = 15e-3;
  EXPECT_EQ(fluid.Resolve().density, 1350.0);
  EXPECT_EQ(fluid.Resolve().vapour_pressure,
            Fluid{}.Resolve().vapour_pressure);  // water's, a bound
}

TEST(FluidSolutions, NeedOnlyWhatIsNotKnownOfThem) {
  Fluid acid = Solution("sulphuric acid", 0.96);
  EXPECT_EQ(KeyOfFault(acid), "strength");  // viscosity is known to 50 %
  acid.viscosity = 25e-3;
  EXPECT_EQ(acid.Resolve().density, SulphuricAcidAt(293.15, 0.96)->density);
  EXPECT_EQ(acid.Resolve().viscosity, 25e-3);
  acid.temperature = 363.15;
  EXPECT_EQ(KeyOfFault(acid), "temperature");
  acid.density = 1790.0;
  EXPECT_EQ(KeyOfFault(acid), "temperature");  // for its vapour pressure
  acid.vapour_pressure = 100.0;
  EXPECT_EQ(acid.Resolve().density, 1790.0);
}

TEST(FluidSolutions, AloneHaveAStrength) {
  Fluid fluid = Caustic();
  fluid.strength = 0.3;
  EXPECT_EQ(KeyOfFault(fluid), "strength");
  EXPECT_EQ(KeyOfFault(Solution("water", 0.3)), "strength");
  EXPECT_EQ(KeyOfFault(Solution("sodium hydroxide", 1.3)), "strength");
  EXPECT_EQ(KeyOfFault(Solution("sodium hydroxide", std::nan(""))), "strength");
}

}  // namespace
}  // namespace handwheel
