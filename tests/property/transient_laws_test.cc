#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "handwheel/file.h"
#include "handwheel/transient.h"
#include "unit/transient_cases.h"

// Laws of transient flow on shipped and random plants.

namespace handwheel {
namespace {

using namespace transient_cases;  // NOLINT

Network Shipped(const std::string& name) {
  return LoadNetwork(std::string(HANDWHEEL_SOURCE_DIR) + "/networks/" + name + ".toml");
}

const std::vector<std::string>& Plants() {
  static const std::vector<std::string> names{"caustic_transfer", "acid_dosing", "cooling_loop",
                                              "sludge_line"};
  return names;
}

double LargestDrift(const std::vector<double>& values, std::size_t columns) {
  double drift = 0.0;
  for (std::size_t i = columns; i < values.size(); ++i) {
    drift = std::max(drift, std::abs(values[i] - values[i % columns]));
  }
  return drift;
}

Network WithoutAreas(Network plant) {
  for (Vessel& vessel : plant.vessels) vessel.area.reset();
  return plant;
}

// Without events, and with levels that stand, nothing may move: 1e-9 m³/s, 1e-9 of the heads.
TEST(TransientLaws, APlantStaysInItsSteadyState) {
  for (const std::string& name : Plants()) {
    for (const ColumnModel columns :
         {ColumnModel::kAuto, ColumnModel::kRigid, ColumnModel::kSteady}) {
      TransientOptions options;
      options.duration = 2.0;
      options.columns = columns;
      const Transient run = Simulate(WithoutAreas(Shipped(name)), {}, options);
      ASSERT_FALSE(run.time.empty()) << run.ended_early;
      EXPECT_EQ(run.num_unsettled_steps, 0u) << name;
      EXPECT_LT(LargestDrift(run.flow, run.component_names.size()), 1e-9)
          << name << ", " << ColumnModelName(columns);
      EXPECT_LT(LargestDrift(run.head, run.point_names.size()), 1e-7)
          << name << ", " << ColumnModelName(columns);
      EXPECT_TRUE(run.log.empty()) << name << ": " << run.log[0].name << run.log[0].message;
    }
  }
}

TEST(TransientLaws, LiquidBalancesToRoundOffWhateverHappens) {
  for (const std::string& name : Plants()) {
    const Network plant = Shipped(name);
    std::vector<TransientEvent> events;
    if (!plant.pumps.empty()) events.push_back(TripPump(plant.pumps[0].name, 0.2));
    if (!plant.valves.empty()) {
      events.push_back(StrokeValve(plant.valves.back().name, 0.3, 0.5, 0.7));
    }
    for (const ColumnModel columns :
         {ColumnModel::kAuto, ColumnModel::kRigid, ColumnModel::kSteady}) {
      TransientOptions options;
      options.duration = 5.0;
      options.columns = columns;
      const Transient run = Simulate(plant, events, options);
      EXPECT_EQ(run.num_unsettled_steps, 0u) << name << run.worst_misfit;
      double capacity = 1e-3;  // liquid that moves about in pipes
      for (const Vessel& vessel : plant.vessels) {
        if (vessel.area) capacity += *vessel.area * vessel.level;
      }
      EXPECT_LT(std::abs(run.balance.error), 1e-12 * capacity + 1e-13)
          << name << ", " << ColumnModelName(columns) << ", through " << run.balance.through;
    }
  }
}

// Cavities and check valves that come and go must not feed waves: no more pressure than stopping
// the fastest stream at once would make, doubled at a dead end.
TEST(TransientLaws, ATripMakesNoMoreThanStoppingItsFlowsCould) {
  for (const std::string& name : Plants()) {
    const Network plant = Shipped(name);
    TransientOptions options;
    options.duration = 5.0;
    const Transient run = Simulate(plant, {TripPump(plant.pumps[0].name, 0.2)}, options);
    const Solution start = Solve(plant);
    double fastest = 0.0, wave_speed = 0.0, highest = 0.0;
    for (std::size_t p = 0; p < plant.pipes.size(); ++p) {
      fastest = std::max(fastest, std::abs(start.velocity()[p]));
      wave_speed = std::max(wave_speed, run.envelopes[p].wave_speed);
    }
    for (const double pressure : start.pressure()) highest = std::max(highest, pressure);
    const double most = highest + 2.0 * start.liquid().density * wave_speed * fastest;
    for (const PointExtremes& point : run.extremes) {
      EXPECT_LT(point.highest, most) << name << ", " << point.name;
    }
  }
}

// A plant whose pump has tripped comes to the steady state of the plant with it stopped. As rigid
// columns: waves under steady friction take minutes to die down.
TEST(TransientLaws, AfterTheTripThePlantSettlesToItsTrippedState) {
  const Network plant = WithoutAreas(Shipped("caustic_transfer"));
  TransientOptions options;
  options.duration = 60.0;
  options.columns = ColumnModel::kRigid;
  const Transient run = Simulate(plant, {TripPump("P-1", 0.5)}, options);
  const Solution after = Solve(plant, {{"P-1.running", false}});
  const std::vector<double> last(run.flow.end() - static_cast<std::ptrdiff_t>(after.flow().size()),
                                 run.flow.end());
  for (std::size_t l = 0; l < last.size(); ++l) {
    EXPECT_NEAR(last[l], after.flow()[l], 2e-6) << after.component_names()[l];
  }
}

// Turned round, a pipe gives the same heads and the opposite flow.
TEST(TransientLaws, ReversingAPipeChangesOnlyTheSignOfItsFlow) {
  const OneLine line{.length = 300,
                     .bore = 0.1,
                     .wave_speed = 1100,
                     .friction_factor = 0.02,
                     .head = 40,
                     .velocity = 1.2};
  const Network plant = line.Plant();
  Network turned = plant;
  std::swap(turned.pipes[0].from, turned.pipes[0].to);
  TransientOptions options;
  options.duration = 4.0;
  const std::vector<TransientEvent> events{StrokeValve("HV-1", 0.1, 0.2, 0.4)};
  const Transient one = Simulate(plant, events, options), other = Simulate(turned, events, options);
  for (std::size_t i = 0; i < one.head.size(); ++i) EXPECT_NEAR(one.head[i], other.head[i], 1e-9);
  const std::vector<double> a = one.Flow("L-1");
  for (std::size_t i = 0; i < a.size(); ++i) {
    EXPECT_NEAR(a[i], -other.flow_to[i * other.component_names.size()], 1e-12);
  }
}

// A smooth stroke, with friction: the error falls with the square of the reach.
TEST(TransientLaws, WavesConvergeWithTheSquareOfTheReach) {
  const OneLine line{.length = 600,
                     .bore = 0.2,
                     .wave_speed = 1000,
                     .friction_factor = 0.03,
                     .head = 60,
                     .velocity = 2.0};
  const auto head_with = [&](int reaches) {
    TransientOptions options;
    options.duration = 3.0;
    options.time_step = 0.6 / reaches;
    options.record_every = 0.6;
    options.cavities = false;
    return HeadAt(Simulate(line.Plant(), {StrokeValve("HV-1", 0.2, 0.0, 1.8)}, options), "end",
                  3.0);
  };
  const double best = head_with(640);
  double before = std::abs(head_with(5) - best);
  for (const int reaches : {10, 20, 40}) {
    const double error = std::abs(head_with(reaches) - best);
    EXPECT_GT(std::log2(before / error), 1.7) << reaches;
    before = error;
  }
}

// Over many periods of the pipe the elastic column moves as the rigid one does.
TEST(TransientLaws, RigidAndElasticAgreeForSlowStrokes) {
  const OneLine line{.length = 200,
                     .bore = 0.1,
                     .wave_speed = 1200,
                     .friction_factor = 0.02,
                     .head = 30,
                     .velocity = 1.5};
  const std::vector<TransientEvent> events{StrokeValve("HV-1", 0.3, 1.0, 60.0)};  // 180 periods
  TransientOptions options;
  options.duration = 62.0;
  options.record_every = 0.5;
  const Transient elastic = Simulate(line.Plant(), events, options);
  options.columns = ColumnModel::kRigid;
  options.time_step = elastic.time_step;
  const Transient rigid = Simulate(line.Plant(), events, options);
  for (const double time : {5.0, 20.0, 40.0, 60.0}) {
    EXPECT_NEAR(HeadAt(elastic, "end", time), HeadAt(rigid, "end", time), 0.02) << time;
    EXPECT_NEAR(FlowAt(elastic, "L-1", time), FlowAt(rigid, "L-1", time), 2e-6) << time;
  }
}

// Random trees of pipes with a shut end each: what one valve does, all balance.
TEST(TransientLaws, RandomTreesBalanceAndStayBounded) {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    SCOPED_TRACE(testing::Message() << "seed " << seed);
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> share(0.0, 1.0);
    Network plant = Empty(9.80665);
    plant.fluid.viscosity = 1e-3;
    plant.vessels = {Tank("tank", 0.0), Tank("sink", 0.0)};
    plant.vessels[0].level = 40.0;
    plant.vessels[0].area = 3.0;
    const int points = 4 + static_cast<int>(8 * share(random));
    for (int i = 0; i < points; ++i) {
      const std::string name = "n" + std::to_string(i);
      plant.junctions.push_back(Point(name));
      const int up = static_cast<int>(i * share(random));
      plant.pipes.push_back(Line("L-" + std::to_string(i),
                                 i == 0 ? "tank" : "n" + std::to_string(up), name,
                                 20.0 + 200.0 * share(random), 0.05 + 0.1 * share(random),
                                 900.0 + 400.0 * share(random), 0.02));
    }
    plant.junctions[1].draw = 1e-3;
    plant.valves = {StraightValve("HV-1", "n" + std::to_string(points - 1), "sink", 0.08, 40.0)};
    TransientOptions options;
    options.duration = 4.0;
    options.cavities = seed % 2 == 0;
    const Transient run = Simulate(plant, {StrokeValve("HV-1", 0.0, 0.1, 0.05)}, options);
    EXPECT_EQ(run.num_unsettled_steps, 0u);
    EXPECT_LT(std::abs(run.balance.error), 1e-12 * 120.0);
    for (double head : run.head) ASSERT_LT(std::abs(head), 2000.0);
  }
}

}  // namespace
}  // namespace handwheel
