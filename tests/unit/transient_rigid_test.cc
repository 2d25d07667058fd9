#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "transient_cases.h"

// Rigid columns and falling levels against closed forms.

namespace handwheel {
namespace {

using namespace transient_cases;  // NOLINT

TransientOptions Options(ColumnModel columns, double duration, double time_step) {
  TransientOptions options;
  options.duration = duration;
  options.time_step = time_step;
  options.record_every = time_step;
  options.columns = columns;
  return options;
}

// C: V = V0 tanh(t/tau), c = 1 + K + fL/D = 52.5; here the pipe's k and the valve make up 1 + K.
TEST(RigidColumn, StartsFromRestAsTanh) {
  Network plant = Empty();
  plant.vessels = {Tank("tank", 0.0), Tank("sink", 0.0)};
  plant.vessels[0].level = 10.0;
  plant.junctions = {Point("end")};
  plant.pipes = {Line("L-1", "tank", "end", 500, 0.2, 1000, 0.02)};
  plant.pipes[0].k = 1.5;
  plant.valves = {StraightValve("HV-1", "end", "sink", 0.2, 1.0)};
  plant.valves[0].opening = 0.0;
  const Transient run =
      Simulate(plant, {StrokeValve("HV-1", 1.0, 0.0)}, Options(ColumnModel::kRigid, 40.0, 0.02));
  const std::array<std::array<double, 2>, 5> table{
      {{2, 0.38710}, {5, 0.90465}, {10, 1.48426}, {20, 1.86759}, {40, 1.93202}}};
  for (const auto& [time, velocity] : table) {
    EXPECT_NEAR(FlowAt(run, "L-1", time) / AreaOfBore(0.2), velocity, 1e-5 * 1.93317) << time;
  }
}

// C: against a static lift H the column stops after t0 = 2L/(c r) atan(V/r), r = sqrt(2 g H/c), and
// then runs back as -r tanh(c r t/2L). The drive is taken away by the gas of the tank.
TEST(RigidColumn, StopsAsAtanAndReversesAsTanh) {
  const double g = 9.81, length = 12.0, c = 20.0, lift = 40.0, velocity = 2.5;
  Network plant = Empty();
  plant.vessels = {Tank("tank", 0.0), Tank("header", 0.0)};
  plant.vessels[1].level = lift;
  const double drive = lift + c * velocity * velocity / (2.0 * g);
  plant.vessels[0].gas_pressure = drive * 1000.0 * g;
  plant.pipes = {Line("L-1", "tank", "header", length, 0.1, 1200, kFrictionless)};
  plant.pipes[0].k = c;
  const double r = std::sqrt(2.0 * g * lift / c);
  const double stop = 2.0 * length / (c * r) * std::atan(velocity / r);
  EXPECT_NEAR(stop, 0.07274, 5e-6);
  const double step = 1e-5;
  const Transient run = Simulate(plant, {ChangeGasPressure("tank", 0.0, 0.0)},
                                 Options(ColumnModel::kRigid, 0.15, step));
  const std::vector<double> flow = run.Flow("L-1");
  std::size_t i = 0;
  while (flow[i] > 0.0) ++i;
  EXPECT_NEAR(run.time[i], stop, 1e-4 * stop + step);
  const double after = 0.05;  // so long after reversal: 1.5989 m/s
  const double area = AreaOfBore(0.1);
  EXPECT_NEAR(FlowAt(run, "L-1", stop + after) / area,
              -r * std::tanh(c * r * after / (2.0 * length)), 1e-3);
}

// C: friction coast V = V0/(1 + c V0 t/2L).
TEST(RigidColumn, CoastsToRestByFriction) {
  Network plant = Empty();
  plant.vessels = {Tank("tank", 0.0), Tank("sink", 0.0)};
  plant.vessels[0].gas_pressure = 50.0 * 4.0 / (2.0 * 9.81) * 1000.0 * 9.81;  // c V²/2g
  plant.pipes = {Line("L-1", "tank", "sink", 500, 0.2, 1000, kFrictionless)};
  plant.pipes[0].k = 50.0;
  const Transient run = Simulate(plant, {ChangeGasPressure("tank", 0.0, 0.0)},
                                 Options(ColumnModel::kRigid, 20.0, 0.005));
  EXPECT_NEAR(FlowAt(run, "L-1", 5.0) / AreaOfBore(0.2), 4.0 / 3.0, 1e-6 * 2);
  EXPECT_NEAR(FlowAt(run, "L-1", 10.0) / AreaOfBore(0.2), 1.0, 1e-6 * 2);
  EXPECT_NEAR(FlowAt(run, "L-1", 20.0) / AreaOfBore(0.2), 2.0 / 3.0, 1e-6 * 2);
}

// Halving the step quarters the error: second order.
TEST(RigidColumn, ConvergesWithTheSquareOfTheStep) {
  std::vector<double> errors;
  for (const double step : {0.4, 0.2, 0.1, 0.05}) {
    Network plant = Empty();
    plant.vessels = {Tank("tank", 0.0), Tank("sink", 0.0)};
    plant.vessels[0].gas_pressure = 50.0 * 4.0 / 2.0 * 1000.0;
    plant.pipes = {Line("L-1", "tank", "sink", 500, 0.2, 1000, kFrictionless)};
    plant.pipes[0].k = 50.0;
    const Transient run = Simulate(plant, {ChangeGasPressure("tank", 0.0, 0.0)},
                                   Options(ColumnModel::kRigid, 10.0, step));
    errors.push_back(std::abs(FlowAt(run, "L-1", 10.0) / AreaOfBore(0.2) - 1.0));
  }
  for (std::size_t i = 1; i < errors.size(); ++i) {
    EXPECT_NEAR(std::log2(errors[i - 1] / errors[i]), 2.0, 0.35) << i;
  }
}

// --- Levels ---

// C: t = 2A (sqrt h1 - sqrt h2)/(Cd a sqrt(2g)), through a pipe with c = K + fL/D: 5 m2, 5 to 3 m
// in 2048.9 s.
TEST(Levels, TankDrainsThroughAPipeInTime) {
  Network plant = Empty();
  plant.vessels = {Tank("tank", 0.0), Tank("open air", 0.0)};
  plant.vessels[0].level = 5.0;
  plant.vessels[0].area = 5.0;
  plant.junctions = {Point("end")};
  plant.pipes = {Line("L-1", "tank", "end", 20, 0.05, 1000, 0.025)};
  plant.pipes[0].k = 1.5;  // with the nozzle's velocity head c = 12.5
  plant.nozzles = {{"N-1", "end", 0.05, "", 1.0, 0.0}};
  const Transient run = Simulate(plant, {}, Options(ColumnModel::kSteady, 2200.0, 1.0));
  EXPECT_NEAR(run.Flow("L-1")[0], 5.5006e-3, 2e-7);
  const std::vector<double> level = run.Level("tank");
  std::size_t i = 0;
  while (level[i] > 3.0) ++i;
  const double share = (level[i - 1] - 3.0) / (level[i - 1] - level[i]);
  EXPECT_NEAR(run.time[i - 1] + share, 2048.9, 0.2);  // 1e-4
  EXPECT_LT(std::abs(run.balance.error), 1e-12);
}

// C: 4 m2 (5 m) and 6 m2 (2 m) meet at 3.2 m after 654.48 s; c = 7.5.
TEST(Levels, TwoTanksMeetInTime) {
  Network plant = Empty();
  plant.vessels = {Tank("one", 0.0), Tank("other", 0.0)};
  plant.vessels[0].level = 5.0;
  plant.vessels[0].area = 4.0;
  plant.vessels[1].level = 2.0;
  plant.vessels[1].area = 6.0;
  plant.pipes = {Line("L-1", "one", "other", 30, 0.1, 1000, 0.02)};
  plant.pipes[0].k = 1.5;
  const Transient run = Simulate(plant, {}, Options(ColumnModel::kSteady, 700.0, 0.25));
  const std::vector<double> flow = run.Flow("L-1");
  // d falls as (1 - t/T)², so sqrt d reaches 0 at T: from the flow, which goes as sqrt d.
  const double q0 = flow[RowAt(run, 100.0)], q1 = flow[RowAt(run, 500.0)];
  EXPECT_NEAR(100.0 + 400.0 * q0 / (q0 - q1), 654.48, 0.07);  // 1e-4
  EXPECT_NEAR(run.Level("one").back(), 3.2, 1e-6);
  EXPECT_NEAR(run.Level("other").back(), 3.2, 1e-6);
  EXPECT_NEAR(flow.back(), 0.0, 1e-6);
  EXPECT_LT(std::abs(run.balance.error), 1e-12);
}

TEST(Levels, AnEmptyTankEndsTheRunAndIsInTheLog) {
  Network plant = Empty();
  plant.vessels = {Tank("tank", 0.0), Tank("open air", -1.0)};
  plant.vessels[0].level = 1.0;
  plant.vessels[0].area = 1.0;
  plant.pipes = {Line("L-1", "tank", "open air", 10, 0.05, 1000, 0.02)};
  const Transient run = Simulate(plant, {}, Options(ColumnModel::kSteady, 2000.0, 1.0));
  EXPECT_NE(run.ended_early.find("tank ran empty"), std::string::npos) << run.ended_early;
  ASSERT_FALSE(run.log.empty());
  EXPECT_EQ(run.log.back().message, "is empty");
  EXPECT_LT(run.time.back(), 2000.0);
}

TEST(Levels, ATankSpillsOverItsWallAndTheLiquidIsCounted) {
  Network plant = Empty();
  plant.vessels = {Tank("source", 10.0), Tank("tank", 0.0)};
  plant.vessels[1].level = 1.0;
  plant.vessels[1].area = 1.0;
  plant.vessels[1].height = 2.0;
  plant.pipes = {Line("L-1", "source", "tank", 10, 0.05, 1000, 0.02)};
  const Transient run = Simulate(plant, {}, Options(ColumnModel::kSteady, 1000.0, 1.0));
  EXPECT_DOUBLE_EQ(run.Level("tank").back(), 2.0);
  EXPECT_GT(run.balance.spilled, 1.0);
  EXPECT_LT(std::abs(run.balance.error), 1e-11);
  ASSERT_FALSE(run.log.empty());
  EXPECT_EQ(run.log[0].message, "spills over its wall");
}

}  // namespace
}  // namespace handwheel
