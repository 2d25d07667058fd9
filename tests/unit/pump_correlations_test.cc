#include "correlations/pump_correlations.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace handwheel {
namespace {

constexpr double kFoot = 0.3048;        // [m]
constexpr double kGpm = 6.30901964e-5;  // [m³/s]
constexpr double kGravity = 9.80665;    // [m/s²]
constexpr double kHour = 3600.0;        // [s]

// DOE-HDBK-1012/3-92, pump laws: 400 gpm, 48 ft, 45 kW at 1800 rev/min; 800 gpm printed at 3600.
// Head and power follow by its own laws.
TEST(PumpCorrelations, AffinityMatchesTheDoeHandbook) {
  const PumpDuty duty = AtSpeedRatio({400 * kGpm, 48 * kFoot, 45e3}, 3600.0 / 1800.0);
  EXPECT_NEAR(duty.flow / kGpm, 800.0, 1e-9);
  EXPECT_NEAR(duty.head / kFoot, 192.0, 1e-9);
  EXPECT_NEAR(duty.power, 360e3, 1e-6);
}

// A text-book exercise (inputs seen, answer from memory): H = 7.46 - 0.0453 Q² on a system of
// 3.52 + 0.0261 Q², m and L/min, meets at 7.43 L/min and 4.96 m; three digits.
TEST(PumpCorrelations, PowerCurveMeetsATextbookSystem) {
  const PowerCurve pump{7.46, 0.0453, 2.0};
  double low = 0.0, high = 20.0;
  for (int i = 0; i < 60; ++i) {
    const double q = 0.5 * (low + high);
    (pump.Head(q) > 3.52 + 0.0261 * q * q ? low : high) = q;
  }
  EXPECT_NEAR(low, 7.43, 0.001 * 7.43);
  EXPECT_NEAR(pump.Head(low), 4.96, 0.001 * 4.96);
}

// ANSI/HI 9.6.7, its example (from memory): water BEP 110 m³/h, 77 m, 2950 rev/min, 68 %; 120 cSt,
// relative density 0.90. Its B of 5.50 is by the constant for US units, 0.4 % from the metric one.
TEST(PumpCorrelations, ViscousCorrectionMatchesTheStandardsExample) {
  const ViscousCorrection c = CorrectForViscosity({110.0 / kHour, 77.0, 2950.0, 0.68}, 120e-6);
  EXPECT_TRUE(c.applies);
  EXPECT_NEAR(c.b, 5.50, 0.005 * 5.50);
  EXPECT_NEAR(c.flow_factor, 0.938, 0.0005);
  EXPECT_NEAR(c.HeadFactor(1.0), 0.938, 0.0005);
  EXPECT_NEAR(c.efficiency_factor, 0.738, 0.0005);
  const double flow = 110.0 * c.flow_factor, head = 77.0 * c.HeadFactor(1.0);
  const double efficiency = 0.68 * c.efficiency_factor;
  EXPECT_NEAR(flow, 103.2, 0.005 * 103.2);
  EXPECT_NEAR(head, 72.2, 0.005 * 72.2);
  EXPECT_NEAR(efficiency, 0.50, 0.005);
  EXPECT_NEAR(flow * head * 0.90 / (367.0 * efficiency), 36.4, 0.005 * 36.4);  // [kW]
  // The formula worked out by hand.
  EXPECT_NEAR(c.HeadFactor(0.6), 0.9576, 0.0001);
  EXPECT_NEAR(c.HeadFactor(0.8), 0.9474, 0.0001);
  EXPECT_NEAR(c.HeadFactor(1.2), 0.9286, 0.0001);
  EXPECT_EQ(c.HeadFactor(0.0), 1.0);
}

// The US form of B, 26.6 nu^0.5 H^0.0625/(Q^0.375 N^0.25) in gpm and ft, as printed: 0.5 %.
TEST(PumpCorrelations, ViscousParameterMatchesItsUsForm) {
  const WaterDuty best{440 * kGpm, 300 * kFoot, 3550.0, 0.7};
  const double us = 26.6 * std::sqrt(50.0) * std::pow(300.0, 0.0625) /
                    (std::pow(440.0, 0.375) * std::pow(3550.0, 0.25));
  EXPECT_NEAR(CorrectForViscosity(best, 50e-6).b, us, 0.005 * us);
  // From a viscous duty: 4.70 nu^0.5/(Q^0.25 H^0.125) in gpm and ft. Three digits each.
  const double us_from_duty =
      4.70 * std::sqrt(50.0) / (std::pow(440.0, 0.25) * std::pow(300.0, 0.125));
  EXPECT_NEAR(CorrectFromViscousDuty(440 * kGpm, 300 * kFoot, 50e-6).b, us_from_duty,
              0.005 * us_from_duty);
}

// The duty of ANSI/HI 9.6.7's example taken backwards: its formula knows no speed and so finds the
// factor of 0.938 only to 0.01.
TEST(PumpCorrelations, ViscousDutyLeadsBackToWater) {
  const ViscousCorrection c = CorrectFromViscousDuty(103.2 / kHour, 72.2, 120e-6);
  EXPECT_NEAR(c.flow_factor, 0.938, 0.01);
  EXPECT_NEAR(103.2 / c.flow_factor, 110.0, 0.01 * 110.0);
}

TEST(PumpCorrelations, ViscousCorrectionOnlyTakesAway) {
  double last_flow = 1.0, last_efficiency = HUGE_VAL;
  for (double nu = 1e-6; nu < 5e-3; nu *= 1.1) {
    const ViscousCorrection c = CorrectForViscosity({20.0 / kHour, 40.0, 2900.0, 0.6}, nu);
    EXPECT_LE(c.flow_factor, last_flow);
    EXPECT_LE(c.HeadFactor(1.0), c.HeadFactor(0.5));
    EXPECT_EQ(c.applies, c.b < 40.0);
    if (c.b > 1.0) {
      EXPECT_LE(c.efficiency_factor, std::min(last_efficiency, 1.0));
      last_efficiency = c.efficiency_factor;
    }
    last_flow = c.flow_factor;
  }
  // At 1 cSt and B <= 1 nothing changes.
  const ViscousCorrection water = CorrectForViscosity({200.0 / kHour, 40.0, 2900.0, 0.6}, 1e-6);
  EXPECT_LT(water.b, 1.0);
  EXPECT_EQ(water.flow_factor, 1.0);
  EXPECT_NEAR(water.efficiency_factor, 1.0, 1e-12);
  // By hand: 5 cSt at 60 %: (1 - 0.4 5^0.07)/0.6.
  const ViscousCorrection thin = CorrectForViscosity({900.0 / kHour, 40.0, 2900.0, 0.6}, 5e-6);
  ASSERT_LE(thin.b, 1.0);
  EXPECT_NEAR(thin.efficiency_factor, (1.0 - 0.4 * std::pow(5.0, 0.07)) / 0.6, 1e-12);
}

// By hand, Q 110 m³/h, N 2950, CH 0.938, NPSHR 4.15 m, end suction: 4.15 (1 + 0.1 x 0.06610 x
// 274000 x 4.15/(22.99 x 41210)) = 4.183.
TEST(PumpCorrelations, ViscousNpshMatchesHandCalculation) {
  EXPECT_NEAR(ViscousNpshRequired(4.15, 0.938, 110.0 / kHour, 2950.0, SuctionInlet::kEnd), 4.183,
              0.001);
  EXPECT_EQ(ViscousNpshRequired(4.15, 1.0, 110.0 / kHour, 2950.0, SuctionInlet::kSide), 4.15);
  EXPECT_GT(ViscousNpshRequired(4.15, 0.938, 110.0 / kHour, 2950.0, SuctionInlet::kSide),
            ViscousNpshRequired(4.15, 0.938, 110.0 / kHour, 2950.0, SuctionInlet::kEnd));
}

// Practical Pumping Handbook, 4.4.2.5: water at 140 °F (2.889 psia, relative density 0.985) under
// 14.7 psia and 45 ft, 0.378 ft lost. Its terms are 34.474, 45, 6.775 and 0.378 ft; 2.31 ft a psi.
TEST(PumpCorrelations, NpshMatchesAPumpingHandbook) {
  const double psi = kGravity * 1000.0 * 2.31 * kFoot;  // [Pa] where 1000 kg/m³ stands for water
  const SuctionState suction{.surface_pressure = 14.7 * psi,
                             .vapour_pressure = 2.889 * psi,
                             .density = 985.0,
                             .surface_elevation = 45 * kFoot,
                             .head_loss = 0.378 * kFoot};
  EXPECT_NEAR(NpshAvailable(suction, kGravity) / kFoot, 34.474 + 45.0 - 6.775 - 0.378,
              0.001 * 72.3);
}

// A water-treatment text's chapter on NPSH: 34 ft of atmosphere, 15 ft of head, 0.6 ft of vapour,
// 0.4 and 2 ft lost: 46 ft.
TEST(PumpCorrelations, NpshMatchesAWaterTreatmentText) {
  const SuctionState suction{.surface_pressure = 34 * kFoot * 1000.0 * kGravity,
                             .vapour_pressure = 0.6 * kFoot * 1000.0 * kGravity,
                             .density = 1000.0,
                             .surface_elevation = 18 * kFoot,
                             .pump_elevation = 3 * kFoot,
                             .head_loss = 2.4 * kFoot};
  EXPECT_NEAR(NpshAvailable(suction, kGravity) / kFoot, 46.0, 0.005 * 46.0);
}

// V. L. Streeter's pump of the complete characteristics (from memory): 1100 rev/min, 0.25 m³/s, 60
// m is "25". Hydraulic Institute: US units are 51.6 times, rounded from 51.645.
TEST(PumpCorrelations, SpecificSpeedMatchesPublishedPump) {
  const double ns = SpecificSpeed(1100.0, 0.25, 60.0);
  EXPECT_NEAR(ns, 25.5, 0.03);
  EXPECT_NEAR(UsSpecificSpeed(1.0), 51.645, 0.001);
  EXPECT_NEAR(UsSpecificSpeed(ns), 1318.0, 1.0);
  EXPECT_NEAR(UsSpecificSpeed(87.0), 4500.0, 0.005 * 4500.0);
  EXPECT_NEAR(SuctionSpecificSpeed(2950.0, 110.0 / kHour, 4.0),
              2950.0 * std::sqrt(110.0 / kHour) / std::pow(4.0, 0.75), 1e-9);
}

// Closed form: shut-off 60 m, (0.05, 52) and (0.10, 31).
TEST(PumpCorrelations, PowerCurvePassesThroughItsPoints) {
  const PowerCurve curve = PowerCurveThrough(60.0, {0.05, 52.0}, {0.10, 31.0}).value();
  EXPECT_NEAR(curve.exponent, 1.85798, 1e-5 * 1.86);
  EXPECT_NEAR(curve.coefficient, 2091.12, 1e-5 * 2091.0);
  EXPECT_NEAR(curve.Head(0.08), 40.842, 1e-5 * 41.0);
  EXPECT_NEAR(curve.Head(0.05), 52.0, 1e-12);
  EXPECT_NEAR(curve.Head(0.10), 31.0, 1e-12);
  EXPECT_EQ(curve.Head(0.0), 60.0);
  EXPECT_FALSE(PowerCurveThrough(50.0, {0.05, 52.0}, {0.10, 31.0}).has_value());  // drooping
  EXPECT_FALSE(PowerCurveThrough(60.0, {0.10, 52.0}, {0.05, 31.0}).has_value());
}

// Energy balance by hand: 60 m at 50 %, 4186 J/(kg K), g 9.81. And in US units, with water of 1
// Btu/(lb °F): 200 ft at 40 % warms by 0.3855 °F (778 ft lbf a Btu).
TEST(PumpCorrelations, TemperatureRiseMatchesHandCalculation) {
  EXPECT_NEAR(TemperatureRise(60.0, 0.5, 4186.0, 9.81), 0.1406, 0.001 * 0.1406);
  EXPECT_NEAR(TemperatureRise(200 * kFoot, 0.4, 4186.8, kGravity) * 1.8, 0.3855, 0.001 * 0.3855);
}

TEST(PumpCorrelations, EfficiencyParabolaPeaksAtBest) {
  EXPECT_DOUBLE_EQ(EfficiencyParabola(0.7, 10.0, 10.0), 0.7);
  EXPECT_EQ(EfficiencyParabola(0.7, 0.0, 10.0), 0.0);
  EXPECT_EQ(EfficiencyParabola(0.7, 20.0, 10.0), 0.0);
  EXPECT_EQ(EfficiencyParabola(0.7, 30.0, 10.0), 0.0);
  EXPECT_NEAR(EfficiencyParabola(0.7, 5.0, 10.0), 0.75 * 0.7, 1e-15);
}

// ANSI/HI 9.6.3-2012, as quoted in an article on pump selection.
TEST(PumpCorrelations, PreferredRangeMatchesTheStandard) {
  EXPECT_EQ(PreferredRange(40.0).least, 0.7);
  EXPECT_EQ(PreferredRange(100.0).least, 0.8);
  for (const double ns : {10.0, 40.0, 87.0, 150.0}) {
    EXPECT_EQ(PreferredRange(ns).greatest, 1.2);
    EXPECT_LT(AllowableRange(ns).least, PreferredRange(ns).least);
    EXPECT_GT(AllowableRange(ns).greatest, PreferredRange(ns).greatest);
  }
}

// The recalled table itself: rows of head WH and torque WB, x = pi + atan2(flow, speed), at which
// the rotor is held (speed 0) or free (torque 0). Constants to three digits.
TEST(PumpCorrelations, StoppedRotorFollowsItsCharacteristics) {
  const StoppedRotor& rotor = MixedFlowStoppedRotor();
  // WH at x = 3 pi/2 and pi/2.
  EXPECT_EQ(rotor.held_forward.value, 1.500);
  EXPECT_EQ(rotor.held_reverse.value, 2.180);
  // WB = 0 at x = pi/4, where WH = 0.190; flow and speed equal.
  EXPECT_NEAR(rotor.free_reverse.value, 2.0 * 0.190, 0.0005);
  EXPECT_NEAR(rotor.free_reverse_speed.value, 1.0, 0.0005);
  // WB falls from 0.023 to -0.175 over x = 59 to 60 pi/44 and WH from -0.190 to -0.384.
  const double share = 0.023 / (0.023 + 0.175);
  const double angle = (59.0 + share) * 3.14159265358979 / 44.0 - 3.14159265358979;
  const double head = 0.190 + share * (0.384 - 0.190);
  const double speed_over_flow = 1.0 / std::tan(angle);
  EXPECT_NEAR(rotor.free_forward_speed.value, speed_over_flow, 0.0005);
  EXPECT_NEAR(rotor.free_forward.value, head * (1.0 + speed_over_flow * speed_over_flow), 0.0005);
}

// A maker's lexicon of centrifugal pumps: +25 % at ns 40, up to +100 % from 100. The machine of ns
// 147 runs away at 1.622 by its recalled characteristics: below the upper bound.
TEST(PumpCorrelations, RunawaySpeedMatchesALexicon) {
  EXPECT_DOUBLE_EQ(ReverseRunawaySpeedRatio(40.0, 1.0), 1.25);
  EXPECT_DOUBLE_EQ(ReverseRunawaySpeedRatio(20.0, 1.0), 1.25);
  EXPECT_DOUBLE_EQ(ReverseRunawaySpeedRatio(100.0, 1.0), 2.0);
  EXPECT_DOUBLE_EQ(ReverseRunawaySpeedRatio(70.0, 4.0), 2.0 * 1.625);
  EXPECT_GT(ReverseRunawaySpeedRatio(147.0, 1.0),
            1.0 / std::sqrt(MixedFlowStoppedRotor().free_reverse.value));
}

}  // namespace
}  // namespace handwheel
