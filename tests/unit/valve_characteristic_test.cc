#include "correlations/valve_characteristic.h"

#include <gtest/gtest.h>

#include <cmath>
#include <utility>
#include <vector>

namespace handwheel {
namespace {

double Phi(std::string_view kind, double opening) {
  return RelativeCoefficient(*FindValveKind(kind)).Value(opening);
}

// K of the kind at an opening, by its own full-open K.
double KAt(std::string_view kind, double opening) {
  const double phi = Phi(kind, opening);
  return FindValveKind(kind)->full_open_k / (phi * phi);
}

// Perry's Chemical Engineers' Handbook, local-loss table. The points are kept to four decimals of
// the relative coefficient: 0.1 % of K, and 0.3 % where that is below 0.05.
TEST(ValveCharacteristic, WeirDiaphragmMatchesPerry) {
  for (auto [opening, k] : {std::pair{1.0, 2.3}, {0.75, 2.6}, {0.5, 4.3}, {0.25, 21.0}}) {
    EXPECT_NEAR(KAt("diaphragm weir", opening), k, 0.001 * k) << opening;
  }
}

TEST(ValveCharacteristic, GateMatchesPerry) {
  for (auto [opening, k] : {std::pair{1.0, 0.17}, {0.75, 0.9}, {0.5, 4.5}, {0.25, 24.0}}) {
    EXPECT_NEAR(KAt("gate", opening), k, 0.001 * k) << opening;
  }
}

// Perry's plug disc has K 9.0 fully open; its relative coefficients carry over to other seats.
TEST(ValveCharacteristic, GlobeMatchesPerrysPlugDisc) {
  for (auto [opening, k] : {std::pair{1.0, 9.0}, {0.75, 13.0}, {0.5, 36.0}, {0.25, 112.0}}) {
    EXPECT_NEAR(Phi("globe", opening), std::sqrt(9.0 / k), 0.6e-4) << opening;
  }
}

TEST(ValveCharacteristic, QuarterTurnValvesMatchPerryByAngle) {
  const auto opening = [](double degrees_shut) { return 1.0 - degrees_shut / 90.0; };
  for (auto [degrees, k] : {std::pair{5, 0.05}, {10, 0.29}, {20, 1.56}, {40, 17.3}, {60, 206.0}}) {
    EXPECT_NEAR(KAt("plug", opening(degrees)), k, 0.003 * k) << degrees;
    EXPECT_NEAR(KAt("ball", opening(degrees)), k, 0.003 * k) << degrees;
  }
  for (auto [degrees, k] : {std::pair{5, 0.24}, {10, 0.52}, {20, 1.54}, {40, 10.8}, {60, 118.0}}) {
    EXPECT_NEAR(KAt("butterfly", opening(degrees)), k, 0.003 * k) << degrees;
  }
}

// Another published table, of university-text style: a ball valve one third shut K 5.5, two thirds
// shut K 200. Tables of partly open valves agree within 20 % of the coefficient at best.
TEST(ValveCharacteristic, BallAgreesWithAnotherTable) {
  EXPECT_NEAR(Phi("ball", 2.0 / 3.0), std::sqrt(0.05 / 5.5), 0.2 * std::sqrt(0.05 / 5.5));
  EXPECT_NEAR(Phi("ball", 1.0 / 3.0), std::sqrt(0.05 / 200), 0.2 * std::sqrt(0.05 / 200));
}

// The sleeve's geometry, as in the source: two flats and two half-circles of constant perimeter.
TEST(ValveCharacteristic, PinchFollowsTheGeometryOfItsSleeve) {
  const auto k = [](double gap) {
    const double area = 2.0 * gap - gap * gap;
    const double contraction = 0.62 + 0.38 * area * area * area;
    return 0.2 + std::pow(1.0 / (contraction * area) - 1.0, 2);
  };
  // Points to four decimals; between them the cubic is off by less than 0.005.
  for (double gap = 0.02; gap < 1.0; gap += 0.01) {
    EXPECT_NEAR(Phi("pinch open frame", gap), std::sqrt(0.2 / k(gap)), 0.005) << gap;
  }
  for (const CharacteristicPoint& point : FindValveKind("pinch open frame")->characteristic) {
    if (point.opening == 0.0) continue;
    EXPECT_NEAR(point.relative_coefficient, std::sqrt(0.2 / k(point.opening)), 0.6e-4);
  }
}

// R. W. Zappe, Valve Selection Handbook: a pinch valve controls little until half pinched. Half
// open in area terms is still 75 %; ours keeps more than half its coefficient there.
TEST(ValveCharacteristic, PinchControlsLittleBeforeHalfPinched) {
  EXPECT_GT(Phi("pinch enclosed body", 0.5), 0.5);
  EXPECT_GT(Phi("pinch enclosed body", 0.75), 0.95);
}

TEST(ValveCharacteristic, EqualPercentageFollowsItsLawAndShuts) {
  for (double opening = 0.05; opening <= 1.0; opening += 0.01) {
    const double law = std::pow(50.0, opening - 1.0);
    // The bend towards zero at shut reaches one interval up.
    const double tolerance = opening < 0.1 ? 0.025 : 0.001;
    EXPECT_NEAR(Phi("control equal-percentage", opening), law, tolerance * law) << opening;
  }
  EXPECT_EQ(Phi("control equal-percentage", 0.0), 0.0);
}

TEST(ValveCharacteristic, LinearIsLinear) {
  for (double opening : {0.0, 0.3, 0.77, 1.0}) {
    EXPECT_DOUBLE_EQ(Phi("control linear", opening), opening);
  }
}

TEST(ValveCharacteristic, EveryKindShutsFullyAndNeverCloses) {
  for (const std::string& name : ValveKindNames()) {
    const ValveKind* kind = FindValveKind(name);
    ASSERT_NE(kind, nullptr);
    EXPECT_GT(kind->full_open_k, 0.0);
    const MonotoneCubic phi = RelativeCoefficient(*kind);
    EXPECT_EQ(phi.Value(0.0), 0.0) << name;
    EXPECT_EQ(phi.Value(1.0), 1.0) << name;
    double last = 0.0;
    for (int step = 1; step <= 2000; ++step) {
      const double value = phi.Value(step / 2000.0);
      EXPECT_GT(value, 0.0) << name;
      EXPECT_GE(value, last - 1e-15) << name << " at " << step / 2000.0;
      last = value;
    }
  }
}

TEST(ValveCharacteristic, KnowsTheKindsOfNetworkFiles) {
  const std::vector<std::string> expected{"diaphragm weir",
                                          "diaphragm straight-through",
                                          "pinch enclosed body",
                                          "pinch open frame",
                                          "gate",
                                          "globe",
                                          "angle",
                                          "ball",
                                          "butterfly",
                                          "plug",
                                          "needle",
                                          "control linear",
                                          "control equal-percentage"};
  EXPECT_EQ(ValveKindNames(), expected);
  EXPECT_EQ(FindValveKind("weir"), nullptr);
}

}  // namespace
}  // namespace handwheel
