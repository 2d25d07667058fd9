#include "handwheel/backflow.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <optional>
#include <set>

#include "handwheel/errors.h"
#include "property/random_network.h"

// backflow against a study of its own: every state is made by settings and solved here, and what
// runs the wrong way is told from the definitions, by name.

namespace handwheel {
namespace {

constexpr int kNetworks = 100;
constexpr std::uint64_t kFirstSeed = 61'000;
constexpr std::size_t kMostCheckValves = 7;

Network DrawPlant(std::uint64_t seed) {
  testing::MixedOptions options;
  options.max_junctions = 60;
  options.check_valves = 0.12;
  return testing::MixedPlant(seed, options).Take();
}

std::vector<std::string> SomePumps(const Network& network, std::uint64_t seed) {
  testing::Dice dice(seed * 31 + 7);
  std::vector<std::string> trips;
  for (const Pump& pump : network.pumps) {
    if (pump.running && dice.Chance(0.6)) trips.push_back(pump.name);
  }
  return trips;
}

using Combination = std::map<std::string, std::string>;  // check valve -> condition

// None, one or two check valves in a condition worse than they are.
std::set<Combination> AllCombinations(const Network& network) {
  const std::map<std::string, int> rank = {{"sound", 0}, {"passing", 1}, {"stuck open", 2}};
  std::vector<Combination> singles;
  for (const CheckValve& valve : network.check_valves) {
    for (const auto& [condition, worse] : rank) {
      if (worse > rank.at(valve.condition)) singles.push_back({{valve.name, condition}});
    }
  }
  std::set<Combination> all = {{}};
  for (const Combination& a : singles) {
    all.insert(a);
    for (const Combination& b : singles) {
      Combination both = a;
      both.insert(b.begin(), b.end());
      all.insert(both);
    }
  }
  return all;
}

// To tighter tolerances and from other flows than backflow's own solves.
std::optional<Solution> SolveIfPossible(const Network& network) {
  SteadyOptions options;
  options.flow_tolerance = 1e-12;
  options.head_tolerance = 1e-9;
  for (std::size_t c = 0; c < network.ComponentNames().size(); ++c) {
    options.initial_flow.push_back(1e-3 * (1.0 + static_cast<double>(c % 7)));
  }
  try {
    Solution solution = Solve(network, options);
    if (solution.converged()) return solution;
  } catch (const NetworkError&) {
  }
  return std::nullopt;
}

bool HasDirection(const Network& network, const std::string& name) {
  const auto is_among = [&](const auto& parts) {
    return std::any_of(parts.begin(), parts.end(), [&](const auto& p) { return p.name == name; });
  };
  return is_among(network.check_valves) || is_among(network.pumps) || is_among(network.nozzles) ||
         is_among(network.regulators) || is_among(network.relief_valves);
}

// Name -> flow [m³/s] of what runs backwards.
std::map<std::string, double> WrongWay(const Solution& s, const std::optional<Solution>& before,
                                       double least) {
  std::map<std::string, double> wrong;
  for (std::size_t c = 0; c < s.flow().size(); ++c) {
    const std::string& name = s.component_names()[c];
    const double flow = s.flow()[c], usual = before ? before->flow()[c] : 0.0;
    const bool backward =
        HasDirection(s.network(), name)
            ? flow < -least
            : std::abs(flow) > least && std::abs(usual) > least && flow * usual < 0.0;
    if (backward) wrong[name] = flow;
  }
  return wrong;
}

struct Ends {
  std::string from, to;
};

std::map<std::string, Ends> EndsOf(const Network& network) {
  std::map<std::string, Ends> ends;
  const auto add = [&](const auto& parts) {
    for (const auto& part : parts) ends[part.name] = {part.from, part.to};
  };
  add(network.pipes);
  add(network.valves);
  add(network.check_valves);
  add(network.pumps);
  add(network.restrictions);
  for (const Nozzle& nozzle : network.nozzles) ends[nozzle.name] = {nozzle.from, nozzle.name};
  return ends;
}

// Every path hangs together along the flow, and the paths carry what runs backwards, no more.
void CheckPaths(const BackflowState& state, const Solution& s,
                const std::map<std::string, Ends>& ends, double least, const std::string& where) {
  std::map<std::string, double> carried;
  double total = 0.0;
  for (const BackflowPath& path : state.paths) {
    total += path.flow;
    std::string at = path.source;
    for (const std::string& name : path.components) {
      carried[name] += path.flow;
      const bool forward = s.Flow(name) > 0.0;
      const Ends& e = ends.at(name);
      if (!at.empty()) {
        EXPECT_EQ(at, forward ? e.from : e.to) << where << name;
      }
      at = forward ? e.to : e.from;
    }
    if (!path.goes_round()) {
      EXPECT_EQ(at, path.sink) << where;
    }
  }
  EXPECT_NEAR(total, state.flow, 1e-12 + 1e-9 * total) << where;
  // Paths below least_flow are not listed; there are not more of them than of components.
  const double unlisted = least * static_cast<double>(s.flow().size());
  for (const auto& [name, flow] : carried) {
    EXPECT_LE(flow, std::abs(s.Flow(name)) * (1.0 + 1e-9) + 1e-9) << where << name;
  }
  for (const BackwardComponent& part : state.backward) {
    EXPECT_GE(carried[part.name], std::abs(part.flow) - unlisted) << where << part.name;
  }
}

TEST(BackflowOnRandomPlants, AgreesWithSolvingEveryCombination) {
  int studied = 0, states = 0, running_back = 0, unsolved = 0;
  double worst = 0.0;
  std::uint64_t seed = kFirstSeed;
  while (studied < kNetworks) {
    const Network network = DrawPlant(++seed);
    const std::vector<std::string> trips = SomePumps(network, seed);
    const bool fits = !network.check_valves.empty() &&
                      network.check_valves.size() <= kMostCheckValves && !trips.empty();
    if (!fits) continue;
    ++studied;
    const BackflowResult result = Backflow(network, {.trips = trips});
    Network after = network;
    for (const std::string& name : trips) after.Apply(name + ".running", false);
    const auto before = SolveIfPossible(network);
    EXPECT_EQ(before.has_value(), result.before_failure.empty()) << "seed " << seed;

    std::set<Combination> expected = AllCombinations(after);
    EXPECT_EQ(result.states.size(), expected.size()) << "seed " << seed;
    for (const BackflowState& state : result.states) {
      Combination combination;
      Settings settings;
      for (const FailedCheckValve& valve : state.failed) {
        combination[valve.name] = valve.condition;
        settings.emplace_back(valve.name + ".condition", valve.condition);
      }
      const std::string where =
          "seed " + std::to_string(seed) + ", " + std::to_string(state.failed.size()) + " failed: ";
      EXPECT_EQ(expected.erase(combination), 1u) << where;
      Network failed = after;
      failed.Apply(settings);
      const auto solution = SolveIfPossible(failed);
      ++states;
      ASSERT_EQ(solution.has_value(), state.solved) << where << state.reason;
      if (!solution) {
        ++unsolved;
        EXPECT_FALSE(state.reason.empty()) << where;
        continue;
      }
      // A flow within the solver's tolerance of least_flow may count or not.
      constexpr double kSlack = 1e-9;  // [m³/s]
      const auto wrong = WrongWay(*solution, before, result.least_flow + kSlack);
      const auto possible = WrongWay(*solution, before, result.least_flow - kSlack);
      std::map<std::string, double> found;
      for (const BackwardComponent& part : state.backward) found[part.name] = part.flow;
      for (const auto& [name, flow] : wrong) EXPECT_TRUE(found.contains(name)) << where << name;
      double largest = 0.0;
      for (double flow : solution->flow()) largest = std::max(largest, std::abs(flow));
      for (const auto& [name, flow] : found) {
        ASSERT_TRUE(possible.contains(name)) << where << name;
        const double difference = std::abs(flow - possible.at(name)) / largest;
        EXPECT_LE(difference, 1e-6) << where << name;
        worst = std::max(worst, difference);
      }
      running_back += state.RunsBack() ? 1 : 0;
      CheckPaths(state, *solution, EndsOf(network), result.least_flow, where);
    }
    EXPECT_TRUE(expected.empty()) << "seed " << seed;
  }
  std::printf(
      "measured: backflow against every combination: %d networks (seeds %llu to %llu), %d states, "
      "%d with backflow, %d without a solution; worst difference of a rate "
      "%.1e of the largest flow\n",
      studied, static_cast<unsigned long long>(kFirstSeed + 1),
      static_cast<unsigned long long>(seed), states, running_back, unsolved, worst);
  EXPECT_GT(running_back, states / 10);  // or the comparison would say little
}

}  // namespace
}  // namespace handwheel
