#include "studies/gauge.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>

#include "handwheel/errors.h"
#include "handwheel/file.h"
#include "studies/gauge_model.h"
#include "studies/varied.h"

namespace handwheel {
namespace {

Network TwoTanks() {
  Network network;
  network.AddPart("vessel", {{"name", "high"}, {"elevation", 10.0}, {"level", 2.0}});
  network.AddPart("vessel", {{"name", "low"}, {"level", 1.0}});
  network.AddPart("junction", {{"name", "n1"}, {"elevation", 3.0}});
  network.AddPart("pipe", {{"name", "L-1"},
                           {"from", "high"},
                           {"to", "n1"},
                           {"length", 60.0},
                           {"size", "DN50"},
                           {"material", "stainless steel"}});
  network.AddPart("valve", {{"name", "HV-1"},
                            {"from", "n1"},
                            {"to", "low"},
                            {"kind", "globe"},
                            {"size", "DN50"},
                            {"opening", 0.5}});
  return network;
}

std::string Message(const std::function<void()>& call) {
  try {
    call();
  } catch (const SettingError& error) {
    return error.what();
  }
  return "nothing was thrown";
}

TEST(Gauge, ReadsWhatTheSolutionSays) {
  const Network network = TwoTanks();
  const Solution solution = Solve(network);
  const auto read = [&](const char* name) { return ReadGauge(FindGauge(network, name), solution); };
  EXPECT_EQ(read("L-1.flow"), solution.Flow("L-1"));
  EXPECT_EQ(read("HV-1.flow"), solution.Flow("HV-1"));
  EXPECT_EQ(read("HV-1.velocity"), solution.Velocity("HV-1"));
  EXPECT_EQ(read("HV-1.drop"), solution.Drop("HV-1"));
  EXPECT_EQ(read("n1.pressure"), solution.Pressure("n1"));
  EXPECT_EQ(read("low.head"), solution.Head("low"));
}

TEST(Gauge, RefusesWhatNoGaugeShows) {
  const Network network = TwoTanks();
  const auto find = [&](const char* name) { return Message([&] { FindGauge(network, name); }); };
  EXPECT_EQ(find("L-1.pressure"),
            R"("L-1.pressure": no gauge shows the "pressure" of a pipe; expected "flow", )"
            R"("velocity" or "drop".)");
  EXPECT_EQ(
      find("n1.presure"),
      R"("n1.presure": no gauge shows the "presure" of a junction; did you mean "pressure"?)");
  EXPECT_EQ(find("L-2.flow"), R"("L-2.flow": nothing is called "L-2"; did you mean "L-1"?)");
  EXPECT_EQ(find("fluid.density"),
            R"("fluid.density": no gauge shows the fluid; expected a point or a component.)");
  EXPECT_EQ(find("flow"), R"("flow": expected a component and a property such as "HV-3.opening".)");
}

TEST(Gauge, ShowsUnitsThatAPractitionerExpects) {
  const Network network = TwoTanks();
  EXPECT_EQ(GaugeText(FindGauge(network, "L-1.flow"), 0.004), "14.4 m3/h");
  EXPECT_EQ(GaugeText(FindGauge(network, "n1.pressure"), 1.706e5), "1.706 bar");
}

TEST(Varied, KnowsWhereAPropertyEnds) {
  const std::vector<Varied> read =
      ReadVaried(TwoTanks(), {{"HV-1.opening"}, {"high.level", "0.5 m", 3.0}, {"L-1.roughness"}});
  EXPECT_EQ(read[0].present, 0.5);
  EXPECT_EQ(read[0].lower, 0.0);
  EXPECT_EQ(read[0].upper, 1.0);
  EXPECT_EQ(read[1].lower, 0.5);
  EXPECT_EQ(read[1].upper, 3.0);
  EXPECT_EQ(read[1].size, 2.5);
  EXPECT_GT(read[2].present, 0.0) << "the roughness that the material has";
  EXPECT_EQ(read[2].size, read[2].present);
}

TEST(Varied, RefusesWhatCannotBeVaried) {
  const auto read = [](const std::vector<Vary>& vary) {
    return Message([&] { ReadVaried(TwoTanks(), vary); });
  };
  EXPECT_EQ(read({}), "nothing to vary; expected at least one setting.");
  EXPECT_EQ(read({{"HV-1.kind"}}), R"("HV-1.kind" is no number and cannot be varied.)");
  EXPECT_EQ(read({{"HV-1.opening"}, {"HV-1.opening"}}), R"("HV-1.opening" is varied twice.)");
  EXPECT_EQ(read({{"HV-1.opening", 0.6, 0.4}}),
            R"("HV-1.opening" has no room between 0.6 and 0.4.)");
  EXPECT_EQ(read({{"HV-1.kv"}}), R"("HV-1.kv" has no number at present; give it one to vary it.)");
  EXPECT_NE(read({{"HV-1.opening", -0.1, 1.0}}).find("opening"), std::string::npos);
  EXPECT_NE(read({{"high.level", "2 bar", 3.0}}).find("level"), std::string::npos);
}

// Against differences of solves, within what a step of 1e-4 leaves; between two points of the
// characteristic, where it is smooth.
TEST(GaugeModel, SlopesEqualDifferences) {
  const Network network = TwoTanks();
  std::vector<Gauge> gauges;
  for (const char* name : {"L-1.flow", "L-1.velocity", "HV-1.drop", "n1.pressure", "n1.head"}) {
    gauges.push_back(FindGauge(network, name));
  }
  GaugeModel model(network, ReadVaried(network, {{"HV-1.opening"}, {"L-1.bore"}}), gauges,
                   {.flow_tolerance = 1e-13, .head_tolerance = 1e-11, .step_tolerance = 1e-12});
  const std::vector<double> at = {0.47, 0.05};
  const GaugeModel::Answer answer = model.At(at);
  ASSERT_TRUE(answer.solution);
  for (std::size_t i = 0; i < at.size(); ++i) {
    const double h = 1e-4 * at[i];
    std::vector<double> above = at, below = at;
    above[i] += h;
    below[i] -= h;
    const auto up = model.At(above), down = model.At(below);
    for (std::size_t g = 0; g < gauges.size(); ++g) {
      const double slope = (up.value[g] - down.value[g]) / (2.0 * h);
      EXPECT_NEAR(answer.slope[g * at.size() + i], slope, 1e-6 * std::abs(slope))
          << gauges[g].name << " by " << model.varied()[i].target;
    }
  }
}

TEST(GaugeModel, SaysWhyThereIsNoSolution) {
  Network network = TwoTanks();
  network.Apply("n1.draw", 1e-3);
  network.Apply("HV-1.opening", 0.0);
  network.AddPart(
      "valve",
      {{"name", "HV-2"}, {"from", "n1"}, {"to", "low"}, {"kind", "globe"}, {"size", "DN50"}});
  network.pipes.clear();
  GaugeModel model(network, ReadVaried(network, {{"HV-2.opening"}}),
                   {FindGauge(network, "HV-2.flow")}, {});
  EXPECT_TRUE(model.At(std::vector<double>{1.0}).solution);
  const GaugeModel::Answer none = model.At(std::vector<double>{0.0});
  EXPECT_FALSE(none.solution);
  EXPECT_NE(none.reason.find("n1"), std::string::npos) << none.reason;
}

}  // namespace
}  // namespace handwheel
