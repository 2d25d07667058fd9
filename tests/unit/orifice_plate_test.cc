#include "correlations/orifice_plate.h"

#include <gtest/gtest.h>

#include <cmath>
#include <tuple>

namespace handwheel {
namespace {

OrificePlate Plate(double b, PressureTappings tappings = PressureTappings::kCorner) {
  return {.pipe_bore = 0.1, .bore = 0.1 * b, .tappings = tappings};
}

// The Reader-Harris/Gallagher equation of ISO 5167-2:2003 (from memory), corner tappings, 100 mm,
// worked out apart to five digits.
TEST(OrificePlate, DischargeCoefficientMatchesItsEquation) {
  constexpr double kRe[] = {5e3, 1e4, 3e4, 1e5, 1e6, 1e7, 1e8};
  struct Row {
    double b;
    double c[7];
  };
  constexpr Row kRows[] = {
      {0.20, {0.60445, 0.60169, 0.59931, 0.59813, 0.59738, 0.59721, 0.59717}},
      {0.50, {0.62757, 0.61858, 0.61091, 0.60687, 0.60378, 0.60268, 0.60221}},
      {0.60, {0.64214, 0.62820, 0.61651, 0.61034, 0.60541, 0.60352, 0.60267}},
  };
  for (const Row& row : kRows) {
    for (int i = 0; i < 7; ++i) {
      EXPECT_NEAR(Plate(row.b).DischargeCoefficient(kRe[i]), row.c[i], 0.6e-5)
          << row.b << " at " << kRe[i];
    }
  }
}

// ISO 5167-2:2003 eq. (7), worked out by hand; and its rule of thumb 1 - b^1.9, within 1.5 %.
TEST(OrificePlate, LossMatchesHandCalculation) {
  for (auto [b, c, ratio, k] :
       {std::tuple{0.5, 0.60687, 0.73189, 29.809}, std::tuple{0.6, 0.61034, 0.62702, 11.304}}) {
    const double discharge = Plate(b).DischargeCoefficient(1e5);
    EXPECT_NEAR(discharge, c, 0.6e-5);
    EXPECT_NEAR(PermanentLossRatio(b, discharge), ratio, 1e-4 * ratio);
    EXPECT_NEAR(OrificePlateK(b, discharge), k, 1e-4 * k);
    EXPECT_NEAR(PermanentLossRatio(b, discharge), 1.0 - std::pow(b, 1.9), 0.015 * ratio);
  }
}

// K is the permanent loss at the flow of the standard's equation: velocity head in the pipe =
// C² b⁴/(1 - b⁴) times the pressure difference.
TEST(OrificePlate, KIsThePermanentLoss) {
  for (const double b : {0.2, 0.45, 0.75}) {
    for (const double c : {0.59, 0.61, 0.66}) {
      const double b4 = std::pow(b, 4);
      const double pressure_difference_in_heads = (1.0 - b4) / (c * c * b4);
      EXPECT_NEAR(OrificePlateK(b, c) / (PermanentLossRatio(b, c) * pressure_difference_in_heads),
                  1.0, 1e-12);
    }
  }
}

// Where the pressure is tapped moves C by less than 2 % up to b = 0.6.
TEST(OrificePlate, TappingsChangeLittle) {
  for (const double b : {0.2, 0.4, 0.6}) {
    const double corner = Plate(b).DischargeCoefficient(1e6);
    EXPECT_NEAR(Plate(b, PressureTappings::kRadius).DischargeCoefficient(1e6), corner,
                0.02 * corner);
    EXPECT_NEAR(Plate(b, PressureTappings::kFlange).DischargeCoefficient(1e6), corner,
                0.02 * corner);
  }
}

// The term of small pipes is zero at 71.12 mm, where it ends.
TEST(OrificePlate, SmallPipesJoinLargeOnes) {
  const auto c = [](double pipe) {
    return OrificePlate{.pipe_bore = pipe, .bore = 0.5 * pipe}.DischargeCoefficient(1e5);
  };
  EXPECT_NEAR(c(0.07111999), c(0.07112001), 1e-8);
  // By hand: 0.011 (0.75 - 0.5)(2.8 - 50/25.4) more at 50 mm, corner tappings being alike
  // otherwise.
  EXPECT_NEAR(c(0.050) - c(0.1), 0.011 * 0.25 * (2.8 - 50.0 / 25.4), 1e-12);
}

// ISO 5167-2:2003, 5.3.1 and 5.3.3.1.
TEST(OrificePlate, KnowsTheStandardsLimits) {
  EXPECT_TRUE(Plate(0.5).BrokenLimits(1e5).empty());
  EXPECT_EQ(Plate(0.5).BrokenLimits(4e3).size(), 1u);
  EXPECT_TRUE(Plate(0.6).BrokenLimits(5761.0).empty());
  EXPECT_EQ(Plate(0.6).BrokenLimits(5759.0).size(), 1u);
  EXPECT_EQ(Plate(0.8).BrokenLimits(1e6).size(), 1u);
  EXPECT_EQ(Plate(0.6, PressureTappings::kFlange).BrokenLimits(6000.0).size(), 1u);  // 170 b² D
  const OrificePlate small{.pipe_bore = 0.04, .bore = 0.010};
  EXPECT_EQ(small.BrokenLimits(1e5).size(), 2u);
}

TEST(OrificePlate, UncertaintyMatchesTheStandard) {
  EXPECT_NEAR(Plate(0.5).Uncertainty(1e5), 0.005, 1e-12);
  EXPECT_NEAR(Plate(0.15).Uncertainty(1e5), 0.0055, 1e-12);
  EXPECT_NEAR(Plate(0.75).Uncertainty(1e5), 0.0075025, 1e-9);
  EXPECT_NEAR(Plate(0.55).Uncertainty(6e3), 0.010, 1e-12);
  // The pieces meet: 1.667 x 0.6 - 0.5 is 0.5002.
  EXPECT_NEAR(Plate(0.600001).Uncertainty(1e5), Plate(0.599999).Uncertainty(1e5), 3e-6);
  const OrificePlate small{.pipe_bore = 0.0508, .bore = 0.0254};
  EXPECT_NEAR(small.Uncertainty(1e5), 0.01 * (0.5 + 0.9 * 0.25 * 0.8), 1e-12);
}

}  // namespace
}  // namespace handwheel
