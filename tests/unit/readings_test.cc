#include "handwheel/readings.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "handwheel/errors.h"
#include "handwheel/file.h"

namespace handwheel {
namespace {

constexpr double kHour = 3600.0;
constexpr double kBar = 1e5;
constexpr double kFoot = 0.3048;      // [m]
constexpr double kPsi = 6894.757293;  // [Pa]

// --- Handwheels ----------------------------------------------------------------------------------

Valve WeirDn40() {
  return {.name = "HV-1", .kind = "diaphragm weir", .size = "DN40"};
}

// The stem of a weir valve rises 0.4 DN = 16 mm, by 2 mm + 3 % of DN = 3.2 mm a turn: 5 turns.
TEST(Handwheel, TurnsAreTravelOverLead) {
  EXPECT_NEAR(StemTravelOf(WeirDn40()), 0.016, 1e-12);
  EXPECT_NEAR(TurnsOfTravel(WeirDn40()), 5.0, 1e-12);
  EXPECT_NEAR(TurnsFromOpening(WeirDn40(), 0.6), 3.0, 1e-12);
  Valve longer = WeirDn40();
  longer.travel = 0.032;
  EXPECT_NEAR(TurnsOfTravel(longer), 10.0, 1e-12);
  longer.turns = 8.0;
  EXPECT_EQ(TurnsOfTravel(longer), 8.0);
}

TEST(Handwheel, ALeverTurnsAQuarter) {
  EXPECT_EQ(TurnsOfTravel({.kind = "ball", .size = "DN50"}), 0.25);
  EXPECT_EQ(StemTravelOf({.kind = "ball", .size = "DN50"}), 0.0);
}

TEST(Handwheel, OpeningAndTurnsAreInverse) {
  for (const char* kind : {"diaphragm straight-through", "pinch open frame", "gate", "butterfly"}) {
    const Valve valve{.name = "HV-1", .kind = kind, .size = "DN100"};
    for (double opening : {0.0, 0.13, 0.5, 1.0}) {
      EXPECT_NEAR(OpeningFromTurns(valve, TurnsFromOpening(valve, opening)), opening, 1e-15)
          << kind;
    }
  }
}

TEST(Handwheel, RefusesTurnsBeyondTheTravel) {
  EXPECT_THROW(OpeningFromTurns(WeirDn40(), 5.1), SettingError);
  EXPECT_THROW(OpeningFromTurns(WeirDn40(), -0.1), SettingError);
  EXPECT_THROW(TurnsFromOpening(WeirDn40(), 1.1), SettingError);
  EXPECT_THROW(TurnsOfTravel({.name = "HV-1", .kind = "weird", .size = "DN40"}), NetworkError);
  EXPECT_THROW(TurnsOfTravel({.name = "HV-1", .kind = "gate"}), NetworkError);
}

// --- Valves between two pressures ----------------------------------------------------------------

// Gauge is absolute here: the atmosphere is taken away.
Solution BetweenPressures(const std::string& fluid, double p1_bar, double p2_bar,
                          const std::string& valve) {
  const Network network =
      ParseNetwork("[site]\natmospheric_pressure = 0.0\n[fluid]\nname = \"liquid\"\n" + fluid +
                   "\n[[vessel]]\nname = \"before\"\ngas_pressure = " + std::to_string(p1_bar) +
                   "e5\n[[vessel]]\nname = \"behind\"\ngas_pressure = " + std::to_string(p2_bar) +
                   "e5\n[[valve]]\nname = \"HV-1\"\nfrom = \"before\"\nto = \"behind\"\n" + valve);
  return Solve(network);
}

ValveReading TheValve(const Solution& s) {
  EXPECT_TRUE(s.converged()) << s.summary().message;
  return ReadValves(s).at(0);
}

constexpr const char* kColdWater =
    "density = 997.1018\nviscosity = 1e-5\nvapour_pressure = 2339.0\n";  // G = 0.998, thin
constexpr const char* kReducedGlobe =
    "kind = \"globe\"\nbore = 0.080\npipe_bore = 0.1541\nkv = \"100 m3/h\"\nfl = 0.75\n";

// From the formulas of IEC 60534-2-1 by hand: K1 0.26681, K2 0.53362, FP 0.94401, FLP 0.71429, FF
// 0.95712; choked drop 5.7124 bar and flow 225.85 m³/h. Derived, not published; inputs to 5 digits.
TEST(ValveReading, ChokesBetweenReducersAsIecHasIt) {
  const Solution choked = BetweenPressures(kColdWater, 10.0, 2.0, kReducedGlobe);
  EXPECT_NEAR(choked.Flow("HV-1") * kHour, 225.85, 2e-4 * 225.85);
  EXPECT_EQ(choked.State("HV-1"), FlowState::kChoked);
  EXPECT_TRUE(TheValve(choked).choked);
  EXPECT_NEAR(TheValve(choked).choked_drop / kBar, 5.7124, 2e-4 * 5.7124);
  const Solution free = BetweenPressures(kColdWater, 10.0, 7.0, kReducedGlobe);
  EXPECT_NEAR(free.Flow("HV-1") * kHour, 163.67, 2e-4 * 163.67);
  EXPECT_FALSE(TheValve(free).choked);
}

// IEC 60534-2-1 by hand: water at 60 °C, 5 bar absolute: 3.896 bar at FL 0.9, 1.732 at 0.6.
// Derived.
TEST(ValveReading, ChokedDropOfABareValve) {
  const std::string water = "density = 983.2\nviscosity = 1e-5\nvapour_pressure = 19946.0\n";
  const std::string valve = "kind = \"globe\"\nbore = 0.05\nkv = \"40 m3/h\"\nfl = ";
  EXPECT_NEAR(TheValve(BetweenPressures(water, 5.0, 4.5, valve + "0.9")).choked_drop / kBar, 3.896,
              5e-4);
  EXPECT_NEAR(TheValve(BetweenPressures(water, 5.0, 4.5, valve + "0.6")).choked_drop / kBar, 1.732,
              5e-4);
}

// xF = (p1 - p2)/(p1 - pv) with 8, 3 and 0.0234 bar: 0.6268, by its definition.
TEST(ValveReading, DropRatio) {
  const std::string water = "density = 1000.0\nviscosity = 1e-5\nvapour_pressure = 2340.0\n";
  const std::string valve = "kind = \"globe\"\nbore = 0.05\nkv = \"40 m3/h\"\n";
  const ValveReading reading = TheValve(BetweenPressures(water, 8.0, 3.0, valve));
  EXPECT_NEAR(reading.drop_ratio, 0.6268, 5e-5);
  EXPECT_NEAR(reading.inlet_pressure, 8.0 * kBar, 1e-6);
  EXPECT_NEAR(reading.outlet_pressure, 3.0 * kBar, 1e-6);
  const ValveReading backwards = TheValve(BetweenPressures(water, 3.0, 8.0, valve));
  EXPECT_NEAR(backwards.drop_ratio, 0.6268, 5e-5);
  EXPECT_NEAR(backwards.inlet_pressure, 8.0 * kBar, 1e-6);
}

// IEC 60534-8-4's estimate by hand: Kv 100, Fd 0.46, FL 0.9: 0.2283, and 0.2093 at 12 bar. Derived.
TEST(ValveReading, CavitationRatioByPressure) {
  const std::string water = "density = 1000.0\nviscosity = 1e-5\nvapour_pressure = 2340.0\n";
  const std::string valve = "kind = \"globe\"\nbore = 0.1\nkv = \"100 m3/h\"\nfl = 0.9\n";
  EXPECT_NEAR(TheValve(BetweenPressures(water, 6.0, 5.9, valve)).cavitation_ratio, 0.2283, 5e-5);
  EXPECT_NEAR(TheValve(BetweenPressures(water, 12.0, 11.9, valve)).cavitation_ratio, 0.2093, 5e-5);
  const ValveReading given = TheValve(BetweenPressures(water, 6.0, 5.9, valve + "xfz = 0.4\n"));
  EXPECT_NEAR(given.cavitation_ratio, 0.4, 1e-12);
}

// IEC 60534-2-1 by hand: Kv 10, DN 25, FL 0.9, Fd 0.46, nu 5e-4 m²/s, G 0.9, 1 bar: 6.738 m³/h, FR
// 0.6392. Derived; 0.5 % as the solver rounds the corners of FR.
TEST(ValveReading, ReynoldsFactorOfAThickLiquid) {
  const std::string oil = "density = 899.19\nkinematic_viscosity = 5e-4\nvapour_pressure = 0.0\n";
  const Solution s = BetweenPressures(
      oil, 3.0, 2.0, "kind = \"globe\"\nbore = 0.025\nkv = \"10 m3/h\"\nfl = 0.9\n");
  EXPECT_NEAR(s.Flow("HV-1") * kHour, 6.738, 0.005 * 6.738);
  EXPECT_NEAR(TheValve(s).reynolds_factor, 0.6392, 0.005 * 0.6392);
}

// Throttled weir valve after Perry: relative coefficient sqrt(2.3/4.3) half open.
TEST(ValveReading, KvAsItStands) {
  const std::string valve = "kind = \"diaphragm weir\"\nbore = 0.05\nkv = \"50 m3/h\"\n";
  const auto kv = [&](const std::string& more) {
    return TheValve(BetweenPressures(kColdWater, 3.0, 2.9, valve + more)).kv_m3_per_h;
  };
  EXPECT_NEAR(kv("opening = 0.5\n"), 50.0 * std::sqrt(2.3 / 4.3), 0.01);
  EXPECT_NEAR(kv("condition = \"blocked\"\nblockage = 0.4\n"), 30.0, 1e-9);
  EXPECT_EQ(kv("opening = 0.0\n"), 0.0);
  EXPECT_NEAR(kv("opening = 0.0\ncondition = \"passing\"\nleak_kv = \"0.2 m3/h\"\n"), 0.2, 1e-12);
}

TEST(ValveReading, AShutValveHasNoFlowReadings) {
  const ValveReading reading = TheValve(
      BetweenPressures(kColdWater, 3.0, 2.0, "kind = \"gate\"\nsize = \"DN50\"\nopening = 0.0\n"));
  EXPECT_TRUE(std::isnan(reading.reynolds_factor));
  EXPECT_TRUE(std::isnan(reading.drop_ratio));
  EXPECT_TRUE(std::isnan(reading.choked_drop));
  EXPECT_EQ(reading.turns_open, 0.0);
  EXPECT_NEAR(reading.turns_in, TurnsOfTravel({.kind = "gate", .size = "DN50"}), 1e-12);
}

// --- Check valves --------------------------------------------------------------------------------

constexpr double kWater = 997.95;  // 62.3 lb/ft³ [kg/m³]

Solution ThroughCheckValve(double velocity, const std::string& more = "") {
  const double area = std::numbers::pi / 4.0 * 0.1 * 0.1;
  return Solve(
      ParseNetwork("[fluid]\nname = \"water of 62.3 lb/ft3\"\ndensity = " + std::to_string(kWater) +
                   "\nviscosity = 1e-3\n[[vessel]]\nname = \"tank\"\nlevel = 1.0\n"
                   "[[junction]]\nname = \"n1\"\nfeed = " +
                   std::to_string(velocity * area) +
                   "\n[[check_valve]]\nname = \"NRV-1\"\nfrom = \"n1\"\nto = \"tank\"\n"
                   "kind = \"swing\"\nbore = 0.1\n" +
                   more));
}

// Conventional swing check: V [ft/s] = 35 sqrt(v [ft³/lb]), tables of the fT method, from memory:
// 1.35 m/s in water.
TEST(CheckValveReading, FloatsBelowTheMinimumVelocity) {
  const CheckValveReading half = ReadCheckValves(ThroughCheckValve(0.6758)).at(0);
  EXPECT_NEAR(half.min_velocity, 35.0 / std::sqrt(62.3) * kFoot, 1e-3);
  EXPECT_EQ(half.disc, "floating");
  EXPECT_NEAR(half.lift, 0.5, 1e-3);
  EXPECT_NEAR(half.velocity_margin, 0.5, 1e-3);
  const CheckValveReading open = ReadCheckValves(ThroughCheckValve(2.0)).at(0);
  EXPECT_EQ(open.disc, "full open");
  EXPECT_EQ(open.lift, 1.0);
}

// A strong spring needs more than that: full lift at twice the cracking pressure.
TEST(CheckValveReading, ASpringRaisesTheMinimumVelocity) {
  const std::string spring = "assist = \"spring\"\ncracking_pressure = \"0.2 bar\"\nk = 2.0\n";
  const CheckValveReading reading = ReadCheckValves(ThroughCheckValve(2.0, spring)).at(0);
  EXPECT_NEAR(reading.cracking_pressure, 0.2 * kBar, 1e-9);
  EXPECT_NEAR(reading.full_lift_drop, 0.4 * kBar, 1e-6);
  EXPECT_NEAR(reading.min_velocity, std::sqrt(2.0 * 0.4e5 / (2.0 * kWater)), 1e-6);
  EXPECT_EQ(reading.disc, "floating");
}

TEST(CheckValveReading, NamesStatesOfDamage) {
  const std::string text = R"(
[[vessel]]
name = "low"
[[vessel]]
name = "high"
level = 5.0
[[check_valve]]
name = "NRV-1"
from = "low"
to = "high"
kind = "swing"
size = "DN50"
)";
  const Network network = ParseNetwork(text);
  const auto disc = [&](const Settings& settings) {
    return ReadCheckValves(Solve(network, settings)).at(0).disc;
  };
  EXPECT_EQ(disc({}), "shut");
  EXPECT_EQ(disc({{"NRV-1.condition", "passing"}}), "passing");
  EXPECT_EQ(disc({{"NRV-1.condition", "stuck open"}, {"NRV-1.stuck_opening", 0.3}}), "stuck open");
}

// --- Pumps ---------------------------------------------------------------------------------------

std::string Text(double value) {
  return std::to_string(value);
}

// ANSI/HI 9.6.7's example (formulas seen in a guide, numbers from memory): water 110 m³/h, 77 m,
// 2950 rev/min, 68 %; liquid 120 cSt, 0.90: CQ = CH 0.938, efficiency factor 0.738; 103.2
// m³/h, 72.2 m, 50 %, 36.4 kW. Printed to three digits: 0.5 %.
TEST(PumpReading, ViscousPumpOfHi967) {
  const Network network = ParseNetwork(R"(
[fluid]
name = "oil"
density = 900.0
kinematic_viscosity = "120 cSt"
[[vessel]]
name = "tank"
level = 3.0
[[junction]]
name = "out"
draw = "103.16 m3/h"
[[pump]]
name = "P-1"
from = "tank"
to = "out"
rpm = 2950.0
curve = [["0 m3/h", "92 m"], ["110 m3/h", "77 m"], ["150 m3/h", "62 m"]]
efficiency = [["60 m3/h", 0.58], ["110 m3/h", 0.68], ["150 m3/h", 0.62]]
)");
  const PumpReading reading = ReadPumps(Solve(network)).at(0);
  EXPECT_NEAR(reading.flow_factor, 0.938, 0.005 * 0.938);
  EXPECT_NEAR(reading.head_factor, 0.938, 0.005 * 0.938);
  EXPECT_NEAR(reading.efficiency_factor, 0.738, 0.005 * 0.738);
  EXPECT_NEAR(reading.head, 72.2, 0.005 * 72.2);
  EXPECT_NEAR(reading.efficiency, 0.502, 0.005 * 0.502);
  EXPECT_NEAR(reading.shaft_power, 36.4e3, 0.005 * 36.4e3);
  EXPECT_NEAR(reading.flow_over_best, 1.0, 1e-3);
  EXPECT_EQ(reading.region, "preferred");
}

// A vessel, its suction line of known losses, and a pump.
PumpReading BehindSuction(double density, double atmosphere, double vapour_pressure, double lift,
                          double loss) {
  const double weight = density * kStandardGravity;
  return ReadPumps(Solve(ParseNetwork(
                       "[site]\natmospheric_pressure = " + Text(atmosphere) +
                       "\n[fluid]\nname = \"liquid\"\nviscosity = 1e-3\ndensity = " +
                       Text(density) + "\nvapour_pressure = " + Text(vapour_pressure) +
                       "\n[[vessel]]\nname = \"tank\"\nelevation = " + Text(lift) +
                       "\n[[junction]]\nname = \"in\"\n[[junction]]\nname = \"out\"\ndraw = 0.01\n"
                       "[[restriction]]\nname = \"suction line\"\nfrom = \"tank\"\nto = \"in\"\n"
                       "rated_flow = 0.01\nrated_drop = " +
                       Text(loss * weight) +
                       "\n[[pump]]\nname = \"P-1\"\nfrom = \"in\"\nto = \"out\"\n"
                       "curve = [[0.0, 30.0], [0.02, 20.0]]\n")))
      .at(0);
}

// Practical Pumping Handbook 4.4.2.5 (terms seen: 34.474, 6.775 and 0.378 ft): water at 140 °F,
// 0.985, 14.7 psia over it, vapour 2.889 psia, surface 45 ft above the pump: 72.32 ft. 1 psi
// is 2.31 ft.
TEST(PumpReading, NpshAvailableOfAPumpBelowItsTank) {
  const double density = 0.985 * kPsi / (2.31 * kFoot * kStandardGravity);
  const PumpReading reading =
      BehindSuction(density, 14.7 * kPsi, 2.889 * kPsi, 45.0 * kFoot, 0.378 * kFoot);
  EXPECT_NEAR(reading.npsh_available / kFoot, 72.32, 0.01);
}

// NPSHA chapter of a text on water treatment (seen): 34 ft of atmosphere, 15 ft of lift, vapour 0.6
// ft, entrance 0.4 ft, friction 2 ft: 46 ft.
TEST(PumpReading, NpshAvailableOfATextOnWaterTreatment) {
  const double foot = 1000.0 * kStandardGravity * kFoot;  // [Pa]
  const PumpReading reading =
      BehindSuction(1000.0, 34.0 * foot, 0.6 * foot, 15.0 * kFoot, 2.4 * kFoot);
  EXPECT_NEAR(reading.npsh_available / kFoot, 46.0, 0.01);
}

const char* kPumpedLine = R"(
[fluid]
name = "test water"
density = 1000.0
viscosity = 1e-3
vapour_pressure = 2339.0
[[vessel]]
name = "tank"
level = 2.0
[[junction]]
name = "out"
draw = "16 m3/h"
[[pump]]
name = "P-1"
from = "tank"
to = "out"
curve = [["0 m3/h", "30 m"], ["20 m3/h", "25 m"], ["40 m3/h", "12 m"]]
efficiency = [["10 m3/h", 0.5], ["20 m3/h", 0.7], ["40 m3/h", 0.4]]
npsh = [["0 m3/h", "1 m"], ["20 m3/h", "2 m"], ["40 m3/h", "5 m"]]
)";

// Affinity laws: 16 m³/h at 80 % speed is 20 m³/h at full speed; heads go as the speed squared.
TEST(PumpReading, FollowsTheAffinityLaws) {
  const PumpReading reading =
      ReadPumps(Solve(ParseNetwork(kPumpedLine), {{"P-1.speed", 0.8}})).at(0);
  EXPECT_NEAR(reading.head, 0.64 * 25.0, 1e-6);
  EXPECT_NEAR(reading.efficiency, 0.7, 1e-9);
  EXPECT_NEAR(reading.npsh_required, 0.64 * 2.0, 1e-9);
  EXPECT_NEAR(reading.flow_over_best, 1.0, 1e-9);
  EXPECT_NEAR(reading.shaft_power, 1000.0 * kStandardGravity * 16.0 / kHour * 16.0 / 0.7, 1e-2);
  EXPECT_EQ(reading.speed, 0.8);
}

TEST(PumpReading, TellsTheRegionOfItsRange) {
  const auto region = [](const char* draw) {
    return ReadPumps(Solve(ParseNetwork(kPumpedLine), {{"out.draw", draw}})).at(0).region;
  };
  EXPECT_EQ(region("4 m3/h"), "outside");     // 20 %
  EXPECT_EQ(region("10 m3/h"), "allowable");  // 50 %
  EXPECT_EQ(region("20 m3/h"), "preferred");
  EXPECT_EQ(region("24.6 m3/h"), "allowable");  // 123 %
  EXPECT_EQ(region("26 m3/h"), "outside");      // 130 %
}

// "Reverse running speed", a maker's lexicon (seen): a radial pump under its rated head runs away
// at about 125 % of its speed; the head sets the speed by its square root.
TEST(PumpReading, ReverseSpeedOfAStoppedPump) {
  const Network network = ParseNetwork(R"(
[[vessel]]
name = "low"
[[vessel]]
name = "high"
level = 25.0
[[pump]]
name = "P-1"
from = "low"
to = "high"
running = false
rated_flow = "20 m3/h"
curve = [["0 m3/h", "30 m"], ["20 m3/h", "25 m"], ["40 m3/h", "12 m"]]
)");
  const PumpReading at_rated = ReadPumps(Solve(network)).at(0);
  EXPECT_NEAR(at_rated.reverse_speed, 1.25, 1e-9);
  EXPECT_EQ(at_rated.speed, 0.0);
  EXPECT_EQ(at_rated.region, "");
  EXPECT_TRUE(std::isnan(at_rated.npsh_required));
  const PumpReading quarter = ReadPumps(Solve(network, {{"high.level", 6.25}})).at(0);
  EXPECT_NEAR(quarter.reverse_speed, 0.625, 1e-9);
}

// --- Pipes, regulators, relief valves ------------------------------------------------------------

// At rest pressure follows from elevation alone.
TEST(PipeReading, LowestPressureIsAtTheHighPoint) {
  const Network network = ParseNetwork(R"(
[fluid]
name = "test water"
density = 1000.0
viscosity = 1e-3
[[vessel]]
name = "a"
level = 5.0
[[vessel]]
name = "b"
level = 5.0
[[pipe]]
name = "L-1"
from = "a"
to = "b"
length = 10.0
bore = 0.1
high_point = 12.0
)");
  const PipeReading reading = ReadPipes(Solve(network)).at(0);
  EXPECT_EQ(reading.regime, "at rest");
  EXPECT_NEAR(reading.lowest_pressure, 101325.0 - 7.0 * 1000.0 * kStandardGravity, 1e-3);
  // Heads 5 and 3 m: 4 m at mid-length.
  const PipeReading moving = ReadPipes(Solve(network, {{"b.level", 3.0}})).at(0);
  EXPECT_NEAR(moving.lowest_pressure, 101325.0 - 8.0 * 1000.0 * kStandardGravity, 1e-3);
  EXPECT_EQ(moving.regime, "turbulent");
}

std::string FedPipe(const std::string& fluid, const std::string& feed) {
  return "[fluid]\nname = \"liquid\"\n" + fluid +
         "\n[[vessel]]\nname = \"tank\"\nlevel = 2.0\n[[junction]]\nname = \"n1\"\nfeed = \"" +
         feed +
         "\"\n[[pipe]]\nname = \"L-1\"\nfrom = \"n1\"\nto = \"tank\"\nlength = 20.0\n"
         "bore = 0.1\n";
}

TEST(PipeReading, TellsTheRegime) {
  const auto regime = [](const char* feed) {
    return ReadPipes(Solve(ParseNetwork(FedPipe("density = 1000.0\nviscosity = 0.01\n", feed))))
        .at(0)
        .regime;
  };
  // Re = 4 Q/(pi D nu): 1000, 3000 and 10 000 at 2.83, 8.48 and 28.3 m³/h.
  EXPECT_EQ(regime("2.83 m3/h"), "laminar");
  EXPECT_EQ(regime("8.48 m3/h"), "transitional");
  EXPECT_EQ(regime("28.3 m3/h"), "turbulent");
}

// E. J. Wasp et al. 1977: 3.116 Cv^0.186 sqrt(2 g D (S - 1)) (d/D)^(1/6).
TEST(PipeReading, DepositionVelocityOfASlurry) {
  const std::string slurry =
      "density = 1000.0\nviscosity = 1e-3\nsolids = 0.2\nsolids_density = 2650.0\nd50 = "
      "\"0.2 mm\"\n";
  const Solution s = Solve(ParseNetwork(FedPipe(slurry, "50 m3/h")));
  const double cv = 0.2 / 2.65 / (0.2 / 2.65 + 0.8);
  const double expected = 3.116 * std::pow(cv, 0.186) *
                          std::sqrt(2.0 * kStandardGravity * 0.1 * 1.65) *
                          std::pow(0.0002 / 0.1, 1.0 / 6.0);
  EXPECT_NEAR(ReadPipes(s).at(0).deposition_velocity, expected, 1e-9);
  const Solution clear = Solve(ParseNetwork(FedPipe("density = 1e3\nviscosity = 1e-3", "50 m3/h")));
  EXPECT_TRUE(std::isnan(ReadPipes(clear).at(0).deposition_velocity));
}

// Flow goes as the coefficient times the root of the drop.
TEST(RegulatorReading, OpeningIsTheShareOfItsCoefficient) {
  const Network network = ParseNetwork(R"(
[fluid]
name = "test water"
density = 999.1
viscosity = 1e-6
[[vessel]]
name = "main"
gas_pressure = "6 bar"
[[junction]]
name = "user"
draw = "20 m3/h"
[[regulator]]
name = "PR-1"
from = "main"
to = "user"
kind = "pressure-reducing"
bore = 0.05
kv = "40 m3/h"
set_pressure = "2 bar"
)");
  const RegulatorReading holding = ReadRegulators(Solve(network)).at(0);
  EXPECT_NEAR(holding.held_pressure, 2.0 * kBar, 1.0);
  EXPECT_NEAR(holding.opening, 20.0 / (40.0 * std::sqrt(4.0)), 1e-6);  // 4 bar drop
  const RegulatorReading open = ReadRegulators(Solve(network, {{"user.draw", "90 m3/h"}})).at(0);
  EXPECT_EQ(open.opening, 1.0);
  EXPECT_NEAR(open.held_pressure, (6.0 - 90.0 * 90.0 / 1600.0) * kBar, 1.0);
}

TEST(ReliefValveReading, LiftsInProportionToTheExcess) {
  const Network network = ParseNetwork(R"(
[fluid]
name = "test water"
density = 999.1
viscosity = 1e-6
[[vessel]]
name = "main"
gas_pressure = "5.25 bar"
[[relief_valve]]
name = "RV-1"
from = "main"
set_pressure = "5 bar"
kv = "10 m3/h"
)");
  const ReliefValveReading half = ReadReliefValves(Solve(network)).at(0);
  EXPECT_NEAR(half.excess, 0.25 * kBar, 1e-3);
  EXPECT_NEAR(half.lift, 0.5, 1e-6);
  EXPECT_NEAR(half.rated_flow * kHour, 10.0 * std::sqrt(5.5), 1e-3);
  const Solution below = Solve(network, {{"main.gas_pressure", "4.9 bar"}});
  EXPECT_EQ(ReadReliefValves(below).at(0).lift, 0.0);
}

TEST(Readings, ThereIsOneForEveryPart) {
  for (const char* plant : {"acid_dosing", "caustic_transfer", "cooling_loop", "sludge_line"}) {
    const Solution s =
        Solve(LoadNetwork(std::string(HANDWHEEL_SOURCE_DIR) + "/networks/" + plant + ".toml"));
    const Readings readings = TakeReadings(s);
    EXPECT_EQ(readings.pipes.size(), s.network().pipes.size());
    EXPECT_EQ(readings.valves.size(), s.network().valves.size());
    EXPECT_EQ(readings.check_valves.size(), s.network().check_valves.size());
    EXPECT_EQ(readings.pumps.size(), s.network().pumps.size());
    EXPECT_EQ(readings.regulators.size(), s.network().regulators.size());
    EXPECT_EQ(readings.relief_valves.size(), s.network().relief_valves.size());
  }
}

}  // namespace
}  // namespace handwheel
