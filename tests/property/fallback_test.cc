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
