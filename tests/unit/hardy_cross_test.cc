#include "steady/hardy_cross.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "handwheel/handwheel.h"
#include "unit/method_cases.h"

namespace handwheel {
namespace {

using testing::CaseNetwork;
using testing::MethodCase;

SteadyOptions HardyCross() {
  return {.method = Method::kHardyCross};
}

TEST(HardyCross, SolvesEveryKnownCase) {
  for (const MethodCase& wanted : testing::MethodCases()) {
    SteadyOptions options = HardyCross();
    options.initial_flow = wanted.initial_flow;
    // A ring at rest is nearly level: 1e-6 m leaves its flow open.
    options.head_tolerance = 1e-10;
    testing::ExpectSolved(wanted, Solve(wanted.network, options));
  }
}

TEST(HardyCross, AgreesWithNewtonOnRandomPlants) {
  testing::ExpectAgreementWithNewton(1, 60, 300, [](const Network& network, SteadyOptions options) {
    options.method = Method::kHardyCross;
    return Solve(network, options);
  });
}

double SquareDrop(double k, double q) {
  return k * q * std::abs(q);
}

const LoopCorrection& CorrectionOf(const Solution& solution, int pass, int loop) {
  for (const LoopCorrection& correction : solution.loop_corrections()) {
    if (correction.pass == pass && correction.loop == loop) return correction;
  }
  throw std::runtime_error("no such correction");
}

// The bridge from 5/5/0/5/5, by hand. Around 1-2-3-1 the drops are 25 + 0 - 125 = -100 and their
// slopes 10 + 0 + 50 = 60, so 5/3 goes round. Then 2-3-4-2, with 5/3 in 2-3: 25/9 + 25 - 125 =
// -97.22... against slopes of 10/3 + 10 + 50 = 63.33...
TEST(HardyCross, FirstPassIsTheClassicalOne) {
  SteadyOptions options = HardyCross();
  options.record_loop_corrections = true;
  options.initial_flow = {5.0, 5.0, 0.0, 5.0, 5.0};
  const Solution s = Solve(testing::Bridge().network, options);
  ASSERT_TRUE(s.converged());
  ASSERT_GE(s.loops().size(), 2u);
  const auto parts = [&](std::size_t loop) {
    std::map<std::string, int> signs;
    for (std::size_t i = 0; i < s.loops()[loop].components.size(); ++i) {
      const auto l = static_cast<std::size_t>(s.loops()[loop].components[i]);
      signs[s.component_names()[l]] = s.loops()[loop].signs[i];
    }
    return signs;
  };
  const std::map<std::string, int> first{{"12", -1}, {"13", +1}, {"23", -1}};
  const std::map<std::string, int> second{{"23", -1}, {"24", +1}, {"34", -1}};
  ASSERT_EQ(parts(0), first);
  ASSERT_EQ(parts(1), second);
  EXPECT_FALSE(s.loops()[0].between_vessels);
  // Both loops run against 2-3. Its linear branch near rest adds 1e-6 to a slope of 60.
  EXPECT_NEAR(CorrectionOf(s, 1, 0).correction, -5.0 / 3.0, 1e-6);
  const double q23 = 5.0 / 3.0;
  const double misfit = SquareDrop(5.0, 5.0) - SquareDrop(1.0, q23) - SquareDrop(1.0, 5.0);
  EXPECT_NEAR(CorrectionOf(s, 1, 1).correction, -misfit / (2.0 * (q23 + 5.0 + 25.0)), 1e-6);
}

// Two vessels and a draw: the loop runs through both vessels and their difference drives it.
// Start 2 from the high one, 1 from the other, drawing 3: drops 4 - 1 less 5 gives -2 against
// slopes of 2 * (2 + 1), so 1/3 more comes from the high one.
TEST(HardyCross, LoopsBetweenVesselsAreDrivenByTheirHeads) {
  const Network network = CaseNetwork()
                              .Vessel("high", 10.0)
                              .Vessel("low", 5.0)
                              .Junction("j", 3.0)
                              .Square("1", "high", "j", 1.0)
                              .Square("2", "low", "j", 1.0);
  SteadyOptions options = HardyCross();
  options.record_loop_corrections = true;
  options.initial_flow = {2.0, 1.0};
  const Solution s = Solve(network, options);
  ASSERT_TRUE(s.converged());
  ASSERT_EQ(s.loops().size(), 1u);
  EXPECT_TRUE(s.loops()[0].between_vessels);
  const double sign =
      s.loops()[0].components[0] == 0 ? s.loops()[0].signs[0] : s.loops()[0].signs[1];
  EXPECT_NEAR(sign * CorrectionOf(s, 1, 0).correction, 1.0 / 3.0, 1e-9);
  // q² - (3 - q)² = 5
  EXPECT_NEAR(s.Flow("1"), 14.0 / 6.0, 1e-8);
}

TEST(HardyCross, EveryPassKeepsTheDrawsMet) {
  SteadyOptions options = HardyCross();
  options.initial_flow = {9.0, 9.0, 9.0, 9.0, 9.0};  // balanced nowhere
  double worst = 0.0;
  options.callback = [&](const IterationNews& news) {
    worst = std::max(worst, news.max_flow_imbalance);
    return true;
  };
  const Solution s = Solve(testing::Bridge().network, options);
  EXPECT_TRUE(s.converged());
  EXPECT_LE(worst, 1e-13);
}

TEST(HardyCross, CorrectionsAddUpToTheFlows) {
  SteadyOptions options = HardyCross();
  options.record_loop_corrections = true;
  options.initial_flow = {5.0, 5.0, 0.0, 5.0, 5.0};
  const Solution s = Solve(testing::Bridge().network, options);
  std::vector<double> flow = options.initial_flow;
  for (const LoopCorrection& correction : s.loop_corrections()) {
    const Loop& loop = s.loops()[static_cast<std::size_t>(correction.loop)];
    for (std::size_t i = 0; i < loop.components.size(); ++i) {
      flow[static_cast<std::size_t>(loop.components[i])] += loop.signs[i] * correction.correction;
    }
  }
  for (std::size_t l = 0; l < flow.size(); ++l) EXPECT_NEAR(flow[l], s.flow()[l], 1e-13);
}

TEST(HardyCross, FindsAnotherLoopWhereARestingBranchBarsAll) {
  const MethodCase wanted = testing::BarredLoops();
  SteadyOptions options = HardyCross();
  options.initial_flow = wanted.initial_flow;
  const Solution s = Solve(wanted.network, options);
  ASSERT_TRUE(s.converged());
  // Both loops of the forest run through b-z, which rests throughout; the third does not.
  ASSERT_EQ(s.loops().size(), 3u);
  EXPECT_EQ(s.loops()[2].components.size(), 2u);
  for (int l : s.loops()[2].components) {
    EXPECT_NE(s.component_names()[static_cast<std::size_t>(l)], "b-z");
  }
}

TEST(HardyCross, RecordsNothingUnasked) {
  const Solution s = Solve(testing::Bridge().network, HardyCross());
  EXPECT_TRUE(s.loop_corrections().empty());
  EXPECT_FALSE(s.loops().empty());
}

TEST(HardyCross, SaysSoWhenPassesRunOut) {
  SteadyOptions options = HardyCross();
  options.max_num_iterations = 2;
  const Solution s = Solve(testing::Bridge().network, options);
  EXPECT_EQ(s.summary().termination, Termination::kNoConvergence);
  EXPECT_EQ(s.summary().num_iterations, 2);
  EXPECT_GT(s.summary().max_head_imbalance, options.head_tolerance);
}

TEST(HardyCross, CallbackStopsTheRun) {
  SteadyOptions options = HardyCross();
  options.callback = [](const IterationNews& news) { return news.iteration < 3; };
  const Solution s = Solve(testing::Bridge().network, options);
  EXPECT_EQ(s.summary().termination, Termination::kInterrupted);
  EXPECT_EQ(s.summary().num_iterations, 3);
}

TEST(HardyCross, SameInputGivesTheSameBits) {
  const Network network = testing::MixedPlant(11).Take();
  EXPECT_EQ(Solve(network, HardyCross()).flow(), Solve(network, HardyCross()).flow());
}

// --- Loops --------------------------------------------------------------------------------------

struct PlannedLoops {
  Plan plan;
  std::vector<char> open;
  std::vector<PartCost> cost;
  std::vector<ClosedLoop> loops;
  Forest forest;
};

PlannedLoops LoopsOf(const Network& network) {
  PlannedLoops made;
  made.plan = CompilePlan(network);
  for (std::size_t l = 0; l < made.plan.laws.size(); ++l) {
    made.open.push_back(!IsShut(made.plan.laws[l]));
    made.cost.push_back({IsOneWay(made.plan.laws[l]),
                         EvaluateLaw(made.plan.laws[l], made.plan.start_flow[l]).slope});
  }
  const LoopFinder finder(made.plan, made.open, made.cost);
  made.forest = finder.GrowForest();
  made.loops = finder.FindLoops(made.forest);
  return made;
}

TEST(Loops, AreClosedAndCountedAndCarryNoSurplus) {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    const PlannedLoops made = LoopsOf(testing::MixedPlant(seed).Take());
    const Plan& plan = made.plan;
    std::size_t branches = 0, open = 0;
    for (int l : made.forest.link) branches += l >= 0;
    for (char is_open : made.open) open += is_open != 0;
    EXPECT_EQ(made.loops.size(), open - branches) << "seed " << seed;
    for (const ClosedLoop& loop : made.loops) {
      std::vector<double> surplus(static_cast<std::size_t>(plan.num_nodes()), 0.0);
      for (std::size_t i = 0; i < loop.parts.components.size(); ++i) {
        const auto l = static_cast<std::size_t>(loop.parts.components[i]);
        EXPECT_TRUE(made.open[l]);
        surplus[static_cast<std::size_t>(plan.from[l])] -= loop.parts.signs[i];
        surplus[static_cast<std::size_t>(plan.to[l])] += loop.parts.signs[i];
      }
      // What a loop takes out of one vessel it puts into another: drops along it must make up
      // the difference of their heads.
      double head_gain = 0.0;
      for (int i = 0; i < plan.num_nodes(); ++i) {
        const double here = surplus[static_cast<std::size_t>(i)];
        if (plan.IsFixed(i)) {
          head_gain -= here * plan.fixed_head[static_cast<std::size_t>(i - plan.num_free)];
        } else {
          EXPECT_EQ(here, 0.0) << "seed " << seed;
        }
      }
      EXPECT_NEAR(loop.head_gain, head_gain, 1e-12) << "seed " << seed;
    }
  }
}

// On which the convergence of the passes rests.
TEST(Loops, OneWayPartsAreInTheirOwnLoopOnlyUnlessTheyBridgeZones) {
  int one_way_chords = 0;
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    const PlannedLoops made = LoopsOf(testing::MixedPlant(seed).Take());
    std::vector<int> loops_through(made.plan.laws.size(), 0);
    std::vector<char> is_branch(made.plan.laws.size(), 0);
    for (int l : made.forest.link) {
      if (l >= 0) is_branch[static_cast<std::size_t>(l)] = 1;
    }
    for (const ClosedLoop& loop : made.loops) {
      for (int l : loop.parts.components) ++loops_through[static_cast<std::size_t>(l)];
    }
    for (std::size_t l = 0; l < loops_through.size(); ++l) {
      if (!IsOneWay(made.plan.laws[l]) || is_branch[l]) continue;
      EXPECT_EQ(loops_through[l], 1) << "seed " << seed;
      ++one_way_chords;
    }
  }
  EXPECT_GT(one_way_chords, 100);
}

}  // namespace
}  // namespace handwheel
