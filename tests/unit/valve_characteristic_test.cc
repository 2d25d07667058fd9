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

// phi = R^(h-1), the equal-percentage law: each tenth of travel multiplies by R^0.1 (1.4051 at
// R = 30; by the formula).
TEST(ValveCharacteristic, EqualPercentageFollowsItsRangeability) {
  const MonotoneCubic curve = EqualPercentage(30.0);
  EXPECT_EQ(curve.Value(1.0), 1.0);
  EXPECT_EQ(curve.Value(0.0), 0.0);
  for (double h : {0.1, 0.3, 0.55, 0.9}) {
    EXPECT_NEAR(curve.Value(h), std::pow(30.0, h - 1.0), 1e-12);
    EXPECT_NEAR(curve.Value(h + 0.1) / curve.Value(h), 1.4051, 1e-4);
  }
  const MonotoneCubic own = RelativeCoefficient(*FindValveKind("control equal-percentage"));
  for (double h : {0.1, 0.42, 0.8}) {
    EXPECT_NEAR(EqualPercentage(50.0).Value(h), own.Value(h), 1e-6);  // six digits in the table
  }
}

// IEC 60534-2-1's typical values (from memory), which it has for rotary valves at 60 and 70
// degrees: full-bore ball 0.74 at 70; centred disc 0.62 at 70 and 0.70 at 60.
TEST(ValveCharacteristic, PressureRecoveryMatchesTheStandard) {
  const auto fl = [](std::string_view kind, double opening) {
    return PressureRecovery(*FindValveKind(kind), opening);
  };
  EXPECT_NEAR(fl("ball", 70.0 / 90.0), 0.74, 0.005);
  EXPECT_NEAR(fl("butterfly", 70.0 / 90.0), 0.62, 0.005);
  EXPECT_NEAR(fl("butterfly", 60.0 / 90.0), 0.70, 0.05);  // one line for both: trust it to 0.05
  EXPECT_EQ(fl("globe", 1.0), 0.90);
  EXPECT_EQ(fl("globe", 0.1), 0.90);
  EXPECT_EQ(FindValveKind("globe")->style_modifier.value, 0.46);
  EXPECT_EQ(FindValveKind("angle")->style_modifier.value, 0.46);
  EXPECT_EQ(FindValveKind("ball")->style_modifier.value, 0.99);
  EXPECT_EQ(FindValveKind("butterfly")->style_modifier.value, 0.57);
}

// Common practice, no source: ranges of the trade.
TEST(ValveCharacteristic, HandwheelTurnsAreThoseOfTheTrade) {
  const auto turns = [](std::string_view kind, double bore) {
    return HandwheelTurns(*FindValveKind(kind), bore);
  };
  for (const double bore : {0.015, 0.025, 0.032}) {
    EXPECT_GE(turns("diaphragm weir", bore), 2.0);
    EXPECT_LE(turns("diaphragm weir", bore), 5.0);
  }
  EXPECT_GE(turns("diaphragm weir", 0.1), 6.0);
  EXPECT_LE(turns("diaphragm weir", 0.1), 10.0);
  for (const char* kind : {"ball", "butterfly", "plug"}) {
    EXPECT_EQ(turns(kind, 0.08), 0.25);
    EXPECT_TRUE(FindValveKind(kind)->quarter_turn);
    EXPECT_EQ(StemTravel(*FindValveKind(kind), 0.08), 0.0);
  }
  EXPECT_NEAR(StemTravel(*FindValveKind("diaphragm weir"), 0.08), 0.032, 1e-12);
  EXPECT_NEAR(StemTravel(*FindValveKind("gate"), 0.08), 0.080, 1e-12);
}

TEST(ValveCharacteristic, LiningThickensWithSize) {
  EXPECT_EQ(DefaultLiningThickness(0.025), 0.002);
  EXPECT_EQ(DefaultLiningThickness(0.080), 0.003);
  EXPECT_EQ(DefaultLiningThickness(0.200), 0.003);
  EXPECT_EQ(DefaultLiningThickness(0.250), 0.0045);
  EXPECT_EQ(DefaultLiningThickness(0.500), 0.006);
}

// DOE-HDBK-1018/2-93, Zappe, and makers' pages: who throttles, who takes solids, who stands vacuum.
TEST(ValveCharacteristic, KindsSuitWhatHandbooksSay) {
  for (const char* kind : {"diaphragm weir", "pinch open frame", "globe", "butterfly"}) {
    EXPECT_TRUE(FindValveKind(kind)->throttling.suits) << kind;
  }
  for (const char* kind : {"gate", "ball", "diaphragm straight-through"}) {
    EXPECT_FALSE(FindValveKind(kind)->throttling.suits) << kind;
  }
  EXPECT_TRUE(FindValveKind("pinch open frame")->slurry.suits);
  EXPECT_TRUE(FindValveKind("pinch enclosed body")->vacuum.suits);
  EXPECT_FALSE(FindValveKind("pinch open frame")->vacuum.suits);
  EXPECT_FALSE(FindValveKind("globe")->slurry.suits);
}

TEST(ValveCharacteristic, EveryKindSaysWhereItsDataComeFrom) {
  for (const std::string& name : ValveKindNames()) {
    const ValveKind& kind = *FindValveKind(name);
    EXPECT_FALSE(kind.what_it_is.empty() || kind.when_not_to_use.empty()) << name;
    for (const Source& source :
         {kind.full_open_k_source, kind.characteristic_source, kind.recovery_fully_open.source,
          kind.recovery_nearly_shut.source, kind.style_modifier.source,
          kind.travel_over_bore.source, kind.turns_of_any_size.source, kind.turndown.source,
          kind.least_throttle.source, kind.throttling.source, kind.solids.source,
          kind.slurry.source, kind.vacuum.source}) {
      EXPECT_FALSE(source.text.empty()) << name;
      EXPECT_FALSE(TrustWord(source.trust).empty()) << name;
    }
    // FL within what IEC 60534-2-1 knows, and falling, or level, as the valve opens.
    EXPECT_GE(kind.recovery_fully_open.value, 0.5) << name;
    EXPECT_LE(kind.recovery_nearly_shut.value, 1.0) << name;
    EXPECT_GE(kind.recovery_nearly_shut.value, kind.recovery_fully_open.value) << name;
    EXPECT_GT(kind.style_modifier.value, 0.0) << name;
    EXPECT_LE(kind.style_modifier.value, 1.0) << name;
    EXPECT_GE(kind.turndown.value, 1.0) << name;
    EXPECT_GT(kind.least_throttle.value, 0.0) << name;
    EXPECT_LT(kind.least_throttle.value, 1.0) << name;
    EXPECT_GT(HandwheelTurns(kind, 0.08), 0.0) << name;
  }
}

}  // namespace
}  // namespace handwheel
