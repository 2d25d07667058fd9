#include "handwheel/file.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <random>

#include "handwheel/errors.h"
#include "handwheel/units.h"
#include "network/fields.h"

namespace handwheel {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view kPlant = R"(title = "Caustic transfer"
story = """
Caustic goes from the day tank to the mixer.
The "bypass" stays shut."""
[fluid]                       # or: name = "water", temperature = "20 degC"
name = "caustic"
density = "1220 kg/m3"
viscosity = "4.5 mPa.s"
vapour_pressure = "2 kPa"     # absolute
[site]
atmospheric_pressure = "95 kPa"
[model]
friction = "haaland"
fittings = "two-K"

[[vessel]]
name = "day tank"
elevation = "1.0 m"
level = "2.2 m"
gas_pressure = "0.5 bar"
[[junction]]
name = "P-1 in"
[[junction]]
name = "n1"
[[pipe]]
name = "L-1"
from = "day tank"
to = "P-1 in"
length = 12                   # m
size = "DN80"
schedule = "10S"
material = "stainless steel"
k = 2
[[pump]]
name = "P-1"
from = "P-1 in"
to = "n1"
curve = [
  ["0 m3/h", "32 m"],         # shut-off
  ["20 m3/h", "28 m"],
  [0.01, 18],
]
[[junction]]
name = "mixer"
elevation = "6 m"
draw = "2 m3/h"
[[pipe]]
name = "L-4"
from = "n1"
to = "mixer"
length = "38 m"
bore = "77.9 mm"
roughness = "0.045 mm"
fittings = { "tee run flanged" = 1, "elbow 90 long radius" = 4, "elbow 45" = 2.0 }
[[valve]]
name = "HV-3"
from = "n1"
to = "mixer"
kind = "diaphragm weir"
size = "DN80"
opening = "60 %"
kv = "63 m3/h"
curve = [[0, 0], [0.5, 0.7], [1, 1]]
normally = "open"
[[check_valve]]
name = "NRV-1"
from = "n1"
to = "mixer"
kind = "swing"
size = "DN80"
condition = "passing"
leak_kv = "1 L/min"
[[pump]]
name = "P-2"
from = "P-1 in"
to = "n1"
coefficients = [32, 4.5e3, 2]
running = false
[[restriction]]
name = "strainer"
from = "n1"
to = "mixer"
rated_drop = "0.1 bar"
rated_flow = "20 m3/h"
[[nozzle]]
name = "spray"
from = "mixer"
bore = "20 mm"
[[regulator]]
name = "PRV-1"
from = "n1"
to = "mixer"
kind = "pressure-reducing"
size = "DN50"
set_pressure = "3 bar"
droop = "0.2 bar"
rated_flow = "10 m3/h"
[[relief_valve]]
name = "PSV-1"
from = "n1"
set_pressure = "10 bar"
overpressure = "25 %"
balanced = true
area = "198 mm2"
[[case]]
name = "P-1 tripped"
note = "Mains failure."
set = { "P-1.running" = false }
[[case]]
name = "warm"
[case.set]
"HV-3.opening" = 1
"fluid.viscosity" = "2 mPa.s"
"P-1.curve" = [[0, 30], [0.01, 20]]
"P-2.coefficients" = [30, 4000, 2]
"L-4.fittings" = { "elbow 45" = 3 }
)";

Network Plant() {
  return ParseNetwork(kPlant, "plant.toml");
}

std::string MessageOf(const std::function<void()>& call) {
  try {
    call();
  } catch (const FileError& error) {
    return error.what();
  }
  return "(accepted)";
}

// --- Reading -------------------------------------------------------------------------------------

TEST(ParseNetwork, ReadsEveryKind) {
  const Network plant = Plant();
  EXPECT_EQ(plant.title, "Caustic transfer");
  EXPECT_EQ(plant.story,
            "Caustic goes from the day tank to the mixer.\nThe \"bypass\" stays shut.");
  EXPECT_EQ(plant.fluid.density, 1220.0);
  EXPECT_EQ(plant.fluid.viscosity, 4.5e-3);
  EXPECT_EQ(plant.site.atmospheric_pressure, 95e3);
  EXPECT_EQ(plant.site.gravity, kStandardGravity);
  EXPECT_EQ(plant.model.friction, FrictionFormula::kHaaland);
  EXPECT_EQ(plant.model.fittings, "two-K");
  EXPECT_EQ(plant.vessels[0].gas_pressure, 0.5e5);
  EXPECT_EQ(plant.PointNames(), (std::vector<std::string>{"day tank", "P-1 in", "n1", "mixer"}));
  EXPECT_EQ(plant.ComponentNames(),
            (std::vector<std::string>{"L-1", "L-4", "HV-3", "NRV-1", "P-1", "P-2", "strainer",
                                      "spray", "PRV-1", "PSV-1"}));
  EXPECT_EQ(plant.pipes[0].length, 12.0);
  EXPECT_EQ(plant.pipes[0].k, 2.0);
  EXPECT_EQ(plant.pipes[1].bore, 0.0779);
  EXPECT_EQ(plant.pumps[0].curve.back(), (std::array<double, 2>{0.01, 18.0}));
  EXPECT_EQ(plant.pumps[1].coefficients, (std::array<double, 3>{32.0, 4500.0, 2.0}));
  EXPECT_FALSE(plant.pumps[1].running);
  EXPECT_EQ(plant.valves[0].opening, 0.6);
  EXPECT_EQ(plant.check_valves[0].leak_kv, ParseQuantity("1 L/min", Dimension::kFlow));
}

TEST(ParseNetwork, ReadsRegulatorsAndReliefValves) {
  const Network plant = Plant();
  EXPECT_EQ(plant.regulators[0].set_pressure, 3e5);
  EXPECT_EQ(plant.regulators[0].droop, 0.2e5);
  EXPECT_EQ(plant.regulators[0].rated_flow, 10.0 / 3600);
  EXPECT_EQ(plant.relief_valves[0].to, "");
  EXPECT_EQ(plant.relief_valves[0].set_pressure, 10e5);
  EXPECT_EQ(plant.relief_valves[0].overpressure, 0.25);
  EXPECT_TRUE(plant.relief_valves[0].balanced);
  EXPECT_EQ(plant.relief_valves[0].area, 198e-6);
}

TEST(ParseNetwork, ReadsAFluidOfManyProperties) {
  const Fluid fluid = ParseNetwork(R"([fluid]
name = "digested sludge"
temperature = "18 degC"
density_table = [["10 degC", "1030 kg/m3"], ["30 degC", "1020 kg/m3"]]
yield_stress = "2.5 Pa"
consistency = 0.4
index = 0.6
solids = "3 %"
solids_density = "2650 kg/m3"
d50 = "0.2 mm"
critical_pressure = "220 bar"
)")
                          .fluid;
  EXPECT_EQ(fluid.density_table, (Curve{{283.15, 1030.0}, {303.15, 1020.0}}));
  EXPECT_EQ(fluid.yield_stress, 2.5);
  EXPECT_EQ(fluid.consistency, 0.4);
  EXPECT_EQ(fluid.index, 0.6);
  EXPECT_EQ(fluid.solids, 0.03);
  EXPECT_EQ(fluid.solids_density, 2650.0);
  EXPECT_EQ(fluid.d50, 0.2e-3);
  EXPECT_EQ(fluid.critical_pressure, 220e5);
  EXPECT_EQ(
      ParseNetwork("[fluid]\nname = \"sodium hydroxide\"\nstrength = \"32 %\"\n").fluid.strength,
      0.32);
}

TEST(ParseNetwork, ReadsThePropertiesOfAPumpInItsUnits) {
  const Pump pump = ParseNetwork(R"([[vessel]]
name = "a"
[[vessel]]
name = "b"
[[pump]]
name = "P-1"
from = "a"
to = "b"
curve = [["0 m3/h", "30 m"], ["10 m3/h", "32 m"], ["20 m3/h", "28 m"]]
efficiency = [["5 m3/h", "40 %"], ["20 m3/h", 0.65]]
npsh = [["5 m3/h", "2 m"], ["20 m3/h", "3.5 m"]]
rated_power = "7.5 kW"
rpm = 2900
stages = 2
rotor = "free"
)")
                        .pumps[0];
  EXPECT_EQ(pump.efficiency, (Curve{{5.0 / 3600, 0.4}, {20.0 / 3600, 0.65}}));
  EXPECT_EQ(pump.npsh, (Curve{{5.0 / 3600, 2.0}, {20.0 / 3600, 3.5}}));
  EXPECT_EQ(pump.rated_power, 7500.0);
  EXPECT_EQ(pump.rpm, 2900.0);
  EXPECT_EQ(pump.stages, 2.0);
  EXPECT_EQ(pump.rotor, "free");
}

TEST(ParseNetwork, KeepsTheOrderOfFittingsAndSettings) {
  const Network plant = Plant();
  EXPECT_EQ(plant.pipes[1].fittings,
            (Fittings{{"tee run flanged", 1.0}, {"elbow 90 long radius", 4.0}, {"elbow 45", 2.0}}));
  const Settings expected = {{"HV-3.opening", 1.0},
                             {"fluid.viscosity", "2 mPa.s"},
                             {"P-1.curve", Rows{{0.0, 30.0}, {0.01, 20.0}}},
                             {"P-2.coefficients", Rows{{"a", 30.0}, {"b", 4000.0}, {"c", 2.0}}},
                             {"L-4.fittings", Rows{{"elbow 45", 3.0}}}};
  EXPECT_EQ(plant.cases[1].set, expected);
}

TEST(ParseNetwork, TakesFittingsUnderAHeading) {
  std::string text(kPlant);
  const std::string line = "k = 2\n";
  text.replace(text.find(line), line.size(), "[pipe.fittings]\n\"elbow 45\" = 3\n");
  EXPECT_EQ(ParseNetwork(text).pipes[0].fittings, (Fittings{{"elbow 45", 3.0}}));
}

TEST(ParseNetwork, TakesAnEmptyFile) {
  EXPECT_EQ(ParseNetwork(""), Network());
}

TEST(ParseNetwork, TakesWindowsLineEndsAndAByteOrderMark) {
  std::string text = "\xEF\xBB\xBF";
  for (const char c : kPlant) text += c == '\n' ? std::string("\r\n") : std::string(1, c);
  Network expected = Plant();
  Network found = ParseNetwork(text);
  found.story = expected.story;  // keeps its own line ends
  EXPECT_EQ(found, expected);
}

TEST(ParseNetwork, ReadsTextsThatLookLikeSyntax) {
  const std::string text =
      "title = 'a [[pipe]] # not a comment'\nstory = \"\"\"\n[[pipe]]\nx.y = {\n\"\"\"\"\n"
      "[[ junction ]] # [[pipe]]\n\"name\" = \"a\\\"]\\\\\"\n['site']\ngravity=9.8\n";
  const Network network = ParseNetwork(text);
  EXPECT_EQ(network.title, "a [[pipe]] # not a comment");
  EXPECT_EQ(network.story, "[[pipe]]\nx.y = {\n\"");
  EXPECT_EQ(network.junctions[0].name, "a\"]\\");
  EXPECT_EQ(network.site.gravity, 9.8);
}

TEST(ParseNetwork, JoinsLinesAtABackslash) {
  EXPECT_EQ(ParseNetwork("story = \"\"\"One \\  \n\n  line.\\\r\n\"\"\"\n[site]\n").story,
            "One line.");
  EXPECT_EQ(MessageOf([] { ParseNetwork("story = \"\"\"a\\\n\nb\"\"\"\ntitel = 1\n", "f"); }),
            "f:4:1: network: unknown property \"titel\"; did you mean \"title\"?");
}

// --- Limits --------------------------------------------------------------------------------------

TEST(ParseNetwork, KeepsToItsLimits) {
  ReadLimits limits;
  limits.max_bytes = 10;
  EXPECT_EQ(MessageOf([&] { ParseNetwork("title = \"abc\"", "a.toml", limits); }),
            "a.toml:0:0: the file has 13 bytes; expected at most 10.");
  limits = {};
  limits.max_nesting = 1;
  EXPECT_EQ(MessageOf([&] { ParseNetwork("title = [[1]]", "a.toml", limits); }),
            "a.toml:1:10: brackets are nested more than 1 deep.");
}

TEST(ParseNetwork, SurvivesDeepNestingOfEveryKind) {
  constexpr int kDepth = 1000000;
  for (const std::string opening : {"[", "{a=", "a.", "[[", "'a'.", "{\"a\".b="}) {
    for (const std::string start : {"", "title = ", "set = {"}) {
      std::string text = start;
      for (int i = 0; i < kDepth; ++i) text += opening;
      EXPECT_THROW(ParseNetwork(text), FileError) << start << opening;
    }
  }
}

// Found by fuzzing: each of these upsets the TOML parser itself.
TEST(ParseNetwork, KeepsFromTheParserWhatItCannotDigest) {
  for (const char* text :
       {"a = [1, \u03E4]", "a = [5, }", "a = 2026-01-01T@00:00", "title = 0\"a\u00B0\"",
        "[[\rpipe]]\n", "[[pipe]] \u03E4\n", "a = 0x1p\u00B0", "[\"pi\"pe]\n", "[[\"pipe]]\n",
        "a = \"\"\"\\\u00B0\"\"\"", "a = \"\"\"\\ \u00B0\"\"\"", "a = \"\"\"\\\n\u00B0\"\"\"",
        "a = \"\\\u00B0\""}) {
    EXPECT_THROW(ParseNetwork(text), FileError) << text;
  }
}

// A million of whatever a parser may look up in a list takes seconds, not days.
TEST(ParseNetwork, TakesTimeInProportionToTheFile) {
  const auto start = std::chrono::steady_clock::now();
  std::string junctions, headings, keys, pipes;
  for (int i = 0; i < 50000; ++i) {
    const std::string number = std::to_string(i);
    junctions += "[[junction]]\nname = \"J-" + number + "\"\n";
    headings += "[[x" + number + "]]\n";
    keys += "k" + number + " = 1\n";
    pipes += "[[junction]]\nname = \"J\"\n";
  }
  EXPECT_EQ(ParseNetwork(junctions).junctions.size(), 50000u);
  EXPECT_THROW(ParseNetwork(headings), FileError);
  EXPECT_THROW(ParseNetwork("[[pipe]]\n" + keys), FileError);
  EXPECT_THROW(ParseNetwork(pipes), FileError);
  EXPECT_THROW(ParseNetwork(std::string(20 << 20, '[')), FileError);
  EXPECT_THROW(ParseNetwork("title = \"" + std::string(20 << 20, '\\')), FileError);
  EXPECT_THROW(ParseNetwork(std::string(20 << 20, '\n') + "x"), FileError);
  const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
  // About 2 s when built for speed.
  EXPECT_LT(taken.count(), 120.0);
}

// Large files are parsed in pieces; lines and faults are those of the whole.
TEST(ParseNetwork, FindsFaultsFarDownALargeFile) {
  std::string text = "title = \"large\"\n[[vessel]]\nname = \"tank\"\n";
  int line = 3;
  for (int i = 0; i < 30000; ++i) {
    text += "[[junction]]\nname = \"J-" + std::to_string(i) + "\"\n\n";
    line += 3;
  }
  ASSERT_GT(text.size(), 2u << 18);
  EXPECT_EQ(ParseNetwork(text).junctions.size(), 30000u);
  const auto message = [&](const std::string& end) {
    return MessageOf([&] { ParseNetwork(text + end, "large.toml"); });
  };
  const auto at = [&](int lines, int column) {
    return "large.toml:" + std::to_string(line + lines) + ":" + std::to_string(column) + ": ";
  };
  EXPECT_EQ(message("[[junction]]\nname = \"J-7\"\n"),
            at(2, 8) +
                "junction \"J-7\": the name is already that of another junction; every point "
                "and component needs its own.");
  EXPECT_EQ(message("[[junction]]\nnam = \"J-x\"\n"),
            at(2, 1) + "junction number 30001: unknown property \"nam\"; did you mean \"name\"?");
  EXPECT_EQ(message("[[junction]]\nname =\n").substr(0, at(2, 7).size()), at(2, 7));
  EXPECT_EQ(message("[[pipe]]\nname = \"L\"\nfrom = \"tank\"\nto = \"J-7\"\nlength = 3\n"),
            at(1, 1) + "pipe \"L\": bore or size is missing.");
  EXPECT_EQ(message("[[case]]\nname = \"c\"\nset = { \"J-30001.draw\" = 0 }\n"),
            at(3, 26) +
                "case \"c\": \"J-30001.draw\": nothing is called \"J-30001\"; did you mean "
                "\"J-3000\"?");
}

// --- Writing -------------------------------------------------------------------------------------

TEST(FormatNetwork, ReadsBackEqual) {
  const Network plant = Plant();
  const std::string text = FormatNetwork(plant);
  EXPECT_EQ(ParseNetwork(text), plant) << text;
  EXPECT_EQ(FormatNetwork(ParseNetwork(text)), text);
}

TEST(FormatNetwork, WritesUnitsOfTheTradeAndOnlyWhatDiffersFromDefaults) {
  Network network;
  network.title = "Two tanks";
  network.AddPart("vessel", {{"name", "high"}, {"level", 2.5}, {"gas_pressure", 3e5}});
  network.AddPart("junction", {{"name", "low"}, {"draw", 2.0 / 3600}});
  network.AddPart("pipe", {{"name", "L-1"},
                           {"from", "high"},
                           {"to", "low"},
                           {"length", 38.0},
                           {"bore", 0.0779},
                           {"fittings", Rows{{"elbow 45", 2.0}}}});
  network.AddPart("pump", {{"name", "P-1"},
                           {"from", "high"},
                           {"to", "low"},
                           {"curve", Rows{{0.0, 32.0}, {"20 m3/h", 28.0}}}});
  network.cases.push_back({"half", "", {{"P-1.running", false}, {"L-1.k", 0.5}}});
  EXPECT_EQ(FormatNetwork(network), R"(title = "Two tanks"

[[vessel]]
name = "high"
level = "2.5 m"
gas_pressure = "3 bar"

[[junction]]
name = "low"
draw = "2 m3/h"

[[pipe]]
name = "L-1"
from = "high"
to = "low"
length = "38 m"
bore = "77.9 mm"
fittings = { "elbow 45" = 2 }

[[pump]]
name = "P-1"
from = "high"
to = "low"
curve = [["0 m3/h", "32 m"], ["20 m3/h", "28 m"]]

[[case]]
name = "half"
set = { "P-1.running" = false, "L-1.k" = 0.5 }
)");
}

TEST(FormatNetwork, OfAnEmptyNetworkIsEmpty) {
  EXPECT_EQ(FormatNetwork(Network()), "");
}

// Networks of every property at random, with names that try the quoting.
class RandomNetworks {
 public:
  explicit RandomNetworks(std::uint64_t seed) : engine_(seed) {}

  Network Next() {
    Network network;
    network.title = Text();
    network.story = Text();
    network.site.gravity = Positive();
    AddFluid(&network.fluid);
    AddPoints(&network);
    AddComponents(&network);
    AddCases(&network);
    return network;
  }

 private:
  void AddFluid(Fluid* fluid) {
    fluid->name = Text() + "x";
    fluid->temperature = 300.0;
    fluid->critical_pressure = Maybe(Positive());
    fluid->bulk_modulus = Maybe(Positive());
    fluid->yield_stress = Maybe(Positive());
    if (Below(2) == 0) {
      fluid->density = Positive();
      fluid->viscosity = Positive();
      fluid->vapour_pressure = Maybe(Positive());
    } else {
      fluid->density_table = AroundTheTemperature();
      fluid->vapour_pressure_table = AroundTheTemperature();
      fluid->consistency = Positive();
      fluid->index = 0.1 + Fraction();
    }
    if (Below(2) == 0) {
      fluid->solids = 0.05 * Fraction();
      fluid->solids_density = 1e12;
      fluid->d50 = Maybe(Positive());
    }
  }

  Curve AroundTheTemperature() {
    return {{300.0 - Fraction(), Positive()}, {300.0, Positive()}, {301.0, Positive()}};
  }

  void AddPoints(Network* network) {
    for (std::size_t i = 0, n = Below(4) + 1; i < n; ++i) {
      network->vessels.push_back({Name(), Any(), Positive(), Positive(), Maybe(Positive())});
    }
    for (std::size_t i = 0, n = Below(4); i < n; ++i) {
      network->junctions.push_back({Name(), Any(), Positive(), Positive()});
    }
    points_ = network->PointNames();
  }

  void AddComponents(Network* network) {
    Pipe pipe;
    SetEnds(&pipe);
    pipe.length = Positive();
    if (Below(2) == 0) {
      pipe.bore = Bore();
    } else {
      pipe.size = "NPS 1-1/2";
      pipe.schedule = "80";
    }
    pipe.roughness = Maybe(Positive());
    pipe.fittings = {{"exit", Positive()}, {"elbow 45", 1.0}};
    pipe.k = Positive();
    pipe.hazen_williams_c = Maybe(Positive());
    pipe.lining = 0.4 * pipe.bore.value_or(0.01) * Fraction();
    pipe.high_point = Maybe(Any());
    pipe.rating = Maybe(Positive());
    pipe.max_velocity = Maybe(Positive());
    pipe.wave_speed = Maybe(Positive());
    pipe.wall = Maybe(Positive());
    pipe.elastic_modulus = Maybe(Positive());
    if (Below(2) == 0) pipe.restraint = "expansion joints";
    network->pipes.push_back(pipe);

    Valve valve;
    SetEnds(&valve);
    valve.kind = Below(2) == 0 ? "diaphragm weir" : "pinch open frame";
    valve.bore = Bore();
    valve.lining = 0.4 * *valve.bore * Fraction();
    valve.pipe_bore = Maybe(*valve.bore + Bore());
    valve.fl = Maybe(Fraction());
    valve.xfz = Maybe(Fraction());
    valve.turns = Maybe(Positive());
    valve.travel = Maybe(Positive());
    valve.rangeability = Maybe(1.0 + Positive());
    valve.condition = valve.kind[0] == 'd' ? "diaphragm cut" : "sleeve collapsed";
    if (Below(3) == 0) valve.condition = "sound";
    valve.blockage = Fraction();
    if (Below(2) == 0) {
      valve.leakage = "ISO 5208 D";
    } else {
      valve.leak_kv = Maybe(0.2 * *valve.bore * *valve.bore * Fraction());
    }
    valve.vent_kv = Maybe(0.2 * *valve.bore * *valve.bore * Fraction());
    valve.stuck_opening = Fraction();
    valve.min_pressure = Maybe(-1e4 * Fraction());
    valve.rating = Maybe(Positive());
    valve.opening = Fraction();
    valve.k = Maybe(Positive());
    if (Below(2) == 0) valve.curve = {{0.0, 0.1 * Fraction()}, {Fraction(), 0.5}, {1.0, 1.0}};
    network->valves.push_back(valve);

    CheckValve check_valve;
    SetEnds(&check_valve);
    check_valve.kind = "ball";
    check_valve.size = "DN50";
    check_valve.condition = "stuck open";
    if (Below(2) == 0) check_valve.orientation = "vertical up";
    if (Below(2) == 0) check_valve.assist = "spring";
    check_valve.cracking_pressure = Maybe(Positive());
    check_valve.min_velocity = Maybe(Positive());
    if (Below(2) == 0) {
      check_valve.leakage = "API 598 metal check";
    } else {
      check_valve.leak_kv = Maybe(1e-3 * Fraction());
    }
    check_valve.stuck_opening = Fraction();
    check_valve.closing_lag = Maybe(Positive());
    check_valve.rating = Maybe(Positive());
    network->check_valves.push_back(check_valve);

    Pump pump;
    SetEnds(&pump);
    const double flow = Positive(), head = Positive();
    if (Below(3) == 0) {
      pump.coefficients = {Positive(), Positive(), 1.0 + Positive()};
    } else if (Below(2) == 0) {
      pump.curve = {{0.0, head}, {flow, 1.1 * head}, {2.0 * flow, 0.1 * head}};
    } else {
      pump.kind = "positive displacement";
      pump.displacement = Positive();
      pump.slip = Maybe(*pump.displacement * Fraction());
      pump.rated_pressure = Positive();
    }
    if (Below(2) == 0) pump.efficiency = {{flow, Fraction()}, {2.0 * flow, Fraction()}};
    if (Below(2) == 0) pump.npsh = {{flow, head}, {2.0 * flow, 3.0 * head}};
    pump.rpm = Maybe(Positive());
    pump.stages = static_cast<double>(Below(5) + 1);
    pump.min_flow = Maybe(Positive());
    pump.rated_power = Maybe(Positive());
    if (Below(2) == 0) pump.rotor = "free";
    pump.stopped_k = Maybe(Positive());
    pump.running = Below(2) == 0;
    pump.speed = Positive();
    pump.inertia = Maybe(Positive());
    pump.rated_flow = Maybe(Positive());
    network->pumps.push_back(pump);

    Restriction restriction;
    SetEnds(&restriction);
    restriction.rated_drop = Positive();
    restriction.rated_flow = Positive();
    restriction.rating = Maybe(Positive());
    network->restrictions.push_back(restriction);

    network->nozzles.push_back({Name(), points_[0], Bore(), "", Positive(), Maybe(Any())});
    AddRegulators(network);
  }

  void AddRegulators(Network* network) {
    Regulator regulator;
    SetEnds(&regulator);
    regulator.bore = Bore();
    regulator.k = Maybe(Positive());
    if (Below(2) == 0) {
      regulator.kind = "flow-limiting";
      regulator.set_flow = Positive();
    } else {
      regulator.kind = "back-pressure";
      regulator.set_pressure = Positive();
      regulator.droop = Positive();
      regulator.rated_flow = Positive();
    }
    regulator.rating = Maybe(Positive());
    network->regulators.push_back(regulator);

    ReliefValve relief;
    SetEnds(&relief);
    if (Below(2) == 0) relief.to.clear();
    relief.set_pressure = Positive();
    relief.overpressure = Fraction();
    relief.balanced = Below(2) == 0;
    relief.area = Fraction();
    network->relief_valves.push_back(relief);
  }

  void AddCases(Network* network) {
    Case item{Name(), Text(), {}};
    for (const std::string& point : points_) item.set.emplace_back(point + ".elevation", Any());
    item.set.emplace_back(network->pumps[0].name + ".running", false);
    item.set.emplace_back(network->pipes[0].name + ".fittings", Rows{{"exit", Positive()}});
    item.set.emplace_back(network->valves[0].name + ".curve", Rows{{0.0, "10 %"}, {1.0, 1.0}});
    item.set.emplace_back(network->valves[0].name + ".opening", "3 %");
    network->cases.push_back(item);
  }

  template <typename Part>
  void SetEnds(Part* part) {
    part->name = Name();
    part->from = points_[Below(points_.size())];
    part->to = points_[Below(points_.size())];
  }

  std::size_t Below(std::size_t limit) { return engine_() % limit; }
  double Fraction() { return (static_cast<double>(engine_() >> 11) + 0.5) * 0x1.0p-53; }
  // Round numbers as people write them, and numbers with all their digits.
  double Positive() {
    const double magnitude = std::pow(10.0, static_cast<double>(Below(13)) - 6.0);
    if (Below(2) == 0) return magnitude * Fraction();
    return static_cast<double>(Below(1000) + 1) * magnitude;
  }
  double Any() { return Below(2) == 0 ? Positive() : -Positive(); }
  double Bore() {
    return 1e-3 * static_cast<double>(Below(900) + 1) * (Below(2) ? 1.0 : Fraction());
  }
  std::optional<double> Maybe(double value) {
    return Below(2) == 0 ? std::optional(value) : std::nullopt;
  }

  std::string Text() {
    static const std::vector<std::string> pieces = {"\"",
                                                    "'",
                                                    "\\",
                                                    "\n",
                                                    "\r\n",
                                                    "\t",
                                                    "#",
                                                    "=",
                                                    "[[",
                                                    "]]",
                                                    "{",
                                                    ".",
                                                    ",",
                                                    " ",
                                                    "\"\"\"",
                                                    "'''",
                                                    std::string(1, '\0'),
                                                    "\x01",
                                                    "\x1F",
                                                    "\x7F",
                                                    "ä",
                                                    "水",
                                                    "𝛑",
                                                    "\u2028",
                                                    "\u0085",
                                                    "\uFEFF",
                                                    "\uFFFE",
                                                    "\u00A0",
                                                    "L-1",
                                                    "HV",
                                                    "\\u0041",
                                                    "\\",
                                                    "true",
                                                    "1e5"};
    std::string text;
    for (std::size_t i = 0, n = Below(8); i < n; ++i) text += pieces[Below(pieces.size())];
    return text;
  }
  std::string Name() { return Text() + std::to_string(++count_); }

  std::mt19937_64 engine_;
  std::vector<std::string> points_;
  int count_ = 0;
};

TEST(FormatNetwork, ReadsBackRandomNetworksToTheLastBit) {
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    const Network network = RandomNetworks(seed).Next();
    ASSERT_NO_THROW(network.Validate()) << "seed " << seed;
    const std::string text = FormatNetwork(network);
    Network read;
    ASSERT_NO_THROW(read = ParseNetwork(text)) << "seed " << seed << "\n" << text;
    ASSERT_EQ(read, network) << "seed " << seed << "\n" << text;
  }
}

// --- Files ---------------------------------------------------------------------------------------

// A folder of its own that vanishes with the test.
class FileTest : public testing::Test {
 protected:
  FileTest() {
    folder_ = fs::temp_directory_path() / ("handwheel_file_test_" + std::to_string(Seed()));
    fs::create_directories(folder_);
  }
  ~FileTest() override {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
  }

  static unsigned Seed() { return std::random_device()(); }
  std::string Path(const std::string& name) const { return (folder_ / name).string(); }
  std::size_t NumFiles() const {
    return static_cast<std::size_t>(
        std::distance(fs::directory_iterator(folder_), fs::directory_iterator()));
  }

  fs::path folder_;
};

TEST_F(FileTest, SavesWhatLoadsEqual) {
  const Network plant = Plant();
  SaveNetwork(plant, Path("plant.toml"));
  EXPECT_EQ(LoadNetwork(Path("plant.toml")), plant);
  SaveNetwork(Network(), Path("plant.toml"));
  EXPECT_EQ(LoadNetwork(Path("plant.toml")), Network());
  EXPECT_EQ(NumFiles(), 1u);
}

TEST_F(FileTest, KeepsPermissionsAndLinksOfWhatItReplaces) {
  SaveNetwork(Network(), Path("plant.toml"));
  fs::permissions(Path("plant.toml"), fs::perms::owner_read | fs::perms::owner_write);
  fs::create_symlink("plant.toml", Path("link.toml"));
  SaveNetwork(Plant(), Path("link.toml"));
  EXPECT_TRUE(fs::is_symlink(Path("link.toml")));
  EXPECT_EQ(LoadNetwork(Path("plant.toml")), Plant());
  EXPECT_EQ(fs::status(Path("plant.toml")).permissions(),
            fs::perms::owner_read | fs::perms::owner_write);
}

TEST_F(FileTest, LeavesNothingBehindWhereItCannotSave) {
  fs::create_directory(Path("folder"));
  for (const std::string& name :
       std::vector<std::string>{"folder", "missing/plant.toml", "", std::string("a\0b", 3)}) {
    const std::string path = name.empty() ? name : Path(name);
    EXPECT_THROW(SaveNetwork(Plant(), path), FileError) << name;
  }
  EXPECT_EQ(NumFiles(), 1u);
  EXPECT_EQ(
      MessageOf([&] { SaveNetwork(Plant(), Path("missing/plant.toml")); }),
      Path("missing/plant.toml") + ":0:0: the file cannot be written: No such file or directory.");
}

TEST_F(FileTest, SaysWhyAFileCannotBeRead) {
  EXPECT_EQ(MessageOf([&] { LoadNetwork(Path("missing.toml")); }),
            Path("missing.toml") + ":0:0: the file cannot be read: No such file or directory.");
  EXPECT_EQ(MessageOf([&] { LoadNetwork(folder_.string()); }),
            folder_.string() + ":0:0: the file cannot be read: it is a directory.");
  EXPECT_THROW(LoadNetwork(""), FileError);
  EXPECT_THROW(LoadNetwork(std::string("a\0b", 3)), FileError);
}

TEST_F(FileTest, RefusesLargeFilesBeforeReadingThem) {
  std::ofstream(Path("large.toml")) << "title = \"x\"\n";
  fs::resize_file(Path("large.toml"), std::uintmax_t{1} << 40);  // sparse
  EXPECT_EQ(
      MessageOf([&] { LoadNetwork(Path("large.toml")); }),
      Path("large.toml") + ":0:0: the file has 1099511627776 bytes; expected at most 536870912.");
}

TEST_F(FileTest, StopsReadingAnEndlessFile) {
  if (!fs::exists("/dev/zero")) GTEST_SKIP() << "no endless file here";
  ReadLimits limits;
  limits.max_bytes = 1 << 20;
  EXPECT_EQ(MessageOf([&] { LoadNetwork("/dev/zero", limits); }),
            "/dev/zero:0:0: the file has 1048577 bytes; expected at most 1048576.");
}

}  // namespace
}  // namespace handwheel
