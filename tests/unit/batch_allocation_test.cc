// Counts what the whole test program allocates: once a batch has warmed up, more scenarios must not
// cost more allocations.

#include <gtest/gtest.h>

#include <atomic>
#include <cstdlib>
#include <new>

#include "handwheel/batch.h"
#include "property/random_network.h"

namespace {

std::atomic<std::size_t> num_allocations = 0;

void* Allocate(std::size_t size, std::size_t alignment) {
  ++num_allocations;
  const std::size_t whole = (size + alignment - 1) / alignment * alignment;
  void* memory = std::aligned_alloc(alignment, whole == 0 ? alignment : whole);
  if (memory == nullptr) throw std::bad_alloc();
  return memory;
}

}  // namespace

void* operator new(std::size_t size) {
  return Allocate(size, alignof(std::max_align_t));
}
void* operator new[](std::size_t size) {
  return Allocate(size, alignof(std::max_align_t));
}
void* operator new(std::size_t size, std::align_val_t alignment) {
  return Allocate(size, static_cast<std::size_t>(alignment));
}
void* operator new[](std::size_t size, std::align_val_t alignment) {
  return Allocate(size, static_cast<std::size_t>(alignment));
}
void operator delete(void* memory) noexcept {
  std::free(memory);
}
void operator delete[](void* memory) noexcept {
  std::free(memory);
}
void operator delete(void* memory, std::size_t) noexcept {
  std::free(memory);
}
void operator delete[](void* memory, std::size_t) noexcept {
  std::free(memory);
}
void operator delete(void* memory, std::align_val_t) noexcept {
  std::free(memory);
}
void operator delete[](void* memory, std::align_val_t) noexcept {
  std::free(memory);
}
void operator delete(void* memory, std::size_t, std::align_val_t) noexcept {
  std::free(memory);
}
void operator delete[](void* memory, std::size_t, std::align_val_t) noexcept {
  std::free(memory);
}

namespace handwheel {
namespace {

// Openings of three valves, a level and a draw, on a grid with check valves.
class WarmBatch {
 public:
  WarmBatch()
      : compiled_(testing::GridPlant(7, {.junctions = 100}).Take()),
        solver_(compiled_, Targets(compiled_.network())) {}

  // Of solving so many scenarios.
  std::size_t CountAllocations(std::size_t rows) {
    testing::Dice dice(3);
    std::vector<std::vector<double>> lists(5);
    std::vector<BatchValues> values;
    for (std::size_t c = 0; c < lists.size(); ++c) {
      for (std::size_t row = 0; row < rows; ++row) {
        lists[c].push_back(c < 3    ? dice.Uniform(0.0, 1.0)
                           : c == 3 ? dice.Uniform(40.0, 60.0)
                                    : dice.Uniform(1e-5, 1e-3));
      }
      values.emplace_back(std::span<const double>(lists[c]));
    }
    std::vector<double> flow(rows * compiled_.component_names().size());
    std::vector<double> pressure(rows * compiled_.point_names().size());
    const BatchOutput outputs[] = {{BatchReading::kFlow, {}, flow},
                                   {BatchReading::kPressure, {}, pressure}};
    const std::size_t before = num_allocations;
    const BatchSummary summary = solver_.Solve(values, outputs);
    const std::size_t after = num_allocations;
    EXPECT_EQ(summary.num_in_lanes, rows);
    return after - before;
  }

 private:
  static std::vector<std::string> Targets(const Network& network) {
    std::vector<std::string> targets;
    for (int v = 0; v < 3; ++v) {
      targets.push_back(network.valves[static_cast<std::size_t>(v)].name + ".opening");
    }
    targets.push_back(network.vessels[0].name + ".level");
    targets.push_back(network.junctions[5].name + ".draw");
    return targets;
  }

  CompiledNetwork compiled_;
  BatchSolver solver_;
};

TEST(BatchSolver, AllocatesNothingForAScenarioOnceWarmedUp) {
  WarmBatch batch;
  batch.CountAllocations(100);
  const std::size_t few = batch.CountAllocations(100);
  const std::size_t many = batch.CountAllocations(2000);
  EXPECT_EQ(many, few) << "of the call itself, whatever the number of scenarios";
  EXPECT_LE(few, 10u);
}

}  // namespace
}  // namespace handwheel
