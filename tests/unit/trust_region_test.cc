#include "optimise/trust_region.h"

#include <gtest/gtest.h>

#include <cmath>

#include "handwheel/errors.h"
#include "handwheel/optimise.h"
#include "unit/method_cases.h"

namespace handwheel {
namespace {

using testing::MethodCase;

SteadyOptions TrustRegion() {
  return {.method = Method::kTrustRegion};
}

TEST(TrustRegion, SolvesEveryKnownCase) {
  for (const MethodCase& wanted : testing::MethodCases()) {
    SteadyOptions options = TrustRegion();
    options.initial_flow = wanted.initial_flow;
    // A ring at rest is nearly level: 1e-6 m leaves its flow open.
    options.head_tolerance = 1e-10;
    testing::ExpectSolved(wanted, optimise::Solve(wanted.network, options));
  }
}

TEST(TrustRegion, AgreesWithNewtonOnRandomPlants) {
  testing::ExpectAgreementWithNewton(1, 60, 300, [](const Network& network, SteadyOptions options) {
    options.method = Method::kTrustRegion;
    return optimise::Solve(network, options);
  });
}

// Of 1749 random plants the one on which sharp bends stall, at a draw of 3e-6 m³/s left unmet.
TEST(TrustRegion, RoundsTheBendsWhereSharpOnesStall) {
  testing::ExpectAgreementWithNewton(20226, 20226, 300,
                                     [](const Network& network, SteadyOptions options) {
                                       options.method = Method::kTrustRegion;
                                       return optimise::Solve(network, options);
                                     });
}

// Forwards, backwards, and with a hole wider than the valve, whose curve has no bend.
TEST(TrustRegion, FollowsAPassingCheckValve) {
  for (double low : {1.0, 9.0}) {
    for (double leak_kv : {1e-4, 1e-1}) {
      Network network = testing::CaseNetwork()
                            .Vessel("a", 5.0)
                            .Vessel("b", low)
                            .Junction("j")
                            .CheckValve("nrv", "a", "j", 0.1, 0.5)
                            .Square("2", "j", "b", 100.0, 0.1);
      network.check_valves[0].condition = "passing";
      network.check_valves[0].leak_kv = leak_kv;
      const Solution newton = optimise::Solve(network);
      const Solution s = optimise::Solve(network, TrustRegion());
      ASSERT_TRUE(newton.converged());
      ASSERT_TRUE(s.converged()) << s.summary().message;
      EXPECT_EQ(newton.Flow("nrv") > 0.0, low < 5.0);
      EXPECT_NEAR(s.Flow("nrv"), newton.Flow("nrv"), 1e-7 * std::abs(newton.Flow("nrv")));
    }
  }
}

TEST(TrustRegion, BeginsWithTheFlowsGiven) {
  const Network network = testing::Bridge().network;
  SteadyOptions options = TrustRegion();
  const Solution cold = optimise::Solve(network, options);
  options.initial_flow = cold.flow();
  EXPECT_LT(optimise::Solve(network, options).summary().num_iterations,
            cold.summary().num_iterations);
}

TEST(TrustRegion, SaysSoWhenIterationsRunOut) {
  SteadyOptions options = TrustRegion();
  options.max_num_iterations = 2;
  const Solution s = optimise::Solve(testing::Bridge().network, options);
  EXPECT_EQ(s.summary().termination, Termination::kNoConvergence);
  EXPECT_EQ(s.summary().num_iterations, 2);
}

TEST(TrustRegion, CallbackStopsTheRun) {
  SteadyOptions options = TrustRegion();
  options.callback = [](const IterationNews& news) { return news.iteration < 3; };
  const Solution s = optimise::Solve(testing::BarredLoops().network, options);
  EXPECT_EQ(s.summary().termination, Termination::kInterrupted);
  EXPECT_EQ(s.summary().num_iterations, 3);
}

TEST(TrustRegion, PrintsNothing) {
  ::testing::internal::CaptureStdout();
  ::testing::internal::CaptureStderr();
  for (const MethodCase& wanted : testing::MethodCases()) {
    optimise::Solve(wanted.network, TrustRegion());
  }
  // Zones at rest in many of these would leave the matrix singular, of which Ceres warns on its
  // own.
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    try {
      optimise::Solve(testing::MixedPlant(seed).Take(), TrustRegion());
    } catch (const NetworkError&) {  // some draw is cut off
    }
  }
  EXPECT_EQ(::testing::internal::GetCapturedStdout(), "");
  EXPECT_EQ(::testing::internal::GetCapturedStderr(), "");
}

TEST(TrustRegion, SameInputGivesTheSameBits) {
  const Network network = testing::MixedPlant(11).Take();
  EXPECT_EQ(optimise::Solve(network, TrustRegion()).flow(),
            optimise::Solve(network, TrustRegion()).flow());
}

TEST(Optimise, TakesEveryMethodWhereTheCoreRefusesThisOne) {
  const MethodCase bridge = testing::Bridge();
  for (Method method : {Method::kNewton, Method::kHardyCross, Method::kTrustRegion}) {
    const Solution s = optimise::Solve(bridge.network, {.method = method});
    EXPECT_TRUE(s.converged());
    EXPECT_EQ(s.summary().method, method);
  }
  EXPECT_THROW(Solve(bridge.network, TrustRegion()), SettingError);
}

TEST(Optimise, AppliesSettingsToACopy) {
  const Network network =
      testing::CaseNetwork().Vessel("a", 9.0).Vessel("b", 0.0).Square("1", "a", "b", 1.0);
  const Solution s = optimise::Solve(network, {{"a.level", 4.0}}, TrustRegion());
  EXPECT_NEAR(s.Flow("1"), 2.0, 1e-7);
  EXPECT_EQ(network.vessels[0].level, 9.0);
}

}  // namespace
}  // namespace handwheel
