#include "handwheel/isolate.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "handwheel/errors.h"
#include "handwheel/network.h"
#include "studies/isolate_cuts.h"

namespace handwheel {
namespace {

using Names = std::vector<std::string>;

constexpr double kDensity = 1000.0;                      // [kg/m³]
constexpr double kWeight = kDensity * kStandardGravity;  // [Pa/m]

Valve HandValve(const char* name, const char* from, const char* to) {
  Valve valve;
  valve.name = name;
  valve.from = from;
  valve.to = to;
  valve.kind = "gate";
  valve.bore = 0.05;
  return valve;
}

Pipe Line(const char* name, const char* from, const char* to) {
  Pipe pipe;
  pipe.name = name;
  pipe.from = from;
  pipe.to = to;
  pipe.length = 10.0;
  pipe.bore = 0.05;
  return pipe;
}

// tank A (head 3 m) - HV-1 - P-1 - NRV-1 - HV-2 - header - HV-3 - tank B (head 12 m); from the
// header a drain valve, shut, and a nozzle.
Network Plant() {
  Network network;
  network.fluid.density = kDensity;
  network.fluid.viscosity = 1e-3;
  network.fluid.name = "test liquid";
  network.vessels = {{.name = "tank A", .elevation = 1.0, .level = 2.0},
                     {.name = "tank B", .elevation = 10.0, .level = 2.0}};
  network.junctions = {{.name = "P-1 in", .elevation = 0.5},  {.name = "P-1 out", .elevation = 0.8},
                       {.name = "NRV out", .elevation = 1.2}, {.name = "header", .elevation = 2.0},
                       {.name = "drain", .elevation = 0.2},   {.name = "top", .elevation = 9.0}};
  network.valves = {HandValve("HV-1", "tank A", "P-1 in"), HandValve("HV-2", "NRV out", "header"),
                    HandValve("HV-3", "top", "tank B"), HandValve("DV-1", "header", "drain")};
  network.valves[3].opening = 0.0;
  network.pipes = {Line("L-1", "header", "top")};
  CheckValve check;
  check.name = "NRV-1";
  check.from = "P-1 out";
  check.to = "NRV out";
  check.kind = "swing";
  check.bore = 0.05;
  network.check_valves = {check};
  Pump pump;
  pump.name = "P-1";
  pump.from = "P-1 in";
  pump.to = "P-1 out";
  pump.curve = {{0.0, 20.0}, {2e-3, 18.0}, {4e-3, 12.0}};
  network.pumps = {pump};
  Nozzle nozzle;
  nozzle.name = "N-1";
  nozzle.from = "drain";
  nozzle.bore = 0.02;
  network.nozzles = {nozzle};
  return network;
}

std::vector<Names> SetsOf(const Isolation& isolation) {
  std::vector<Names> sets;
  for (const IsolatingSet& set : isolation.sets) sets.push_back(set.valves);
  return sets;
}

const NotCounted* FindReason(const std::vector<NotCounted>& parts, const std::string& name) {
  const auto found = std::find_if(parts.begin(), parts.end(),
                                  [&](const NotCounted& part) { return part.component == name; });
  return found == parts.end() ? nullptr : &*found;
}

bool Says(const std::string& text, const std::string& what) {
  return text.find(what) != std::string::npos;
}

bool AnySays(const Names& texts, const std::string& what) {
  return std::any_of(texts.begin(), texts.end(), [&](const auto& t) { return Says(t, what); });
}

// --- Cuts ----------------------------------------------------------------------------------------

TEST(MinimalCuts, OfALadderAreEveryRungByEveryWay) {
  // Two chains of three edges side by side between 0 and 5: one edge of each must go.
  const CutGraph graph{6, {{0, 1}, {1, 2}, {2, 5}, {0, 3}, {3, 4}, {4, 5}}};
  const CutList list = MinimalCuts(graph, 0, 5, 100, 1000);
  EXPECT_TRUE(list.complete);
  ASSERT_EQ(list.cuts.size(), 9u);
  for (const auto& cut : list.cuts) {
    ASSERT_EQ(cut.size(), 2u);
    EXPECT_LT(cut[0], 3);
    EXPECT_GE(cut[1], 3);
  }
}

TEST(MinimalCuts, TakeParallelEdgesTogether) {
  const CutGraph graph{3, {{0, 1}, {1, 0}, {0, 1}, {1, 2}}};
  const CutList list = MinimalCuts(graph, 0, 2, 100, 1000);
  EXPECT_EQ(list.cuts, (std::vector<std::vector<int>>{{3}, {0, 1, 2}}));
}

TEST(MinimalCuts, GivenUpStillHoldOneOfTheSmallest) {
  CutGraph graph{0, {}};  // a square grid
  constexpr int kSide = 8;
  graph.num_nodes = kSide * kSide;
  for (int i = 0; i < kSide; ++i) {
    for (int j = 0; j < kSide; ++j) {
      if (i + 1 < kSide) graph.edges.push_back({i * kSide + j, (i + 1) * kSide + j});
      if (j + 1 < kSide) graph.edges.push_back({i * kSide + j, i * kSide + j + 1});
    }
  }
  const CutList list = MinimalCuts(graph, 0, kSide * kSide - 1, 5, 3);
  EXPECT_FALSE(list.complete);
  ASSERT_FALSE(list.cuts.empty());
  EXPECT_EQ(list.cuts.front().size(), 2u);  // the two edges at a corner
}

TEST(MinimalCuts, StopWhenEnoughAndNoneAsSmallIsLeft) {
  const CutGraph graph{4, {{0, 1}, {1, 2}, {2, 3}, {0, 1}}};
  const CutList list = MinimalCuts(graph, 0, 3, 1, 1000);
  EXPECT_FALSE(list.complete);
  EXPECT_EQ(list.cuts, (std::vector<std::vector<int>>{{1}, {2}}));  // both of one edge
}

TEST(MinimalCuts, OfTwoThatNothingJoinsAreTheEmptyOne) {
  const CutList list = MinimalCuts({3, {{0, 1}}}, 0, 2, 5, 100);
  EXPECT_TRUE(list.complete);
  EXPECT_EQ(list.cuts, (std::vector<std::vector<int>>{{}}));
}

TEST(NearestSmallestCut, PrefersTheNearerAndTheLighter) {
  const CutGraph graph{4, {{0, 1}, {1, 2}, {2, 3}}};
  EXPECT_EQ(NearestSmallestCut(graph, 0, 3), (std::vector<int>{0}));
  EXPECT_EQ(NearestSmallestCut(graph, 0, 3, {5, 2, 2}), (std::vector<int>{1}));
}

// --- Isolate -------------------------------------------------------------------------------------

TEST(Isolate, APumpTakesTheValvesAroundItAndNeverItsCheckValve) {
  const Isolation isolation = Isolate(Plant(), {"P-1"});
  EXPECT_TRUE(isolation.possible);
  EXPECT_TRUE(isolation.all_sets_listed);
  EXPECT_FALSE(isolation.with_blanks);
  EXPECT_EQ(SetsOf(isolation), (std::vector<Names>{{"HV-1", "HV-2"}, {"HV-1", "HV-3"}}));
  EXPECT_EQ(isolation.sets[0].zone.points, (Names{"P-1 in", "P-1 out", "NRV out"}));
  EXPECT_EQ(isolation.sets[0].zone.components, (Names{"NRV-1", "P-1"}));
  EXPECT_EQ(isolation.sets[0].zone.pumps, Names{"P-1"});
  ASSERT_NE(FindReason(isolation.not_counted, "NRV-1"), nullptr);
  EXPECT_EQ(FindReason(isolation.not_counted, "NRV-1")->kind, "check valve");
  EXPECT_TRUE(Says(isolation.verdict, "shut HV-1 and HV-2"));
  EXPECT_TRUE(Says(isolation.verdict, "lock out its drive"));
}

TEST(Isolate, TellsWhatStandsBehindEachValve) {
  const Network plant = Plant();
  const Isolation isolation = Isolate(plant, {"P-1"});
  const Solution present = Solve(plant);
  const BoundaryValve &suction = isolation.sets[0].boundary[0],
                      &discharge = isolation.sets[0].boundary[1];
  EXPECT_EQ(suction.outer_point, "tank A");
  EXPECT_TRUE(suction.single);
  ASSERT_EQ(suction.sources.size(), 1u);
  EXPECT_EQ(suction.sources[0].name, "tank A");
  EXPECT_TRUE(suction.sources[0].direct);
  // Head 1 + 2 m, at the bottom of the tank, 1 m.
  EXPECT_NEAR(suction.sources[0].pressure, 2.0 * kWeight, 1e-6);
  EXPECT_DOUBLE_EQ(discharge.pressure, present.Pressure("header"));
  EXPECT_FALSE(discharge.single);
  EXPECT_EQ(discharge.second_valves, Names{"HV-3"});
  EXPECT_EQ(discharge.bleeds, Names{"N-1"});
  ASSERT_EQ(discharge.sources.size(), 1u);
  EXPECT_DOUBLE_EQ(discharge.sources[0].head, 12.0);
  EXPECT_FALSE(discharge.sources[0].direct);
  EXPECT_NEAR(discharge.sources[0].pressure, (12.0 - 2.0) * kWeight, 1e-6);
}

TEST(Isolate, DividesTheZoneIntoPocketsAndFindsTheirDrains) {
  const Network plant = Plant();
  const Solution present = Solve(plant);
  const IsolatedZone zone = Isolate(plant, {"P-1"}).sets[1].zone;  // HV-1, HV-3
  ASSERT_EQ(zone.pockets.size(), 3u);
  const Pocket &pump = zone.pockets[0], &delivery = zone.pockets[1], &drain = zone.pockets[2];
  EXPECT_EQ(pump.points, (Names{"P-1 in", "P-1 out"}));
  EXPECT_EQ(pump.lowest, "P-1 in");
  EXPECT_EQ(pump.highest, "P-1 out");
  EXPECT_DOUBLE_EQ(pump.trapped_head, present.Head("P-1 out"));
  EXPECT_NEAR(pump.trapped_pressure, (present.Head("P-1 out") - 0.5) * kWeight, 1e-6);
  EXPECT_EQ(delivery.points, (Names{"NRV out", "header", "top"}));
  ASSERT_EQ(delivery.drains.size(), 1u);  // by way of the drain valve
  EXPECT_EQ(delivery.drains[0].nozzle, "N-1");
  EXPECT_EQ(delivery.drains[0].opened_by, Names{"DV-1"});
  EXPECT_NEAR(delivery.volume, M_PI / 4.0 * 0.05 * 0.05 * 10.0, 1e-12);
  EXPECT_EQ(pump.drains.size(), 1u);  // forward through the check valve
  ASSERT_EQ(drain.drains.size(), 1u);
  EXPECT_TRUE(drain.drains[0].opened_by.empty());
}

TEST(Isolate, ACheckValveThatPointsInDrainsNothing) {
  Network plant = Plant();
  std::swap(plant.check_valves[0].from, plant.check_valves[0].to);
  const Isolation isolation = Isolate(plant, {"P-1"});
  EXPECT_TRUE(isolation.sets[1].zone.pockets[0].drains.empty());
  EXPECT_TRUE(isolation.sets[0].zone.pockets[0].drains.empty());
}

struct Uncounted {
  const char* kind;
  const char* condition;
  const char* told_as;
};

TEST(Isolate, NeverCountsPinchControlOrDamagedValves) {
  for (const Uncounted& is : {Uncounted{"pinch enclosed body", "sound", "pinch valve"},
                              Uncounted{"pinch open frame", "sound", "pinch valve"},
                              Uncounted{"control linear", "sound", "control valve"},
                              Uncounted{"control equal-percentage", "sound", "control valve"},
                              Uncounted{"gate", "passing", "damaged valve"},
                              Uncounted{"gate", "blocked", "damaged valve"},
                              Uncounted{"diaphragm weir", "diaphragm cut", "damaged valve"}}) {
    Network plant = Plant();
    plant.valves[1].kind = is.kind;
    plant.valves[1].condition = is.condition;
    const Isolation isolation = Isolate(plant, {"P-1"});
    EXPECT_EQ(SetsOf(isolation), std::vector<Names>({{"HV-1", "HV-3"}})) << is.kind;
    const NotCounted* reason = FindReason(isolation.not_counted, "HV-2");
    ASSERT_NE(reason, nullptr) << is.kind;
    EXPECT_EQ(reason->kind, is.told_as);
    EXPECT_EQ(reason->reason.back(), '.');
  }
}

TEST(Isolate, NeverCountsAStoppedPump) {
  Network plant = Plant();
  plant.pumps[0].running = false;
  const Isolation isolation = Isolate(plant, {"NRV-1"});
  EXPECT_EQ(SetsOf(isolation), (std::vector<Names>{{"HV-1", "HV-2"}, {"HV-1", "HV-3"}}));
  ASSERT_NE(FindReason(isolation.not_counted, "P-1"), nullptr);
  EXPECT_TRUE(Says(FindReason(isolation.not_counted, "P-1")->reason, "1910.147(b)"));
}

TEST(Isolate, NeverCountsRegulatorsReliefValvesOrRestrictions) {
  Network plant = Plant();
  Regulator regulator;
  regulator.name = "PRV-1";
  regulator.from = "header";
  regulator.to = "top";
  regulator.kind = "pressure-reducing";
  regulator.bore = 0.05;
  regulator.set_pressure = 1e5;
  plant.regulators = {regulator};
  Restriction strainer;
  strainer.name = "S-1";
  strainer.from = "header";
  strainer.to = "top";
  strainer.k = 5.0;
  strainer.bore = 0.05;
  plant.restrictions = {strainer};
  ReliefValve relief;
  relief.name = "PSV-1";
  relief.from = "header";
  relief.to = "tank B";
  relief.set_pressure = 20e5;
  relief.area = 1e-4;
  plant.relief_valves = {relief};
  const Isolation isolation = Isolate(plant, {"P-1"});
  EXPECT_EQ(SetsOf(isolation), std::vector<Names>({{"HV-1", "HV-2"}}));
  EXPECT_TRUE(isolation.sets[0].boundary[1].single);  // tank B comes by the relief valve
  for (const char* name : {"PRV-1", "S-1", "PSV-1"}) {
    EXPECT_NE(FindReason(isolation.not_counted, name), nullptr) << name;
  }
}

TEST(Isolate, DoesNotCountWhatIsExcludedOrWorkedOn) {
  IsolateOptions options;
  options.exclude = {"HV-2"};
  EXPECT_EQ(SetsOf(Isolate(Plant(), {"P-1"}, options)), std::vector<Names>({{"HV-1", "HV-3"}}));
  EXPECT_EQ(SetsOf(Isolate(Plant(), {"HV-2"})), std::vector<Names>({{"HV-1", "HV-3"}}));
}

TEST(Isolate, AnAreaTakesWhatCutsAllOfItOff) {
  EXPECT_EQ(SetsOf(Isolate(Plant(), {"P-1 in", "header"})), std::vector<Names>({{"HV-1", "HV-3"}}));
}

TEST(Isolate, WithoutAValveTellsWhatIsOpenAllTheWay) {
  Network plant = Plant();
  plant.valves.erase(plant.valves.begin());
  plant.pipes.push_back(Line("L-2", "tank A", "P-1 in"));
  const Isolation isolation = Isolate(plant, {"P-1"});
  EXPECT_FALSE(isolation.possible);
  ASSERT_EQ(isolation.open_paths.size(), 1u);
  EXPECT_EQ(isolation.open_paths[0].source, "tank A");
  EXPECT_EQ(isolation.open_paths[0].through, Names{"L-2"});
  EXPECT_FALSE(isolation.with_blanks);  // nothing but a pipe to blank
  EXPECT_EQ(SetsOf(isolation), (std::vector<Names>{{"HV-2"}, {"HV-3"}}));
  EXPECT_TRUE(Says(isolation.verdict, "No valves isolate P-1"));
  EXPECT_TRUE(Says(isolation.verdict, "drain tank A and keep it drained"));
}

TEST(Isolate, NamesWhereABlankWouldDo) {
  Network plant = Plant();
  plant.valves[1].kind = "pinch open frame";
  plant.valves[2].kind = "pinch open frame";
  const Isolation isolation = Isolate(plant, {"P-1"});
  EXPECT_FALSE(isolation.possible);
  ASSERT_TRUE(isolation.with_blanks);
  EXPECT_EQ(isolation.with_blanks->blanks, Names{"NRV-1"});  // the nearest
  EXPECT_EQ(isolation.with_blanks->valves, Names{"HV-1"});
  EXPECT_EQ(isolation.with_blanks->zone.points, (Names{"P-1 in", "P-1 out"}));
  EXPECT_TRUE(Says(isolation.verdict, "blank (spade) at NRV-1"));
}

TEST(Isolate, AVesselIsIsolatedFromTheOthersAndDrained) {
  const Isolation isolation = Isolate(Plant(), {"tank B"});
  EXPECT_TRUE(isolation.possible);
  EXPECT_EQ(SetsOf(isolation), (std::vector<Names>{{"HV-3"}, {"HV-2"}, {"HV-1"}}));
  EXPECT_EQ(isolation.sets[0].zone.vessels, Names{"tank B"});
  EXPECT_TRUE(AnySays(isolation.steps, "Drain tank B"));
  EXPECT_TRUE(AnySays(isolation.cautions, "confined space"));
  EXPECT_FALSE(AnySays(Isolate(Plant(), {"P-1"}).cautions, "confined space"));
}

TEST(Isolate, RanksBySizeOfTheZoneAmongEqualNumbers) {
  const Isolation isolation = Isolate(Plant(), {"tank B"});
  ASSERT_EQ(isolation.sets.size(), 3u);
  for (std::size_t i = 1; i < 3; ++i) {
    EXPECT_GE(isolation.sets[i].zone.volume, isolation.sets[i - 1].zone.volume);
  }
}

TEST(Isolate, AFeedPushesToo) {
  Network plant = Plant();
  plant.junctions[3].feed = 1e-4;  // header
  const Isolation isolation = Isolate(plant, {"P-1"});
  EXPECT_EQ(SetsOf(isolation), std::vector<Names>({{"HV-1", "HV-2"}}));
  EXPECT_TRUE(isolation.sets[0].boundary[1].single);
  const Isolation at_feed = Isolate(plant, {"header"});
  EXPECT_FALSE(at_feed.possible);
  EXPECT_EQ(at_feed.open_paths[0].kind, "feed");
}

TEST(Isolate, ADrawInTheZoneIsPointedOut) {
  Network plant = Plant();
  plant.junctions[2].draw = 1e-4;  // NRV out
  const Isolation isolation = Isolate(plant, {"P-1"});
  EXPECT_EQ(isolation.sets[0].zone.draws, Names{"NRV out"});
  EXPECT_TRUE(AnySays(isolation.cautions, "beyond the model"));
}

TEST(Isolate, WhatNothingCanReachNeedsNoValve) {
  Network plant = Plant();
  plant.junctions.push_back({.name = "stub A"});
  plant.junctions.push_back({.name = "stub B"});
  plant.pipes.push_back(Line("L-9", "stub A", "stub B"));
  const Isolation isolation = Isolate(plant, {"L-9"});
  EXPECT_TRUE(isolation.possible);
  EXPECT_EQ(SetsOf(isolation), std::vector<Names>({{}}));
  EXPECT_TRUE(Says(isolation.verdict, "no valve has to be shut"));
}

TEST(Isolate, AValveThatStandsShutIsStillToBeLocked) {
  Network plant = Plant();
  plant.valves[1].opening = 0.0;
  const Isolation isolation = Isolate(plant, {"P-1"});
  EXPECT_EQ(isolation.sets[0].valves, (Names{"HV-1", "HV-2"}));
  EXPECT_DOUBLE_EQ(isolation.sets[0].boundary[1].opening, 0.0);
  EXPECT_TRUE(AnySays(isolation.steps, "See that HV-2 is shut"));
  EXPECT_TRUE(AnySays(isolation.steps, "Lock and tag each: HV-1, HV-2"));
}

TEST(Isolate, AnswersThoughThePresentStateHasNoSolution) {
  Network plant = Plant();
  plant.valves[1].opening = plant.valves[2].opening = 0.0;
  plant.junctions[5].draw = 1e-3;  // cut off
  const Isolation isolation = Isolate(plant, {"P-1"});
  EXPECT_EQ(isolation.sets[0].valves, (Names{"HV-1", "HV-2"}));
  EXPECT_TRUE(std::isnan(isolation.sets[0].boundary[0].pressure));
  EXPECT_TRUE(Says(isolation.present_state, "top"));
}

TEST(Isolate, StepsFollowTheOrderOfTheRule) {
  const Names steps = Isolate(Plant(), {"P-1"}).steps;
  const Names first_words = {"Prepare",      "Shut down", "Isolate",
                             "Lock and tag", "Relieve",   "Verify"};
  ASSERT_EQ(steps.size(), first_words.size());
  for (std::size_t i = 0; i < steps.size(); ++i) {
    EXPECT_TRUE(steps[i].starts_with(first_words[i])) << steps[i];
  }
}

TEST(Isolate, ReportsTheVerdictFirstAndTheCautionsLast) {
  const std::string report = Isolate(Plant(), {"P-1"}).Report();
  EXPECT_TRUE(report.starts_with("To work on P-1, shut HV-1 and HV-2"));
  EXPECT_LT(report.find("SINGLE VALVE"), report.find("\nCautions\n"));
  EXPECT_TRUE(Says(report, "A check valve is never isolation"));
  EXPECT_FALSE(Says(report, "nan"));
  for (std::size_t at = 0, end; at < report.size(); at = end + 1) {
    end = report.find('\n', at);
    EXPECT_LE(end - at, 100u);
  }
}

TEST(Isolate, RefusesWhatItCannotAnswer) {
  EXPECT_THROW(Isolate(Plant(), {}), NetworkError);
  try {
    Isolate(Plant(), {"P-l"});
    FAIL();
  } catch (const NetworkError& error) {
    EXPECT_TRUE(Says(error.what(), "did you mean \"P-1\"?")) << error.what();
  }
  IsolateOptions options;
  options.max_sets = 0;
  EXPECT_THROW(Isolate(Plant(), {"P-1"}, options), SettingError);
  options = {};
  options.exclude = {"NRV-1"};
  EXPECT_THROW(Isolate(Plant(), {"P-1"}, options), NetworkError);
}

// --- Verify --------------------------------------------------------------------------------------

TEST(VerifyIsolation, AcceptsEverySetOfIsolateAndEverythingBeyond) {
  const Network plant = Plant();
  for (const Names& list :
       {Names{"HV-1", "HV-2"}, Names{"HV-1", "HV-3"}, Names{"HV-1", "HV-2", "HV-3", "DV-1"}}) {
    const IsolationCheck check = VerifyIsolation(plant, {"P-1"}, list);
    EXPECT_TRUE(check.isolates);
    EXPECT_TRUE(check.verdict.starts_with("Yes"));
    ASSERT_EQ(check.leaks.size(), list.size() + 2);
    EXPECT_TRUE(check.leaks[0].solved);
    EXPECT_EQ(check.leaks[0].flow, 0.0);
  }
}

TEST(VerifyIsolation, SeesASecondBlockAndWhatIsNotNeeded) {
  const IsolationCheck check = VerifyIsolation(Plant(), {"P-1"}, {"HV-1", "HV-2", "HV-3", "DV-1"});
  ASSERT_EQ(check.boundary.size(), 2u);
  EXPECT_TRUE(check.boundary[1].second_are_shut);
  EXPECT_EQ(check.boundary[1].second_valves, Names{"HV-3"});
  EXPECT_EQ(check.unneeded, Names{"DV-1"});
}

TEST(VerifyIsolation, RefusesACheckValveAndTellsTheWayLeft) {
  const IsolationCheck check = VerifyIsolation(Plant(), {"P-1"}, {"HV-1", "NRV-1"});
  EXPECT_FALSE(check.isolates);
  EXPECT_TRUE(check.verdict.starts_with("No"));
  ASSERT_EQ(check.open_paths.size(), 1u);
  EXPECT_EQ(check.open_paths[0].source, "tank B");
  EXPECT_EQ(check.open_paths[0].through, (Names{"HV-3", "L-1", "HV-2", "NRV-1"}));
  EXPECT_NE(FindReason(check.not_counted, "NRV-1"), nullptr);
  // The check valve is taken as failed, so that the vent runs.
  EXPECT_GT(check.leaks[0].flow, 0.0);
}

TEST(VerifyIsolation, RefusesTheValveThatIsWorkedOn) {
  const IsolationCheck check = VerifyIsolation(Plant(), {"HV-2"}, {"HV-1", "HV-2"});
  EXPECT_FALSE(check.isolates);
  ASSERT_NE(FindReason(check.not_counted, "HV-2"), nullptr);
  EXPECT_TRUE(Says(FindReason(check.not_counted, "HV-2")->reason, "worked on itself"));
}

// Flow = Kv sqrt(drop / 1 bar) for water's density, by the definition of Kv; the reference density
// (999.1 kg/m³ against 1000 here) and the vent's own loss stay below 0.1 %.
TEST(VerifyIsolation, ComputesALeakByItsOwnData) {
  Network plant = Plant();
  plant.valves[0].leak_kv = 0.5 / 3600.0;
  const IsolationCheck check = VerifyIsolation(plant, {"P-1"}, {"HV-1", "HV-2"});
  EXPECT_EQ(check.vent, "P-1 in");
  const LeakEstimate& suction = check.leaks[1];
  ASSERT_EQ(suction.passing, Names{"HV-1"});
  const double expected = 0.5 / 3600.0 * std::sqrt((3.0 - 0.5) * kWeight / 1e5);
  EXPECT_NEAR(suction.flow, expected, 1e-3 * expected);
  // Undrained, the tank's head stands in the zone.
  EXPECT_NEAR(suction.pressure, (3.0 - 0.5) * kWeight, 1.0);
  EXPECT_EQ(suction.at, "P-1 in");
}

// A hole of 1 % of the bore's area: K is about (1/0.01)², so the flow about 1 % of area times
// sqrt(2 g h); its discharge coefficient lies between 0.5 and 1.
TEST(VerifyIsolation, TakesAHoleOfOnePerCentWithoutData) {
  const IsolationCheck check = VerifyIsolation(Plant(), {"P-1"}, {"HV-1", "HV-2"});
  const double area = 0.01 * M_PI / 4.0 * 0.05 * 0.05;
  const double ideal = area * std::sqrt(2.0 * kStandardGravity * (12.0 - 0.5));
  const LeakEstimate& discharge = check.leaks[2];
  ASSERT_EQ(discharge.passing, Names{"HV-2"});
  EXPECT_GT(discharge.flow, 0.5 * ideal);
  EXPECT_LT(discharge.flow, ideal);
  EXPECT_NEAR(discharge.pressure, (12.0 - 0.5) * kWeight, 100.0);
  const LeakEstimate& all = check.leaks[3];
  EXPECT_NEAR(all.flow, check.leaks[1].flow + discharge.flow, 0.02 * all.flow);
}

TEST(VerifyIsolation, LetsNoCheckValveOutsideHideALeak) {
  Network plant = Plant();
  // P-1 - HV-2 - NRV-1 - header, instead of P-1 - NRV-1 - HV-2.
  plant.check_valves[0].from = "NRV out";
  plant.check_valves[0].to = "header";
  plant.valves[1].from = "P-1 out";
  plant.valves[1].to = "NRV out";
  const IsolationCheck check = VerifyIsolation(plant, {"P-1"}, {"HV-1", "HV-2"});
  ASSERT_TRUE(check.isolates);
  EXPECT_GT(check.leaks[2].flow, 0.0);
  EXPECT_NEAR(check.leaks[2].pressure, (12.0 - 0.5) * kWeight, 100.0);
}

TEST(VerifyIsolation, SolvesThoughDrawsAreCutOff) {
  Network plant = Plant();
  plant.junctions[2].draw = 1e-4;  // within the zone
  plant.junctions[3].draw = 1e-4;  // beyond HV-2, cut off by HV-3
  const IsolationCheck check = VerifyIsolation(plant, {"P-1"}, {"HV-1", "HV-2", "HV-3"});
  for (const LeakEstimate& leak : check.leaks) EXPECT_TRUE(leak.solved) << leak.message;
}

TEST(VerifyIsolation, OfAVesselAndOfTheOnlyOne) {
  const IsolationCheck check = VerifyIsolation(Plant(), {"tank B"}, {"HV-3"});
  EXPECT_TRUE(check.isolates);
  EXPECT_EQ(check.vent, "tank B");
  EXPECT_TRUE(check.leaks[1].solved);
  Network plant = Plant();
  plant.vessels.erase(plant.vessels.begin());
  plant.valves.erase(plant.valves.begin());
  const IsolationCheck only = VerifyIsolation(plant, {"tank B"}, {});
  EXPECT_TRUE(only.isolates);
  ASSERT_EQ(only.leaks.size(), 1u);
  EXPECT_EQ(only.leaks[0].flow, 0.0);
}

TEST(VerifyIsolation, RefusesPointsAndUnknownNamesInTheList) {
  EXPECT_THROW(VerifyIsolation(Plant(), {"P-1"}, {"header"}), NetworkError);
  EXPECT_THROW(VerifyIsolation(Plant(), {"P-1"}, {"HV-11"}), NetworkError);
  EXPECT_THROW(VerifyIsolation(Plant(), {}, {"HV-1"}), NetworkError);
}

}  // namespace
}  // namespace handwheel
