#include "correlations/valve_sizing.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "correlations/flow_coefficient.h"

namespace handwheel {
namespace {

constexpr double kInch = 0.0254;        // [m]
constexpr double kGpm = 6.30901964e-5;  // [m³/s]
constexpr double kPsi = 6894.757293;    // [Pa]
constexpr double kReferenceDensity = FlowCoefficient::kReferenceDensity;

// --- IEC 60534-2-1, its own examples and constants -----------------------------------------------

// The standard's annex example of a globe valve, from memory: 360 m³/h of water near 90 °C, Kv 165.
TEST(ValveSizing, MatchesTheStandardsGlobeValve) {
  constexpr double kRho = 965.4, kDrop = 460e3, kFlow = 0.1, kBore = 0.150;
  const double ff = CriticalPressureRatioFactor(70.1e3, 22120e3);
  EXPECT_NEAR(ff, 0.944, 0.0005);
  const double choked = ChokedDrop(680e3, 70.1e3, ff, 0.90);
  EXPECT_NEAR(choked, 497e3, 0.5e3);
  EXPECT_LT(kDrop, choked);
  const double kv = FlowCoefficient::FromAv(kFlow / std::sqrt(kDrop / kRho)).kv();
  EXPECT_NEAR(kv, 165.0, 0.003 * 165.0);
  // Printed to three digits.
  const double k = FlowCoefficient::FromKv(165.0).K(kBore);
  EXPECT_NEAR(ValveReynolds(kFlow, kBore, 3.26e-7, k, 0.90, 0.46), 2.97e6, 0.005e6);
}

// A text-book example, in inches and gallons, repeated on a document-sharing site (results from
// memory): propane at 800 gpm through a 3 in globe valve in an 8 in line. It rounds FP to 0.90
// before using it, hence 0.6 %.
TEST(ValveSizing, MatchesAPublishedPropaneValveWithReducers) {
  const Reducers reducers = ReducersAround(3 * kInch, 8 * kInch, 8 * kInch);
  EXPECT_NEAR(reducers.inlet_loss, 0.37, 0.005);
  EXPECT_NEAR(reducers.outlet_loss, 0.74, 0.005);
  EXPECT_NEAR(reducers.Sum(), 1.11, 0.005);
  const double k = FlowCoefficient::FromCv(121.0).K(3 * kInch);
  const double fp = PipingGeometryFactor(k, reducers);
  EXPECT_NEAR(fp, 0.90, 0.006 * 0.90);
  EXPECT_NEAR(CombinedRecoveryFactor(k, 0.89, reducers), 0.81, 0.006 * 0.81);
  const double rho = 0.50 * kReferenceDensity;
  const double needed =
      FlowCoefficient::FromAv(800 * kGpm / (fp * std::sqrt(25 * kPsi / rho))).cv();
  EXPECT_NEAR(needed, 125.7, 0.006 * 125.7);
  EXPECT_GT(needed, 121.0);  // the next size up
  // The same formulas worked out by hand.
  const double ff = CriticalPressureRatioFactor(124.3, 616.3);
  EXPECT_NEAR(ff, 0.8343, 0.00005);
  const double flp_over_fp = CombinedRecoveryFactor(k, 0.89, reducers) / fp;
  EXPECT_NEAR(ChokedDrop(314.7, 124.3, ff, flp_over_fp), 168.2, 0.001 * 168.2);  // [psi]
}

// Sums as printed on a document-sharing site. (It feeds the losses of one valve size to the
// formula of another; as arithmetic they stand.) Four digits: 0.05 %.
TEST(ValveSizing, MatchesPrintedArithmeticOfReducers) {
  const double k = FlowCoefficient::FromCv(59.7).K(2 * kInch);
  EXPECT_NEAR(PipingGeometryFactor(k, {.inlet_loss = 0.8437}), 0.9086, 0.0005 * 0.9086);
  EXPECT_NEAR(CombinedRecoveryFactor(k, 0.85, {.inlet_loss = 0.2812, .inlet_bernoulli = 0.9357}),
              0.7695, 0.0005 * 0.7695);
  const Reducers reducers = ReducersAround(2.0, 7.981, 7.981);
  EXPECT_NEAR(reducers.inlet_loss, 0.4391, 0.0005 * 0.4391);
  EXPECT_NEAR(reducers.outlet_loss, 0.8782, 0.0005 * 0.8782);
  // The valve those losses do belong to, worked out by hand.
  EXPECT_NEAR(reducers.Sum(), 1.3175, 0.0001);
  EXPECT_NEAR(reducers.inlet_bernoulli, 0.9961, 0.0001);
  EXPECT_NEAR(PipingGeometryFactor(k, reducers), 0.8672, 0.0005 * 0.8672);
  EXPECT_NEAR(CombinedRecoveryFactor(k, 0.85, reducers), 0.7574, 0.0005 * 0.7574);
}

// The formulas of IEC 60534-2-1 with its own constants, worked out by hand. Kv in m³/h.
TEST(ValveSizing, MatchesHandCalculationOfAChokedValveWithReducers) {
  constexpr double kFl = 0.75, kPv = 2339.0, kRho = 0.998 * kReferenceDensity;
  const Reducers reducers = ReducersAround(0.080, 0.1541, 0.1541);
  EXPECT_NEAR(reducers.inlet_loss, 0.26681, 2e-4 * 0.26681);
  EXPECT_NEAR(reducers.outlet_loss, 0.53362, 2e-4 * 0.53362);
  EXPECT_NEAR(reducers.inlet_bernoulli, 0.92736, 2e-4 * 0.92736);
  const FlowCoefficient valve = FlowCoefficient::FromKv(100.0);
  const double k = valve.K(0.080);
  const double fp = PipingGeometryFactor(k, reducers);
  const double flp = CombinedRecoveryFactor(k, kFl, reducers);
  const double ff = CriticalPressureRatioFactor(kPv, 220.64e5);
  EXPECT_NEAR(fp, 0.94401, 2e-4 * 0.94401);
  EXPECT_NEAR(flp, 0.71429, 2e-4 * 0.71429);
  EXPECT_NEAR(ff, 0.95712, 2e-4 * 0.95712);
  const double choked = ChokedDrop(10e5, kPv, ff, flp / fp);
  EXPECT_NEAR(choked, 5.7124e5, 2e-4 * 5.7124e5);
  const auto flow_m3_per_h = [&](double p2) {
    return 3600.0 * fp * valve.av() * std::sqrt(std::min(10e5 - p2, choked) / kRho);
  };
  EXPECT_NEAR(flow_m3_per_h(2e5), 225.85, 2e-4 * 225.85);
  EXPECT_NEAR(flow_m3_per_h(7e5), 163.67, 2e-4 * 163.67);
}

// Likewise: water at 60 °C.
TEST(ValveSizing, MatchesHandCalculationOfChokedDrops) {
  const double ff = CriticalPressureRatioFactor(0.19946, 220.64);
  EXPECT_NEAR(ChokedDrop(5.0, 0.19946, ff, 0.9), 3.896, 0.0008);  // [bar]
  EXPECT_NEAR(ChokedDrop(5.0, 0.19946, ff, 0.6), 1.732, 0.0004);
}

// N2 = 0.00160 and N4 = 0.0707 as printed, d in mm, nu in m²/s: three digits, hence 0.1 %.
TEST(ValveSizing, AgreesWithTheFormsInConstantsN) {
  constexpr double kN2 = 0.00160, kN4 = 0.0707, kNu = 5e-4;
  for (const double kv : {2.0, 10.0, 40.0}) {
    for (const double fl : {0.6, 0.9}) {
      const double d = 25.0, q_m3_per_h = 3.0, fd = 0.46;
      const double k = FlowCoefficient::FromKv(kv).K(d / 1000.0);
      const double c = kv / (d * d);
      const Reducers reducers = ReducersAround(0.025, 0.050, 0.040);
      EXPECT_NEAR(PipingGeometryFactor(k, reducers),
                  1.0 / std::sqrt(1.0 + reducers.Sum() / kN2 * c * c), 1e-3);
      EXPECT_NEAR(CombinedRecoveryFactor(k, fl, reducers),
                  fl / std::sqrt(1.0 + fl * fl / kN2 * reducers.Inlet() * c * c), 1e-3);
      const double rev = kN4 * fd * q_m3_per_h / (kNu * std::sqrt(kv * fl)) *
                         std::pow(fl * fl * c * c / kN2 + 1.0, 0.25);
      EXPECT_NEAR(ValveReynolds(q_m3_per_h / 3600.0, 0.025, kNu, k, fl, fd), rev, 1e-3 * rev);
    }
  }
}

// Adding SumK to the valve's own K is what FP does.
TEST(ValveSizing, PipingGeometryFactorAddsLosses) {
  const Reducers reducers = ReducersAround(0.08, 0.1, 0.15);
  for (const double k : {0.05, 2.3, 300.0}) {
    EXPECT_NEAR(PipingGeometryFactor(k, reducers), std::sqrt(k / (k + reducers.Sum())), 1e-15);
  }
  EXPECT_EQ(PipingGeometryFactor(HUGE_VAL, reducers), 1.0);
  EXPECT_DOUBLE_EQ(CombinedRecoveryFactor(HUGE_VAL, 0.9, reducers), 0.9);
  EXPECT_EQ(ReducersAround(0.08, 0.08, 0.08).Sum(), 0.0);
  EXPECT_EQ(ReducersAround(0.08, 0.08, 0.08).Inlet(), 0.0);
}

// --- Viscous flow --------------------------------------------------------------------------------

// IEC 60534-2-1's FR of a full-size trim, with its switch at Rev = 10 and nothing rounded.
double StandardFactor(double rev, double n, double fl) {
  const double laminar = 0.026 / fl * std::sqrt(n * rev);
  if (rev < 10.0) return std::min(laminar, 1.0);
  const double transitional =
      1.0 + 0.33 * std::sqrt(fl) / std::pow(n, 0.25) * std::log10(rev / 1e4);
  return std::min({laminar, transitional, 1.0});
}

double FullyOpenTrim(double k) {
  return ViscousTrimFactor({.full_open = k, .at_opening = k});
}

// The formulas worked out by hand, with N4 = 0.0707 (0.05 % low) and N2 = 0.00160: 0.5 %.
TEST(ViscousFactor, MatchesHandCalculation) {
  constexpr double kFl = 0.9, kFd = 0.46, kBore = 0.025;
  const FlowCoefficient valve = FlowCoefficient::FromKv(10.0);
  const double k = valve.K(kBore);
  const double n = FullyOpenTrim(k);
  EXPECT_NEAR(n, 6.25, 0.005 * 6.25);
  const ViscousFactor factor(n, kFl);
  const auto rev = [&](double q_m3_per_h, double nu) {
    return ValveReynolds(q_m3_per_h / 3600.0, kBore, nu, k, kFl, kFd);
  };
  EXPECT_NEAR(rev(5.0, 5e-4), 111.76, 0.005 * 111.76);
  EXPECT_NEAR(factor.At(rev(5.0, 5e-4)).fr, 0.6136, 0.005 * 0.6136);
  EXPECT_NEAR(rev(1.0, 5e-4), 22.35, 0.005 * 22.35);
  EXPECT_NEAR(factor.At(rev(1.0, 5e-4)).fr, 0.3415, 0.005 * 0.3415);
  // Flow at 1 bar, found by iterating FR.
  const auto flow_at_1_bar = [&](double nu) {
    double q = 1.0;  // [m³/h]
    for (int i = 0; i < 200; ++i) {
      q = std::sqrt(q * factor.At(rev(q, nu)).fr * 10.0 * std::sqrt(1.0 / 0.9));
    }
    return q;
  };
  EXPECT_NEAR(flow_at_1_bar(5e-4), 6.738, 0.005 * 6.738);
  EXPECT_NEAR(factor.At(rev(flow_at_1_bar(5e-4), 5e-4)).fr, 0.6392, 0.005 * 0.6392);
  EXPECT_NEAR(flow_at_1_bar(5e-3), 1.2954, 0.005 * 1.2954);
  EXPECT_NEAR(factor.At(rev(flow_at_1_bar(5e-3), 5e-3)).fr, 0.1229, 0.005 * 0.1229);
}

// What valve_sizing.h claims: exact outside the corners, 2.5 and 0.5 % at them, and other than the
// standard only beside its jump at Rev = 10.
TEST(ViscousFactor, IsTheStandardsOutsideCornersAndItsJump) {
  for (double fl = 0.30; fl < 1.01; fl += 0.05) {
    for (const double n : {0.9682, 1.2, 1.4, 1.5, 2.3, 4.0, 6.25, 8.9}) {
      const ViscousFactor factor(n, fl);
      for (double ln_rev = -7.0; ln_rev < 14.0; ln_rev += 0.003) {
        const double rev = std::exp(ln_rev);
        const double deviation = factor.At(rev).fr / StandardFactor(rev, n, fl) - 1.0;
        if (rev > 6.0 && rev < 24.0 && (fl < 0.38 || n < 1.45)) continue;
        double allowed = 1e-12;
        if (rev > factor.laminar_to && rev < factor.transitional_from) allowed = 0.025;
        if (rev > factor.transitional_to && rev < factor.turbulent_from) allowed = 0.005;
        ASSERT_NEAR(deviation, 0.0, allowed) << "fl " << fl << " n " << n << " rev " << rev;
      }
    }
  }
}

// d ln FR/d ln Rev stays in [0, 1/2], so (q/FR)² rises strictly; it fits the differences of FR on
// both sides of every corner, so FR is C1.
TEST(ViscousFactor, IsMonotoneAndOnceDifferentiable) {
  for (const double fl : {0.3, 0.5, 0.75, 0.9, 1.0}) {
    for (const double n : {0.9682, 1.5, 6.25, 8.9}) {
      const ViscousFactor factor(n, fl);
      double last = 0.0;
      for (double ln_rev = -7.0; ln_rev < 14.0; ln_rev += 0.003) {
        const auto [fr, slope] = factor.At(std::exp(ln_rev));
        ASSERT_GE(fr, last);
        ASSERT_LE(fr, 1.0);
        ASSERT_GE(slope, 0.0);
        ASSERT_LE(slope, 0.5);
        last = fr;
      }
      const auto check_slope = [&](double rev) {
        constexpr double kStep = 1e-5;
        const double here = std::log(factor.At(rev).fr);
        const double slope = factor.At(rev).dlnfr_dlnrev;
        for (const double step : {-kStep, kStep}) {
          const double there = std::log(factor.At(rev * std::exp(step)).fr);
          // Curvature: at most (slope change 1/2)/(corner width 0.3), times the step; doubled.
          EXPECT_NEAR((there - here) / step, slope, 4.0 * kStep) << "rev " << rev;
        }
      };
      for (const double corner : {factor.laminar_to, factor.transitional_from,
                                  factor.transitional_to, factor.turbulent_from}) {
        for (const double share : {0.5, 0.9, 0.999999, 1.0, 1.000001, 1.1, 2.0}) {
          check_slope(share * corner);
        }
      }
      EXPECT_LT(factor.laminar_to, factor.transitional_from);
      EXPECT_LT(factor.transitional_from, factor.transitional_to);
      EXPECT_LT(factor.transitional_to, factor.turbulent_from);
    }
  }
}

TEST(ViscousFactor, BecomesLinearInFlowAndTurbulent) {
  const ViscousFactor factor(2.3, 0.75);
  for (const double rev : {1e-300, 1e-9, 1.0, factor.laminar_to}) {
    EXPECT_DOUBLE_EQ(factor.At(rev).fr, factor.laminar * std::sqrt(rev));
    EXPECT_EQ(factor.At(rev).dlnfr_dlnrev, 0.5);
  }
  EXPECT_EQ(factor.At(0.0).fr, 0.0);
  EXPECT_EQ(factor.At(factor.turbulent_from).fr, 1.0);
  EXPECT_EQ(factor.At(1e9).dlnfr_dlnrev, 0.0);
}

// n1 and n2 of the standard at full opening; from C/d² = 0.0155 to 0.016 N18 ours is the former.
TEST(ViscousFactor, TrimFactorIsTheStandardsFullyOpen) {
  const auto k_at = [](double share_of_n18) {
    return 0.00160032 / std::pow(share_of_n18 * 0.865, 2);
  };
  for (const double share : {0.046, 0.03, 0.0161}) {
    EXPECT_DOUBLE_EQ(FullyOpenTrim(k_at(share)), k_at(share));
  }
  for (const double share : {0.0154, 0.01, 0.001, 1e-5}) {
    const double n2 = 1.0 + 140.0 * std::pow(share * 0.865, 2.0 / 3.0);
    EXPECT_NEAR(FullyOpenTrim(k_at(share)), n2, 1e-12 * n2);
  }
  EXPECT_NEAR(FullyOpenTrim(0.05), k_at(0.047), 1e-12);
  EXPECT_NEAR(FullyOpenTrim(0.05), 0.968, 0.0005);
  EXPECT_EQ(ViscousTrimFactor({.full_open = 2.3, .at_opening = HUGE_VAL}), 1.0);
}

// Closing a valve never lets more through, however viscous the liquid.
TEST(ViscousFactor, FlowFallsAsTheValveCloses) {
  constexpr double kBore = 0.05, kFd = 0.85, kDrop = 1e5, kRho = 1000.0;
  for (const double full_open_k : {0.05, 0.75, 2.3, 6.0, 10.0}) {
    for (double nu = 1e-6; nu < 1.0; nu *= 3.0) {
      double last = HUGE_VAL;
      for (double k = full_open_k; k < 1e6; k *= 1.1) {
        const double fl = 0.75;
        const ViscousFactor factor(ViscousTrimFactor({.full_open = full_open_k, .at_opening = k}),
                                   fl);
        const double turbulent = FlowCoefficient::FromK(k, kBore).av() * std::sqrt(kDrop / kRho);
        double low = 0.0, high = turbulent;
        for (int i = 0; i < 60; ++i) {
          const double q = 0.5 * (low + high);
          const double fr = factor.At(ValveReynolds(q, kBore, nu, k, fl, kFd)).fr;
          (q < fr * turbulent ? low : high) = q;
        }
        EXPECT_LT(high, last) << "K " << k << " of " << full_open_k << ", nu " << nu;
        last = high;
      }
    }
  }
}

TEST(ViscousFactor, NeedsNoLaminarEndAboveAThousand) {
  for (const double n : {0.968, 1.2, 3.0, 20.0, 500.0}) {
    for (const double fl : {0.2001, 0.3, 0.6, 0.9, 1.0}) {
      const ViscousFactor whole(n, fl), above = ViscousFactor::AboveLaminar(n, fl);
      EXPECT_LT(whole.transitional_from, ViscousFactor::kAboveLaminar) << n << ", " << fl;
      for (double rev = ViscousFactor::kAboveLaminar; rev < 1e6; rev *= 1.3) {
        EXPECT_EQ(above.At(rev).fr, whole.At(rev).fr);
        EXPECT_EQ(above.At(rev).dlnfr_dlnrev, whole.At(rev).dlnfr_dlnrev);
      }
    }
  }
}

// --- Cavitation ----------------------------------------------------------------------------------

// ISA-RP75.23's definitions, worked out by hand.
TEST(Cavitation, IndicesMatchHandCalculation) {
  const CavitationIndices indices = CavitationIndicesOf(8e5, 3e5, 2340.0);
  EXPECT_NEAR(indices.sigma, 1.5953, 0.00005);
  EXPECT_NEAR(indices.sigma2, 0.5953, 0.00005);
  EXPECT_NEAR(indices.drop_ratio, 0.6268, 0.00005);
  EXPECT_NEAR(indices.sigma2, indices.sigma - 1.0, 1e-14);
}

// IEC 60534-8-4's estimate, worked out by hand.
TEST(Cavitation, AudibleRatioMatchesHandCalculation) {
  const double ratio = AudibleCavitationRatio(FlowCoefficient::FromKv(100.0), 0.9, 0.46);
  EXPECT_NEAR(ratio, 0.2283, 0.00006);
  EXPECT_NEAR(AudibleCavitationRatioAt(ratio, 12e5), 0.2093, 0.00006);
  EXPECT_DOUBLE_EQ(AudibleCavitationRatioAt(ratio, 6e5), ratio);
}

TEST(Cavitation, BandsFollowSigma) {
  EXPECT_EQ(SigmaBand(5.0), "none");
  EXPECT_EQ(SigmaBand(2.0), "none");
  EXPECT_EQ(SigmaBand(1.9), "incipient");
  EXPECT_EQ(SigmaBand(1.6), "constant");
  EXPECT_EQ(SigmaBand(1.3), "damaging");
  EXPECT_EQ(SigmaBand(1.1), "near choking");
}

}  // namespace
}  // namespace handwheel
