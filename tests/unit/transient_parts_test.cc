#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "correlations/pump_quadrants.h"
#include "correlations/wave_speed.h"
#include "transient/flap_motion.h"
#include "transient/pump_motion.h"
#include "transient/reach_friction.h"
#include "transient_cases.h"

// Pumps that run down, check valves that slam, wave speeds, the friction table.

namespace handwheel {
namespace {

using namespace transient_cases;  // NOLINT

constexpr double kPi = std::numbers::pi;

// --- Wave speed ----------------------------------------------------------------------------------

// Copper of a laboratory rig: D 22.14 mm, e 1.63 mm, a 1319 m/s (seen, inputs E and K not; with
// E 124.1 GPa, K 2.149 GPa, 999.1 kg/m³, mu 0.34 anchored: 1317.0 m/s recomputed).
TEST(WaveSpeed, MatchesTheCopperRigs) {
  ElasticWall wall{
      .bore = 22.14e-3, .thickness = 1.63e-3, .elastic_modulus = 124.1e9, .poisson_ratio = 0.34};
  EXPECT_NEAR(RestraintFactor(wall), 1.0211, 5e-5);
  EXPECT_NEAR(WaveSpeed(2.149e9, 999.1, wall), 1317.0, 0.1);
  EXPECT_NEAR(WaveSpeed(2.149e9, 999.1, wall), 1319.0, 0.003 * 1319.0);
  wall.bore = 22.96e-3;
  wall.thickness = 1.22e-3;
  EXPECT_NEAR(WaveSpeed(2.149e9, 999.1, wall), 1273.0, 0.003 * 1273.0);
}

// Notebook of M. H. Chaudhry's example 1-1: oil 900 kg/m³, 1.5 GPa, rigid pipe: 1291 m/s (answer
// from memory, recomputed 1290.99).
TEST(WaveSpeed, OfOilInARigidPipeMatchesChaudhry) {
  EXPECT_NEAR(WaveSpeedInRigidPipe(1.5e9, 900.0), 1290.99, 0.005);
  const double velocity = 0.4 / AreaOfBore(0.5);
  EXPECT_NEAR(1290.99 * velocity / 9.81, 268.09, 0.02);
}

TEST(WaveSpeed, TendsToTheRigidPipeAndThinWallsLimits) {
  ElasticWall wall{.bore = 1.0, .thickness = 0.001, .elastic_modulus = 2e11, .poisson_ratio = 0.3};
  EXPECT_NEAR(RestraintFactor(wall), 1.0 - 0.09, 0.003);
  wall.restraint = Restraint::kAnchoredUpstream;
  EXPECT_NEAR(RestraintFactor(wall), 1.0 - 0.15, 0.003);
  wall.restraint = Restraint::kExpansionJoints;
  EXPECT_NEAR(RestraintFactor(wall), 1.0, 0.003);
  wall.elastic_modulus = 1e20;
  EXPECT_NEAR(WaveSpeed(2.2e9, 1000.0, wall), WaveSpeedInRigidPipe(2.2e9, 1000.0), 1e-3);
}

TEST(WaveSpeed, EveryRoughnessMaterialHasAModulus) {
  for (const char* name : {"commercial steel", "PVC", "HDPE", "glass", "concrete", "PTFE lined"}) {
    ASSERT_NE(FindWallMaterial(name), nullptr) << name;
    EXPECT_GT(FindWallMaterial(name)->elastic_modulus, 1e8);
  }
  EXPECT_EQ(FindWallMaterial("cheese"), nullptr);
  EXPECT_NEAR(WaterBulkModulus(293.15), 2.19e9, 1e6);
}

// --- Complete characteristics --------------------------------------------------------------------

TEST(PumpQuadrants, BothTablesPassTheChecksThatNeedNoCopy) {
  for (const double ns : {147.0, 261.0}) {
    const QuadrantTable table = NearestQuadrants(ns);
    EXPECT_EQ(table.specific_speed(), ns);
    EXPECT_DOUBLE_EQ(table.Head(0.0), table.Head(2.0 * kPi));
    EXPECT_DOUBLE_EQ(table.Torque(0.0), table.Torque(2.0 * kPi));
    EXPECT_NEAR(table.Head(QuadrantAngle(1.0, 1.0)), 0.5, 1e-12);
    EXPECT_NEAR(table.Torque(QuadrantAngle(1.0, 1.0)), 0.5, 1e-12);
  }
  EXPECT_DOUBLE_EQ(NearestQuadrants(147.0).Head(kPi), 1.970);    // shut-off, of the table's source
  EXPECT_DOUBLE_EQ(NearestQuadrants(261.0).Torque(kPi), 1.950);  // from memory
}

// Formulas seen (pump) and from memory (motor): 175.2 kW, 1100 rev/min: 3.990 and 7.781 kg m².
TEST(PumpInertia, MatchesTheRecomputedExample) {
  EXPECT_NEAR(PumpInertia(175.2e3, 1100.0), 3.990, 0.004);
  EXPECT_NEAR(MotorInertia(175.2e3, 1100.0), 7.781, 0.008);
  EXPECT_NEAR(MechanicalTime(11.77, 1100.0, 175.2e3), 0.8915, 0.0009);
}

// --- Run-down ------------------------------------------------------------------------------------

Pump SomePump() {
  Pump pump;
  pump.name = "P-1";
  pump.from = "a";
  pump.to = "b";
  pump.curve = {{0.0, 30.0}, {0.01, 27.0}, {0.02, 20.0}};
  pump.rated_flow = 0.01;
  pump.efficiency = {{0.01, 0.7}};
  pump.rpm = 1450.0;
  pump.inertia = 0.5;
  return pump;
}

LawContext WaterContext() {
  Network plant;
  return {plant.fluid.Resolve(), plant.site.gravity, plant.model};
}

// C: with torque as the square of the speed, n = 1/(1 + t/Tm).
TEST(PumpMotion, RunsDownHyperbolicallyWhenFlowFollowsSpeed) {
  PumpMotion motion(SomePump(), WaterContext());
  motion.Trip();
  const double tm = motion.mechanical_time(), step = tm / 2000.0;
  double time = 0.0;
  for (int i = 0; i < 8000; ++i) {
    motion.Advance(step, 0.01 * motion.speed());
    time += step;
    if (i % 1000 == 999) {
      EXPECT_NEAR(motion.speed(), 1.0 / (1.0 + time / tm), 1e-4);
    }
  }
}

// P-10 of the development set (C): I 16.85 kg m², 175.18 kW, 1100 rev/min.
TEST(PumpMotion, MechanicalTimeGivesTheTabulatedSpeeds) {
  const double tm = MechanicalTime(16.85, 1100.0, 175.18e3);
  EXPECT_NEAR(tm, 1.2763, 1e-4);
  EXPECT_NEAR(1.0 / (1.0 + 0.5 / tm), 0.7185, 1e-4);
  EXPECT_NEAR(1.0 / (1.0 + 5.0 / tm), 0.2034, 1e-4);
}

TEST(PumpMotion, GoesByItsOwnCurveWhileItPumps) {
  const PumpMotion motion(SomePump(), WaterContext());
  const ComponentLaw law = MakeLaw(SomePump(), WaterContext());
  for (const double q : {-0.01, 0.0, 0.004, 0.01, 0.03}) {
    EXPECT_DOUBLE_EQ(motion.DropAt(q).drop, EvaluateLaw(law.law, q).drop) << q;
  }
}

TEST(PumpMotion, AtRestIsTheStoppedPumpOfSteadyFlow) {
  Pump pump = SomePump();
  PumpMotion motion(pump, WaterContext());
  motion.Start(0.0, 0.0);
  pump.running = false;
  const ComponentLaw stopped = MakeLaw(pump, WaterContext());
  for (const double q : {-0.02, -0.003, 0.003, 0.02}) {
    const double drop = EvaluateLaw(stopped.law, q).drop;
    EXPECT_NEAR(motion.DropAt(q).drop, drop, 1e-9 * std::abs(drop)) << q;
  }
}

TEST(PumpMotion, HeadAndTorqueAreContinuousInEveryQuadrant) {
  Pump pump = SomePump();
  pump.rotor = "free";
  for (const double speed : {1.0, 0.3, 0.02, 1e-4, -0.02, -0.5, -1.2}) {
    PumpMotion motion(pump, WaterContext());
    motion.Start(speed, 0.0);
    double drop = 0.0, torque = 0.0;
    for (int i = -4000; i <= 4000; ++i) {
      const double q = 0.04 * i / 4000.0;
      const double now = motion.DropAt(q).drop, torque_now = motion.TorqueAt(q);
      if (i > -4000) {
        EXPECT_LT(std::abs(now - drop), 0.4) << speed << " " << q;
        EXPECT_LT(std::abs(torque_now - torque), 0.03) << speed << " " << q;
      }
      drop = now;
      torque = torque_now;
    }
  }
}

TEST(PumpMotion, AHeldRotorComesToRestAndAFreeOneTurnsBack) {
  for (const bool free : {false, true}) {
    Pump pump = SomePump();
    if (free) pump.rotor = "free";
    PumpMotion motion(pump, WaterContext());
    motion.Trip();
    for (int i = 0; i < 40000; ++i) motion.Advance(1e-3, -0.008);
    if (free) {
      EXPECT_LT(motion.speed(), -0.5);
      EXPECT_NEAR(motion.TorqueAt(-0.008), 0.0, 1e-3);  // as fast as the liquid drives it
    } else {
      EXPECT_EQ(motion.speed(), 0.0);
    }
  }
}

// --- Friction table ------------------------------------------------------------------------------

TEST(ReachFriction, FollowsTheLawOfThePipeOverAllRegimes) {
  Pipe pipe;
  pipe.name = "L";
  pipe.length = 50.0;
  pipe.bore = 0.1;
  const ComponentLaw law = MakeLaw(pipe, WaterContext());
  const double area = AreaOfBore(0.1);
  const ReachFriction table(law.law, area, 10, 0.01);
  EXPECT_DOUBLE_EQ(table.At(0.01).drop, EvaluateLaw(law.law, 0.01).drop / 10.0);
  for (const double velocity : {0.001, 0.01, 0.019, 0.025, 0.035, 0.05, 0.3, 2.0, 11.0, 30.0}) {
    const double q = velocity * area, exact = EvaluateLaw(law.law, q).drop / 10.0;
    const double tolerance = velocity < 0.05 ? 1e-2 : 1e-7;  // laminar to turbulent: coarse there
    EXPECT_NEAR(table.At(q).drop, exact, tolerance * exact) << velocity;
    EXPECT_DOUBLE_EQ(table.At(-q).drop, -table.At(q).drop);
    const double h = 1e-4 * q;
    EXPECT_NEAR(table.At(q).slope, (table.At(q + h).drop - table.At(q - h).drop) / (2.0 * h),
                1e-2 * table.At(q).slope)
        << velocity;
  }
}

// --- Check valves --------------------------------------------------------------------------------

// C (V-01 of the development set): a branch of 12 m loses its pump, 40 m of adverse head, c 20 in
// all. It stops after 0.07274 s at 32.70 m/s²; shut 0.05 s later it catches 1.5989 m/s.
TEST(CheckValve, CatchesTheReverseVelocityOfARigidBranch) {
  const double g = 9.81, lift = 40.0, c = 20.0, velocity = 2.5;
  Network plant = Empty();
  plant.vessels = {Tank("tank", 0.0), Tank("header", 0.0)};
  plant.vessels[1].level = lift;
  plant.vessels[0].gas_pressure = (lift + c * velocity * velocity / (2.0 * g)) * 1000.0 * g;
  plant.junctions = {Point("NRV-1 out")};
  CheckValve valve;
  valve.name = "NRV-1";
  valve.from = "tank";
  valve.to = "NRV-1 out";
  valve.kind = "swing";
  valve.bore = 0.1;
  valve.k = 2.0;
  valve.cracking_pressure = 0.0;
  valve.min_velocity = 1e-6;
  valve.closing_lag = 0.05;
  plant.check_valves = {valve};
  plant.pipes = {Line("L-1", "NRV-1 out", "header", 12.0, 0.1, 1200, kFrictionless)};
  plant.pipes[0].k = c - 2.0;
  TransientOptions options;
  options.duration = 0.2;
  options.time_step = 2e-5;
  options.columns = ColumnModel::kRigid;
  const Transient run = Simulate(plant, {ChangeGasPressure("tank", 0.0, 0.0)}, options);
  ASSERT_EQ(run.slams.size(), 1u);
  EXPECT_NEAR(run.slams[0].time, 0.07274 + 0.05, 1e-4);
  EXPECT_NEAR(run.slams[0].reverse_velocity, 1.5989, 2e-3);  // a step is worth 7e-4 m/s
  EXPECT_NEAR(run.slams[0].deceleration, 32.70, 0.05);
}

// The same with waves: the head that the catch makes is a v_R/g.
TEST(CheckValve, SlamsWithTheHeadOfJoukowsky) {
  Network plant = Empty();
  plant.vessels = {Tank("tank", 0.0), Tank("header", 0.0)};
  plant.vessels[1].level = 30.0;
  plant.vessels[0].gas_pressure = 32.0 * 1000.0 * 9.81;
  plant.junctions = {Point("NRV-1 out")};
  CheckValve valve;
  valve.name = "NRV-1";
  valve.from = "tank";
  valve.to = "NRV-1 out";
  valve.kind = "swing";
  valve.bore = 0.1;
  valve.closing_lag = 0.1;
  plant.check_valves = {valve};
  plant.pipes = {Line("L-1", "NRV-1 out", "header", 100.0, 0.1, 1000, 0.02)};
  TransientOptions options;
  options.duration = 6.0;
  options.time_step = 0.001;  // the flow grows by a step's deceleration before it is caught
  const Transient run = Simulate(plant, {ChangeGasPressure("tank", 2.5e5, 0.1, 1.0)}, options);
  ASSERT_FALSE(run.slams.empty());
  const Slam& slam = run.slams[0];
  EXPECT_GT(slam.reverse_velocity, 0.01);
  const double used = run.envelopes[0].wave_speed_used;
  EXPECT_NEAR(slam.rise, 1000.0 * used * slam.reverse_velocity, 0.03 * slam.rise);
  bool said = false;
  for (const LogEntry& entry : run.log) said |= entry.message.find("catching") != std::string::npos;
  EXPECT_TRUE(said);
}

TEST(CheckValve, WithoutLagShutsWithoutReverseFlow) {
  OneLine line{.length = 100,
               .bore = 0.1,
               .wave_speed = 1000,
               .friction_factor = 0.02,
               .head = 20,
               .velocity = 1.0};
  Network plant = line.Plant();
  CheckValve valve;
  valve.name = "NRV-1";
  valve.from = "end";
  valve.to = "mid";
  valve.kind = "lift";
  valve.bore = 0.1;
  valve.closing_lag = 0.0;
  plant.junctions.push_back(Point("mid"));
  plant.valves[0].from = "mid";
  plant.check_valves = {valve};
  TransientOptions options;
  options.duration = 3.0;
  const Transient run = Simulate(plant, {ChangeGasPressure("tank", -0.9e5, 0.1, 0.1)}, options);
  for (const double flow : run.Flow("NRV-1")) EXPECT_GE(flow, 0.0);
}

}  // namespace
}  // namespace handwheel
