#include "handwheel/backflow.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "handwheel/errors.h"
#include "handwheel/file.h"
#include "studies/backflow_graph.h"
#include "studies/backflow_paths.h"

namespace handwheel {
namespace {

const std::string kWater = R"(
[fluid]
name = "test water"
density = 1000.0
viscosity = 1e-3
)";

// A pump lifts water from a sump into a tank, past a check valve and a hand valve.
const std::string kLift = kWater + R"(
[[vessel]]
name = "sump"
level = 2.0
area = 4.0
[[vessel]]
name = "tank"
level = 12.0
[[junction]]
name = "a"
[[junction]]
name = "b"
[[junction]]
name = "c"
[[pump]]
name = "P-1"
from = "sump"
to = "a"
curve = [[0.0, 20.0], [0.01, 16.0], [0.02, 8.0]]
[[check_valve]]
name = "NRV-1"
from = "a"
to = "b"
kind = "swing"
bore = 0.08
[[valve]]
name = "HV-1"
from = "b"
to = "c"
kind = "gate"
bore = 0.08
[[restriction]]
name = "R-1"
from = "c"
to = "tank"
k = 20.0
bore = 0.08
)";

const BackflowState& StateOf(const BackflowResult& result,
                             const std::vector<FailedCheckValve>& failed) {
  const auto found =
      std::find_if(result.states.begin(), result.states.end(),
                   [&](const BackflowState& state) { return state.failed == failed; });
  if (found == result.states.end()) throw std::runtime_error("no such state");
  return *found;
}

TEST(Backflow, NothingRunsBackAsLongAsTheCheckValveHolds) {
  const BackflowResult r = Backflow(ParseNetwork(kLift), {.trips = {"P-1"}});
  EXPECT_EQ(r.scenario, "P-1 trips");
  ASSERT_TRUE(r.as_it_stands().solved);
  EXPECT_FALSE(r.as_it_stands().RunsBack());
  EXPECT_TRUE(r.RunsBackInAnyState());
  ASSERT_EQ(r.states.size(), 3u);
  ASSERT_EQ(r.held.size(), 1u);
  EXPECT_EQ(r.held[0].held_by, std::vector<std::string>{"NRV-1"});
  EXPECT_EQ(r.held[0].source, "tank");
  EXPECT_EQ(r.held[0].sink, "sump");
  EXPECT_EQ(r.held[0].components, (std::vector<std::string>{"R-1", "HV-1", "NRV-1", "P-1"}));
  EXPECT_EQ(r.held[0].through, std::vector<std::string>{"P-1"});
  EXPECT_DOUBLE_EQ(r.held[0].driving_head, 10.0);
  EXPECT_TRUE(r.Verdict().starts_with("No, as long as NRV-1 holds. If NRV-1 passes, "))
      << r.Verdict();
}

TEST(Backflow, AFailedCheckValveLetsTheTankRunIntoTheSump) {
  const Network network = ParseNetwork(kLift);
  const BackflowResult r = Backflow(network, {.trips = {"P-1"}});
  for (const char* condition : {"passing", "stuck open"}) {
    const BackflowState& state = StateOf(r, {{"NRV-1", condition}});
    const Solution s =
        Solve(network, {{"P-1.running", false}, {"NRV-1.condition", std::string(condition)}});
    ASSERT_EQ(state.paths.size(), 1u) << condition;
    const BackflowPath& path = state.paths[0];
    EXPECT_EQ(path.source, "tank");
    EXPECT_EQ(path.sink, "sump");
    EXPECT_NEAR(path.flow, -s.Flow("P-1"), 1e-12);
    EXPECT_NEAR(state.flow, path.flow, 1e-12);
    EXPECT_DOUBLE_EQ(path.driving_head, 10.0);
    EXPECT_EQ(path.components, (std::vector<std::string>{"R-1", "HV-1", "NRV-1", "P-1"}));
    EXPECT_EQ(path.backward.size(), 4u);
    EXPECT_EQ(state.backward.size(), 4u);
    EXPECT_EQ(state.reversed_vessels, (std::vector<std::string>{"sump", "tank"}));
    ASSERT_EQ(state.filling.size(), 1u);
    EXPECT_EQ(state.filling[0].name, "sump");
    EXPECT_NEAR(state.filling[0].level_rise, path.flow / 4.0, 1e-15);  // over its area of 4 m²
    ASSERT_EQ(state.reversed_pumps.size(), 1u);
    EXPECT_EQ(state.reversed_pumps[0].name, "P-1");
    EXPECT_FALSE(state.reversed_pumps[0].running);
    EXPECT_GT(state.reversed_pumps[0].reverse_speed, 0.0);
  }
  EXPECT_EQ(r.states[1].failed[0].condition, "stuck open");  // ranked: more than a passing seat
}

TEST(Backflow, AShutValveHoldsBesideTheCheckValve) {
  const BackflowResult r =
      Backflow(ParseNetwork(kLift), {.trips = {"P-1"}, .settings = {{"HV-1.opening", 0.0}}});
  EXPECT_FALSE(r.RunsBackInAnyState());
  ASSERT_EQ(r.held.size(), 1u);
  EXPECT_EQ(r.held[0].held_by, (std::vector<std::string>{"HV-1", "NRV-1"}));
  EXPECT_EQ(r.Verdict(), "No: nothing runs backwards, not even with any two check valves failed.");
}

TEST(Backflow, OverpressurePushesBackThroughAPumpThatRuns) {
  const BackflowResult r =
      Backflow(ParseNetwork(kLift), {.settings = {{"tank.gas_pressure", std::string("3 bar")}}});
  EXPECT_FALSE(r.as_it_stands().RunsBack());
  const BackflowState& stuck = StateOf(r, {{"NRV-1", "stuck open"}});
  ASSERT_EQ(stuck.reversed_pumps.size(), 1u);
  EXPECT_TRUE(stuck.reversed_pumps[0].running);
  // 3 bar over 1000 kg/m³ at standard gravity, on top of the 10 m.
  EXPECT_NEAR(stuck.paths[0].driving_head, 10.0 + 3e5 / (1000.0 * kStandardGravity), 1e-9);
}

TEST(Backflow, WhatHappensIsComparedWithHowThePlantStandsBefore) {
  // As the file has it, the tank gets; drained before, it would give to nobody.
  const BackflowResult r = Backflow(
      ParseNetwork(kLift),
      {.before = {{"NRV-1.condition", std::string("stuck open")}, {"P-1.running", false}}});
  // It runs back already before, so only what has a direction is backwards.
  ASSERT_TRUE(r.as_it_stands().solved);
  std::vector<std::string> names;
  for (const BackwardComponent& part : r.as_it_stands().backward) names.push_back(part.name);
  EXPECT_EQ(names, (std::vector<std::string>{"NRV-1", "P-1"}));
  EXPECT_TRUE(r.as_it_stands().reversed_vessels.empty());
  EXPECT_EQ(r.states.size(), 1u);  // no worse than stuck open
}

// Two check valves in series: either alone holds.
TEST(Backflow, TwoCheckValvesInSeriesMustBothFail) {
  const std::string text = kLift + R"(
[[junction]]
name = "d"
[[check_valve]]
name = "NRV-2"
from = "c"
to = "d"
kind = "ball"
bore = 0.08
[[vessel]]
name = "head tank"
level = 12.0
[[pipe]]
name = "L-9"
from = "d"
to = "head tank"
length = 5.0
bore = 0.08
)";
  // The way to the other tank is shut.
  Network network = ParseNetwork(text);
  network.restrictions.clear();
  network.vessels.erase(network.vessels.begin() + 1);
  const BackflowResult r = Backflow(network, {.trips = {"P-1"}});
  EXPECT_EQ(r.states.size(), 1u + 4u + 4u);
  for (const BackflowState& state : r.states) {
    EXPECT_EQ(state.RunsBack(), state.failed.size() == 2) << state.failed.size();
  }
  EXPECT_TRUE(r.Verdict().starts_with(
      "No, unless two check valves fail at once. If NRV-1 and NRV-2 stick open, "))
      << r.Verdict();
  EXPECT_EQ(r.held[0].held_by, (std::vector<std::string>{"NRV-2", "NRV-1"}));

  const BackflowResult singles =
      Backflow(network, {.trips = {"P-1"}}, {.max_failed = 1, .max_states = 4});
  EXPECT_EQ(singles.states.size(), 4u);
  EXPECT_EQ(singles.num_skipped, 1u);
  EXPECT_NE(singles.Verdict().find("1 more combination"), std::string::npos) << singles.Verdict();
}

// Two pumps side by side on one header: the one that runs drives water back through the other.
const std::string kRing = kWater + R"(
[[vessel]]
name = "expansion"
level = 5.0
[[junction]]
name = "suction"
[[junction]]
name = "header"
[[junction]]
name = "a"
[[junction]]
name = "b"
[[pipe]]
name = "L-0"
from = "expansion"
to = "suction"
length = 2.0
bore = 0.1
[[pump]]
name = "P-A"
from = "suction"
to = "a"
curve = [[0.0, 20.0], [0.01, 16.0], [0.02, 8.0]]
[[pump]]
name = "P-B"
from = "suction"
to = "b"
curve = [[0.0, 20.0], [0.01, 16.0], [0.02, 8.0]]
[[check_valve]]
name = "NRV-A"
from = "a"
to = "header"
kind = "swing"
bore = 0.08
[[check_valve]]
name = "NRV-B"
from = "b"
to = "header"
kind = "swing"
bore = 0.08
[[restriction]]
name = "user"
from = "header"
to = "suction"
k = 40.0
bore = 0.08
)";

TEST(Backflow, ARunningPumpDrivesLiquidRoundThroughAStoppedOne) {
  const BackflowResult r = Backflow(ParseNetwork(kRing), {.trips = {"P-B"}});
  EXPECT_FALSE(r.as_it_stands().RunsBack());
  const BackflowState& stuck = StateOf(r, {{"NRV-B", "stuck open"}});
  ASSERT_EQ(stuck.paths.size(), 1u);
  EXPECT_TRUE(stuck.paths[0].goes_round());
  EXPECT_TRUE(std::isnan(stuck.paths[0].driving_head));
  EXPECT_EQ(stuck.paths[0].driven_by, std::vector<std::string>{"P-A"});
  EXPECT_EQ(stuck.paths[0].components.size(), 4u);
  EXPECT_TRUE(stuck.filling.empty());
  EXPECT_NE(r.Verdict().find("round through P-A and back through P-B"), std::string::npos)
      << r.Verdict();
  ASSERT_EQ(r.held.size(), 1u);
  EXPECT_EQ(r.held[0].held_by, std::vector<std::string>{"NRV-B"});
  EXPECT_EQ(r.held[0].driven_by, std::vector<std::string>{"P-A"});
}

TEST(Backflow, AStateWithoutASolutionIsARowWithItsReason) {
  const std::string text = kWater + R"(
[[vessel]]
name = "tank"
level = 5.0
[[junction]]
name = "user"
draw = 0.001
[[check_valve]]
name = "NRV-1"
from = "tank"
to = "user"
kind = "swing"
bore = 0.05
[[valve]]
name = "HV-1"
from = "tank"
to = "user"
kind = "gate"
bore = 0.05
)";
  // Turned round while another valve is shut, the check valve leaves the draw without a feed.
  Network network = ParseNetwork(text);
  std::swap(network.check_valves[0].from, network.check_valves[0].to);
  const BackflowResult r = Backflow(network, {.settings = {{"HV-1.opening", 0.0}}});
  EXPECT_FALSE(r.as_it_stands().solved);
  EXPECT_NE(r.as_it_stands().reason.find("NRV-1"), std::string::npos);
  EXPECT_TRUE(std::isnan(r.as_it_stands().flow));
  EXPECT_TRUE(r.Verdict().starts_with("Unknown with the check valves as they are: "));
  const BackflowState& stuck = StateOf(r, {{"NRV-1", "stuck open"}});
  EXPECT_TRUE(stuck.solved);
  EXPECT_NEAR(stuck.flow, 0.001, 1e-9);
  EXPECT_EQ(stuck.paths[0].sink, "user");
  EXPECT_NE(r.Report().find("no solution"), std::string::npos);

  // And where the state before has none, only parts with a direction tell what is backwards.
  const BackflowResult unknown =
      Backflow(network, {.before = {{"HV-1.opening", 0.0}}, .settings = {{"HV-1.opening", 1.0}}});
  EXPECT_FALSE(unknown.before_failure.empty());
  EXPECT_TRUE(unknown.as_it_stands().solved);
}

TEST(Backflow, MistakesAreRefusedBeforeAnythingIsSolved) {
  const Network network = ParseNetwork(kLift);
  const auto refusal = [&](const BackflowScenario& scenario, const BackflowOptions& options) {
    try {
      Backflow(network, scenario, options);
    } catch (const Error& error) {
      return std::string(error.what());
    }
    return std::string("no error");
  };
  EXPECT_EQ(refusal({.trips = {"P-2"}}, {}),
            "trip \"P-2\": no pump is called so; did you mean \"P-1\"?");
  EXPECT_NE(refusal({.case_name = "none"}, {}).find("none"), std::string::npos);
  EXPECT_NE(refusal({.settings = {{"HV-1.opening", 2.0}}}, {}).find("opening"), std::string::npos);
  EXPECT_NE(refusal({}, {.least_flow = 0.0}).find("least_flow"), std::string::npos);
  EXPECT_NE(refusal({}, {.max_failed = 3}).find("max_failed"), std::string::npos);
  EXPECT_NE(refusal({}, {.max_states = 0}).find("max_states"), std::string::npos);
}

TEST(Backflow, ItCanBeInterrupted) {
  BackflowOptions options;
  options.steady.callback = [](const IterationNews&) { return false; };
  const BackflowResult r = Backflow(ParseNetwork(kLift), {.trips = {"P-1"}}, options);
  EXPECT_TRUE(r.interrupted);
  EXPECT_NE(r.Verdict().find("Interrupted"), std::string::npos);
}

// Feeds and draws are ends of paths as vessels are: 3 fed at "a" run to a draw of 1 at "b" and
// backwards on to the vessel.
TEST(SplitBackflow, EndsPathsAtFeedsAndDraws) {
  Network network;
  network.vessels.push_back({.name = "v"});
  network.junctions.push_back({.name = "a", .feed = 3.0});
  network.junctions.push_back({.name = "b", .draw = 1.0});
  network.pipes.push_back({.name = "vb", .from = "v", .to = "b"});
  network.pipes.push_back({.name = "ba", .from = "b", .to = "a"});
  const BackflowGraph graph(network);
  const std::vector<FlowPath> paths =
      SplitBackflow(graph, {-2.0, -3.0}, {{1, 1}, {1}}, /*least_flow=*/1e-9);
  ASSERT_EQ(paths.size(), 2u);
  EXPECT_EQ(graph.node_name(paths[0].source), "a");
  EXPECT_EQ(graph.node_name(paths[0].sink), "v");
  EXPECT_DOUBLE_EQ(paths[0].flow, 2.0);
  EXPECT_EQ(graph.node_name(paths[1].sink), "b");
  EXPECT_DOUBLE_EQ(paths[1].flow, 1.0);
}

}  // namespace
}  // namespace handwheel
