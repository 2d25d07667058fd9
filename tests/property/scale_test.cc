#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cstdio>

#include "property/random_network.h"

namespace handwheel {
namespace {

class Scale : public ::testing::TestWithParam<int> {};

TEST_P(Scale, GeneratedGridIsSolvedToTheStatedResiduals) {
  const Network network = testing::GridPlant(7, {.junctions = GetParam(), .pumps = true}).Take();
  const auto start = std::chrono::steady_clock::now();
  const Solution solution = Solve(network);
  const std::chrono::duration<double> elapsed = std::chrono::steady_clock::now() - start;
  EXPECT_TRUE(solution.converged()) << solution.summary().message;
  EXPECT_LE(solution.summary().max_flow_imbalance, 1e-11 * 1e-3);  // the largest draw is 1e-3 m³/s
  EXPECT_LE(solution.summary().max_head_imbalance, SteadyOptions{}.head_tolerance);
  std::printf("measured: %d junctions: %.2f s from network to solution; %s\n", GetParam(),
              elapsed.count(), solution.summary().message.c_str());
}

INSTANTIATE_TEST_SUITE_P(Grids, Scale, ::testing::Values(1'000, 10'000, 100'000, 1'000'000));

}  // namespace
}  // namespace handwheel
