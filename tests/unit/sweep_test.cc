#include "handwheel/sweep.h"

#include <gtest/gtest.h>

#include <cmath>

#include "handwheel/errors.h"
#include "handwheel/file.h"

namespace handwheel {
namespace {

// 9 m of head over a fixed loss of K = 6 and a valve of K = 3 fully open, in the same bore, whose
// flow coefficient is its opening: drop = (6 + 3 / opening²) V²/2g.
const std::string kSeries = R"(
[fluid]
name = "test water"
density = 1000.0
viscosity = 1e-3
[[vessel]]
name = "high"
level = 9.0
[[vessel]]
name = "low"
[[junction]]
name = "n"
[[restriction]]
name = "R-1"
from = "high"
to = "n"
k = 6.0
bore = 0.08
[[valve]]
name = "HV-1"
from = "n"
to = "low"
kind = "globe"
bore = 0.08
k = 3.0
curve = [[0.0, 0.0], [1.0, 1.0]]
)";

double FlowAt(double opening) {
  const double area = 0.25 * 3.14159265358979323846 * 0.08 * 0.08;
  if (opening == 0.0) return 0.0;
  return area * std::sqrt(2.0 * kStandardGravity * 9.0 / (6.0 + 3.0 / (opening * opening)));
}

SweepAxis Openings(int count) {
  SweepAxis axis{"HV-1.opening", {}};
  for (int i = 0; i < count; ++i) axis.values.emplace_back(static_cast<double>(i) / (count - 1));
  return axis;
}

TEST(Sweep, AValveInSeriesFollowsItsClosedForm) {
  const SweepResult r = Sweep(ParseNetwork(kSeries), {Openings(21)});
  ASSERT_EQ(r.num_rows(), 21u);
  for (std::size_t row = 0; row < r.num_rows(); ++row) {
    const double opening = std::get<double>(r.ValueAt(row, 0));
    // The laws turn linear below Reynolds number 1, and FR departs from 1 by less than this.
    EXPECT_NEAR(r.Flow(row, "HV-1"), FlowAt(opening), 1e-4 * FlowAt(1.0)) << opening;
    EXPECT_EQ(r.Flow(row, "HV-1"), r.Flow(row, "R-1"));
    if (row > 0) {
      EXPECT_GT(r.Flow(row, "HV-1"), r.Flow(row - 1, "HV-1"));
    }
  }
}

TEST(Sweep, AuthorityGainAndUsefulRangeAreThoseOfTheClosedForm) {
  const SweepResult r = Sweep(ParseNetwork(kSeries), {Openings(41)});
  ASSERT_EQ(r.installed.size(), 1u);
  const InstalledCharacteristic& v = r.installed[0];
  EXPECT_EQ(v.valve, "HV-1");
  EXPECT_NEAR(v.full_flow, FlowAt(1.0), 1e-4 * FlowAt(1.0));
  EXPECT_NEAR(v.drop_open, 3.0, 1e-3);  // a third of the 9 m
  EXPECT_NEAR(v.drop_shut, 9.0, 1e-9);  // all of it
  EXPECT_FALSE(v.nearly_shut);
  EXPECT_NEAR(v.authority, 3.0 / 9.0, 2e-4);
  // flow / full = sqrt(9 / (6 + 3/x²)), so x² = 3 / (9/0.81 - 6) where that is 0.9.
  EXPECT_NEAR(v.enough_opening, std::sqrt(3.0 / (9.0 / 0.81 - 6.0)), 2e-3);
  // Relative gain g(x) = 9 (6 + 3/x²)^-1.5 x^-3 = 9 / (6 x² + 3)^1.5.
  const auto gain = [](double x) { return 9.0 / std::pow(6.0 * x * x + 3.0, 1.5); };
  for (std::size_t i = 1; i < v.opening.size(); ++i) {
    EXPECT_NEAR(v.relative_gain[i], gain(v.opening[i]), 2e-3) << v.opening[i];
    EXPECT_NEAR(v.gain[i], v.relative_gain[i] * v.full_flow, 1e-15);
  }
  // It starts at 1.73 and falls to 0.5 where (6x² + 3)^1.5 = 18; between two openings straight.
  EXPECT_NEAR(v.best_from, 0.0, 0.03);
  EXPECT_NEAR(v.best_to, std::sqrt((std::pow(18.0, 2.0 / 3.0) - 3.0) / 6.0), 2e-3);
}

TEST(Sweep, FlowTurnsRoundAsALevelIsRaised) {
  const SweepResult r =
      Sweep(ParseNetwork(kSeries), {{"low.level", {std::string("5 m"), 9.0, std::string("13 m")}}});
  EXPECT_EQ(r.units[0], "m");
  EXPECT_EQ(std::get<double>(r.ValueAt(0, 0)), 5.0);
  EXPECT_GT(r.Flow(0, "R-1"), 1e-3);
  EXPECT_NEAR(r.Flow(1, "R-1"), 0.0, 1e-9);
  EXPECT_NEAR(r.Flow(2, "R-1"), -r.Flow(0, "R-1"), 1e-9);
  EXPECT_TRUE(r.installed.empty());
}

TEST(Sweep, RowsOfTwoSettingsRunThroughTheSecondFastest) {
  const Network network = ParseNetwork(kSeries);
  const SweepResult r = Sweep(network, {Openings(3), {"high.level", {4.0, 9.0}}});
  ASSERT_EQ(r.num_rows(), 6u);
  for (std::size_t row = 0; row < 6; ++row) {
    const Solution s =
        Solve(network, {{"HV-1.opening", r.ValueAt(row, 0)}, {"high.level", r.ValueAt(row, 1)}});
    EXPECT_NEAR(r.Flow(row, "HV-1"), s.Flow("HV-1"), 1e-9) << row;
    EXPECT_NEAR(r.Pressure(row, "n"), s.Pressure("n"), 1e-2) << row;
    EXPECT_NEAR(r.Velocity(row, "HV-1"), s.Velocity("HV-1"), 1e-6) << row;
  }
  EXPECT_EQ(std::get<double>(r.ValueAt(3, 0)), 0.5);
  EXPECT_EQ(std::get<double>(r.ValueAt(3, 1)), 9.0);
  ASSERT_EQ(r.installed.size(), 2u);  // one for each level
  EXPECT_EQ(r.installed[1].other, "high.level = 9 m");
  EXPECT_NEAR(r.installed[0].drop_shut, 4.0, 1e-9);
}

TEST(Sweep, WordsAndFlagsCanBeSweptToo) {
  const SweepResult r = Sweep(ParseNetwork(kSeries),
                              {{"HV-1.condition", {std::string("sound"), std::string("blocked")}}});
  EXPECT_GT(r.Flow(0, "HV-1"), r.Flow(1, "HV-1"));
  EXPECT_EQ(r.units[0], "");
}

TEST(Sweep, ARowWithoutASolutionHasItsReason) {
  const std::string text = kSeries + R"(
[[junction]]
name = "user"
draw = 0.001
[[valve]]
name = "HV-2"
from = "n"
to = "user"
kind = "gate"
bore = 0.05
)";
  const SweepResult r = Sweep(ParseNetwork(text), {{"HV-2.opening", {0.0, 0.5, 1.0}}});
  EXPECT_FALSE(r.solved[0]);
  EXPECT_NE(r.reason[0].find("HV-2"), std::string::npos);
  EXPECT_TRUE(std::isnan(r.Flow(0, "HV-1")) && std::isnan(r.Pressure(0, "n")));
  EXPECT_TRUE(r.solved[1] && r.solved[2]);
  EXPECT_TRUE(std::isnan(r.installed[0].drop_shut) && std::isnan(r.installed[0].authority));
  EXPECT_NE(r.Report().find("no solution at HV-2.opening = 0"), std::string::npos);
}

// Shut, the valve leaves nothing between it and the check valve; a crack sets the pressure.
TEST(Sweep, BesideACheckValveTheShutDropIsThatOfAValveNearlyShut) {
  std::string text = kSeries;
  text.replace(text.find("to = \"low\"\nkind"), 10, "to = \"m\"");
  text += R"(
[[junction]]
name = "m"
[[check_valve]]
name = "NRV-1"
from = "m"
to = "low"
kind = "swing"
bore = 0.08
)";
  const SweepResult r = Sweep(ParseNetwork(text), {Openings(3)});
  EXPECT_TRUE(r.installed[0].nearly_shut);
  EXPECT_GT(r.installed[0].drop_shut, 8.0);
  EXPECT_LT(r.installed[0].authority, 3.0 / 9.0);
}

TEST(Sweep, MistakesAreRefusedBeforeAnythingIsSolved) {
  const Network network = ParseNetwork(kSeries);
  const auto refusal = [&](const std::vector<SweepAxis>& axes) {
    try {
      Sweep(network, axes);
    } catch (const Error& error) {
      return std::string(error.what());
    }
    return std::string("no error");
  };
  EXPECT_NE(refusal({}).find("one or two"), std::string::npos);
  EXPECT_NE(refusal({{"HV-1.opening", {}}}).find("no values"), std::string::npos);
  EXPECT_NE(refusal({{"HV-2.opening", {0.5}}}).find("HV-1"), std::string::npos);
  EXPECT_NE(refusal({{"HV-1.openings", {0.5}}}).find("opening"), std::string::npos);
  EXPECT_NE(refusal({{"HV-1.opening", {0.5, 1.5}}}).find("opening"), std::string::npos);
  EXPECT_NE(refusal({Openings(2), Openings(2)}).find("twice"), std::string::npos);
}

TEST(Sweep, ItCanBeStopped) {
  SweepOptions options;
  options.progress = [](std::size_t done, std::size_t total) { return done < 3 && total == 11; };
  const SweepResult r = Sweep(ParseNetwork(kSeries), {Openings(11)}, options);
  EXPECT_TRUE(r.interrupted);
  EXPECT_TRUE(r.solved[2]);
  EXPECT_FALSE(r.solved[3]);
  EXPECT_EQ(r.reason[10], "interrupted");
  EXPECT_TRUE(r.installed.empty());
}

}  // namespace
}  // namespace handwheel
