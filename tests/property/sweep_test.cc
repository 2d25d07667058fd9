#include "handwheel/sweep.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "handwheel/errors.h"
#include "property/random_network.h"

namespace handwheel {
namespace {

constexpr int kNetworks = 60;
constexpr std::uint64_t kFirstSeed = 62'000;

double LargestFlow(const Solution& s) {
  double largest = 1e-9;
  for (double q : s.flow()) largest = std::max(largest, std::abs(q));
  return largest;
}

// Seen from the two points beside a valve, the rest of a plant whose laws all rise gives less head
// the more flow it is asked for. So a valve that is opened passes more, and never turns round.
TEST(SweepOnRandomPlants, EqualsSingleSolvesAndFlowRisesWithTheOpening) {
  int studied = 0, rows = 0, unsolved = 0;
  double worst = 0.0;
  std::uint64_t seed = kFirstSeed;
  while (studied < kNetworks) {
    testing::MixedOptions drawn;
    drawn.max_junctions = 120;
    Network network = testing::MixedPlant(++seed, drawn).Take();
    if (network.valves.empty()) continue;
    ++studied;
    const std::string valve = network.valves.back().name;
    SweepAxis axis{valve + ".opening", {}};
    for (int i = 0; i <= 10; ++i) axis.values.emplace_back(0.1 * i);
    SweepOptions options;
    options.installed = false;
    const SweepResult warm = Sweep(network, {axis}, options);
    options.warm_start = false;
    const SweepResult cold = Sweep(network, {axis}, options);
    double last = 0.0;
    for (std::size_t row = 0; row < warm.num_rows(); ++row, ++rows) {
      ASSERT_EQ(warm.solved[row], cold.solved[row]) << "seed " << seed << ", row " << row;
      if (!warm.solved[row]) {
        EXPECT_FALSE(warm.reason[row].empty());
        EXPECT_TRUE(std::isnan(warm.Flow(row, valve)));
        ++unsolved;
        continue;
      }
      const Solution single = Solve(network, {{axis.target, axis.values[row]}});
      ASSERT_TRUE(single.converged());
      const double largest = LargestFlow(single);
      for (const std::string& name : single.component_names()) {
        // Cold rows are the same solves; warm ones stop elsewhere within the tolerances.
        EXPECT_EQ(cold.Flow(row, name), single.Flow(name)) << "seed " << seed;
        const double difference = std::abs(warm.Flow(row, name) - single.Flow(name)) / largest;
        EXPECT_LE(difference, 1e-6) << "seed " << seed << ", " << name;
        worst = std::max(worst, difference);
      }
      const double flow = warm.Flow(row, valve);
      const double slack = 1e-8 * largest + 1e-9;  // what the solver leaves
      EXPECT_GE(std::abs(flow), std::abs(last) - slack) << "seed " << seed << ", row " << row;
      if (std::abs(last) > slack) {
        EXPECT_GT(flow * last, 0.0) << "seed " << seed;
      }
      last = flow;
    }
  }
  std::printf(
      "measured: sweep: %d networks (seeds from %llu), %d rows, %d without a solution; warm "
      "against "
      "single solves, worst difference %.1e of the largest flow\n",
      studied, static_cast<unsigned long long>(kFirstSeed + 1), rows, unsolved, worst);
}

}  // namespace
}  // namespace handwheel
