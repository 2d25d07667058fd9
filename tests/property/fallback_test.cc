#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "handwheel/errors.h"
#include "property/random_network.h"

namespace handwheel {
namespace {

// The fall-back hardly ever runs by itself, so here it is made to: no full step before it.
TEST(Newton, FallBackAloneFindsTheSameFlows) {
  int solved = 0, most_iterations = 0;
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    const Network network = testing::MixedPlant(seed).Take();
    Solution usual;
    try {
      usual = Solve(network);
    } catch (const NetworkError&) {
      continue;
    }
    SteadyOptions options;
    options.max_full_steps = 0;
    options.max_num_iterations = 1000;
    const Solution damped = Solve(network, options);
    ASSERT_TRUE(damped.converged()) << "seed " << seed << ": " << damped.summary().message;
    EXPECT_GT(damped.summary().num_fallback_iterations, 0);
    double largest = 1e-9, difference = 0.0;
    for (std::size_t l = 0; l < usual.flow().size(); ++l) {
      largest = std::max(largest, std::abs(usual.flow()[l]));
      difference = std::max(difference, std::abs(usual.flow()[l] - damped.flow()[l]));
    }
    EXPECT_LE(difference, 1e-7 * largest) << "seed " << seed;
    ++solved;
    most_iterations = std::max(most_iterations, damped.summary().num_iterations);
  }
  std::printf("measured: fall-back alone: %d networks, at most %d iterations\n", solved,
              most_iterations);
  EXPECT_GT(solved, 100);
}

// Two check valves hold the liquid from both sides: nothing flows but what the stiff reverse
// branches of the fall-back let by, and round-off of the heads is more than any share of that.
TEST(Newton, FallBackSettlesWhereAllIsAtRest) {
  Network network;
  const auto vessel = [&](const char* name, double level) {
    network.AddPart("vessel", {{"name", name}, {"level", level}});
  };
  vessel("low", 0.9);
  vessel("middle", 7.125);
  vessel("high", 16.9);
  for (const char* name : {"a", "header", "c"}) network.AddPart("junction", {{"name", name}});
  const auto join = [&](const char* kind, const char* name, const char* from, const char* to,
                        Settings more) {
    more.insert(more.end(), {{"name", name}, {"from", from}, {"to", to}});
    network.AddPart(kind, more);
  };
  join("pipe", "L-1", "low", "a", {{"length", 4.0}, {"bore", 0.0779}});
  join("check_valve", "NRV-1", "a", "header", {{"kind", "ball"}, {"size", "DN65"}});
  join("valve", "HV-3", "header", "middle", {{"kind", "diaphragm weir"}, {"size", "DN50"}});
  join("valve", "HV-4", "header", "c", {{"kind", "diaphragm weir"}, {"size", "DN40"}});
  join("check_valve", "NRV-4", "c", "high", {{"kind", "ball"}, {"size", "DN40"}});
  SteadyOptions options;
  options.max_full_steps = 0;
  const Solution solution = Solve(network, options);
  EXPECT_TRUE(solution.converged()) << solution.summary().message;
  EXPECT_LE(solution.summary().num_iterations, 100);
  EXPECT_EQ(solution.Flow("NRV-1"), 0.0);
  EXPECT_EQ(solution.Flow("NRV-4"), 0.0);
  EXPECT_NEAR(solution.Flow("HV-3"), 0.0, 1e-15);
}

// The limit covers full steps, line search and finish together.
TEST(Newton, NeverExceedsItsIterationLimit) {
  const Network network = testing::MixedPlant(1, {.min_junctions = 150,
                                                  .max_junctions = 150,
                                                  .check_valves = 0.6,
                                                  .vessels_per_junction = 0.3,
                                                  .draws = false})
                              .Take();
  for (int full_steps : {0, 5, 60}) {
    for (int limit : {1, 2, 7, 12}) {
      SteadyOptions options;
      options.max_full_steps = full_steps;
      options.max_num_iterations = limit;
      EXPECT_LE(Solve(network, options).summary().num_iterations, limit);
    }
  }
}

}  // namespace
}  // namespace handwheel
