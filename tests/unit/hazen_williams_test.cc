#include "correlations/hazen_williams.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace handwheel {
namespace {

// The formula as its authors gave it: V = 0.849 C R^0.63 S^0.54 (A. Hazen and G. S. Williams 1905,
// in metres and seconds). 1.852 for 1/0.54 moves the head by 0.15 % here: hence 0.2 %.
TEST(HazenWilliams, IsTheVelocityFormulaSolvedForHead) {
  const double length = 250.0, bore = 0.2, coefficient = 120.0;
  const HazenWilliams pipe(length, bore, coefficient);
  for (double gradient : {1e-4, 1e-3, 1e-2, 0.1}) {
    const double velocity =
        0.849 * coefficient * std::pow(bore / 4.0, 0.63) * std::pow(gradient, 0.54);
    const double flow = velocity * 0.25 * std::numbers::pi * bore * bore;
    EXPECT_NEAR(pipe.At(flow).head, gradient * length, 0.002 * gradient * length);
  }
}

// E. Alperovits and U. Shamir, Water Resour. Res. 13, 885-900, 1977 (two-loop network): node 1 at
// 210 m feeds 1120 m³/h through 1000 m of 18 in pipe, C 130, to node 2 at 150 m, where the solution
// printed by D. A. Savic and G. A. Walters 1997 has 53.25 m (memory; reproduced).
TEST(HazenWilliams, MatchesTheFirstPipeOfTheTwoLoopNetwork) {
  const HazenWilliams pipe(1000.0, 18 * 0.0254, 130.0);
  EXPECT_NEAR(210.0 - 150.0 - pipe.At(1120.0 / 3600.0).head, 53.25, 0.006);
}

TEST(HazenWilliams, IsOddAndRises) {
  const HazenWilliams pipe(100.0, 0.1, 130.0);
  double last = -1.0;
  for (double flow : {0.0, 1e-9, 1e-7, 5e-7, 8e-7, 1e-6, 1e-5, 1e-3, 0.1}) {
    const auto forward = pipe.At(flow);
    const auto backward = pipe.At(-flow);
    EXPECT_EQ(forward.head, -backward.head);
    EXPECT_EQ(forward.slope, backward.slope);
    EXPECT_GT(forward.slope, 0.0);
    EXPECT_GT(forward.head, last);
    last = forward.head;
  }
}

TEST(HazenWilliams, ValueAndSlopeMeetAtTheSlowBorder) {
  const HazenWilliams pipe(100.0, 0.1, 130.0);
  const auto below = pipe.At(pipe.slow_flow * (1.0 - 1e-12));
  const auto above = pipe.At(pipe.slow_flow * (1.0 + 1e-12));
  EXPECT_NEAR(below.head, above.head, 1e-11 * above.head);
  EXPECT_NEAR(below.slope, above.slope, 1e-11 * above.slope);
}

TEST(HazenWilliams, SlopeMatchesDifferencesOnBothSidesOfTheBorder) {
  const HazenWilliams pipe(100.0, 0.1, 130.0);
  for (double flow : {0.0, 0.3, 0.99, 1.01, 5.0, 1e4}) {
    const double at = flow * pipe.slow_flow;
    const double step = 1e-5 * std::max(at, pipe.slow_flow);
    const double difference = (pipe.At(at + step).head - pipe.At(at - step).head) / (2.0 * step);
    EXPECT_NEAR(pipe.At(at).slope, difference, 1e-8 * difference) << flow;
  }
}

// As stated in the header: 4e-8 m in a kilometre of 100 mm pipe.
TEST(HazenWilliams, SlowFlowDiffersFromThePowerLawByLessThanAnyGaugeShows) {
  const HazenWilliams pipe(1000.0, 0.1, 130.0);
  for (double share = 0.01; share < 1.0; share += 0.01) {
    const double flow = share * pipe.slow_flow;
    const double power_law = pipe.resistance * std::pow(flow, HazenWilliams::kExponent);
    EXPECT_NEAR(pipe.At(flow).head, power_law, 4e-8) << share;
  }
}

}  // namespace
}  // namespace handwheel
