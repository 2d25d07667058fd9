#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>

#include "property/random_network.h"

namespace handwheel {
namespace {

// Plants that are mostly check valves, against each other and in rings: full steps cycle on some of
// them, which is what the fall-back is for.
TEST(Newton, SolvesPlantsOfMostlyCheckValves) {
  int solved = 0, by_fallback = 0, most_iterations = 0;
  for (double share : {0.3, 0.6, 0.9}) {
    for (int junctions : {30, 150, 600}) {
      for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        const Network network = testing::MixedPlant(seed, {.min_junctions = junctions,
                                                           .max_junctions = junctions,
                                                           .check_valves = share,
                                                           .vessels_per_junction = 0.3,
                                                           .draws = false})
                                    .Take();
        const Solution solution = Solve(network);
        EXPECT_TRUE(solution.converged())
            << "share " << share << ", junctions " << junctions << ", seed " << seed << ": "
            << solution.summary().message;
        solved += solution.converged();
        by_fallback += solution.summary().num_fallback_iterations > 0;
        most_iterations = std::max(most_iterations, solution.summary().num_iterations);
      }
    }
  }
  std::printf(
      "measured: plants of 30 to 90 %% check valves: %d of 540 solved, %d by the fall-back, at "
      "most "
      "%d iterations\n",
      solved, by_fallback, most_iterations);
}

}  // namespace
}  // namespace handwheel
