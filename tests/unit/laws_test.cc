#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "components/make_law.h"
#include "correlations/fittings.h"
#include "correlations/valve_characteristic.h"

// Laws stated once and run on every component: its drop rises strictly with its flow, its slope is
// the derivative on both sides of every regime border, and a passive two-way part is odd.

namespace handwheel {
namespace {

struct Subject {
  const char* name;
  Law law;
  double scale;  // a usual flow [m³/s]
  bool odd = true;
  std::vector<double> borders = {};  // of regimes, or where the curve may have a kink [m³/s]
  std::vector<double> smooth = {};   // borders across which the slope is continuous too [m³/s]
};

LawContext WaterContext(FrictionFormula formula = FrictionFormula::kColebrook) {
  Network network;
  network.model.friction = formula;
  return {Liquid{.density = 998.2, .viscosity = 1.0e-3, .vapour_pressure = 2339.0},
          kStandardGravity, network.model};
}

// Thick, so that valves and fittings work in laminar flow and through transition.
LawContext OilContext() {
  LawContext context = WaterContext();
  context.liquid = {.density = 900.0, .viscosity = 0.2, .vapour_pressure = 10.0};
  return context;
}

LawContext RheologyContext(double yield_stress, double consistency, double index) {
  LawContext context = WaterContext();
  context.liquid = {.density = 1050.0, .viscosity = consistency, .vapour_pressure = 2000.0};
  context.liquid.yield_stress = yield_stress;
  context.liquid.consistency = consistency;
  context.liquid.index = index;
  return context;
}

Pipe SamplePipe() {
  Pipe pipe;
  pipe.name = "L";
  pipe.length = 40.0;
  pipe.bore = 0.05;
  pipe.roughness = 4.5e-5;
  pipe.fittings = {{"elbow 90 long radius", 3.0}};
  pipe.k = 1.5;
  return pipe;
}

Valve SampleValve(double opening) {
  Valve valve;
  valve.name = "HV";
  valve.kind = "diaphragm weir";
  valve.bore = 0.05;
  valve.opening = opening;
  return valve;
}

CheckValve SampleCheckValve(const char* condition, double cracking_pressure) {
  CheckValve valve;
  valve.name = "NRV";
  valve.kind = "swing";
  valve.bore = 0.05;
  valve.condition = condition;
  valve.cracking_pressure = cracking_pressure;
  return valve;
}

Pump SamplePump(bool by_points, double speed = 1.0, bool running = true) {
  Pump pump;
  pump.name = "P";
  if (by_points) {
    pump.curve = {{0.0, 32.0}, {0.0056, 28.0}, {0.0111, 18.0}};
  } else {
    pump.coefficients = {32.0, 1.1e5, 2.0};
  }
  pump.speed = speed;
  pump.running = running;
  return pump;
}

// The flow at which Reynolds number `re` is reached in a 50 mm bore of WaterContext() [m³/s].
double FlowAtReynolds(double re) {
  return re * 1.0e-3 / 998.2 * 3.14159265358979 / 4.0 * 0.05;
}

// Borders of a valve's regimes: where FR leaves and enters its branches.
std::vector<double> CornersOf(const ViscousLossLaw& law) {
  return {law.factor.laminar_to / law.rev_per_flow, law.factor.transitional_from / law.rev_per_flow,
          law.factor.transitional_to / law.rev_per_flow,
          law.factor.turbulent_from / law.rev_per_flow};
}

void AddViscousValves(std::vector<Subject>* all) {
  for (double opening : {1.0, 0.3, 0.05}) {
    const Law law = MakeLaw(SampleValve(opening), OilContext()).law;
    const std::vector<double> corners = CornersOf(std::get<ViscousLossLaw>(law));
    all->push_back({"valve, oil", law, 4e-3, true, corners, corners});
  }
  Valve ball = SampleValve(1.0);
  ball.kind = "ball";  // K 0.05: beyond what the standard's factor is made for
  const Law law = MakeLaw(ball, OilContext()).law;
  const std::vector<double> corners = CornersOf(std::get<ViscousLossLaw>(law));
  all->push_back({"ball valve, oil", law, 4e-3, true, corners, corners});
}

void AddRheology(std::vector<Subject>* all) {
  struct Sample {
    const char* name;
    double yield_stress, consistency, index;
  };
  for (const Sample& sample : {Sample{"power law", 0.0, 2.0, 0.4},
                               {"thickening", 0.0, 0.02, 1.4},
                               {"Bingham", 6.0, 0.02, 1.0},
                               {"Herschel-Bulkley", 4.0, 0.8, 0.5}}) {
    const LawContext context =
        RheologyContext(sample.yield_stress, sample.consistency, sample.index);
    const Law pipe = MakeLaw(SamplePipe(), context).law;
    const RheologyPipeLaw::Data& data = *std::get<RheologyPipeLaw>(pipe).data;
    const std::vector<double> borders = {data.area * data.wall.creep_velocity(),
                                         data.area * data.wall.laminar_limit_velocity(),
                                         data.area * data.wall.turbulent_limit_velocity()};
    all->push_back({sample.name, pipe, 4e-3, true, borders, borders});
    const std::vector<double> creep = {data.area * data.wall.creep_velocity()};
    all->push_back({sample.name, MakeLaw(SampleValve(0.6), context).law, 4e-3, true, creep, creep});
  }
}

void AddControlledParts(std::vector<Subject>* all) {
  const LawContext water = WaterContext();
  Regulator regulator;
  regulator.kind = "pressure-reducing";
  regulator.bore = 0.05;
  regulator.set_pressure = 3e5;
  all->push_back({"regulator", MakeLaw(regulator, water).law, 4e-3, false});
  ReliefValve relief;
  relief.set_pressure = 6e5;
  relief.area = 1e-4;
  const Law law = MakeLaw(relief, water).law;
  const double full = std::get<OneWayLaw>(law).full_flow;
  all->push_back({"relief valve", law, full, false, {full}});  // a kink at full lift
  Pump screw;
  screw.kind = "positive displacement";
  screw.displacement = 4e-3;
  all->push_back({"displacement pump", MakeLaw(screw, water).law, 4e-3, false});
  Pump free_rotor = SamplePump(true, 1.0, false);
  free_rotor.rotor = "free";
  all->push_back({"pump, stopped, rotor free", MakeLaw(free_rotor, water).law, 6e-3, false, {0.0}});
}

std::vector<Subject> Subjects() {
  const LawContext water = WaterContext();
  const std::vector<double> regimes = {FlowAtReynolds(2000.0), FlowAtReynolds(4000.0)};
  Pipe hazen = SamplePipe();
  hazen.hazen_williams_c = 130.0;
  Pipe fixed = SamplePipe();
  fixed.friction_factor = 0.02;  // its fittings keep their K1/Re part
  Restriction restriction;
  restriction.rated_drop = 3e4;
  restriction.rated_flow = 3e-3;
  Nozzle nozzle;
  nozzle.bore = 0.02;
  const Law cracking = MakeLaw(SampleCheckValve("sound", 1e3), water).law;
  const double full_lift = std::get<OneWayLaw>(cracking).full_flow;
  std::vector<Subject> all = {
      {"pipe", MakeLaw(SamplePipe(), water).law, 4e-3, true, regimes, regimes},
      {"pipe, churchill",
       MakeLaw(SamplePipe(), WaterContext(FrictionFormula::kChurchill)).law,
       4e-3,
       true,
       {}},
      {"pipe, Hazen-Williams", MakeLaw(hazen, water).law, 4e-3},
      {"pipe, fixed factor", MakeLaw(fixed, water).law, 4e-3},
      {"valve", MakeLaw(SampleValve(1.0), water).law, 4e-3},
      {"valve, throttled", MakeLaw(SampleValve(0.1), water).law, 4e-4},
      {"restriction", MakeLaw(restriction, water).law, 3e-3},
      {"nozzle", MakeLaw(nozzle, water).law, 4e-3, false},
      {"check valve", MakeLaw(SampleCheckValve("sound", 0.0), water).law, 4e-3, false},
      {"check valve that cracks", cracking, 4e-3, false, {full_lift}, {full_lift}},
      {"check valve, stuck open", MakeLaw(SampleCheckValve("stuck open", 5e3), water).law, 4e-3},
      {"pump by points", MakeLaw(SamplePump(true), water).law, 6e-3, false, {0.0, 0.0111}},
      {"pump by coefficients", MakeLaw(SamplePump(false), water).law, 6e-3, false, {0.0}},
      {"pump, slow", MakeLaw(SamplePump(true, 0.6), water).law, 6e-3, false, {0.0, 0.6 * 0.0111}},
      {"pump, stopped", MakeLaw(SamplePump(true, 1.0, false), water).law, 6e-3},
  };
  AddViscousValves(&all);
  AddRheology(&all);
  AddControlledParts(&all);
  // Passing: a kink at no flow and where the seat lifts.
  const Law passing = MakeLaw(SampleCheckValve("passing", 5e3), water).law;
  const double lift = std::get<PassingLaw>(passing).leak.FlowAt(5e3 / (998.2 * kStandardGravity));
  all.push_back({"check valve, passing", passing, 4e-3, false, {0.0, lift}});
  return all;
}

bool Near(double q, const std::vector<double>& borders, double step) {
  for (double border : borders) {
    if (std::abs(std::abs(q) - border) <= 2.0 * step) return true;
  }
  return false;
}

// Flows from a millionth to five times the usual one, both ways unless one-way, and both sides of
// each border.
std::vector<double> Flows(const Subject& subject) {
  std::vector<double> flows;
  for (double q = 1e-6 * subject.scale; q < 5.0 * subject.scale; q *= 1.15) flows.push_back(q);
  for (double border : subject.borders) {
    flows.push_back(border * (1.0 - 1e-3));
    flows.push_back(border * (1.0 + 1e-3));
  }
  if (!IsOneWay(subject.law)) {
    const std::size_t n = flows.size();
    for (std::size_t i = 0; i < n; ++i) flows.push_back(-flows[i]);
    flows.push_back(0.0);
  }
  std::sort(flows.begin(), flows.end());
  flows.erase(std::unique(flows.begin(), flows.end()), flows.end());
  return flows;
}

TEST(Laws, DropRisesStrictlyWithFlow) {
  for (const Subject& subject : Subjects()) {
    const std::vector<double> flows = Flows(subject);
    for (std::size_t i = 1; i < flows.size(); ++i) {
      // A pump's curve is flat to round-off near shut-off.
      if (std::abs(flows[i]) < 1e-4 * subject.scale && !subject.odd) continue;
      EXPECT_LT(EvaluateLaw(subject.law, flows[i - 1]).drop,
                EvaluateLaw(subject.law, flows[i]).drop)
          << subject.name << " at " << flows[i];
    }
  }
}

TEST(Laws, SlopeIsTheDerivativeOnBothSidesOfEveryBorder) {
  for (const Subject& subject : Subjects()) {
    for (double q : Flows(subject)) {
      const double step = 1e-5 * std::max(std::abs(q), 1e-6 * subject.scale);
      if (Near(q, subject.borders, step) || (IsOneWay(subject.law) && q < 2.0 * step)) continue;
      const double difference =
          (EvaluateLaw(subject.law, q + step).drop - EvaluateLaw(subject.law, q - step).drop) /
          (2.0 * step);
      const double slope = EvaluateLaw(subject.law, q).slope;
      // Round-off of the difference: 1e-16 of the drop over the step.
      const double noise = 4e-16 * std::abs(EvaluateLaw(subject.law, q).drop) / step;
      EXPECT_NEAR(slope, difference, 1e-6 * std::abs(slope) + noise) << subject.name << " at " << q;
    }
  }
}

TEST(Laws, PassiveTwoWayPartsAreOdd) {
  for (const Subject& subject : Subjects()) {
    if (!subject.odd) continue;
    for (double q : Flows(subject)) {
      EXPECT_EQ(EvaluateLaw(subject.law, -q).drop, -EvaluateLaw(subject.law, q).drop)
          << subject.name;
      EXPECT_EQ(EvaluateLaw(subject.law, -q).slope, EvaluateLaw(subject.law, q).slope)
          << subject.name;
    }
  }
}

TEST(Laws, ContinuousAcrossEveryBorder) {
  for (const Subject& subject : Subjects()) {
    for (double border : subject.borders) {
      const double step = 1e-9 * subject.scale;
      if (IsOneWay(subject.law) && border < step) continue;
      const DropSlope below = EvaluateLaw(subject.law, border - step);
      const DropSlope above = EvaluateLaw(subject.law, border + step);
      const double steepest = std::max(below.slope, above.slope);
      EXPECT_NEAR(below.drop, above.drop, 3.0 * step * steepest + 1e-12) << subject.name;
    }
  }
}

TEST(Laws, SlopeIsContinuousAcrossRegimes) {
  for (const Subject& subject : Subjects()) {
    for (double border : subject.smooth) {
      const double step = 1e-7 * border;
      const double below = EvaluateLaw(subject.law, border - step).slope;
      const double above = EvaluateLaw(subject.law, border + step).slope;
      // The slope itself changes over the step; most at the end of creep, where it has fallen from
      // that at rest.
      const double steepest = std::max(above, EvaluateLaw(subject.law, 0.5 * border).slope);
      EXPECT_NEAR(below, above, 1e-5 * steepest) << subject.name << " at " << border;
    }
  }
}

// --- Limits ------------------------------------------------------------------------------------

LawContext ThinContext(double viscosity) {
  LawContext context = WaterContext();
  context.liquid.viscosity = viscosity;
  return context;
}

TEST(Limits, OpeningToZeroShutsEveryKindOfValve) {
  for (const std::string& kind : ValveKindNames()) {
    Valve valve = SampleValve(1.0);
    valve.kind = kind;
    double before = 0.0;
    for (double opening : {1.0, 0.8, 0.6, 0.4, 0.2, 0.1, 0.05, 0.01, 1e-3, 1e-6}) {
      valve.opening = opening;
      const Law law = MakeLaw(valve, WaterContext()).law;
      if (IsShut(law)) break;  // round-off of an opening of 0
      const double drop = EvaluateLaw(law, 1e-4).drop;
      EXPECT_GE(drop, before) << kind << " at " << opening;
      before = drop;
    }
    EXPECT_GT(before, 1e5) << kind;
    valve.opening = 0.0;
    EXPECT_TRUE(IsShut(MakeLaw(valve, WaterContext()).law)) << kind;
  }
}

// Fully rough friction and FR 1: the drop is that of K alone.
TEST(Limits, ViscosityToZeroLeavesTheSquareLaw) {
  const double q = 4e-3;
  const LawContext thin = ThinContext(1e-12), thinner = ThinContext(1e-14);
  for (const Law& law : {MakeLaw(SamplePipe(), thin).law, MakeLaw(SampleValve(0.5), thin).law}) {
    EXPECT_NEAR(EvaluateLaw(law, 2.0 * q).drop, 4.0 * EvaluateLaw(law, q).drop,
                1e-6 * EvaluateLaw(law, 2.0 * q).drop);
  }
  EXPECT_NEAR(EvaluateLaw(MakeLaw(SamplePipe(), thinner).law, q).drop,
              EvaluateLaw(MakeLaw(SamplePipe(), thin).law, q).drop, 1e-9);
}

// Laminar everywhere: the drop follows flow and viscosity in proportion.
TEST(Limits, ViscosityToInfinityLeavesTheLinearLaw) {
  const double q = 4e-3;
  Pipe plain = SamplePipe();
  plain.k = 0.0;  // a K of its own is meant to be turbulent
  plain.fittings.clear();
  const auto drop = [&](const auto& part, double viscosity, double flow) {
    return EvaluateLaw(MakeLaw(part, ThinContext(viscosity)).law, flow).drop;
  };
  const auto check = [&](const auto& part) {
    EXPECT_NEAR(drop(part, 1e4, 2.0 * q), 2.0 * drop(part, 1e4, q), 1e-9 * drop(part, 1e4, q));
    EXPECT_NEAR(drop(part, 1e5, q), 10.0 * drop(part, 1e4, q), 1e-6 * drop(part, 1e5, q));
  };
  check(plain);
  check(SampleValve(1.0));
  check(SampleValve(0.2));
}

// n -> 1 and yield -> 0 lead to the Newtonian law, in every regime, for pipes with fittings and for
// valves.
TEST(Limits, RheologyReducesToNewtonian) {
  const LawContext newtonian = RheologyContext(0.0, 0.01, 1.0);
  ASSERT_TRUE(newtonian.liquid.IsNewtonian());
  for (double q : {1e-5, 1e-4, 4e-4, 8e-4, 1.2e-3, 2e-3, 1e-2}) {
    for (const LawContext& near :
         {RheologyContext(1e-7, 0.01, 1.0), RheologyContext(0.0, 0.01, 1.0 + 1e-9),
          RheologyContext(1e-7, 0.01, 1.0 - 1e-9)}) {
      const auto compare = [&](const auto& part) {
        const double there = EvaluateLaw(MakeLaw(part, newtonian).law, q).drop;
        // 4/3 of yield over wall stress, 8 (n - 1), and the constant of Dodge and Metzner, which
        // at n = 1 is Colebrook's but for rounding.
        EXPECT_NEAR(EvaluateLaw(MakeLaw(part, near).law, q).drop, there, 2e-5 * there) << q;
      };
      compare(SamplePipe());
      compare(SampleValve(0.4));
    }
  }
}

TEST(FixedFactor, KeepsTheLaminarPartOfTheFittings) {
  Pipe plain = SamplePipe(), fitted = SamplePipe();
  plain.fittings.clear();
  plain.friction_factor = fitted.friction_factor = 0.02;
  const LawContext water = WaterContext();
  const double q = FlowAtReynolds(500.0);
  const double added = EvaluateLaw(MakeLaw(fitted, water).law, q).drop -
                       EvaluateLaw(MakeLaw(plain, water).law, q).drop;
  const double v = q / (3.14159265358979 / 4.0 * 0.05 * 0.05);
  const FittingLoss elbow =
      *FittingLossFor("elbow 90 long radius", FittingMethod::kThreeK, 0.05, 0.05);
  EXPECT_NEAR(added, 3.0 * elbow.K(500.0) * v * v / (2.0 * kStandardGravity), 1e-6 * added);
}

TEST(LossLaw, FlowAtIsTheInverseOfDrop) {
  const LossLaw loss{1e4, 1e-7};
  for (double q : {1e-10, 1e-8, 1e-7, 1e-6, 1e-3, 1.0}) {
    EXPECT_NEAR(loss.FlowAt(loss.At(q).drop), q, 1e-12 * q);
  }
}

TEST(LossLaw, ReversingThePartReversesTheFlow) {
  const Law law = MakeLaw(SampleValve(0.5), WaterContext()).law;
  const double drop = EvaluateLaw(law, 2e-3).drop;
  EXPECT_EQ(EvaluateLaw(law, -2e-3).drop, -drop);
}

TEST(PumpLaw, FollowsTheAffinityLaws) {
  // Q ~ N, H ~ N²: exact by construction (US DOE Fundamentals Handbook, fluid flow, pump laws).
  const LawContext water = WaterContext();
  const Law full = MakeLaw(SamplePump(true), water).law;
  const Law half = MakeLaw(SamplePump(true, 0.5), water).law;
  for (double q : {0.0, 1e-3, 5e-3, 9e-3, 13e-3}) {
    const double gain = -EvaluateLaw(full, q).drop;
    EXPECT_NEAR(-EvaluateLaw(half, q / 2.0).drop, gain / 4.0, 1e-12 * std::abs(gain));
  }
}

TEST(PumpCurve, PassesThroughItsPoints) {
  const PumpCurve curve = PumpCurve::ByPoints({0.0, 0.0056, 0.0111}, {32.0, 28.0, 18.0});
  EXPECT_DOUBLE_EQ(curve.GainAt(0.0).drop, 32.0);
  EXPECT_DOUBLE_EQ(curve.GainAt(0.0056).drop, 28.0);
  EXPECT_DOUBLE_EQ(curve.GainAt(0.0111).drop, 18.0);
}

TEST(OneWayLaw, FlowNearInvertsTheCurveAwayFromRest) {
  const OneWayLaw law{{1e4, 1e-8}, 0.5};
  for (double q : {2e-3, 1e-2, 0.1}) {
    EXPECT_NEAR(law.FlowNear(law.At(q).drop), q, 1e-3 * q);
  }
}

}  // namespace
}  // namespace handwheel
