#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "transient_cases.h"

// Transient flow against closed forms (constructed checks) and one textbook program.

namespace handwheel {
namespace {

using namespace transient_cases;  // NOLINT

TransientOptions Options(double duration, double time_step) {
  TransientOptions options;
  options.duration = duration;
  options.time_step = time_step;
  options.record_every = time_step;
  options.cavities = false;
  return options;
}

// Frictionless, stopped at once: a 1000 m/s, V 1.5 m/s, L 1000 m, 100 m. Joukowsky: a V/g = 152.905
// m.
OneLine SquareWave() {
  return {.length = 1000,
          .bore = 0.3,
          .wave_speed = 1000,
          .friction_factor = kFrictionless,
          .head = 100,
          .velocity = 1.5};
}

TEST(Transient, StopsAFlowWithTheHeadOfJoukowsky) {
  const Network plant = SquareWave().Plant();
  const Transient run = Simulate(plant, {StrokeValve("HV-1", 0.0, 0.0)}, Options(1.0, 0.05));
  EXPECT_NEAR(HeadAt(run, "end", 0.5), 100.0 + 1000.0 * 1.5 / 9.81, 1e-8);
}

// C: head at the valve 252.9052 m for 0 < t < 2 s, -52.9052 m for 2 < t < 4 s, and so on.
TEST(Transient, SquareWaveKeepsItsHeightOverFiftyPeriods) {
  const Network plant = SquareWave().Plant();
  const double step = 0.05;
  const Transient run = Simulate(plant, {StrokeValve("HV-1", 0.0, 0.0)}, Options(200.0, step));
  const double rise = 1000.0 * 1.5 / 9.81;
  for (int half = 0; half < 100; ++half) {
    const double expected = 100.0 + (half % 2 == 0 ? rise : -rise);
    EXPECT_NEAR(HeadAt(run, "end", 2.0 * half + 2 * step), expected, 1e-7) << half;
    EXPECT_NEAR(HeadAt(run, "end", 2.0 * half + 1.0), expected, 1e-7) << half;
    EXPECT_NEAR(HeadAt(run, "end", 2.0 * half + 2.0 - step), expected, 1e-7) << half;
    const double back = half % 2 == 0 ? -1.5 : 1.5;
    EXPECT_NEAR(FlowAt(run, "L-1", 2.0 * half + 2.0) / AreaOfBore(0.3), back, 1e-7) << half;
  }
}

// C: the Allievi chain z_i² + z_(i-1)² - 2 = 2 rho (tau_(i-1) z_(i-1) - tau_i z_i), h = z², at
// t = i 2L/a, for tau falling evenly within theta 2L/a. MOC with any number of reaches gives it.
class AllieviChain : public testing::TestWithParam<int> {};

TEST_P(AllieviChain, HoldsAtTheValveForAnyNumberOfReaches) {
  for (const double rho : {0.5, 1.0}) {
    const double head = 100.0, a = 1000.0, g = 9.81, length = 500.0, theta = 4.0;
    const OneLine line{.length = length,
                       .bore = 0.5,
                       .wave_speed = a,
                       .friction_factor = kFrictionless,
                       .head = head,
                       .velocity = rho * 2.0 * g * head / a};
    const double period = 2.0 * length / a;
    const Transient run = Simulate(line.Plant(), {StrokeValve("HV-1", 0.0, 0.0, theta * period)},
                                   Options(6.2 * period, length / a / GetParam()));
    double z = 1.0;
    for (int i = 1; i <= 6; ++i) {
      const double tau_before = std::max(0.0, 1.0 - (i - 1) / theta);
      const double tau = std::max(0.0, 1.0 - i / theta);
      const double right = 2.0 - z * z + 2.0 * rho * tau_before * z;
      z = tau > 0.0 ? -rho * tau + std::sqrt(rho * rho * tau * tau + right)
                    : std::sqrt(std::max(0.0, right));
      EXPECT_NEAR(HeadAt(run, "end", i * period) / head, tau > 0.0 ? z * z : right, 1e-7)
          << "rho " << rho << ", i " << i;
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Reaches, AllieviChain, testing::Values(1, 2, 7, 40));

// The same as printed to four digits in the development set (constructed, theta 4).
TEST(Transient, AllieviChainGivesTheTabulatedHeads) {
  const std::array<double, 7> table{1, 1.1839, 1.1062, 1.1514, 1.1169, 0.8831, 1.1169};
  const double head = 100.0, a = 1000.0;
  const OneLine line{.length = 500,
                     .bore = 0.5,
                     .wave_speed = a,
                     .friction_factor = kFrictionless,
                     .head = head,
                     .velocity = 0.5 * 2.0 * 9.81 * head / a};
  const Transient run =
      Simulate(line.Plant(), {StrokeValve("HV-1", 0.0, 0.0, 4.0)}, Options(6.2, 0.05));
  for (int i = 0; i <= 6; ++i) {
    EXPECT_NEAR(HeadAt(run, "end", i) / head, table[static_cast<std::size_t>(i)], 6e-5) << i;
  }
}

// A step of head sent into a junction by a tank whose pressure jumps: what passes and what returns.
struct Shares {
  double transmitted, reflected;
};

Shares SendStep(const Pipe& in, const std::vector<Pipe>& out) {
  Network plant = Empty();
  plant.vessels = {Tank("tank", 0.0)};
  plant.vessels[0].level = 50.0;
  plant.junctions = {Point("near"), Point("joint")};
  // The step starts in the middle of two pipes in a row, so that the joint's reflection is seen
  // before the tank's.
  Pipe first = in, second = in;
  first.name = "L-0";
  first.from = "tank";
  first.to = "near";
  second.name = "L-1";
  second.from = "near";
  second.to = "joint";
  plant.pipes = {first, second};
  for (Pipe pipe : out) {
    pipe.from = "joint";
    pipe.to = "far " + pipe.name;
    plant.junctions.push_back(Point(pipe.to));
    plant.pipes.push_back(pipe);
  }
  const double step = 1e4;  // [Pa]
  const double travel = in.length / *in.wave_speed;
  const Transient run =
      Simulate(plant, {ChangeGasPressure("tank", step, 0.0)}, Options(3.5 * travel, travel / 8.0));
  const double sent = step / (1000.0 * 9.81);
  const double joint = HeadAt(run, "joint", 2.5 * travel) - 50.0;
  const double near = HeadAt(run, "near", 3.4 * travel) - 50.0;
  return {joint / sent, near / sent - 1.0};
}

TEST(Transient, TeeOfEqualPipesPassesTwoThirds) {  // C: s = 2/3, r = -1/3
  const Pipe pipe = Line("x", "", "", 80, 0.2, 1000, kFrictionless);
  Pipe one = pipe, other = pipe;
  one.name = "L-2";
  other.name = "L-3";
  const Shares shares = SendStep(pipe, {one, other});
  EXPECT_NEAR(shares.transmitted, 2.0 / 3.0, 1e-6);
  EXPECT_NEAR(shares.reflected, -1.0 / 3.0, 1e-6);
}

TEST(Transient, ReducerPassesAndReturnsByAreasAndWaveSpeeds) {  // C: 1.12219 and +0.12219
  const Shares shares = SendStep(Line("x", "", "", 110, 0.75, 1100, kFrictionless),
                                 {Line("L-2", "", "", 90, 0.60, 900, kFrictionless)});
  EXPECT_NEAR(shares.transmitted, 1.12219, 1e-5);
  EXPECT_NEAR(shares.reflected, 0.12219, 1e-5);
}

// E. B. Wylie and V. L. Streeter's basic program (Fluid Mechanics, example 13.9): inputs seen in a
// worksheet that repeats it, its printed table not seen. The heads are a recomputation by the
// semi-implicit scheme with 4 reaches; tolerance 0.3 m, the scatter between schemes.
TEST(Transient, MatchesTheBasicProgramOfStreetersExample) {
  Network plant = Empty(9.806);
  plant.vessels = {Tank("tank", 0.0), Tank("open air", 0.0)};
  plant.vessels[0].level = 100.0;
  plant.junctions = {Point("end")};
  const double bore = 2.0, area = AreaOfBore(bore);
  plant.pipes = {Line("L-1", "tank", "end", 4800, bore, 1200, 0.022)};
  // Q = CdA sqrt(2 g H): K = (A/CdA)² on the bore; straight in CdA.
  const std::array<double, 11> cda{0.06, 0.03, 0.01, 0.003, 0.001, 0.0005, 0.0002, 0, 0, 0, 0};
  plant.valves = {StraightValve("HV-1", "end", "open air", bore, std::pow(area / cda[0], 2))};
  std::vector<TransientEvent> events;
  for (std::size_t i = 1; i < 8; ++i) {
    events.push_back(StrokeValve("HV-1", cda[i] / cda[0], 5.0 * static_cast<double>(i - 1), 5.0));
  }
  const Transient run = Simulate(plant, events, Options(50.0, 1.0));
  ASSERT_EQ(run.envelopes[0].reaches, 4);
  EXPECT_NEAR(run.Flow("L-1")[0], 2.6319, 2e-4);
  const std::array<std::array<double, 2>, 19> table{{{0, 98.11},
                                                     {2, 112.77},
                                                     {4, 130.07},
                                                     {6, 146.84},
                                                     {8, 162.04},
                                                     {10, 152.18},
                                                     {12, 126.02},
                                                     {14, 99.66},
                                                     {16, 73.65},
                                                     {18, 66.65},
                                                     {20, 86.34},
                                                     {24, 128.90},
                                                     {26, 134.84},
                                                     {30, 94.64},
                                                     {34, 66.12},
                                                     {38, 105.68},
                                                     {42, 133.80},
                                                     {46, 94.34},
                                                     {50, 66.34}}};
  for (const auto& [time, head] : table) {
    EXPECT_NEAR(HeadAt(run, "end", time), head, 0.3) << "at " << time << " s";
  }
}

// Two pipes in a row, valve closed by a table: inputs of M. H. Chaudhry's program from memory, its
// output not seen; heads and flows of a converged recomputation, tolerance 0.5 m.
TEST(Transient, MatchesTheTwoPipeClosure) {
  Network plant = Empty();
  plant.vessels = {Tank("tank", 0.0), Tank("open air", 0.0)};
  plant.vessels[0].level = 67.7;
  plant.junctions = {Point("joint"), Point("end")};
  plant.pipes = {Line("L-1", "tank", "joint", 550, 0.75, 1100, 0.010),
                 Line("L-2", "joint", "end", 450, 0.60, 900, 0.012)};
  const double velocity = 1.0 / AreaOfBore(0.60);
  plant.valves = {StraightValve("HV-1", "end", "open air", 0.60,
                                60.047 / (velocity * velocity / (2.0 * 9.81)))};
  const std::array<double, 7> tau{1, 0.9, 0.7, 0.5, 0.3, 0.1, 0};
  std::vector<TransientEvent> events;
  for (std::size_t i = 1; i < tau.size(); ++i) {
    events.push_back(StrokeValve("HV-1", tau[i], static_cast<double>(i - 1), 1.0));
  }
  const Transient run = Simulate(plant, events, Options(10.0, 0.5 / 50));
  EXPECT_NEAR(run.Flow("L-1")[0], 1.0, 1e-4);
  const std::array<std::array<double, 4>, 10> table{{{0.5, 65.78, 64.67, 1.0000},
                                                     {1, 69.76, 69.81, 1.0000},
                                                     {2, 80.24, 95.94, 0.9349},
                                                     {3, 93.64, 125.37, 0.7619},
                                                     {4, 104.37, 149.53, 0.5069},
                                                     {5, 111.62, 166.00, 0.1825},
                                                     {6, 90.92, 114.24, -0.1758},
                                                     {7, 40.25, 12.06, -0.1392},
                                                     {8, 51.24, 34.87, 0.2093},
                                                     {10, 76.45, 84.94, -0.2301}}};
  for (const auto& [time, joint, end, flow] : table) {
    EXPECT_NEAR(HeadAt(run, "joint", time), joint, 0.5) << "at " << time << " s";
    EXPECT_NEAR(HeadAt(run, "end", time), end, 0.5) << "at " << time << " s";
    EXPECT_NEAR(FlowAt(run, "L-1", time), flow, 0.003) << "at " << time << " s";
  }
}

// C: one cavity at a shut valve, frictionless. L 37.23 m, D 22.1 mm, a 1319 m/s, V 0.3 m/s, tank
// head 22 m, vapour head -10.25 m.
TEST(Transient, OneVapourCavityOpensAndCollapsesOnTime) {
  const OneLine line{.length = 37.23,
                     .bore = 0.0221,
                     .wave_speed = 1319,
                     .friction_factor = kFrictionless,
                     .head = 22,
                     .velocity = 0.3};
  Network plant = line.Plant();
  plant.site.atmospheric_pressure = 10.25 * 1000.0 * 9.81;  // vapour at 0 absolute
  const double step = 37.23 / 1319.0 / 512;
  TransientOptions options = Options(0.19, step);
  options.cavities = true;
  const Transient run = Simulate(plant, {StrokeValve("HV-1", 0.0, 0.0)}, options);
  EXPECT_NEAR(HeadAt(run, "end", 0.03), 62.336, 0.05);
  EXPECT_NEAR(HeadAt(run, "end", 0.09), -10.25, 1e-9);
  EXPECT_NEAR(run.extremes[2].largest_cavity, 1.30236e-6, 0.005 * 1.30236e-6);  // a step's worth
  EXPECT_NEAR(HeadAt(run, "end", 0.14), 46.164, 0.05);
  EXPECT_NEAR(HeadAt(run, "end", 0.173), 110.664, 0.05);
  EXPECT_NEAR(HeadAt(run, "end", 0.185), -2.164, 0.05);
  EXPECT_NEAR(run.log[1].time, 0.05645, 2.5 * step);
  EXPECT_EQ(run.log[1].message, "liquid parts at its vapour pressure");
  const std::vector<double> head = run.Head("end");
  std::size_t i = RowAt(run, 0.09);
  while (head[i] <= -10.25) ++i;
  EXPECT_NEAR(run.time[i], 0.120996, 2.5 * step);
  EXPECT_LT(std::abs(run.balance.error), 1e-13);
}

}  // namespace
}  // namespace handwheel
