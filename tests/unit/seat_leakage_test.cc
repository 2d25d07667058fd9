#include "correlations/seat_leakage.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <utility>

namespace handwheel {
namespace {

constexpr double kInch = 0.0254;           // [m]
constexpr double kMlPerMin = 1e-6 / 60.0;  // [m³/s]

TestedSeat Nps(double inches, double nominal_bore) {
  return {.nominal_bore = nominal_bore, .nominal_inches = inches * kInch, .test_drop = 21.6e5};
}
double MlPerMin(std::string_view name, const TestedSeat& seat) {
  return LeakFlowInTest(name, seat).value() / kMlPerMin;
}

// API 598 as tabulated on two valve-service pages: metal-seat checks of NPS 6, 12 and 24.
TEST(SeatLeakage, MatchesApi598MetalChecks) {
  EXPECT_NEAR(MlPerMin("API 598 metal check", Nps(6, 0.15)), 18.0, 1e-9);
  EXPECT_NEAR(MlPerMin("API 598 metal check", Nps(12, 0.3)), 36.0, 1e-9);
  EXPECT_NEAR(MlPerMin("API 598 metal check", Nps(24, 0.6)), 72.0, 1e-9);
}

// The same, gate valve of NPS 8: 16 drops a minute of 1/16 ml; nothing to NPS 2.
TEST(SeatLeakage, MatchesApi598MetalSeats) {
  EXPECT_NEAR(16.0 * MlPerMin("API 598 metal seat", Nps(8, 0.2)), 16.0, 1e-9);
  EXPECT_EQ(MlPerMin("API 598 metal seat", Nps(2, 0.05)), 0.0);
  EXPECT_EQ(MlPerMin("API 598 resilient", Nps(8, 0.2)), 0.0);
  EXPECT_EQ(SeatLeak("API 598 resilient", Nps(8, 0.2)).value().av(), 0.0);
  EXPECT_EQ(SeatLeak("API 598 metal seat", Nps(2, 0.05)).value().av(), 0.0);
}

// A piping reference page: rate D at DN 50 is 4.8 drops a minute, MSS SP-61 at NPS 6 15.96.
TEST(SeatLeakage, MatchesPublishedDrops) {
  EXPECT_NEAR(16.0 * MlPerMin("ISO 5208 D", Nps(2, 0.05)), 4.8, 1e-9);
  EXPECT_NEAR(16.0 * MlPerMin("MSS SP-61", Nps(6, 0.15)), 15.96, 0.003 * 15.96);
}

// The standards among themselves: rate D is MSS SP-61's to 10 %, rate G the metal check's to 2 %.
TEST(SeatLeakage, StandardsAgreeWhereTheyMeet) {
  const TestedSeat seat = Nps(6, 0.1524);
  EXPECT_NEAR(MlPerMin("MSS SP-61", seat) / MlPerMin("ISO 5208 D", seat), 1.0, 0.10);
  EXPECT_NEAR(MlPerMin("API 598 metal check", seat) / MlPerMin("ISO 5208 G", seat), 1.0, 0.02);
}

TEST(SeatLeakage, Iso5208RatesRise) {
  double last = -1.0;
  for (const char* letter : {"A", "AA", "B", "C", "CC", "D", "E", "EE", "F", "G"}) {
    const double rate = MlPerMin(std::string("ISO 5208 ") + letter, Nps(3, 0.08));
    EXPECT_GT(rate, last) << letter;
    last = rate;
  }
}

// Worked out by hand: 18 ml/min at 21.6 bar is a Kv of 2.324e-4, and 7.746 ml/min at 4 bar.
TEST(SeatLeakage, CoefficientMatchesHandCalculation) {
  const FlowCoefficient leak = SeatLeak("API 598 metal check", Nps(6, 0.15)).value();
  EXPECT_NEAR(leak.kv(), 2.324e-4, 0.001 * 2.324e-4);
  const double at_4_bar = leak.av() * std::sqrt(4e5 / FlowCoefficient::kReferenceDensity);
  EXPECT_NEAR(at_4_bar / kMlPerMin, 7.746, 0.001 * 7.746);
}

// An engineering forum on FCI 70-2: class IV of a valve rated 125 000 m³/h is 208 333 ml/min (there
// with the unit slipped to litres).
TEST(SeatLeakage, ClassesAreSharesOfTheRatedCoefficient) {
  TestedSeat seat = Nps(6, 0.15);
  seat.test_drop = 3.5e5;
  const double pass = 125000.0 / 3600.0;  // [m³/s]
  seat.rated =
      FlowCoefficient::FromAv(pass * std::sqrt(FlowCoefficient::kReferenceDensity / 3.5e5));
  EXPECT_NEAR(MlPerMin("FCI 70-2 class IV", seat), 208333.0, 1.0);
  const double rated = seat.rated.av();
  EXPECT_DOUBLE_EQ(SeatLeak("FCI 70-2 class II", seat).value().av(), 0.005 * rated);
  EXPECT_DOUBLE_EQ(SeatLeak("FCI 70-2 class III", seat).value().av(), 0.001 * rated);
  EXPECT_DOUBLE_EQ(SeatLeak("IEC 60534-4 class IV", seat).value().av(), 0.0001 * rated);
}

// FCI 70-2 class V, in SI: 5e-12 m³/s per mm of port and bar as printed, rounded from 4.76e-12.
TEST(SeatLeakage, ClassVMatchesItsMetricForm) {
  TestedSeat seat = Nps(100.0 / 25.4, 0.1);
  seat.test_drop = 10e5;
  EXPECT_NEAR(LeakFlowInTest("FCI 70-2 class V", seat).value(), 4.76e-12 * 100 * 10, 1e-11);
  EXPECT_NEAR(LeakFlowInTest("FCI 70-2 class V", seat).value(), 5e-9, 0.05 * 5e-9);
}

// The table of FCI 70-2 at its ports, ml/min of air; between, as the square of the diameter.
TEST(SeatLeakage, ClassVIMatchesItsTable) {
  for (auto [port, ml] :
       {std::pair{0.5, 0.15}, {1.0, 0.15}, {3.0, 0.90}, {8.0, 6.75}, {16.0, 28.4}}) {
    EXPECT_NEAR(MlPerMin("FCI 70-2 class VI", Nps(port, 0.0254 * port)), ml, 1e-9) << port;
  }
  EXPECT_NEAR(MlPerMin("FCI 70-2 class VI", Nps(5, 0.125)), 1.70 + 2.30 * 9.0 / 20.0, 1e-9);
  EXPECT_NEAR(MlPerMin("FCI 70-2 class VI", Nps(32, 0.8)), 4.0 * 28.4, 1e-9);
  // By hand for the 1 in port: 3.06e-9 kg/s of air through 2.89e-12 m², an Av of 4.08e-12 m².
  EXPECT_NEAR(SeatLeak("FCI 70-2 class VI", Nps(1, 0.025)).value().av(), 4.08e-12, 0.02e-12);
}

TEST(SeatLeakage, KnowsItsNames) {
  EXPECT_EQ(LeakageRateNames().size(), 24u);
  for (const std::string& name : LeakageRateNames()) {
    const LeakageRate* rate = FindLeakageRate(name);
    ASSERT_NE(rate, nullptr);
    EXPECT_EQ(rate->name, name);
    EXPECT_FALSE(rate->what.empty());
    EXPECT_FALSE(rate->source.text.empty());
    EXPECT_GE(SeatLeak(name, Nps(4, 0.1)).value().av(), 0.0);
  }
  EXPECT_EQ(FindLeakageRate("API 598"), nullptr);
  EXPECT_FALSE(SeatLeak("ISO 5208 H", Nps(4, 0.1)).has_value());
  EXPECT_EQ(LeakFlowInTest("ISO 5208 H", Nps(4, 0.1)), std::nullopt);
}

}  // namespace
}  // namespace handwheel
