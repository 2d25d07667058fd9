#include "optimise/trust_region.h"

#include <gtest/gtest.h>

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
