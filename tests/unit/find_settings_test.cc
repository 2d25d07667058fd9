#include "handwheel/find_settings.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <functional>

#include "handwheel/errors.h"
#include "handwheel/file.h"
#include "handwheel/readings.h"
#include "optimise/settings_model.h"
#include "optimise/settings_starts.h"
#include "optimise/settings_targets.h"

namespace handwheel {
namespace {

constexpr double kM3PerH = 1.0 / 3600.0;  // [m³/s]

Network Plant(const char* name) {
  return LoadNetwork(std::string(HANDWHEEL_SOURCE_DIR) + "/networks/" + name + ".toml");
}

Network Caustic() {
  return Plant("caustic_transfer");
}

GaugeTarget Exactly(const char* gauge, const char* value, int priority = 1) {
  return {.gauge = gauge, .lower = value, .upper = value, .priority = priority};
}
GaugeTarget AtLeast(const char* gauge, const char* value, int priority = 1) {
  return {.gauge = gauge, .lower = value, .priority = priority};
}
GaugeTarget AtMost(const char* gauge, const char* value, int priority = 1) {
  return {.gauge = gauge, .upper = value, .priority = priority};
}

FoundSettings Find(const Network& network, const std::vector<std::string>& vary,
                   const std::vector<GaugeTarget>& targets,
                   const FindSettingsOptions& options = {}) {
  std::vector<Vary> varied;
  for (const std::string& target : vary) varied.push_back({target});
  return FindSettings(network, varied, targets, options);
}

std::string Message(const std::function<void()>& call) {
  try {
    call();
  } catch (const Error& error) {
    return error.what();
  }
  return "nothing was thrown";
}

bool Mentions(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

// Solves anew with what was found: the answer must hold outside of the search.
double FlowThere(const Network& network, const FoundSettings& found, const char* component) {
  return Solve(network, found.ToSettings()).Flow(component);
}

TEST(FindSettings, FindsTheOpeningForAFlow) {
  const Network network = Caustic();
  const FoundSettings found = Find(network, {"HV-3.opening"}, {Exactly("L-4.flow", "12 m3/h")});
  ASSERT_TRUE(found.reached) << found.Report();
  EXPECT_NEAR(FlowThere(network, found, "L-4"), 12.0 * kM3PerH, 1e-7 * kM3PerH);
  EXPECT_EQ(found.settings[0].target, "HV-3.opening");
  EXPECT_EQ(found.settings[0].present, 0.6);
  EXPECT_NEAR(found.settings[0].turns, 5.0 * found.settings[0].value, 1e-12);
  EXPECT_EQ(found.targets[0].wanted, "12 m3/h");
  EXPECT_TRUE(found.binding.empty());
  ASSERT_TRUE(found.solution);
  EXPECT_TRUE(Mentions(found.verdict, "Reached with HV-3.opening")) << found.verdict;
  std::printf("measured: L-4.flow off by %.1e of 12 m3/h after %zu solves\n",
              std::abs(found.targets[0].miss) / (12.0 * kM3PerH), found.num_solves);
}

TEST(FindSettings, LeavesAloneWhatIsReachedAlready) {
  const FoundSettings found = Find(Caustic(), {"HV-3.opening", "HV-4.opening"},
                                   {AtLeast("L-4.flow", "12 m3/h"), AtLeast("L-5.flow", "5 m3/h")});
  EXPECT_TRUE(found.reached);
  EXPECT_EQ(found.settings[0].value, 0.6);
  EXPECT_EQ(found.settings[1].value, 0.6);
  EXPECT_TRUE(Mentions(found.verdict, "Reached as it stands")) << found.verdict;
}

TEST(FindSettings, MeetsTwoTargetsWithTwoValves) {
  const Network network = Caustic();
  const FoundSettings found = Find(network, {"HV-3.opening", "HV-4.opening"},
                                   {Exactly("L-4.flow", "12 m3/h"), Exactly("L-5.flow", "6 m3/h")});
  ASSERT_TRUE(found.reached) << found.Report();
  EXPECT_NEAR(FlowThere(network, found, "L-4"), 12.0 * kM3PerH, 1e-6 * kM3PerH);
  EXPECT_NEAR(FlowThere(network, found, "L-5"), 6.0 * kM3PerH, 1e-6 * kM3PerH);
}

TEST(FindSettings, GivesTheNearestAndSaysThatTheValveIsOpen) {
  const Network network = Caustic();
  const FoundSettings found = Find(network, {"HV-3.opening"}, {Exactly("L-4.flow", "20 m3/h")});
  EXPECT_FALSE(found.reached);
  EXPECT_EQ(found.settings[0].value, 1.0);
  EXPECT_EQ(found.targets[0].value, Solve(network, {{"HV-3.opening", 1.0}}).Flow("L-4"));
  ASSERT_EQ(found.binding.size(), 1u);
  EXPECT_EQ(found.binding[0].kind, "bound");
  EXPECT_EQ(found.binding[0].message, "HV-3 is fully open");
  EXPECT_TRUE(Mentions(found.verdict, "short of 20 m3/h")) << found.verdict;
}

TEST(FindSettings, KeepsToTheBoundsThatItIsGiven) {
  const FoundSettings found =
      FindSettings(Caustic(), {{"HV-3.opening", "50 %", "70 %"}}, {Exactly("L-4.flow", "12 m3/h")});
  EXPECT_FALSE(found.reached);
  EXPECT_EQ(found.settings[0].value, 0.5);
  EXPECT_EQ(found.binding.at(0).message, "HV-3.opening is at its lower end, 0.5");
}

// HV-3 alone cannot give the neutraliser all and leave the scrubber its share: what has the higher
// priority gets it.
TEST(FindSettings, MeetsHigherPrioritiesFirst) {
  const Network network = Caustic();
  const auto find = [&](int neutraliser, int scrubber) {
    return Find(
        network, {"HV-3.opening"},
        {Exactly("L-4.flow", "14.6 m3/h", neutraliser), AtLeast("L-5.flow", "6.5 m3/h", scrubber)});
  };
  const FoundSettings first = find(2, 1);
  EXPECT_TRUE(first.targets[0].reached) << first.Report();
  EXPECT_FALSE(first.targets[1].reached);
  EXPECT_NEAR(first.targets[0].value, 14.6 * kM3PerH, 1e-6 * 14.6 * kM3PerH);
  const FoundSettings second = find(1, 2);
  EXPECT_FALSE(second.targets[0].reached);
  EXPECT_TRUE(second.targets[1].reached) << second.Report();
  EXPECT_NEAR(second.targets[1].value, 6.5 * kM3PerH, 1e-6 * 6.5 * kM3PerH);
  ASSERT_FALSE(second.binding.empty());
  EXPECT_EQ(second.binding[0].kind, "priority");
  EXPECT_EQ(second.binding[0].message, "L-5.flow, which comes first, would fall below 6.5 m3/h");
  const FoundSettings alike = find(1, 1);
  EXPECT_GT(alike.targets[0].value, second.targets[0].value) << "the misses are shared";
  EXPECT_LT(alike.targets[0].value, first.targets[0].value);
  EXPECT_EQ(alike.binding.at(0).kind, "conflict");
  std::printf("measured: a lower priority moves a higher one by %.1e of its size\n",
              std::max(std::abs(first.targets[0].miss) / (14.6 * kM3PerH),
                       std::abs(second.targets[1].miss) / (6.5 * kM3PerH)));
}

// From shut, no derivative tells which way flow lies.
TEST(FindSettings, StartsElsewhereWhereTheValveIsShut) {
  Network network = Caustic();
  network.Apply("HV-3.opening", 0.0);
  const FoundSettings found = Find(network, {"HV-3.opening"}, {Exactly("L-4.flow", "12 m3/h")});
  EXPECT_TRUE(found.reached) << found.Report();
}

TEST(FindSettings, ChangesLeastWhereThereIsChoice) {
  const Network network = Caustic();
  const FoundSettings found =
      Find(network, {"HV-3.opening", "HV-2.opening"}, {Exactly("L-4.flow", "12 m3/h")});
  ASSERT_TRUE(found.reached);
  const double moved = std::hypot(found.settings[0].value - 0.6, found.settings[1].value - 1.0);
  const FoundSettings alone = Find(network, {"HV-3.opening"}, {Exactly("L-4.flow", "12 m3/h")});
  EXPECT_LE(moved, std::abs(alone.settings[0].value - 0.6) + 1e-9);
  // Neighbours on the line of settings that give 12 m3/h have moved further.
  for (const double other : {-0.01, 0.01}) {
    Network near = network;
    const double fixed = found.settings[1].value + other;
    if (fixed > 1.0) continue;
    near.Apply("HV-2.opening", fixed);
    const FoundSettings there = Find(near, {"HV-3.opening"}, {Exactly("L-4.flow", "12 m3/h")});
    if (!there.reached) continue;
    EXPECT_GE(std::hypot(there.settings[0].value - 0.6, fixed - 1.0), moved - 1e-6);
  }
}

TEST(FindSettings, SaysThatOtherSettingsDoAsWell) {
  const FoundSettings found =
      Find(Caustic(), {"HV-3.opening", "P-1.speed"}, {Exactly("L-4.flow", "12 m3/h")});
  ASSERT_TRUE(found.reached) << found.Report();
  EXPECT_TRUE(Mentions(found.Report(), "More is varied than the targets fix")) << found.Report();
}

TEST(FindSettings, MovesLevelsAndPressures) {
  const Network network = Caustic();
  const FoundSettings found = FindSettings(network, {{"day tank.level", "0.2 m", "6 m"}},
                                           {Exactly("P-1 out.pressure", "2.9 bar")});
  ASSERT_TRUE(found.reached) << found.Report();
  EXPECT_NEAR(Solve(network, found.ToSettings()).Pressure("P-1 out"), 2.9e5, 1.0);
  EXPECT_TRUE(Mentions(found.settings[0].text, " m")) << found.settings[0].text;
}

TEST(FindSettings, SaysThatNothingVariedMovesTheTarget) {
  Network network = Caustic();
  network.Apply("HV-4.opening", 0.0);
  const FoundSettings found = Find(network, {"HV-3.opening"}, {Exactly("L-5.flow", "5 m3/h")});
  EXPECT_FALSE(found.reached);
  ASSERT_FALSE(found.binding.empty());
  EXPECT_EQ(found.binding[0].kind, "no effect") << found.Report();
}

TEST(FindSettings, KeepsTheCheckValveFullyOpen) {
  const Network network = Caustic();
  const std::vector<GaugeTarget> trickle = {Exactly("P-1.flow", "8 m3/h")};
  const std::vector<std::string> vary = {"P-1.speed"};
  const FoundSettings kept = Find(network, vary, trickle);
  EXPECT_FALSE(kept.reached);
  ASSERT_FALSE(kept.binding.empty()) << kept.Report();
  EXPECT_EQ(kept.binding[0].kind, "advice");
  EXPECT_EQ(kept.binding[0].name, "NRV-1");
  EXPECT_NEAR(ReadCheckValves(*kept.solution)[0].velocity_margin, 1.0, 2e-3)
      << "clear of it by 1e-3";
  EXPECT_TRUE(kept.new_advice.empty());

  const FoundSettings free = Find(network, vary, trickle, {.keep_limits = false});
  EXPECT_TRUE(free.reached) << free.Report();
  EXPECT_LT(ReadCheckValves(*free.solution)[0].velocity_margin, 1.0);
}

TEST(FindSettings, NeverLetsAValveBeginToCavitate) {
  const Network network = Caustic();
  const std::vector<GaugeTarget> less = {AtMost("L-4.flow", "9 m3/h")};
  const FoundSettings free = Find(network, {"HV-3.opening"}, less, {.keep_limits = false});
  const FoundSettings kept = Find(network, {"HV-3.opening"}, less);
  const auto cavitates = [](const FoundSettings& found) {
    for (const Advice& advice : found.new_advice) {
      if (advice.kind == "cavitating" || advice.kind == "choked") return true;
    }
    return false;
  };
  ASSERT_TRUE(cavitates(free)) << free.Report();
  EXPECT_TRUE(Mentions(free.verdict, "bring what the plant as it stands has not")) << free.verdict;
  EXPECT_FALSE(cavitates(kept)) << kept.Report();
  EXPECT_LT(kept.settings[0].value, 0.4) << "as far as it goes";
  ASSERT_EQ(kept.binding.size(), 1u);
  EXPECT_EQ(kept.binding[0].message, "HV-3 would cavitate");
}

TEST(FindSettings, DoesNotMakeWorseWhatIsBrokenAlready) {
  Network network = Caustic();
  network.Apply({{"HV-3.opening", 0.05}, {"HV-4.opening", 0.05}});
  const double before = ReadCheckValves(Solve(network))[0].velocity_margin;
  ASSERT_LT(before, 0.5);
  const std::vector<std::string> vary = {"HV-3.opening", "HV-4.opening"};
  const FoundSettings found = Find(network, vary, {AtMost("P-1.flow", "1 m3/h")});
  EXPECT_FALSE(found.reached);
  EXPECT_GE(ReadCheckValves(*found.solution)[0].velocity_margin, before - 1e-6);
}

TEST(FindSettings, AnswersWhereThePresentStateHasNoSolution) {
  Network network;
  network.AddPart("vessel", {{"name", "tank"}, {"elevation", 10.0}, {"level", 2.0}});
  network.AddPart("junction", {{"name", "user"}, {"draw", "2 m3/h"}});
  network.AddPart("valve", {{"name", "HV-1"},
                            {"from", "tank"},
                            {"to", "user"},
                            {"kind", "globe"},
                            {"size", "DN25"},
                            {"opening", 0.0}});
  const FoundSettings found = Find(network, {"HV-1.opening"}, {Exactly("user.pressure", "1 bar")});
  EXPECT_TRUE(found.reached) << found.Report();
  EXPECT_EQ(found.targets[0].present_text, "none");
  const FoundSettings none =
      FindSettings(network, {{"tank.level", 1.0, 3.0}}, {Exactly("user.pressure", "1 bar")});
  EXPECT_FALSE(none.reached);
  EXPECT_FALSE(none.solution);
  EXPECT_TRUE(Mentions(none.verdict, "No answer")) << none.verdict;
  EXPECT_TRUE(Mentions(none.verdict, "user")) << none.verdict;
}

TEST(FindSettings, StopsWhenToldTo) {
  FindSettingsOptions options;
  options.progress = [](std::size_t solves, double) { return solves < 3; };
  const FoundSettings found =
      Find(Caustic(), {"HV-3.opening"}, {Exactly("L-4.flow", "20 m3/h")}, options);
  EXPECT_TRUE(found.interrupted);
  EXPECT_LE(found.num_solves, 5u);
}

TEST(FindSettings, GivesTheSameBitsTwice) {
  const auto find = [] {
    return Find(Caustic(), {"HV-3.opening", "HV-4.opening"},
                {Exactly("L-4.flow", "14 m3/h"), Exactly("L-5.flow", "9 m3/h")});
  };
  const FoundSettings one = find(), two = find();
  for (std::size_t i = 0; i < 2; ++i) EXPECT_EQ(one.settings[i].value, two.settings[i].value);
}

TEST(FindSettings, RefusesWhatCannotBeAsked) {
  const auto ask = [](const std::vector<GaugeTarget>& targets) {
    return Message([&] { Find(Caustic(), {"HV-3.opening"}, targets); });
  };
  EXPECT_EQ(ask({}), "no targets; expected at least one, such as L-4.flow.");
  EXPECT_EQ(ask({{.gauge = "L-4.flow"}}),
            R"(target "L-4.flow" asks for nothing; expected a value, or an end at least.)");
  EXPECT_EQ(ask({Exactly("L-4.flwo", "12 m3/h")}),
            R"("L-4.flwo": no gauge shows the "flwo" of a pipe; did you mean "flow"?)");
  EXPECT_TRUE(Mentions(ask({Exactly("L-4.flow", "12 bar")}), "target of L-4.flow: "));
  EXPECT_EQ(ask({{.gauge = "L-4.flow", .lower = "12 m3/h", .upper = "10 m3/h"}}),
            R"(target "L-4.flow" asks for at least 12 m3/h and at most 10 m3/h.)");
  EXPECT_TRUE(Mentions(ask({{.gauge = "L-4.flow", .lower = true}}), "is no number"));
  EXPECT_TRUE(Mentions(ask({{.gauge = "L-4.flow", .lower = std::nan("")}}), "is no number"));
  EXPECT_TRUE(Mentions(ask({{.gauge = "L-4.flow", .lower = "12 m3/h", .tolerance = "-1 m3/h"}}),
                       "tolerance"));
  EXPECT_TRUE(
      Mentions(Message([] { Find(Caustic(), {"HV-3.kind"}, {Exactly("L-4.flow", "12 m3/h")}); }),
               "is no number"));
  FindSettingsOptions none;
  none.max_num_starts = 0;
  EXPECT_TRUE(Mentions(
      Message([&] { Find(Caustic(), {"HV-3.opening"}, {AtMost("L-4.flow", "1 m3/h")}, none); }),
      "max_num_starts is 0"));
}

// Targets and limits alike, against differences of solves, away from the points of characteristics.
TEST(SettingsModel, SlopesEqualDifferences) {
  for (const char* name : {"caustic_transfer", "sludge_line", "cooling_loop"}) {
    const Network network = Plant(name);
    std::vector<Vary> vary;
    for (const Valve& valve : network.valves) {
      if (valve.opening > 0.1) vary.push_back({valve.name + ".opening", 0.05, 0.97});
    }
    for (const Pump& pump : network.pumps) vary.push_back({pump.name + ".speed", 0.5, 1.2});
    vary.push_back({network.vessels[0].name + ".level", 0.1, 9.0});
    const auto targets =
        ReadTargets(network, {AtMost((network.pipes[0].name + ".flow").c_str(), "1 m3/h")});
    SettingsModel model(
        network, ReadVaried(network, vary), GaugesOf(targets),
        {.flow_tolerance = 1e-13, .head_tolerance = 1e-11, .step_tolerance = 1e-12});
    std::vector<Wish> wishes = {targets[0].AsWish(0)};
    const std::vector<LimitReading> limits = LimitsOf(Solve(network));
    for (std::size_t i = 0; i < limits.size(); ++i) {
      wishes.push_back(LimitAsWish(limits[i], KeptThreshold(limits[i]), i));
    }
    model.SetWishes(wishes);
    std::vector<double> at;
    for (const Varied& varied : model.varied()) {
      at.push_back(std::clamp(varied.present * 0.973, varied.lower + 0.013, varied.upper));
    }
    const SettingsModel::Answer here = model.At(at);
    ASSERT_TRUE(here.solution);
    int compared = 0;
    double worst = 0.0;
    for (std::size_t i = 0; i < at.size(); ++i) {
      const double h = 1e-4 * at[i];
      std::vector<double> above = at, below = at;
      above[i] += h;
      below[i] -= h;
      const auto up = model.At(above), down = model.At(below);
      for (std::size_t w = 0; w < wishes.size(); ++w) {
        const double slope = (up.value[w] - down.value[w]) / (2.0 * h);
        if (std::isnan(here.value[w]) || std::isnan(slope)) continue;
        const double scale = std::abs(slope) + 1e-3 * wishes[w].size / model.varied()[i].size;
        const double off = std::abs(here.slope[w * at.size() + i] - slope) / scale;
        // What steps of 1e-4 and 1e-6 leave of curvature.
        EXPECT_LE(off, 2e-5) << name << " " << w << " by " << model.varied()[i].target;
        worst = std::max(worst, off);
        ++compared;
      }
    }
    std::printf("measured: %s: %d slopes of targets and limits, worst off by %.1e\n", name,
                compared, worst);
  }
}

TEST(SpreadStarts, BeginsWithThePresentAndStaysInBounds) {
  const std::vector<Varied> varied =
      ReadVaried(Caustic(), {{"HV-3.opening", 0.7, 1.0}, {"day tank.level", 0.5, 4.0}});
  const auto starts = SpreadStarts(varied, 9);
  ASSERT_EQ(starts.size(), 9u);
  EXPECT_EQ(starts[0], (std::vector<double>{0.7, 2.2}));
  for (const auto& start : starts) {
    EXPECT_GE(start[0], 0.7);
    EXPECT_LE(start[0], 1.0);
    EXPECT_GE(start[1], 0.5);
    EXPECT_LE(start[1], 4.0);
  }
}

}  // namespace
}  // namespace handwheel
