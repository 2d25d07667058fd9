#include "handwheel/network.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <limits>

#include "handwheel/errors.h"
#include "network/fields.h"
#include "network/resolve.h"

namespace handwheel {
namespace {

// One part of every kind.
Network OneOfEach() {
  Network network;
  network.AddPart("vessel", {{"name", "tank"}, {"level", "2.2 m"}});
  network.AddPart("junction", {{"name", "n1"}});
  network.AddPart("junction", {{"name", "n2"}, {"draw", "2 m3/h"}});
  network.AddPart("pipe", {{"name", "L-1"},
                           {"from", "tank"},
                           {"to", "n1"},
                           {"length", "38 m"},
                           {"size", "DN80"},
                           {"fittings", Rows{{"elbow 45", 2.0}, {"exit", 1.0}}}});
  network.AddPart("valve", {{"name", "HV-3"},
                            {"from", "n1"},
                            {"to", "n2"},
                            {"kind", "diaphragm weir"},
                            {"size", "DN80"}});
  network.AddPart(
      "check_valve",
      {{"name", "NRV-1"}, {"from", "n1"}, {"to", "n2"}, {"kind", "swing"}, {"size", "DN80"}});
  network.AddPart("pump", {{"name", "P-1"},
                           {"from", "tank"},
                           {"to", "n1"},
                           {"curve", Rows{{"0 m3/h", "32 m"}, {"40 m3/h", "18 m"}}}});
  network.AddPart("restriction",
                  {{"name", "RO-1"}, {"from", "n1"}, {"to", "n2"}, {"kv", "20 m3/h"}});
  network.AddPart("nozzle", {{"name", "N-1"}, {"from", "n2"}, {"bore", "20 mm"}});
  network.AddPart("regulator", {{"name", "PRV-1"},
                                {"from", "n1"},
                                {"to", "n2"},
                                {"kind", "pressure-reducing"},
                                {"size", "DN50"},
                                {"set_pressure", "3 bar"}});
  network.AddPart(
      "relief_valve",
      {{"name", "PSV-1"}, {"from", "n1"}, {"set_pressure", "10 bar"}, {"area", "198 mm2"}});
  return network;
}

double Number(const Network& network, const std::string& target) {
  return std::get<double>(network.Get(target));
}

std::string MessageOfFault(const Network& network) {
  try {
    network.Validate();
  } catch (const NetworkError& error) {
    return error.what();
  }
  return "";
}

// --- Building and asking -------------------------------------------------------------------------

TEST(Network, IsValidWithOneOfEachKind) {
  EXPECT_EQ(MessageOfFault(OneOfEach()), "");
}

TEST(Network, IsValidWhenEmpty) {
  EXPECT_EQ(MessageOfFault(Network()), "");
}

TEST(Network, KeepsNetworkOrder) {
  const Network network = OneOfEach();
  EXPECT_EQ(network.PointNames(), (std::vector<std::string>{"tank", "n1", "n2"}));
  EXPECT_EQ(network.ComponentNames(), (std::vector<std::string>{"L-1", "HV-3", "NRV-1", "P-1",
                                                                "RO-1", "N-1", "PRV-1", "PSV-1"}));
  EXPECT_EQ(PartKinds(),
            (std::vector<std::string>{"vessel", "junction", "pipe", "valve", "check_valve", "pump",
                                      "restriction", "nozzle", "regulator", "relief_valve"}));
}

TEST(Network, TakesUnitsInAddPart) {
  const Network network = OneOfEach();
  EXPECT_EQ(network.junctions[1].draw, 2.0 / 3600);
  EXPECT_EQ(network.pipes[0].length, 38.0);
  EXPECT_EQ(network.pumps[0].curve[1], (std::array<double, 2>{40.0 / 3600, 18.0}));
  EXPECT_EQ(network.nozzles[0].bore, 0.02);
}

TEST(Network, AllowsAPartFromAPointToItself) {
  Network network = OneOfEach();
  network.pipes[0].to = network.pipes[0].from;
  EXPECT_EQ(MessageOfFault(network), "");
}

TEST(Network, LetsAReliefValveLeadToAPointOrToTheOpenAir) {
  Network network = OneOfEach();
  EXPECT_EQ(network.relief_valves[0].to, "");
  network.Apply("PSV-1.to", "tank");
  EXPECT_EQ(MessageOfFault(network), "");
  network.Apply("PSV-1.to", "");
  EXPECT_EQ(MessageOfFault(network), "");
}

// A drooping curve rises to one peak and falls from there.
TEST(Network, AllowsAPumpCurveToDroop) {
  Network network = OneOfEach();
  network.Apply("P-1.curve", Rows{{0.0, 28.0}, {0.004, 30.0}, {0.008, 31.0}, {0.012, 20.0}});
  EXPECT_EQ(MessageOfFault(network), "");
}

TEST(Network, AllowsADisplacementPump) {
  Network network = OneOfEach();
  network.Apply({{"P-1.kind", "positive displacement"},
                 {"P-1.curve", ""},
                 {"P-1.displacement", "5 m3/h"},
                 {"P-1.slip", "0.3 m3/h"}});
  EXPECT_EQ(MessageOfFault(network), "");
}

// What NPSH a pump needs may stay level at low flow.
TEST(Network, AllowsLevelNpsh) {
  Network network = OneOfEach();
  network.Apply("P-1.npsh", Rows{{0.0, 2.0}, {0.004, 2.0}, {0.008, 3.0}});
  EXPECT_EQ(MessageOfFault(network), "");
}

TEST(Network, AllowsAConditionOfTheKindOfValve) {
  Network network = OneOfEach();
  for (const auto& [kind, condition] :
       {std::pair("diaphragm straight-through", "diaphragm cut"),
        std::pair("pinch open frame", "sleeve collapsed"),
        std::pair("pinch enclosed body", "sleeve not reopening"), std::pair("gate", "passing"),
        std::pair("ball", "blocked")}) {
    network.Apply({{"HV-3.kind", kind}, {"HV-3.condition", condition}});
    EXPECT_EQ(MessageOfFault(network), "") << kind << ", " << condition;
  }
}

TEST(Network, AllowsDrawAndFeedAtOnce) {
  Network network = OneOfEach();
  network.junctions[0].draw = network.junctions[0].feed = 1e-3;
  EXPECT_EQ(MessageOfFault(network), "");
}

// Every property of every kind, set to what it is: nothing changes, and nothing is left out.
TEST(Network, TakesBackEveryPropertyItGives) {
  const Network network = OneOfEach();
  for (const PartKind& kind : PartKindTable()) {
    for (const Field& field : kind.fields) {
      if (!field.settable) continue;
      const std::string name = kind.role == Role::kSection
                                   ? std::string(kind.name)
                                   : std::string(NameOf(kind, kind.At(network, 0)));
      const std::string target = name + "." + std::string(field.key);
      Network copy = network;
      copy.Apply(target, copy.Get(target));
      EXPECT_EQ(copy, network) << target;
    }
  }
}

TEST(Get, GivesSiOrEmptyText) {
  Network network = OneOfEach();
  EXPECT_EQ(Number(network, "n2.draw"), 2.0 / 3600);
  EXPECT_EQ(network.Get("L-1.size"), Value("DN80"));
  EXPECT_EQ(network.Get("L-1.name"), Value("L-1"));
  EXPECT_EQ(network.Get("L-1.bore"), Value(""));
  EXPECT_EQ(network.Get("P-1.running"), Value(true));
  EXPECT_EQ(network.Get("P-1.coefficients"), Value(Rows{}));
  EXPECT_EQ(network.Get("model.friction"), Value("colebrook"));
  EXPECT_EQ(network.Get("L-1.fittings"), Value(Rows{{"elbow 45", 2.0}, {"exit", 1.0}}));
  EXPECT_EQ(network.Get("P-1.curve"), Value(Rows{{0.0, 32.0}, {40.0 / 3600, 18.0}}));
}

// --- Settings ------------------------------------------------------------------------------------

TEST(Apply, TakesNumbersTextsSwitchesAndRows) {
  Network network = OneOfEach();
  network.Apply({{"HV-3.opening", "40 %"},
                 {"P-1.running", false},
                 {"P-1.speed", 0.8},
                 {"NRV-1.condition", "stuck open"},
                 {"tank.level", "150 cm"},
                 {"L-1.fittings", Rows{{"elbow 45", 1.0}}},
                 {"fluid.temperature", "60 degC"},
                 {"site.atmospheric_pressure", "90 kPa"},
                 {"model.friction", "churchill"}});
  EXPECT_EQ(network.valves[0].opening, 0.4);
  EXPECT_FALSE(network.pumps[0].running);
  EXPECT_EQ(network.pumps[0].speed, 0.8);
  EXPECT_EQ(network.check_valves[0].condition, "stuck open");
  EXPECT_EQ(network.vessels[0].level, 1.5);
  EXPECT_EQ(network.pipes[0].fittings, (Fittings{{"elbow 45", 1.0}}));
  EXPECT_DOUBLE_EQ(network.fluid.temperature, 333.15);
  EXPECT_EQ(network.site.atmospheric_pressure, 90e3);
  EXPECT_EQ(network.model.friction, FrictionFormula::kChurchill);
}

TEST(Apply, SplitsAtTheLastDot) {
  Network network = OneOfEach();
  network.valves[0].name = "unit 1.HV-3.a";
  network.Apply("unit 1.HV-3.a.opening", 0.5);
  EXPECT_EQ(network.valves[0].opening, 0.5);
}

TEST(Apply, LetsTheLaterSettingWin) {
  Network network = OneOfEach();
  network.Apply({{"HV-3.opening", 0.1}, {"HV-3.opening", 0.2}});
  EXPECT_EQ(network.valves[0].opening, 0.2);
}

TEST(Apply, ForgetsOtherWaysToSayTheSame) {
  Network network = OneOfEach();
  network.pipes[0].material = "cast iron";
  network.pipes[0].schedule = "80";
  network.Apply({{"L-1.bore", "50 mm"},
                 {"L-1.roughness", "0.1 mm"},
                 {"HV-3.kv", "63 m3/h"},
                 {"RO-1.rated_drop", "0.3 bar"},
                 {"RO-1.rated_flow", "10 m3/h"},
                 {"P-1.coefficients", Rows{{"a", "32 m"}, {"b", 4500.0}, {"c", 2.0}}},
                 {"NRV-1.leakage", "API 598 metal check"},
                 {"NRV-1.leak_kv", "1 L/min"},
                 {"fluid.consistency", 2.0},
                 {"fluid.index", 0.6},
                 {"fluid.viscosity", "1 mPa.s"},
                 {"PSV-1.kv", "20 m3/h"}});
  EXPECT_EQ(MessageOfFault(network), "");
  EXPECT_EQ(network.check_valves[0].leakage, "");
  EXPECT_FALSE(network.fluid.consistency || network.fluid.index);
  EXPECT_FALSE(network.relief_valves[0].area);
  EXPECT_EQ(network.pipes[0].size + network.pipes[0].schedule + network.pipes[0].material, "");
  EXPECT_TRUE(network.pumps[0].curve.empty());
  EXPECT_FALSE(network.restrictions[0].kv);
  network.Apply({{"HV-3.cv", "72.8 gpm"}, {"RO-1.k", 3.0}, {"RO-1.size", "DN80"}});
  EXPECT_EQ(MessageOfFault(network), "");
  EXPECT_FALSE(network.valves[0].kv);
  EXPECT_FALSE(network.restrictions[0].rated_flow);
}

TEST(Apply, ChangesNothingIfOneSettingIsAtFault) {
  const Network before = OneOfEach();
  Network network = before;
  EXPECT_THROW(network.Apply({{"HV-3.opening", 0.1},
                              {"fluid.density", 900.0},
                              {"L-1.bore", "50 mm"},
                              {"P-1.running", "no"}}),
               SettingError);
  EXPECT_EQ(network, before);
}

TEST(ApplyCase, AppliesItsSettings) {
  Network network = OneOfEach();
  network.cases.push_back({"tripped", "", {{"P-1.running", false}}});
  network.ApplyCase("tripped");
  EXPECT_FALSE(network.pumps[0].running);
  EXPECT_THROW(network.ApplyCase("triped"), NetworkError);
}

TEST(AddPart, AddsNothingIfAPropertyIsAtFault) {
  Network network = OneOfEach();
  const Network before = network;
  EXPECT_THROW(network.AddPart("pipe", {{"name", "L-2"}, {"length", "x"}}), NetworkError);
  EXPECT_EQ(network, before);
}

// --- Validation ----------------------------------------------------------------------------------

TEST(Validate, LeavesNumbersOutOfRangeToNoKind) {
  constexpr double kInfinity = std::numeric_limits<double>::infinity();
  for (const double bad : {std::nan(""), kInfinity, -kInfinity}) {
    for (const PartKind& kind : PartKindTable()) {
      for (const Field& field : kind.fields) {
        Network network = OneOfEach();
        void* part = kind.at(network, 0);
        const Slot slot = field.slot(part);
        if (double* const* number = std::get_if<double*>(&slot)) {
          **number = bad;
        } else if (std::optional<double>* const* given =
                       std::get_if<std::optional<double>*>(&slot)) {
          **given = bad;
        } else {
          continue;
        }
        const std::string message = MessageOfFault(network);
        EXPECT_NE(message.find(std::string(field.key) + " "), std::string::npos)
            << kind.name << "." << field.key << " = " << bad << ": " << message;
        EXPECT_NE(message.find("expected a finite number"), std::string::npos) << message;
      }
    }
  }
}

// The check that a bare 63 was meant in m³/h starts where K on the bore falls below 0.005.
TEST(Validate, BelievesCoefficientsUpToAStraightBore) {
  Network network = OneOfEach();
  const double straight = 0.0016 * std::pow(80.0, 4) / 0.005;  // kv² in (m3/h)², K = 0.0016 d⁴/kv²
  network.Apply("HV-3.kv", 0.99 * std::sqrt(straight) / 3600);
  EXPECT_EQ(MessageOfFault(network), "");
  network.Apply("HV-3.kv", 1.01 * std::sqrt(straight) / 3600);
  EXPECT_NE(MessageOfFault(network).find("more than"), 0u);
  EXPECT_NE(MessageOfFault(network).find("kv "), std::string::npos);
}

TEST(Validate, ChecksACaseAsAWhole) {
  Network network = OneOfEach();
  // Alone, the first setting would leave a rated drop without its flow.
  network.cases.push_back(
      {"fouled", "", {{"RO-1.rated_drop", "1 bar"}, {"RO-1.rated_flow", "5 m3/h"}}});
  EXPECT_EQ(MessageOfFault(network), "");
  network.cases[0].set.pop_back();
  EXPECT_EQ(
      MessageOfFault(network),
      "case \"fouled\": then restriction \"RO-1\": rated_drop needs rated_flow, the flow that "
      "it belongs to.");
  network.cases[0].set = {{"fluid.name", "brine"}};
  EXPECT_EQ(
      MessageOfFault(network),
      "case \"fouled\": then fluid: density is missing; \"brine\" needs a density (only "
      "\"water\", \"seawater\", \"sodium hydroxide\" and \"sulphuric acid\" have their own).");
}

// Full vacuum is 95 kPa below the atmosphere of this site.
TEST(Validate, ChecksACaseWithTheSectionsOfTheNetwork) {
  Network network = OneOfEach();
  network.site.atmospheric_pressure = 95e3;
  network.cases.push_back({"evacuated", "", {{"tank.gas_pressure", "-98 kPa"}}});
  EXPECT_EQ(MessageOfFault(network),
            "case \"evacuated\": then vessel \"tank\": gas_pressure -98000 Pa is below a full "
            "vacuum; it is gauge: expected -95000 Pa or more.");
}

TEST(Validate, LeavesTheNetworkOfACaseAlone) {
  Network network = OneOfEach();
  network.cases.push_back({"shut", "", {{"HV-3.opening", 0.0}}});
  const Network before = network;
  network.Validate();
  EXPECT_EQ(network, before);
}

TEST(Validate, TakesTimeInProportionToTheNetwork) {
  Network network;
  network.AddPart("vessel", {{"name", "tank"}});
  constexpr int kParts = 100000;
  for (int i = 0; i < kParts; ++i) {
    Junction junction;
    junction.name = "J-" + std::to_string(i);
    Pipe pipe;
    pipe.name = "L-" + std::to_string(i);
    pipe.from = i == 0 ? "tank" : network.junctions.back().name;
    pipe.to = junction.name;
    pipe.length = 10.0;
    pipe.size = "DN80";
    network.junctions.push_back(junction);
    network.pipes.push_back(pipe);
  }
  Case one{"one", "", {}};
  for (int i = 0; i < kParts; ++i) one.set.emplace_back("L-" + std::to_string(i) + ".k", 1.0);
  network.cases.push_back(one);
  const auto start = std::chrono::steady_clock::now();
  network.Validate();
  network.ApplyCase("one");
  const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
  EXPECT_EQ(network.pipes.back().k, 1.0);
  // About 0.3 s when built for speed; one quadratic step would take many minutes.
  EXPECT_LT(taken.count(), 60.0);
}

// --- Sizes ---------------------------------------------------------------------------------------

TEST(BoreOf, ComesFromBoreOrSize) {
  Network network = OneOfEach();
  EXPECT_NEAR(BoreOf(network.pipes[0]), 3.068 * 0.0254, 1e-12);  // ASME B36.10M, NPS 3 schedule 40
  EXPECT_DOUBLE_EQ(NominalSizeOf(network.pipes[0]), 3.0 * 0.0254);
  EXPECT_EQ(BoreOf(network.valves[0]), 0.080);
  EXPECT_EQ(BoreOf(network.check_valves[0]), 0.080);
  EXPECT_EQ(BoreOf(network.restrictions[0]), std::nullopt);
  EXPECT_EQ(BoreOf(network.nozzles[0]), 0.020);
  EXPECT_EQ(BoreOf(network.regulators[0]), 0.050);
  network.Apply("L-1.bore", "77.9 mm");
  EXPECT_EQ(BoreOf(network.pipes[0]), 0.0779);
  EXPECT_EQ(NominalSizeOf(network.pipes[0]), 0.0779);
}

TEST(BoreOf, IsWithinALining) {
  Network network = OneOfEach();
  network.Apply({{"L-1.bore", "100 mm"}, {"L-1.lining", "3 mm"}, {"HV-3.lining", "4 mm"}});
  EXPECT_DOUBLE_EQ(BoreOf(network.pipes[0]), 0.094);
  EXPECT_DOUBLE_EQ(BoreOf(network.valves[0]), 0.072);
  EXPECT_EQ(UnlinedBoreIfGiven(network.pipes[0]), 0.1);
  EXPECT_EQ(UnlinedBoreIfGiven(network.valves[0]), 0.08);
  EXPECT_EQ(NominalSizeOf(network.pipes[0]), 0.1);
  network.pipes[0].lining = 0.05;
  network.valves[0].lining = 0.05;
  EXPECT_THROW(BoreOf(network.pipes[0]), NetworkError);
  EXPECT_THROW(BoreOf(network.valves[0]), NetworkError);
}

TEST(BoreOf, ThrowsWithoutASize) {
  Network network = OneOfEach();
  network.pipes[0].size = "DN81";
  network.valves[0].size.clear();
  EXPECT_THROW(BoreOf(network.pipes[0]), NetworkError);
  EXPECT_THROW(BoreOf(network.valves[0]), NetworkError);
}

TEST(RoughnessOf, IsGivenOrThatOfTheMaterialOrOfSteel) {
  Pipe pipe = OneOfEach().pipes[0];
  EXPECT_EQ(RoughnessOf(pipe), 0.045e-3);
  pipe.material = "cast iron";
  EXPECT_EQ(RoughnessOf(pipe), 0.26e-3);
  pipe.roughness = 1e-3;
  EXPECT_EQ(RoughnessOf(pipe), 1e-3);
  pipe.roughness.reset();
  pipe.material = "cast irony";
  EXPECT_THROW(RoughnessOf(pipe), NetworkError);
}

}  // namespace
}  // namespace handwheel
