#include "steady/relaxation.h"

#include <gtest/gtest.h>

#include <cmath>

namespace handwheel {
namespace {

// x = slope * x + 1, whose solution is 1 / (1 - slope).
double Followed(double slope, int rounds) {
  Relaxation relaxation;
  double x = 0.0;
  for (int i = 0; i < rounds; ++i) {
    const double change = slope * x + 1.0 - x;
    x += relaxation.Next({change}) * change;
  }
  return x;
}

// Two changes tell a straight line; 1e-14 is round-off.
TEST(Relaxation, SolvesOneLinearUnknownInThreeRounds) {
  for (const double slope : {-0.9, -0.3, 0.2, 0.95}) {
    EXPECT_NEAR(Followed(slope, 3), 1.0 / (1.0 - slope), 1e-14 / (1.0 - slope)) << slope;
  }
}

TEST(Relaxation, StartsWithTheWholeChange) {
  Relaxation relaxation;
  EXPECT_EQ(relaxation.Next({0.5, -2.0}), 1.0);
  relaxation.Next({0.25, -1.0});
  relaxation.Restart();
  EXPECT_EQ(relaxation.Next({0.5, -2.0}), 1.0);
}

TEST(Relaxation, StartsAgainWhenTheUnknownsAreOthers) {
  Relaxation relaxation;
  relaxation.Next({0.5});
  EXPECT_NE(relaxation.Next({0.25}), 1.0);
  EXPECT_EQ(relaxation.Next({0.5, 1.0}), 1.0);
}

TEST(Relaxation, NeverLeavesItsBounds) {
  Relaxation relaxation;
  relaxation.Next({1.0});
  EXPECT_EQ(relaxation.Next({2.0}), 1.0);  // -1: away from the solution
  EXPECT_EQ(relaxation.Next({2.0}), 1.0);  // no change of the change
}

}  // namespace
}  // namespace handwheel
