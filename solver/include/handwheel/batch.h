#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <limits>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "handwheel/network.h"
#include "handwheel/steady.h"

// Hundreds of thousands of what-ifs of one network: each scenario sets a few properties to values
// of its own and is solved for its steady state. Lives in the library handwheel_batch.
//
//   const CompiledNetwork compiled(network);
//   const std::vector<double> openings = ..., levels = ...;            // one per scenario
//   std::vector<double> flow(openings.size() * compiled.component_names().size());
//   const BatchSummary summary =
//       SolveMany(compiled, {{"HV-3.opening", openings}, {"day tank.level", levels}},
//                 {{BatchReading::kFlow, {}, flow}});

namespace handwheel {

struct LaneKernels;

// A network made ready for many solves. Immutable; copies share what they hold, and any number of
// threads may use one.
class CompiledNetwork {
 public:
  // Throws NetworkError for a malformed network. As it stands it need not have a solution: the
  // scenarios may give it one.
  explicit CompiledNetwork(const Network& network);

  const Network& network() const;
  const std::vector<std::string>& point_names() const;      // network order
  const std::vector<std::string>& component_names() const;  // network order

  // Places in network order. Throw NetworkError for an unknown name, with a suggestion.
  std::size_t PointIndex(std::string_view point) const;
  std::size_t ComponentIndex(std::string_view component) const;

  struct Data;  // of the library alone
  const std::shared_ptr<const Data>& data() const { return data_; }

 private:
  std::shared_ptr<const Data> data_;
};

// What one property takes, one value per scenario: SI numbers, or any values (flags, words, texts
// with a unit). Not owned.
using BatchValues = std::variant<std::span<const double>, std::span<const Value>>;

struct BatchColumn {
  std::string target;  // "HV-3.opening", "P-1.running", "day tank.level", "fluid.density"
  BatchValues values;
};

enum class BatchReading : std::uint8_t {
  kFlow,      // by component, from -> to [m³/s]
  kVelocity,  // by component, in its bore [m/s]; NaN without one
  kDrop,      // by component, head at `from` less head at `to` [m]; NaN where shut in
  kHead,      // by point [m]; NaN where shut in
  kPressure,  // by point, gauge [Pa]; NaN where shut in
};

// One array of results, row-major: into[scenario * width + k] belongs to of[k], an index in network
// order of components or of points; `of` empty: to all of them. Owned by the caller. Rows of
// scenarios that were not solved become NaN.
struct BatchOutput {
  BatchReading reading = BatchReading::kFlow;
  std::vector<std::size_t> of{};
  std::span<double> into{};
};

struct BatchOptions {
  // Tolerances and limits as of Solve(); its method must be newton, its callback empty.
  // initial_flow is where every scenario starts from, if given; else those in lanes start from the
  // network's own solution, the others afresh. So no scenario depends on its neighbours.
  SteadyOptions steady{};
  int workers = 1;  // threads, 1 .. 1024. The results are the same bits whatever their number.
  // Told now and then, in the thread that called; false: stop. May be empty.
  std::function<bool(std::size_t done, std::size_t total)> progress{};

  bool IsValid(std::string* error) const;  // *error: the field, its value, the rule it breaks
};

enum class RowOutcome : std::uint8_t {
  kSolved,
  kRefused,       // a value that cannot be set
  kNoSolution,    // no flows meet every draw and feed
  kNotConverged,  // the iterations ran out
  kInterrupted,   // not reached before progress said stop
};

// A scenario that was not solved, and why.
struct BatchFailure {
  std::size_t row = 0;
  RowOutcome outcome = RowOutcome::kRefused;
  std::string reason{};
};

struct BatchSummary {
  std::vector<RowOutcome> outcome{};     // by scenario
  std::vector<BatchFailure> failures{};  // by row; those never reached apart
  std::size_t num_solved = 0;
  std::size_t num_in_lanes = 0;  // of them, side by side in vector lanes; the others one at a time
  bool interrupted = false;
  // Of the solved, recomputed from the reported flows: the largest imbalance of any junction over
  // the largest flow or draw of its scenario, or over 1e-9 m³/s where all stands [-].
  double worst_flow_imbalance = 0.0;

  std::size_t num_rows() const { return outcome.size(); }
  std::string BriefReport() const;  // one line
};

// Solves chunk after chunk of scenarios that set the same properties: the workspaces stay, and
// once warmed up a solved scenario costs no allocation. For one thread at a time.
class BatchSolver {
 public:
  // Throws SettingError for a target that is unknown, cannot be set or is named twice, for none at
  // all, and for unfit options.
  BatchSolver(const CompiledNetwork& compiled, const std::vector<std::string>& targets,
              const BatchOptions& options = {});
  // For tests: by the kernels of some set of instructions (batch/lane_kernels.h).
  BatchSolver(const CompiledNetwork& compiled, const std::vector<std::string>& targets,
              const BatchOptions& options, const LaneKernels& kernels);
  ~BatchSolver();
  BatchSolver(BatchSolver&&) noexcept;
  BatchSolver& operator=(BatchSolver&&) noexcept;

  // values[k] belongs to the k-th target; all of one length, the number of scenarios. Throws
  // SettingError if lengths, indices or sizes of the arrays do not fit. A scenario that fails is
  // told of in the summary, and spoils no other.
  BatchSummary Solve(std::span<const BatchValues> values, std::span<const BatchOutput> outputs);

 private:
  class Impl;
  std::unique_ptr<Impl> impl_;
};

// All scenarios in one go.
BatchSummary SolveMany(const CompiledNetwork& compiled, const std::vector<BatchColumn>& columns,
                       const std::vector<BatchOutput>& outputs, const BatchOptions& options = {});

std::string_view RowOutcomeName(RowOutcome outcome);  // "solved", "refused", "no solution", ...

}  // namespace handwheel
