#include "optimise/distributions.h"

#include <gtest/gtest.h>

#include <cmath>

namespace handwheel {
namespace {

// NIST/SEMATECH e-Handbook of Statistical Methods, tables 1.3.6.7.1 to 1.3.6.7.4 (three decimals;
// from memory): hence 5e-4.
constexpr double kPrinted = 5.1e-4;

TEST(Distributions, NormalQuantilesAreThoseInPrint) {
  EXPECT_NEAR(NormalQuantile(0.975), 1.960, kPrinted);
  EXPECT_NEAR(NormalQuantile(0.95), 1.645, kPrinted);
  EXPECT_NEAR(NormalQuantile(0.025), -1.960, kPrinted);
}

TEST(Distributions, StudentQuantilesAreThoseInPrint) {
  EXPECT_NEAR(StudentQuantile(0.975, 1), 12.706, kPrinted);
  EXPECT_NEAR(StudentQuantile(0.975, 5), 2.571, kPrinted);
  EXPECT_NEAR(StudentQuantile(0.975, 30), 2.042, kPrinted);
  EXPECT_NEAR(StudentQuantile(0.95, 10), 1.812, kPrinted);
}

// With one degree of freedom Student's is Cauchy's: tan(pi (p - 1/2)).
TEST(Distributions, StudentWithOneDegreeIsCauchy) {
  EXPECT_NEAR(StudentQuantile(0.75, 1), 1.0, 1e-12);
}

TEST(Distributions, ChiSquareTailsAreThoseInPrint) {
  EXPECT_NEAR(ChiSquareTail(3.841, 1), 0.05, 1e-4);
  EXPECT_NEAR(ChiSquareTail(11.070, 5), 0.05, 1e-4);
  EXPECT_NEAR(ChiSquareTail(18.307, 10), 0.05, 1e-4);
  // With two degrees it is exp(-x/2).
  EXPECT_NEAR(ChiSquareTail(3.0, 2), std::exp(-1.5), 1e-14);
}

}  // namespace
}  // namespace handwheel
