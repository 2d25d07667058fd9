#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "handwheel/errors.h"
#include "handwheel/optimise.h"
#include "property/random_network.h"

namespace handwheel {
namespace {

constexpr int kNetworks = 2000;
constexpr std::uint64_t kFirstSeed = 20'000;

double LargestFlow(const Solution& solution) {
  double largest = 0.0;
  for (double q : solution.flow()) largest = std::max(largest, std::abs(q));
  return largest;
}

// Largest difference of two solutions' flows, relative to the largest flow of the network.
double FlowDifference(const Solution& a, const Solution& b) {
  double difference = 0.0;
  for (std::size_t l = 0; l < a.flow().size(); ++l) {
    difference = std::max(difference, std::abs(a.flow()[l] - b.flow()[l]));
  }
  return difference / std::max(LargestFlow(a), 1e-9);
}

struct Tally {
  int solved = 0, impossible = 0, newton_failed = 0;
  int other_failed = 0;
  double worst_difference = 0.0;
  std::uint64_t worst_seed = 0;
};

// Solves the networks of `count` seeds by newton and by `method` and compares.
Tally Compare(Method method, int count) {
  Tally tally;
  std::uint64_t seed = kFirstSeed;
  while (tally.solved < count) {
    const Network network = testing::MixedPlant(++seed).Take();
    SteadyOptions options;
    Solution newton;
    try {
      newton = Solve(network, options);
    } catch (const NetworkError&) {
      ++tally.impossible;  // random draws cut off by one-way parts; the refusal has its own tests
      continue;
    }
    ++tally.solved;
    if (!newton.converged()) {
      ++tally.newton_failed;
      ADD_FAILURE() << "seed " << seed << ": " << newton.summary().message;
      continue;
    }
    options.method = method;
    // In a still plant there is no flow to compare with, and the usual tolerances leave 1e-9 m³/s.
    options.flow_tolerance = 1e-12;
    options.head_tolerance = 1e-9;
    const Solution other = optimise::Solve(network, options);
    if (!other.converged()) {
      ++tally.other_failed;
      std::printf("  seed %llu: %s\n", static_cast<unsigned long long>(seed),
                  other.summary().message.c_str());
      continue;
    }
    const double difference = FlowDifference(newton, other);
    EXPECT_LE(difference, 1e-6) << "seed " << seed;
    if (difference > tally.worst_difference) {
      tally.worst_difference = difference;
      tally.worst_seed = seed;
    }
  }
  std::printf(
      "measured: newton against %s: %d networks (seeds from %llu; %d more impossible), newton "
      "failed on "
      "%d, %s on %d; worst difference %.1e at seed %llu\n",
      std::string(MethodName(method)).c_str(), tally.solved,
      static_cast<unsigned long long>(kFirstSeed + 1), tally.impossible, tally.newton_failed,
      std::string(MethodName(method)).c_str(), tally.other_failed, tally.worst_difference,
      static_cast<unsigned long long>(tally.worst_seed));
  return tally;
}

// The other two methods are second opinions, not guaranteed: their failures are counted and shown,
// and must stay rare, or the agreement would say little.
TEST(Methods, HardyCrossAgreesWithNewtonOnRandomPlants) {
  const Tally tally = Compare(Method::kHardyCross, kNetworks);
  EXPECT_LE(tally.other_failed, kNetworks / 50);
}

TEST(Methods, TrustRegionAgreesWithNewtonOnRandomPlants) {
  const Tally tally = Compare(Method::kTrustRegion, kNetworks);
  EXPECT_LE(tally.other_failed, kNetworks / 50);
}

}  // namespace
}  // namespace handwheel
