#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "handwheel/errors.h"
#include "handwheel/sensitivity.h"
#include "property/special_plant.h"

// Exact sensitivities against differences of whole solves, on random plants of every kind of part.

namespace handwheel {
namespace {

using testing::Dice;
using testing::SpecialPlant;

SteadyOptions Tight() {
  return {.flow_tolerance = 1e-13, .head_tolerance = 1e-11, .step_tolerance = 1e-12};
}

std::vector<std::string> PossibleTargets(const Network& network) {
  std::vector<std::string> targets = {"site.gravity"};
  const auto add = [&](const auto& parts, std::initializer_list<const char*> properties) {
    for (const auto& part : parts) {
      for (const char* property : properties) {
        const std::string target = part.name + "." + property;
        if (std::holds_alternative<double>(network.Get(target))) targets.push_back(target);
      }
    }
  };
  if (network.fluid.viscosity) targets.push_back("fluid.viscosity");
  targets.push_back("fluid.density");
  add(network.vessels, {"level", "gas_pressure", "elevation"});
  add(network.junctions, {"draw", "feed", "elevation"});
  add(network.pipes, {"length", "bore", "roughness", "k"});
  add(network.valves, {"opening", "bore", "blockage"});
  add(network.check_valves, {"bore", "cracking_pressure", "stuck_opening"});
  add(network.pumps, {"speed", "rated_flow", "displacement"});
  add(network.restrictions, {"k", "rated_drop", "rated_flow"});
  add(network.nozzles, {"bore", "k"});
  add(network.regulators, {"set_pressure", "set_flow", "droop"});
  add(network.relief_valves, {"set_pressure", "area"});
  return targets;
}

Solution SolveAt(Network network, const std::string& target, double value) {
  network.Apply(target, value);
  return Solve(network, Tight());
}

// By the difference of two solves; empty where they stand on different sides of a border, or where
// a difference with half the step says that it is not to be trusted to 1e-6.
std::vector<double> ByDifferences(const Network& network, const std::string& target, double value) {
  const auto difference = [&](double h) -> std::vector<double> {
    const Solution above = SolveAt(network, target, value + h);
    const Solution below = SolveAt(network, target, value - h);
    if (!above.converged() || !below.converged() || above.state() != below.state()) return {};
    std::vector<double> slope;
    for (std::size_t l = 0; l < above.flow().size(); ++l) {
      slope.push_back((above.flow()[l] - below.flow()[l]) / (2.0 * h));
    }
    return slope;
  };
  const double h = 1e-4 * std::abs(value);
  std::vector<double> coarse = difference(h), fine = difference(0.5 * h);
  if (coarse.empty() || fine.empty()) return {};
  double largest = 0.0, doubt = 0.0;
  for (std::size_t l = 0; l < fine.size(); ++l) {
    doubt = std::max(doubt, std::abs(fine[l] - coarse[l]));
    fine[l] += (fine[l] - coarse[l]) / 3.0;  // Richardson
    largest = std::max(largest, std::abs(fine[l]));
  }
  return doubt <= 1e-5 * largest ? fine : std::vector<double>{};
}

TEST(Sensitivities, EqualDifferencesOfSolves) {
  constexpr int kPlants = 300;
  int compared = 0, doubtful = 0;
  double worst = 0.0;
  for (std::uint64_t seed = 1; seed <= kPlants; ++seed) {
    const Network network = SpecialPlant(seed, {.max_junctions = 40}).Take();
    Dice dice(seed + 5'000'000);
    std::vector<std::string> targets;
    const std::vector<std::string> possible = PossibleTargets(network);
    for (int i = 0; i < 6; ++i) targets.push_back(dice.Choose(possible));
    try {
      const Sensitivities found = ComputeSensitivities(network, targets, Tight());
      if (!found.solution.converged()) continue;
      for (const Sensitivity& one : found.by_target) {
        if (one.value == 0.0) continue;  // a step has no size to go by
        const std::vector<double> slope = ByDifferences(network, one.target, one.value);
        if (slope.empty()) {
          ++doubtful;
          continue;
        }
        double largest = 0.0, difference = 0.0;
        for (std::size_t l = 0; l < slope.size(); ++l) {
          largest = std::max(largest, std::abs(slope[l]));
          difference = std::max(difference, std::abs(slope[l] - one.flow[l]));
        }
        // What the tolerances leave in the solves, over the step.
        const double noise = 5e-12 / (1e-4 * std::abs(one.value));
        EXPECT_LE(difference, 1e-6 * largest + noise) << "seed " << seed << ", " << one.target;
        if (largest > 1e6 * noise) worst = std::max(worst, difference / largest);
        ++compared;
      }
    } catch (const NetworkError&) {
    } catch (const SettingError&) {
    }
  }
  EXPECT_GE(compared, 2 * kPlants);
  std::printf(
      "measured: %d sensitivities against differences of solves (%d more on a border), worst "
      "deviation %.1e\n",
      compared, doubtful, worst);
}

}  // namespace
}  // namespace handwheel
