#include "handwheel/fit.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <functional>

#include "handwheel/errors.h"
#include "handwheel/file.h"
#include "optimise/fit_model.h"

namespace handwheel {
namespace {

// A sump is pumped into two tanks, through two pipes in series and a valve, and through a pipe and
// a valve.
Network Plant() {
  Network network;
  network.title = "Two tanks";
  network.fluid.name = "water";
  network.AddPart("vessel", {{"name", "sump"}, {"level", 2.0}});
  network.AddPart("vessel", {{"name", "high"}, {"elevation", 12.0}, {"level", 1.0}});
  network.AddPart("vessel", {{"name", "low"}, {"elevation", 6.0}, {"level", 1.0}});
  for (const char* name : {"n0", "n1", "n2", "n3", "n4"}) {
    network.AddPart("junction", {{"name", name}, {"elevation", 1.0}});
  }
  network.AddPart("pump",
                  {{"name", "P-1"},
                   {"from", "sump"},
                   {"to", "n0"},
                   {"curve", Rows{{"0 m3/h", "32 m"}, {"20 m3/h", "28 m"}, {"40 m3/h", "18 m"}}}});
  const auto pipe = [&](const char* name, const char* from, const char* to, double length) {
    network.AddPart("pipe", {{"name", name},
                             {"from", from},
                             {"to", to},
                             {"length", length},
                             {"size", "DN50"},
                             {"roughness", "0.045 mm"}});
  };
  const auto valve = [&](const char* name, const char* from, const char* to) {
    network.AddPart("valve", {{"name", name},
                              {"from", from},
                              {"to", to},
                              {"kind", "globe"},
                              {"size", "DN50"},
                              {"opening", 0.5}});
  };
  pipe("L-1", "n0", "n1", 60.0);
  pipe("L-2", "n1", "n2", 40.0);
  valve("HV-1", "n2", "high");
  pipe("L-3", "n1", "n3", 30.0);
  valve("HV-2", "n3", "n4");
  pipe("L-4", "n4", "low", 10.0);
  network.cases.push_back({"HV-1 shut", "", {{"HV-1.opening", 0.0}}});
  return network;
}

// What gauges on the plant show, exactly, each with this uncertainty.
std::vector<Measurement> Read(const Network& plant, const std::vector<std::string>& gauges,
                              const char* uncertainty = "1 %", const std::string& case_name = "",
                              const Settings& settings = {}) {
  Network stands = plant;
  if (!case_name.empty()) stands.ApplyCase(case_name);
  stands.Apply(settings);
  const Solution solution =
      Solve(stands, {.flow_tolerance = 1e-13, .head_tolerance = 1e-11, .step_tolerance = 1e-12});
  std::vector<Measurement> readings;
  for (const std::string& gauge : gauges) {
    readings.push_back({gauge, ReadGauge(FindGauge(stands, gauge), solution),
                        std::string(uncertainty), case_name, settings});
  }
  return readings;
}

const std::vector<std::string> kGauges = {"L-1.flow",    "L-3.flow",    "n0.pressure",
                                          "n1.pressure", "n2.pressure", "n3.pressure",
                                          "n4.pressure"};

std::string Message(const std::function<void()>& call) {
  try {
    call();
  } catch (const Error& error) {
    return error.what();
  }
  return "nothing was thrown";
}

double RelativeError(double found, double truth) {
  return std::abs(found / truth - 1.0);
}

TEST(Fit, FindsWhatWasPlantedInReadingsWithoutNoise) {
  Network sick = Plant();
  sick.Apply({{"HV-1.opening", 0.31},
              {"HV-2.condition", "blocked"},
              {"HV-2.blockage", 0.42},
              {"L-1.roughness", "0.4 mm"},
              {"n3.draw", "1.5 m3/h"}});
  std::vector<std::string> gauges = kGauges;
  gauges.push_back("L-4.flow");
  const FitResult fit = Fit(Plant(), Read(sick, gauges),
                            {"HV-1.opening", "HV-2.blockage", "L-1.roughness", "n3.draw"});
  ASSERT_TRUE(fit.solved) << fit.verdict;
  const double truth[] = {0.31, 0.42, 0.4e-3, 1.5 / 3600.0};
  double worst = 0.0;
  for (std::size_t n = 0; n < 4; ++n) {
    worst = std::max(worst, RelativeError(fit.numbers[n].value, truth[n]));
    EXPECT_TRUE(fit.numbers[n].changed && fit.numbers[n].identifiable);
  }
  // The solver's flows are good to 1e-11 m3/s of some 1e-3, and a roughness moves them little.
  EXPECT_LE(worst, 1e-6);
  EXPECT_LE(fit.chi_square, 1e-10);
  EXPECT_GT(fit.chi_square_before, 1.0);
  EXPECT_EQ(fit.network.valves[1].condition, "blocked");
  EXPECT_NEAR(std::get<double>(fit.network.Get("L-1.roughness")), 0.4e-3, 1e-9);
  EXPECT_NEAR(fit.states[0].solution.Flow("L-1"), Solve(sick).Flow("L-1"), 1e-9);
  std::printf(
      "measured: fit: 4 numbers from 8 exact gauges, worst relative error %.1e, %d solves\n", worst,
      fit.num_solves);
}

// The states of the plant share what is found; each shows what the other hides.
TEST(Fit, ExplainsSeveralStatesWithOneSetOfNumbers) {
  Network sick = Plant();
  sick.Apply({{"L-1.roughness", "0.5 mm"}, {"L-3.roughness", "1.2 mm"}});
  std::vector<Measurement> readings = Read(sick, {"L-1.flow"}, "1 %", "HV-1 shut");
  for (const auto& other : {Read(sick, {"L-1.flow", "n1.pressure"}, "1 %"),
                            Read(sick, {"L-3.flow"}, "1 %", "", {{"HV-2.opening", 1.0}})}) {
    readings.insert(readings.end(), other.begin(), other.end());
  }
  const FitResult fit = Fit(Plant(), readings, {"L-1.roughness", "L-3.roughness"});
  ASSERT_TRUE(fit.solved) << fit.verdict;
  ASSERT_EQ(fit.states.size(), 3u);
  EXPECT_EQ(fit.states[0].label, "HV-1 shut");
  EXPECT_EQ(fit.states[1].label, "as it stands");
  EXPECT_EQ(fit.states[2].label, "HV-2.opening = 1");
  EXPECT_EQ(fit.states[0].solution.Flow("HV-1"), 0.0);
  EXPECT_LE(RelativeError(fit.numbers[0].value, 0.5e-3), 1e-5);
  EXPECT_LE(RelativeError(fit.numbers[1].value, 1.2e-3), 1e-5);
  EXPECT_EQ(fit.network.valves[0].opening, 0.5) << "a state of the readings is not the plant's own";
}

TEST(Fit, TiesSeveralTargetsToOneNumber) {
  Network sick = Plant();
  for (const char* pipe : {"L-1", "L-2", "L-3", "L-4"}) {
    sick.Apply(std::string(pipe) + ".roughness", "0.3 mm");
  }
  const FitUnknown all(
      std::vector<std::string>{"L-1.roughness", "L-2.roughness", "L-3.roughness", "L-4.roughness"});
  const FitResult fit = Fit(Plant(), Read(sick, {"L-1.flow", "L-3.flow"}), {all});
  ASSERT_TRUE(fit.solved) << fit.verdict;
  EXPECT_LE(RelativeError(fit.numbers[0].value, 0.3e-3), 1e-6);
  EXPECT_EQ(fit.degrees_of_freedom, 1);
  EXPECT_EQ(fit.network.Get("L-4.roughness"), Value(fit.numbers[0].value));
}

// Of the whole model with groups, logarithms and states, against differences of 1e-5: their own
// error is about 1e-9 of the second derivative, and a characteristic's points are kept away from.
TEST(Fit, JacobianEqualsDifferences) {
  const Network plant = Plant();
  std::vector<Measurement> readings = Read(plant, kGauges, "1 %");
  const auto other = Read(plant, {"L-3.flow"}, "1 %", "HV-1 shut");
  readings.insert(readings.end(), other.begin(), other.end());
  const FitOptions options{
      .steady = {.flow_tolerance = 1e-13, .head_tolerance = 1e-11, .step_tolerance = 1e-12}};
  const auto input = optimise::ReadFitInput(
      plant, readings,
      {FitUnknown(std::vector<std::string>{"L-1.roughness", "L-3.roughness"}), "HV-2.opening",
       "n3.draw"},
      options);
  optimise::FitModel model(input, options);
  Eigen::VectorXd u(3);
  u << std::log(0.2e-3), 0.47, 1e-4 / input.numbers[2].scale;
  const auto at = model.At(u);
  ASSERT_TRUE(at.solved) << at.reason;
  double worst = 0.0;
  for (Eigen::Index n = 0; n < u.size(); ++n) {
    constexpr double kStep = 1e-5;
    Eigen::VectorXd up = u, down = u;
    up[n] += kStep;
    down[n] -= kStep;
    const Eigen::VectorXd slope = (model.At(up).residual - model.At(down).residual) / (2.0 * kStep);
    worst = std::max(worst, (slope - at.jacobian.col(n)).norm() / slope.norm());
  }
  EXPECT_LE(worst, 1e-6);
  std::printf("measured: fit: Jacobian against differences, worst %.1e\n", worst);
}

TEST(Fit, SaysWhichValveIsBlocked) {
  Network sick = Plant();
  sick.Apply({{"HV-2.condition", "blocked"}, {"HV-2.blockage", 0.6}});
  const FitResult fit = Fit(Plant(), Read(sick, kGauges), {"HV-1.blockage", "HV-2.blockage"});
  ASSERT_TRUE(fit.solved);
  EXPECT_NEAR(fit.numbers[0].value, 0.0, 1e-5);
  EXPECT_NEAR(fit.numbers[1].value, 0.6, 1e-6);
  EXPECT_EQ(fit.verdict.find("HV-2 has lost 60 % of its flow coefficient"), 0u) << fit.verdict;
  EXPECT_EQ(fit.network.valves[1].condition, "blocked");
}

TEST(Fit, HoldsNumbersAtTheirBoundsAndSaysSo) {
  Network sick = Plant();
  sick.Apply("HV-1.opening", 0.3);
  FitUnknown opening(std::vector<std::string>{"HV-1.opening"}, 0.4, 0.8);
  const FitResult fit = Fit(Plant(), Read(sick, kGauges), {opening, "HV-2.opening"});
  ASSERT_TRUE(fit.solved);
  const FittedNumber& number = fit.numbers[0];
  EXPECT_EQ(number.value, 0.4);
  EXPECT_TRUE(number.at_bound);
  EXPECT_EQ(number.lower, 0.4);
  EXPECT_GT(number.upper, 0.4);
  EXPECT_TRUE(std::isnan(fit.covariance[0]));
  EXPECT_GT(fit.covariance[3], 0.0);
  EXPECT_NE(fit.Report().find("at its bound"), std::string::npos);
}

TEST(Fit, SaysWhatTheGaugesCannotTellApart) {
  // Two pipes in series with one flow and no gauge between.
  const FitResult fit = Fit(Plant(), Read(Plant(), {"L-3.flow", "n1.pressure"}),
                            {"HV-2.blockage", "L-4.k", "L-2.roughness"});
  ASSERT_TRUE(fit.solved) << fit.verdict;
  ASSERT_FALSE(fit.unclear.empty());
  EXPECT_NE(fit.unclear[0].find("HV-2.blockage and L-4.k"), std::string::npos) << fit.unclear[0];
  EXPECT_FALSE(fit.numbers[0].identifiable);
  EXPECT_TRUE(std::isnan(fit.numbers[0].lower));
}

TEST(Fit, SaysWhichNumberNoGaugeSees) {
  const std::vector<Measurement> readings =
      Read(Plant(), {"L-3.flow", "n1.pressure"}, "1 %", "HV-1 shut");
  const FitResult fit = Fit(Plant(), readings, {"L-2.roughness"});
  ASSERT_TRUE(fit.solved) << fit.verdict;
  ASSERT_EQ(fit.unclear.size(), 1u);
  EXPECT_EQ(fit.unclear[0], "No gauge sees L-2.roughness: its flow is at rest.");
  EXPECT_EQ(fit.numbers[0].value, fit.numbers[0].before);
  EXPECT_EQ(fit.degrees_of_freedom, 2);
}

TEST(Fit, TakesFewerReadingsThanNumbers) {
  Network sick = Plant();
  sick.Apply("L-1.roughness", "0.5 mm");
  const FitResult fit = Fit(Plant(), Read(sick, {"L-1.flow"}), {"L-1.roughness", "L-2.roughness"});
  ASSERT_TRUE(fit.solved);
  EXPECT_EQ(fit.degrees_of_freedom, 0);
  EXPECT_FALSE(fit.unclear.empty());
  EXPECT_NE(fit.verdict.find("nothing checks the fit"), std::string::npos) << fit.verdict;
}

TEST(Fit, NamesTheGaugeThatIsWrongAndFitsWithoutIt) {
  Network sick = Plant();
  sick.Apply("HV-2.opening", 0.35);
  std::vector<Measurement> readings = Read(sick, kGauges);
  readings[3].value = std::get<double>(readings[3].value) + 0.4e5;  // n1.pressure
  const FitResult fit = Fit(Plant(), readings, {"HV-2.opening", "L-1.roughness"});
  ASSERT_TRUE(fit.solved);
  ASSERT_EQ(fit.suspicious, std::vector<std::size_t>{3});
  EXPECT_NE(fit.verdict.find("Suspicious: n1.pressure reads 0.3"), std::string::npos)
      << fit.verdict;
  EXPECT_LT(fit.probability, 1e-6);
  ASSERT_TRUE(fit.without);
  EXPECT_NEAR(fit.without->numbers[0].value, 0.35, 1e-6);
  EXPECT_GT(fit.without->probability, 0.5);
  // Plain least squares follow the wrong gauge further.
  const FitResult squares =
      Fit(Plant(), readings, {"HV-2.opening", "L-1.roughness"}, {.loss = FitLoss::kSquares});
  EXPECT_LT(std::abs(fit.numbers[0].value - 0.35), std::abs(squares.numbers[0].value - 0.35));
  EXPECT_EQ(squares.suspicious, fit.suspicious);
}

TEST(Fit, CannotTellWhichOfTwoReadingsIsWrong) {
  std::vector<Measurement> readings = Read(Plant(), {"L-1.flow", "L-1.flow"});
  readings[1].value = 1.2 * std::get<double>(readings[1].value);
  const FitResult fit = Fit(Plant(), readings, {"HV-1.opening"});
  ASSERT_TRUE(fit.solved);
  EXPECT_EQ(fit.suspicious.size(), 2u);
  EXPECT_FALSE(fit.without);
}

// The interval of one number that one reading tells is that reading's own, by the slope.
TEST(Fit, IntervalIsTheUncertaintyOverTheSlope) {
  const Network plant = Plant();
  const FitResult fit = Fit(plant, Read(plant, {"n1.pressure"}, "2 %"), {"HV-2.opening"},
                            {.loss = FitLoss::kSquares});
  ASSERT_TRUE(fit.solved);
  const Sensitivities slope = ComputeSensitivities(plant, {"HV-2.opening"});
  const Gauge gauge = FindGauge(plant, "n1.pressure");
  const double expected =
      0.02 * ReadGauge(gauge, slope.solution) / std::abs(GaugeSlope(gauge, slope.by_target[0]));
  EXPECT_NEAR(fit.numbers[0].standard_error, expected, 1e-4 * expected);
  EXPECT_NEAR(fit.numbers[0].upper - fit.numbers[0].value, 1.959964 * expected, 1e-4 * expected);
}

TEST(Fit, TakesTheNoiseFromTheScatterWhereNoUncertaintyIsStated) {
  std::vector<Measurement> readings = Read(Plant(), kGauges, "");
  double sign = 1.0;
  for (Measurement& reading : readings) {
    reading.value = std::get<double>(reading.value) * (1.0 + 0.01 * sign);
    sign = -sign;
  }
  const FitResult fit = Fit(Plant(), readings, {"HV-1.opening", "HV-2.opening"});
  ASSERT_TRUE(fit.solved);
  EXPECT_TRUE(fit.noise_from_residuals);
  EXPECT_TRUE(std::isnan(fit.probability));
  EXPECT_NEAR(fit.noise, std::sqrt(fit.chi_square / fit.degrees_of_freedom), 1e-12);
  EXPECT_GT(fit.noise, 0.1);
  EXPECT_LT(fit.noise, 1.0) << "1 % of scatter where 2 % of the largest was assumed";
}

TEST(Fit, SaysWhyThereIsNone) {
  Network plant = Plant();
  plant.Apply("n4.draw", 1e-3);
  plant.Apply("HV-2.opening", 0.0);
  plant.pipes.pop_back();  // nothing but HV-2 feeds n4
  const FitResult fit = Fit(plant, {{"L-1.flow", "12 m3/h", "1 %"}}, {"L-1.roughness"});
  EXPECT_FALSE(fit.solved);
  EXPECT_NE(fit.verdict.find("No fit was found."), std::string::npos);
  EXPECT_NE(fit.verdict.find("n4"), std::string::npos) << fit.verdict;
}

TEST(Fit, RefusesWhatCannotBeMeant) {
  const auto fit = [](const Measurement& reading, const FitUnknown& unknown = "HV-1.opening") {
    return Message([&] { Fit(Plant(), {reading}, {unknown}); });
  };
  EXPECT_EQ(fit({"L-9.flow", 0.004}),
            R"("L-9.flow": nothing is called "L-9"; did you mean "L-1"?)");
  EXPECT_EQ(fit({"L-1.flow", "14.2"}),
            R"(reading of "L-1.flow": "14.2" has no unit; write it as in "14.2 m3/h".)");
  EXPECT_NE(fit({"L-1.flow", "14.2 bar"}).find("reading of \"L-1.flow\":"), std::string::npos);
  EXPECT_NE(fit({"L-1.flow", std::nan("")}).find("is nan; expected a number"), std::string::npos);
  EXPECT_NE(fit({"L-1.flow", ""}).find("is missing"), std::string::npos);
  EXPECT_NE(fit({"L-1.flow", 0.004, 0.0}).find("expected a value above 0"), std::string::npos);
  EXPECT_NE(fit({"L-1.flow", 0.004, "0 %"}).find("expected a value above 0"), std::string::npos);
  EXPECT_NE(fit({"L-1.flow", 0.0, "2 %"}).find("of a reading of 0 is nothing"), std::string::npos);
  EXPECT_NE(fit({"L-1.flow", 0.0}).find("all such readings are 0"), std::string::npos);
  EXPECT_NE(fit({"L-1.flow", 0.004, "1 %", "HV-1 shut"}).find("is varied, and set by the state"),
            std::string::npos);
  EXPECT_NE(fit({"L-1.flow", 0.004, "1 %", "HV-1 shot"}).find("HV-1 shut"), std::string::npos);
  EXPECT_NE(fit({"L-1.flow", 0.004, "1 %"}, "HV-1.openin").find("\"opening\""), std::string::npos);
  EXPECT_NE(
      fit({"L-1.flow", 0.004, "1 %"}, std::vector<std::string>{"HV-1.opening", "L-1.roughness"})
          .find("cannot be one number"),
      std::string::npos);
  EXPECT_NE(Message([] { Fit(Plant(), {}, {"HV-1.opening"}); }).find("no measurements"),
            std::string::npos);
  EXPECT_NE(Message([] {
              Fit(Plant(), {{"L-1.flow", 0.004}}, {});
            }).find("nothing to vary"),
            std::string::npos);
  EXPECT_NE(Message([] {
              Fit(Plant(), {{"L-1.flow", 0.004}}, {"HV-1.opening"}, {.confidence = 1.0});
            }).find("confidence"),
            std::string::npos);
  Network passing = Plant();
  passing.Apply("HV-1.condition", "passing");
  EXPECT_NE(Message([&] {
              Fit(passing, {{"L-1.flow", 0.004}}, {"HV-1.blockage"});
            }).find(R"(HV-1 is "passing")"),
            std::string::npos);
}

TEST(Fit, ReadsStatesFromText) {
  const Settings read =
      SettingsFromText(" HV-3.opening=0.4;P-1.running = false; mixer.draw=2 m3/h ;");
  const Settings expected = {
      {"HV-3.opening", 0.4}, {"P-1.running", false}, {"mixer.draw", "2 m3/h"}};
  EXPECT_EQ(read, expected);
  EXPECT_TRUE(SettingsFromText("  ").empty());
  EXPECT_THROW(SettingsFromText("HV-3.opening"), SettingError);
}

TEST(Fit, StopsWhenTold) {
  FitOptions options;
  options.progress = [](const FitNews& news) { return news.num_solves < 4; };
  const FitResult fit = Fit(Plant(), Read(Plant(), kGauges), {"HV-1.opening"}, options);
  EXPECT_TRUE(fit.interrupted);
  EXPECT_FALSE(fit.solved);
  options.progress = {};
  options.steady.callback = [](const IterationNews&) { return false; };
  EXPECT_TRUE(Fit(Plant(), Read(Plant(), kGauges), {"HV-1.opening"}, options).interrupted);
}

TEST(Fit, GivesTheSameBitsTwice) {
  const auto run = [] {
    Network sick = Plant();
    sick.Apply("HV-2.opening", 0.35);
    return Fit(Plant(), Read(sick, kGauges), {"HV-2.opening", "L-1.roughness"});
  };
  const FitResult one = run(), two = run();
  EXPECT_EQ(one.Report(), two.Report());
  EXPECT_EQ(one.numbers[1].value, two.numbers[1].value);
  EXPECT_EQ(one.covariance, two.covariance);
}

}  // namespace
}  // namespace handwheel
