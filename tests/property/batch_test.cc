// Batches against the one-at-a-time solver, on random plants of every kind of component: the same
// answers within the tolerances, and the same bits whatever shares the work.

#include "handwheel/batch.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdio>
#include <numeric>

#include "batch/lane_kernels.h"
#include "handwheel/errors.h"
#include "property/batch_more_lanes.h"
#include "property/random_network.h"
#include "property/special_plant.h"

namespace handwheel {
namespace {

using testing::Dice;
using testing::GridPlant;
using testing::MixedPlant;
using testing::SpecialPlant;

// Columns of random values for a few properties of a network.
class RandomColumns {
 public:
  RandomColumns(const Network& network, std::uint64_t seed, std::size_t num_rows)
      : dice_(seed), num_rows_(num_rows) {
    for (const Valve& valve : network.valves) Offer(valve);
    for (const CheckValve& valve : network.check_valves) Offer(valve);
    for (const Pump& pump : network.pumps) Offer(pump);
    for (const Vessel& vessel : network.vessels) Offer(vessel);
    for (const Junction& junction : network.junctions) Offer(junction);
    for (const Pipe& pipe : network.pipes) Offer(pipe);
    if (values_.empty()) AddNumbers(network.vessels[0].name + ".level", 0.5, 8.0);
    if (dice_.Chance(0.15)) AddNumbers("fluid.density", 800.0, 1300.0);
  }

  std::vector<std::string> targets() const { return targets_; }
  std::vector<BatchValues> values() const {
    std::vector<BatchValues> spans;
    for (const auto& list : values_) spans.emplace_back(std::span<const Value>(list));
    return spans;
  }
  Settings SettingsOf(std::size_t row) const {
    Settings settings;
    for (std::size_t c = 0; c < targets_.size(); ++c) {
      settings.emplace_back(targets_[c], values_[c][row]);
    }
    return settings;
  }
  // The same scenarios in another order.
  void Reorder(const std::vector<std::size_t>& order) {
    for (auto& list : values_) {
      const auto before = list;
      for (std::size_t row = 0; row < order.size(); ++row) list[row] = before[order[row]];
    }
  }

 private:
  bool Chosen() { return values_.size() < 6 && dice_.Chance(0.25); }

  void AddNumbers(const std::string& target, double low, double high, double zero_share = 0.0) {
    std::vector<Value> list;
    for (std::size_t row = 0; row < num_rows_; ++row) {
      list.emplace_back(dice_.Chance(zero_share) ? 0.0 : dice_.Uniform(low, high));
    }
    Add(target, std::move(list));
  }
  void AddChoices(const std::string& target, const std::vector<Value>& choices) {
    std::vector<Value> list;
    for (std::size_t row = 0; row < num_rows_; ++row) {
      list.push_back(
          choices[static_cast<std::size_t>(dice_.Pick(static_cast<int>(choices.size())))]);
    }
    Add(target, std::move(list));
  }
  void Add(const std::string& target, std::vector<Value> list) {
    targets_.push_back(target);
    values_.push_back(std::move(list));
  }

  void Offer(const Valve& valve) {
    if (Chosen()) AddNumbers(valve.name + ".opening", 0.02, 1.0, 0.15);
    if (Chosen() && dice_.Chance(0.3)) {
      AddChoices(valve.name + ".condition",
                 {std::string("sound"), std::string("passing"), std::string("blocked")});
    }
  }
  void Offer(const CheckValve& valve) {
    if (!Chosen()) return;
    AddChoices(valve.name + ".condition",
               {std::string("sound"), std::string("passing"), std::string("stuck open")});
  }
  void Offer(const Pump& pump) {
    if (!Chosen()) return;
    if (dice_.Chance(0.5)) return AddChoices(pump.name + ".running", {true, false});
    AddNumbers(pump.name + ".speed", 0.5, 1.1);
  }
  void Offer(const Vessel& vessel) {
    if (Chosen()) AddNumbers(vessel.name + ".level", 0.0, 8.0);
    if (Chosen()) AddNumbers(vessel.name + ".gas_pressure", -0.2e5, 2e5);
  }
  void Offer(const Junction& junction) {
    if (junction.feed == 0.0 && Chosen()) AddNumbers(junction.name + ".draw", 1e-6, 2e-3, 0.3);
  }
  void Offer(const Pipe& pipe) {
    if (dice_.Chance(0.1) && Chosen()) AddNumbers(pipe.name + ".roughness", 1e-6, 5e-4);
    if (dice_.Chance(0.1) && Chosen()) AddNumbers(pipe.name + ".bore", 0.03, 0.2);
  }

  Dice dice_;
  std::size_t num_rows_;
  std::vector<std::string> targets_;
  std::vector<std::vector<Value>> values_;
};

struct Results {
  BatchSummary summary;
  std::vector<double> flow, velocity, drop, head, pressure;

  bool SameBits(const Results& other) const {
    const auto same = [](const std::vector<double>& a, const std::vector<double>& b) {
      return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](double x, double y) {
        return std::bit_cast<std::uint64_t>(x) == std::bit_cast<std::uint64_t>(y) ||
               (std::isnan(x) && std::isnan(y));
      });
    };
    return summary.outcome == other.summary.outcome && same(flow, other.flow) &&
           same(velocity, other.velocity) && same(drop, other.drop) && same(head, other.head) &&
           same(pressure, other.pressure);
  }
};

Results SolveRows(const CompiledNetwork& compiled, const RandomColumns& columns, std::size_t rows,
                  int workers = 1, const LaneKernels* kernels = nullptr) {
  Results results;
  const std::size_t components = compiled.component_names().size() * rows;
  const std::size_t points = compiled.point_names().size() * rows;
  for (auto* list : {&results.flow, &results.velocity, &results.drop}) list->resize(components);
  for (auto* list : {&results.head, &results.pressure}) list->resize(points);
  const BatchOutput outputs[] = {{BatchReading::kFlow, {}, results.flow},
                                 {BatchReading::kVelocity, {}, results.velocity},
                                 {BatchReading::kDrop, {}, results.drop},
                                 {BatchReading::kHead, {}, results.head},
                                 {BatchReading::kPressure, {}, results.pressure}};
  BatchOptions options;
  options.workers = workers;
  const std::vector<BatchValues> values = columns.values();
  if (kernels) {
    results.summary =
        BatchSolver(compiled, columns.targets(), options, *kernels).Solve(values, outputs);
  } else {
    results.summary = BatchSolver(compiled, columns.targets(), options).Solve(values, outputs);
  }
  return results;
}

struct Deviation {
  double flow = 0.0;      // over the largest flow of its scenario [-]
  double pressure = 0.0;  // [Pa]
  double balance = 0.0;   // of the batch [-]
  std::size_t solved = 0, in_lanes = 0, failed = 0;
};

void CompareWithSolve(const Network& network, std::uint64_t seed, std::size_t rows,
                      Deviation* worst) {
  SCOPED_TRACE("seed " + std::to_string(seed));
  const RandomColumns columns(network, seed + 1, rows);
  const CompiledNetwork compiled(network);
  const Results results = SolveRows(compiled, columns, rows);
  const std::size_t components = compiled.component_names().size();
  const std::size_t points = compiled.point_names().size();
  worst->balance = std::max(worst->balance, results.summary.worst_flow_imbalance);
  worst->in_lanes += results.summary.num_in_lanes;
  for (std::size_t row = 0; row < rows; ++row) {
    const bool solved = results.summary.outcome[row] == RowOutcome::kSolved;
    std::optional<Solution> alone;
    std::string reason;
    try {
      alone = Solve(network, columns.SettingsOf(row));
    } catch (const Error& error) {
      reason = error.what();
    }
    ASSERT_EQ(solved, alone && alone->converged()) << "row " << row << ": " << reason;
    if (!solved) {
      ++worst->failed;
      continue;
    }
    ++worst->solved;
    double largest = 1e-9;
    for (const double flow : alone->flow()) largest = std::max(largest, std::abs(flow));
    for (std::size_t c = 0; c < components; ++c) {
      const std::size_t at = row * components + c;
      const double off = std::abs(results.flow[at] - alone->flow()[c]) / largest;
      worst->flow = std::max(worst->flow, off);
      EXPECT_LE(off, 1e-6) << compiled.component_names()[c] << ", row " << row;
      EXPECT_EQ(std::isnan(results.drop[at]), std::isnan(alone->drop()[c]))
          << compiled.component_names()[c] << ", row " << row;
      EXPECT_EQ(std::isnan(results.velocity[at]), std::isnan(alone->velocity()[c]));
    }
    for (std::size_t p = 0; p < points; ++p) {
      const double found = results.pressure[row * points + p], expected = alone->pressure()[p];
      EXPECT_EQ(std::isnan(found), std::isnan(expected))
          << compiled.point_names()[p] << ", row " << row;
      if (std::isnan(found) || std::isnan(expected)) continue;
      worst->pressure = std::max(worst->pressure, std::abs(found - expected));
    }
  }
}

void Print(const char* what, const Deviation& worst) {
  std::printf(
      "measured: %s: %zu scenarios solved (%zu in lanes), %zu failed in both; worst difference of "
      "flow %.1e of the largest, of pressure %.1e Pa; worst mass imbalance %.1e\n",
      what, worst.solved, worst.in_lanes, worst.failed, worst.flow, worst.pressure, worst.balance);
}

// Flows within 1e-6 of the largest: either solver stops at a step of 1e-9, and where a curve is all
// but level (a floating disc, a creeping liquid) heads within 1e-6 m leave flows that much room.
TEST(Batch, AgreesWithSolveOnMixedPlants) {
  Deviation worst;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    CompareWithSolve(MixedPlant(seed).Take(), seed, 12, &worst);
  }
  Print("mixed plants", worst);
  EXPECT_GT(worst.in_lanes, worst.solved / 2);
  EXPECT_LE(worst.balance, 1e-11);
}

TEST(Batch, AgreesWithSolveOnSpecialPlants) {
  Deviation worst;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    CompareWithSolve(SpecialPlant(seed, {.max_junctions = 60}).Take(), seed, 8, &worst);
  }
  Print("special plants", worst);
}

TEST(Batch, AgreesWithSolveOnGridsWithCheckValvesAndPumps) {
  Deviation worst;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    const Network network = GridPlant(seed, {.junctions = 150, .pumps = true}).Take();
    CompareWithSolve(network, seed, 20, &worst);
  }
  Print("grids", worst);
  EXPECT_LE(worst.balance, 1e-11);
}

TEST(Batch, GivesTheSameBitsWhateverSharesTheWork) {
  constexpr std::size_t kRows = 97;
  std::size_t in_lanes = 0;
  for (std::uint64_t seed = 1; seed <= 8; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    const Network network = MixedPlant(seed, {.max_junctions = 80}).Take();
    RandomColumns columns(network, seed + 1, kRows);
    const CompiledNetwork compiled(network);
    const Results one = SolveRows(compiled, columns, kRows);
    in_lanes += one.summary.num_in_lanes;
    for (const int workers : {2, 7}) {
      EXPECT_TRUE(one.SameBits(SolveRows(compiled, columns, kRows, workers)))
          << workers << " workers";
    }
    std::vector<LaneKernels> every_kind = AvailableLaneKernels();
    for (const LaneKernels& more : testing::MoreLaneKernels()) every_kind.push_back(more);
    for (const LaneKernels& kernels : every_kind) {
      EXPECT_TRUE(one.SameBits(SolveRows(compiled, columns, kRows, 1, &kernels)))
          << kernels.instructions << ", " << kernels.lanes << " lanes";
    }
    std::vector<std::size_t> order(kRows);
    std::iota(order.begin(), order.end(), std::size_t{0});
    Dice dice(seed);
    for (std::size_t i = kRows; i > 1; --i) {
      std::swap(order[i - 1], order[static_cast<std::size_t>(dice.Pick(static_cast<int>(i)))]);
    }
    columns.Reorder(order);
    const Results shuffled = SolveRows(compiled, columns, kRows);
    const std::size_t width = compiled.component_names().size();
    for (std::size_t row = 0; row < kRows; ++row) {
      EXPECT_EQ(shuffled.summary.outcome[row], one.summary.outcome[order[row]]);
      for (std::size_t c = 0; c < width; ++c) {
        const double a = shuffled.flow[row * width + c], b = one.flow[order[row] * width + c];
        EXPECT_TRUE(a == b || (std::isnan(a) && std::isnan(b))) << "row " << row;
      }
    }
  }
  EXPECT_GT(in_lanes, 0u);
}

}  // namespace
}  // namespace handwheel
