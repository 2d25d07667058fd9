#include "correlations/roughness.h"

#include <gtest/gtest.h>

namespace handwheel {
namespace {

// Moody 1944 gives 0.00015 ft (0.0457 mm) for commercial steel, Geankoplis 4.6e-5 m; White, Cengel
// 0.002 mm for stainless and 0.26 mm for cast iron.
TEST(Roughness, MatchesTextbookTables) {
  EXPECT_DOUBLE_EQ(RoughnessOf("commercial steel").value(), 4.5e-5);  // 0.045 to 0.046 in print
  EXPECT_DOUBLE_EQ(RoughnessOf("stainless steel").value(), 2e-6);
  EXPECT_DOUBLE_EQ(RoughnessOf("cast iron").value(), 0.26e-3);
}

// L. F. Moody 1944: relative roughness 0.0008 of 6 inch asphalted cast iron, one digit.
TEST(Roughness, AsphaltedCastIronMatchesMoodysExample) {
  EXPECT_NEAR(RoughnessOf("asphalted cast iron").value() / 0.1524, 0.0008, 0.00005);
}

TEST(Roughness, EveryNameIsFoundAndPlausible) {
  for (const std::string& name : MaterialNames()) {
    const double roughness = RoughnessOf(name).value();
    EXPECT_GE(roughness, 1.5e-6) << name;
    EXPECT_LE(roughness, 3e-3) << name;
  }
  EXPECT_FALSE(RoughnessOf("Commercial Steel"));
  EXPECT_FALSE(RoughnessOf(""));
}

}  // namespace
}  // namespace handwheel
