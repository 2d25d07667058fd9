#include "correlations/slurry.h"

#include <gtest/gtest.h>

#include <numbers>

namespace handwheel {
namespace {

constexpr double kGravity = 9.81;  // [m/s²], as the sources have it

TEST(SlurryMixture, FractionsConvertBothWays) {
  for (double ratio : {1.2, 2.65, 5.0}) {
    for (double mass_fraction : {0.0, 1e-6, 0.1, 0.5, 0.7, 1.0}) {
      const double volume_fraction = SolidsVolumeFraction(mass_fraction, ratio);
      EXPECT_NEAR(SolidsMassFraction(volume_fraction, ratio), mass_fraction, 1e-15);
      // The two definitions of the density ratio agree.
      EXPECT_NEAR(MixtureDensityRatio(volume_fraction, ratio),
                  1.0 / (mass_fraction / ratio + 1.0 - mass_fraction), 2e-15 * ratio);
    }
  }
}

// The formula evaluated independently to 7 digits (not published values).
TEST(ThomasViscosity, MatchesIndependentEvaluation) {
  EXPECT_NEAR(ThomasRelativeViscosity(0.0), 1.00273, 1e-15);
  EXPECT_NEAR(ThomasRelativeViscosity(0.05), 1.156386, 6e-7);
  EXPECT_NEAR(ThomasRelativeViscosity(0.10), 1.364858, 6e-7);
  EXPECT_NEAR(ThomasRelativeViscosity(0.20), 1.977513, 6e-7);
  EXPECT_NEAR(ThomasRelativeViscosity(0.30), 3.051645, 6e-7);
  EXPECT_NEAR(ThomasRelativeViscosity(0.40), 5.696709, 6e-7);
  EXPECT_NEAR(ThomasRelativeViscosity(0.50), 15.747672, 6e-7);
  EXPECT_NEAR(ThomasRelativeViscosity(0.60), 63.892432, 6e-7);
}

TEST(SuspensionViscosity, IsThomassLessItsExcessWithoutSolids) {
  EXPECT_EQ(SuspensionRelativeViscosity(0.0), 1.0);
  double last = 0.0;
  for (double fraction = 0.0; fraction <= 0.6; fraction += 0.01) {
    const double relative = SuspensionRelativeViscosity(fraction);
    EXPECT_NEAR(relative, ThomasRelativeViscosity(fraction) - 0.00273, 1e-14 * relative);
    EXPECT_GT(relative, last);
    last = relative;
  }
}

// Einstein, 1906: 1 + 2.5 Cv. The exponential raises Thomas's slope at no solids to 2.545.
TEST(SuspensionViscosity, StartsNearEinsteinsSlope) {
  EXPECT_NEAR((SuspensionRelativeViscosity(1e-7) - 1.0) / 1e-7, 2.5, 0.05);
}

// The formula evaluated independently to 5 digits (not published values), g = 9.81 m/s².
TEST(WaspDeposition, MatchesIndependentEvaluation) {
  EXPECT_NEAR(WaspDepositionVelocity(0.139, 0.211e-3, 0.15, 2.65, kGravity), 1.5923, 6e-5);
  EXPECT_NEAR(WaspDepositionVelocity(0.2, 0.3e-3, 0.2, 2.65, kGravity), 1.9886, 6e-5);
  EXPECT_EQ(WaspDepositionVelocity(0.0, 0.3e-3, 0.2, 2.65, kGravity), 0.0);
}

// Coulson and Richardson, vol. 1, Ex. 5.2 (seen): 0.2 mm sand of 2600 kg/m³ that settles at
// 0.0239 m/s, 0.5 kg/s of water in 100 m of 25 mm, Fanning 0.0092, 300 kPa: C = 0.30. (0.5 %)
TEST(HeterogeneousGradient, MatchesCoulsonRichardsonExample5_2) {
  constexpr double kBore = 0.025;
  constexpr double kVelocity = 0.5e-3 / (0.25 * std::numbers::pi * kBore * kBore);
  constexpr double kClear = 4.0 * 0.0092 / kBore * kVelocity * kVelocity / (2.0 * kGravity);
  constexpr double kGradient = 300e3 / (1000.0 * kGravity * 100.0);
  const double found = HeterogeneousGradient(kClear, 0.30, kVelocity, 0.0239, kBore, 2.6, kGravity);
  EXPECT_NEAR(found, kGradient, 0.005 * kGradient);
  // Recomputed to more digits: C = 0.30002.
  EXPECT_NEAR(HeterogeneousGradient(kClear, 0.30002, kVelocity, 0.0239, kBore, 2.6, kGravity),
              kGradient, 2e-5 * kGradient);
}

TEST(HeterogeneousGradient, IsThatOfTheLiquidWithoutSolids) {
  EXPECT_EQ(HeterogeneousGradient(0.07, 0.0, 1.0, 0.02, 0.1, 2.65, kGravity), 0.07);
}

TEST(HeterogeneousGradient, IsLeastWhereItIsThreeTimesThatOfTheLiquid) {
  const auto gradient = [](double v) {
    return HeterogeneousGradient(0.02 * v * v, 0.15, v, 0.03, 0.1, 2.65, kGravity);
  };
  double least = 0.5;
  for (double v = 0.5; v < 10.0; v += 1e-4) {
    if (gradient(v) < gradient(least)) least = v;
  }
  EXPECT_NEAR(gradient(least) / (0.02 * least * least), 3.0, 1e-3);
}

// slurry pumping handbook of a pump maker (name withheld), selection example (memory): sand S 2.65
// of d50 211 µm, Cw 30 %, 65 t/h of dry solids, 150 mm pipe, F_L 1.04: Sm 1.23, Cv 13.9 %, 48.9
// L/s, 2.8 m/s, deposition at 2.3 m/s. (1 %; the last figure printed)
TEST(Slurry, MatchesAPumpSelectionExample) {
  const double volume_fraction = SolidsVolumeFraction(0.30, 2.65);
  EXPECT_NEAR(volume_fraction, 0.139, 0.0005);
  EXPECT_NEAR(MixtureDensityRatio(volume_fraction, 2.65), 1.23, 0.005);
  const double flow = 65.0 / 3.6 / 2650.0 / volume_fraction;
  EXPECT_NEAR(flow, 48.9e-3, 0.01 * 48.9e-3);
  EXPECT_NEAR(flow / (0.25 * std::numbers::pi * 0.15 * 0.15), 2.8, 0.05);
  const double durand = DurandDepositionVelocity(1.04, 0.15, 2.65, kGravity);
  EXPECT_NEAR(durand, 2.3, 0.01 * 2.3);
  EXPECT_NEAR(WaspDepositionVelocity(volume_fraction, 0.211e-3, 0.15, 2.65, kGravity),
              0.70 * durand, 0.01 * durand);
}

}  // namespace
}  // namespace handwheel
