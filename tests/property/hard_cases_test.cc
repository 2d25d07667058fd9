#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "property/random_network.h"

namespace handwheel {
namespace {

constexpr int kSeeds = 100;

struct HardCase {
  const char* name;
  testing::GridOptions options;
};

class HardCases : public ::testing::TestWithParam<HardCase> {};

// Mass balances within 1e-11 of the largest draw; where nothing is drawn, of 1e-6 m³/s.
TEST_P(HardCases, NewtonSolvesEverySeedAndBalancesMass) {
  double worst = 0.0;
  int solved = 0, most_iterations = 0, fallbacks = 0;
  for (int junctions : {100, 1000}) {
    for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
      testing::GridOptions grid = GetParam().options;
      grid.junctions = junctions;
      const Network network = testing::GridPlant(seed, grid).Take();
      double largest_draw = 1e-6;
      for (const Junction& j : network.junctions) largest_draw = std::max(largest_draw, j.draw);
      const Solution solution = Solve(network);
      EXPECT_TRUE(solution.converged())
          << "junctions " << junctions << ", seed " << seed << ": " << solution.summary().message;
      const double imbalance = solution.summary().max_flow_imbalance / largest_draw;
      EXPECT_LE(imbalance, 1e-11) << "junctions " << junctions << ", seed " << seed;
      solved += solution.converged();
      worst = std::max(worst, imbalance);
      most_iterations = std::max(most_iterations, solution.summary().num_iterations);
      fallbacks += solution.summary().num_fallback_iterations > 0;
    }
  }
  std::printf(
      "measured: %s: %d of %d solved, worst imbalance %.1e of the largest draw, at most %d "
      "iterations, "
      "%d by the fall-back\n",
      GetParam().name, solved, 2 * kSeeds, worst, most_iterations, fallbacks);
}

INSTANTIATE_TEST_SUITE_P(
    Grids, HardCases,
    ::testing::Values(HardCase{"plain", {}}, HardCase{"no_flow_anywhere", {.still = true}},
                      HardCase{"half_behind_leaks_of_1e14", {.leak_resistance = 1e14}},
                      HardCase{"half_behind_leaks_of_1e18", {.leak_resistance = 1e18}},
                      HardCase{"short_circuits_of_1e-12", {.short_circuits = 0.1}},
                      HardCase{"all_laminar", {.laminar = true}},
                      HardCase{"pumps", {.pumps = true}},
                      HardCase{"pumps_and_leaks_of_1e14", {.pumps = true, .leak_resistance = 1e14}},
                      HardCase{"pumps_and_short_circuits", {.pumps = true, .short_circuits = 0.1}},
                      HardCase{"pumps_in_oil", {.pumps = true, .laminar = true}},
                      HardCase{"stopped_pumps_and_no_flow", {.pumps = true, .still = true}}),
    [](const auto& test) {
      std::string name = test.param.name;
      std::replace_if(
          name.begin(), name.end(), [](char c) { return !std::isalnum(c); }, '_');
      return name;
    });

}  // namespace
}  // namespace handwheel
