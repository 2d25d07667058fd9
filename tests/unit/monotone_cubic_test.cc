#include "correlations/monotone_cubic.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <random>
#include <stdexcept>

namespace handwheel {
namespace {

// Computed with SciPy's PCHIP (scipy.interpolate.PchipInterpolator 1.10.1).
TEST(MonotoneCubic, MatchesAnIndependentImplementation) {
  const MonotoneCubic curve({0, 1, 2.5, 3, 5}, {0, 0.2, 1.5, 1.6, 1.6});
  constexpr std::array<double, 6> kX{0.3, 0.9, 1.7, 2.7, 3.5, 4.6};
  constexpr std::array<double, 6> kY{0.023544000000000002, 0.169128, 0.7959384598183088,
                                     1.5563924528301887,   1.6,      1.6};
  for (std::size_t i = 0; i < kX.size(); ++i) {
    EXPECT_NEAR(curve.Value(kX[i]), kY[i], 1e-14) << kX[i];
  }
}

// Data that turn round, and a steep end: computed with SciPy's PCHIP likewise.
TEST(MonotoneCubic, MatchesAnIndependentImplementationOnDataThatTurn) {
  const MonotoneCubic curve({0, 1, 2, 4, 5}, {0, 3, 2.5, 2.6, 0});
  constexpr std::array<double, 5> kX{0.2, 1.4, 2.9, 3.7, 4.8};
  constexpr std::array<double, 5> kY{0.92, 2.8240000000000003, 2.542525, 2.593925,
                                     0.7162666666666674};
  for (std::size_t i = 0; i < kX.size(); ++i) {
    EXPECT_NEAR(curve.Value(kX[i]), kY[i], 1e-14) << kX[i];
  }
}

TEST(MonotoneCubic, RisesWhereItsPointsRise) {
  for (unsigned seed = 1; seed <= 50; ++seed) {
    std::mt19937 random(seed);
    std::exponential_distribution<double> step(1.0);
    std::vector<double> x{0.0}, y{0.0};
    for (int i = 0; i < 12; ++i) {
      x.push_back(x.back() + 0.01 + step(random));
      y.push_back(y.back() + std::pow(step(random), 4.0));
    }
    const MonotoneCubic curve(x, y);
    double last = curve.Value(-1.0);
    for (double at = -1.0; at < x.back() + 1.0; at += x.back() / 5000) {
      // Round-off where the curve is flat.
      EXPECT_GE(curve.Value(at), last - 1e-14 * y.back()) << "seed " << seed << ", x = " << at;
      EXPECT_GE(curve.Slope(at), -1e-13 * y.back()) << "seed " << seed << ", x = " << at;
      last = curve.Value(at);
    }
  }
}

TEST(MonotoneCubic, IsExactAtItsPoints) {
  const std::vector<double> x{-2, 0.1, 0.3, 7}, y{5, 4.9, -1, -1.5};
  const MonotoneCubic curve(x, y);
  for (std::size_t i = 0; i < x.size(); ++i) EXPECT_EQ(curve.Value(x[i]), y[i]);
}

TEST(MonotoneCubic, SlopeMatchesDifferencesAndIsContinuous) {
  const std::vector<double> x{0, 0.25, 0.5, 0.75, 1}, y{0, 0.3309, 0.7314, 0.9405, 1};
  const MonotoneCubic curve(x, y);
  constexpr double kStep = 1e-5;
  for (double at = -0.2; at < 1.2; at += 0.003) {
    const double difference = (curve.Value(at + kStep) - curve.Value(at - kStep)) / (2 * kStep);
    // Up to step * jump of the second derivative (below 10) / 4 where the step spans a point.
    EXPECT_NEAR(curve.Slope(at), difference, 3e-5) << at;
  }
  for (double point : x) {
    EXPECT_NEAR(curve.Slope(point - 1e-12), curve.Slope(point + 1e-12), 1e-10) << point;
  }
}

TEST(MonotoneCubic, TwoPointsGiveALineThroughAndBeyondThem) {
  const MonotoneCubic line({1, 3}, {10, 20});
  for (double x : {-1.0, 1.0, 1.7, 3.0, 9.0}) {
    EXPECT_DOUBLE_EQ(line.Value(x), 5.0 + 5.0 * x);
    EXPECT_DOUBLE_EQ(line.Slope(x), 5.0);
  }
}

TEST(MonotoneCubic, IsStraightBeyondItsEnds) {
  const MonotoneCubic curve({0, 1, 2}, {0, 1, 4});
  EXPECT_DOUBLE_EQ(curve.Value(3.0), 4.0 + curve.Slope(2.0));
  EXPECT_DOUBLE_EQ(curve.Slope(3.0), curve.Slope(2.0));
  EXPECT_DOUBLE_EQ(curve.Value(-2.0), -2.0 * curve.Slope(0.0));
}

TEST(MonotoneCubic, RefusesPointsThatMakeNoCurve) {
  EXPECT_THROW(MonotoneCubic({0}, {0}), std::invalid_argument);
  EXPECT_THROW(MonotoneCubic({0, 1}, {0}), std::invalid_argument);
  EXPECT_THROW(MonotoneCubic({0, 0}, {0, 1}), std::invalid_argument);
  EXPECT_THROW(MonotoneCubic({0, 2, 1}, {0, 1, 2}), std::invalid_argument);
  EXPECT_THROW(MonotoneCubic({0, std::nan("")}, {0, 1}), std::invalid_argument);
}

}  // namespace
}  // namespace handwheel
