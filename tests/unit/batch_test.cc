#include "handwheel/batch.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "handwheel/errors.h"
#include "handwheel/file.h"

namespace handwheel {
namespace {

using ::testing::IsSubstring;

// A tank that feeds a mixer through a throttled valve and, past a check valve, a basin; a pump
// stands beside the tank's outlet.
Network Plant() {
  return ParseNetwork(R"(
title = "Batch plant"
[fluid]
name = "water"
temperature = "20 degC"
[[vessel]]
name = "tank"
elevation = "8 m"
level = "3 m"
[[vessel]]
name = "basin"
elevation = "0 m"
level = "1 m"
[[junction]]
name = "n1"
elevation = "1 m"
[[junction]]
name = "mixer"
elevation = "2 m"
draw = "3 m3/h"
[[pipe]]
name = "L-1"
from = "tank"
to = "n1"
length = "40 m"
size = "DN50"
[[pipe]]
name = "L-2"
from = "mixer"
to = "basin"
length = "25 m"
size = "DN40"
[[valve]]
name = "HV-3"
from = "n1"
to = "mixer"
kind = "diaphragm weir"
size = "DN40"
opening = 0.6
[[check_valve]]
name = "NRV-1"
from = "n1"
to = "mixer"
kind = "swing"
size = "DN25"
[[pump]]
name = "P-1"
from = "tank"
to = "n1"
curve = [["0 m3/h", "12 m"], ["10 m3/h", "10 m"], ["20 m3/h", "6 m"]]
running = false
)");
}

struct Batch {
  explicit Batch(const Network& network) : compiled(network) {}

  BatchSummary Run(const std::vector<BatchColumn>& columns, std::size_t rows,
                   const BatchOptions& options = {}) {
    flow.assign(rows * compiled.component_names().size(), 0.0);
    pressure.assign(rows * compiled.point_names().size(), 0.0);
    return SolveMany(compiled, columns,
                     {{BatchReading::kFlow, {}, flow}, {BatchReading::kPressure, {}, pressure}},
                     options);
  }

  double Flow(std::size_t row, std::string_view component) const {
    return flow[row * compiled.component_names().size() + compiled.ComponentIndex(component)];
  }

  CompiledNetwork compiled;
  std::vector<double> flow, pressure;
};

// The same scenario by Solve(): flows within 1e-8 of the largest, which is ten times the step
// tolerance of either.
void ExpectSameAsSolve(const Batch& batch, std::size_t row, const Settings& settings) {
  const Solution alone = Solve(batch.compiled.network(), settings);
  ASSERT_TRUE(alone.converged());
  double largest = 0.0;
  for (const double flow : alone.flow()) largest = std::max(largest, std::abs(flow));
  for (std::size_t c = 0; c < alone.flow().size(); ++c) {
    EXPECT_NEAR(batch.flow[row * alone.flow().size() + c], alone.flow()[c], 1e-8 * largest)
        << alone.component_names()[c] << ", row " << row;
  }
  for (std::size_t p = 0; p < alone.pressure().size(); ++p) {
    const double found = batch.pressure[row * alone.pressure().size() + p];
    EXPECT_EQ(std::isnan(found), std::isnan(alone.pressure()[p])) << alone.point_names()[p];
    if (std::isnan(found)) continue;
    EXPECT_NEAR(found, alone.pressure()[p], 1.0) << alone.point_names()[p];
  }
}

TEST(SolveMany, AgreesWithSolveOnOpeningsAndLevels) {
  Batch batch(Plant());
  const std::vector<double> opening = {0.05, 0.3, 0.6, 0.9, 1.0, 0.6};
  const std::vector<double> level = {3.0, 2.0, 1.0, 0.5, 4.0, 0.0};
  const BatchSummary summary =
      batch.Run({{"HV-3.opening", opening}, {"tank.level", level}}, opening.size());
  EXPECT_EQ(summary.num_solved, opening.size());
  EXPECT_FALSE(summary.interrupted);
  EXPECT_LE(summary.worst_flow_imbalance, 1e-11);
  for (std::size_t row = 0; row < opening.size(); ++row) {
    ExpectSameAsSolve(batch, row, {{"HV-3.opening", opening[row]}, {"tank.level", level[row]}});
  }
}

TEST(SolveMany, AgreesWithSolveOnWordsFlagsTextsAndSections) {
  Batch batch(Plant());
  const std::vector<Value> running = {true, false, true, false};
  const std::vector<Value> condition = {std::string("sound"), std::string("passing"),
                                        std::string("stuck open"), std::string("sound")};
  const std::vector<Value> draw = {std::string("1 m3/h"), 0.0, std::string("12 l/min"), 1e-3};
  const std::vector<double> temperature = {293.15, 303.15, 323.15, 283.15};
  const std::vector<double> elevation = {2.0, 3.0, 1.0, 2.5};
  const BatchSummary summary = batch.Run({{"P-1.running", running},
                                          {"NRV-1.condition", condition},
                                          {"mixer.draw", draw},
                                          {"fluid.temperature", temperature},
                                          {"mixer.elevation", elevation}},
                                         running.size());
  EXPECT_EQ(summary.num_solved, running.size());
  for (std::size_t row = 0; row < running.size(); ++row) {
    ExpectSameAsSolve(batch, row,
                      {{"P-1.running", running[row]},
                       {"NRV-1.condition", condition[row]},
                       {"mixer.draw", draw[row]},
                       {"fluid.temperature", temperature[row]},
                       {"mixer.elevation", elevation[row]}});
  }
}

TEST(SolveMany, TellsWhyAScenarioFailsAndSolvesTheOthers) {
  Network network = Plant();
  network.check_valves.clear();
  Batch batch(network);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const std::vector<double> opening = {0.5, 1.5, nan, 0.0, 0.7};
  const std::vector<Value> bore = {0.04, 0.04, 0.04, 0.04, std::string("wide")};
  const BatchSummary summary =
      batch.Run({{"HV-3.opening", opening}, {"L-2.bore", bore}}, opening.size());
  EXPECT_EQ(summary.num_solved, 2u);  // with HV-3 shut the basin still feeds the mixer
  ASSERT_EQ(summary.failures.size(), 3u);
  EXPECT_EQ(summary.failures[0].row, 1u);
  EXPECT_EQ(summary.failures[0].outcome, RowOutcome::kRefused);
  EXPECT_PRED_FORMAT2(IsSubstring, "HV-3.opening", summary.failures[0].reason);
  EXPECT_PRED_FORMAT2(IsSubstring, "1.5", summary.failures[0].reason);
  EXPECT_EQ(summary.failures[1].row, 2u);
  EXPECT_PRED_FORMAT2(IsSubstring, "L-2.bore", summary.failures[2].reason);
  EXPECT_EQ(summary.outcome[3], RowOutcome::kSolved);
  EXPECT_TRUE(std::isnan(batch.Flow(1, "L-1")));
  EXPECT_EQ(batch.Flow(3, "HV-3"), 0.0);
  EXPECT_PRED_FORMAT2(IsSubstring, "2 of 5 scenarios solved, 3 refused", summary.BriefReport());
}

TEST(SolveMany, NamesTheDrawThatAScenarioCutsOff) {
  Network network = Plant();
  network.check_valves.clear();
  network.pipes.pop_back();
  Batch batch(network);
  const std::vector<double> opening = {0.5, 0.0, 0.4};
  const BatchSummary summary = batch.Run({{"HV-3.opening", opening}}, opening.size());
  EXPECT_EQ(summary.num_solved, 2u);
  ASSERT_EQ(summary.failures.size(), 1u);
  EXPECT_EQ(summary.failures[0].outcome, RowOutcome::kNoSolution);
  EXPECT_PRED_FORMAT2(IsSubstring, "mixer", summary.failures[0].reason);
}

TEST(SolveMany, SolvesScenariosOfANetworkThatHasNoSolutionAsItStands) {
  Network network = Plant();
  network.check_valves.clear();
  network.pipes.pop_back();
  network.Apply("HV-3.opening", 0.0);
  Batch batch(network);
  const std::vector<double> opening = {0.5, 0.2};
  EXPECT_EQ(batch.Run({{"HV-3.opening", opening}}, 2).num_solved, 2u);
  ExpectSameAsSolve(batch, 0, {{"HV-3.opening", 0.5}});
}

TEST(SolveMany, GivesChosenReadingsAlone) {
  const CompiledNetwork compiled(Plant());
  const std::vector<double> opening = {0.2, 0.8};
  std::vector<double> drop(2), velocity(4);
  SolveMany(compiled, {{"HV-3.opening", opening}},
            {{BatchReading::kDrop, {compiled.ComponentIndex("HV-3")}, drop},
             {BatchReading::kVelocity,
              {compiled.ComponentIndex("L-2"), compiled.ComponentIndex("P-1")},
              velocity}});
  const Solution alone = Solve(compiled.network(), {{"HV-3.opening", 0.8}});
  EXPECT_NEAR(drop[1], alone.Drop("HV-3"), 1e-6);
  EXPECT_NEAR(velocity[2], alone.Velocity("L-2"), 1e-6);
  EXPECT_TRUE(std::isnan(velocity[3]));  // a pump has no bore
}

TEST(SolveMany, StopsWhenProgressSaysSo) {
  Batch batch(Plant());
  std::vector<double> level(1000);
  for (std::size_t i = 0; i < level.size(); ++i) level[i] = 1.0 + 1e-3 * static_cast<double>(i);
  BatchOptions options;
  std::size_t last_total = 0;
  options.progress = [&](std::size_t done, std::size_t total) {
    last_total = total;
    return done < 200;
  };
  const BatchSummary summary = batch.Run({{"tank.level", level}}, level.size(), options);
  EXPECT_EQ(last_total, level.size());
  EXPECT_TRUE(summary.interrupted);
  EXPECT_GE(summary.num_solved, 200u);
  EXPECT_LT(summary.num_solved, level.size());
  EXPECT_TRUE(summary.failures.empty());
  for (std::size_t row = 0; row < level.size(); ++row) {
    EXPECT_EQ(std::isnan(batch.Flow(row, "L-1")), summary.outcome[row] != RowOutcome::kSolved);
  }
}

TEST(SolveMany, OfNoScenariosIsEmpty) {
  Batch batch(Plant());
  const BatchSummary summary = batch.Run({{"tank.level", std::span<const double>()}}, 0);
  EXPECT_EQ(summary.num_rows(), 0u);
  EXPECT_FALSE(summary.interrupted);
}

TEST(BatchSolver, SolvesChunkAfterChunkAsInOneGo) {
  Batch whole(Plant());
  std::vector<double> opening(100);
  for (std::size_t i = 0; i < opening.size(); ++i) opening[i] = 0.01 * static_cast<double>(i);
  whole.Run({{"HV-3.opening", opening}}, opening.size());
  const std::size_t width = whole.compiled.component_names().size();
  std::vector<double> flow(10 * width);
  BatchSolver solver(whole.compiled, {"HV-3.opening"});
  for (std::size_t first = 0; first < opening.size(); first += 10) {
    const BatchValues values[] = {std::span<const double>(opening).subspan(first, 10)};
    const BatchOutput outputs[] = {{BatchReading::kFlow, {}, flow}};
    EXPECT_EQ(solver.Solve(values, outputs).num_solved, 10u);
    for (std::size_t i = 0; i < flow.size(); ++i) {
      EXPECT_EQ(flow[i], whole.flow[first * width + i]);
    }
  }
}

template <typename Call>
std::string MessageOf(Call call) {
  try {
    call();
  } catch (const Error& error) {
    return error.what();
  }
  return "no error";
}

TEST(SolveMany, ExplainsWhatCannotBeABatch) {
  Batch batch(Plant());
  const std::vector<double> two = {0.1, 0.2}, three = {0.1, 0.2, 0.3};
  const auto message = [&](const std::vector<BatchColumn>& columns,
                           const BatchOptions& options = {}) {
    return MessageOf([&] { batch.Run(columns, 2, options); });
  };
  EXPECT_PRED_FORMAT2(IsSubstring, "sets nothing", message({}));
  EXPECT_PRED_FORMAT2(IsSubstring, "did you mean \"HV-3\"", message({{"HV-4.opening", two}}));
  EXPECT_PRED_FORMAT2(IsSubstring, "opening", message({{"HV-3.openin", two}}));
  EXPECT_PRED_FORMAT2(IsSubstring, "cannot be set", message({{"HV-3.name", two}}));
  EXPECT_PRED_FORMAT2(IsSubstring, "set by two columns",
                      message({{"HV-3.opening", two}, {"HV-3.opening", two}}));
  EXPECT_PRED_FORMAT2(IsSubstring, "3 values",
                      message({{"HV-3.opening", two}, {"tank.level", three}}));
  EXPECT_PRED_FORMAT2(IsSubstring, "expected 5 for each of 3", message({{"HV-3.opening", three}}));
  BatchOptions options;
  options.workers = 0;
  EXPECT_PRED_FORMAT2(IsSubstring, "workers is 0", message({{"HV-3.opening", two}}, options));
  options = {};
  options.steady.method = Method::kHardyCross;
  EXPECT_PRED_FORMAT2(IsSubstring, "hardy_cross", message({{"HV-3.opening", two}}, options));
  options = {};
  options.steady.initial_flow = {1.0};
  EXPECT_PRED_FORMAT2(IsSubstring, "initial_flow has 1", message({{"HV-3.opening", two}}, options));
  EXPECT_PRED_FORMAT2(
      IsSubstring, "point number 99; expected less than 4", MessageOf([&] {
        SolveMany(batch.compiled, {{"HV-3.opening", two}}, {{BatchReading::kHead, {99}, {}}});
      }));
}

}  // namespace
}  // namespace handwheel
