#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>

#include "batch/columns.h"
#include "batch/compiled_network.h"
#include "batch/outputs.h"
#include "batch/single_solver.h"
#include "handwheel/errors.h"
#include "text/cat.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

constexpr int kMostWorkers = 1024;
constexpr std::size_t kRowsPerChunk = 64;

std::size_t NumRows(const std::vector<std::string>& targets, std::span<const BatchValues> values) {
  if (values.size() != targets.size()) {
    throw SettingError(Cat(std::to_string(values.size()), " columns of values; expected one for ",
                           "each of ", std::to_string(targets.size()), " targets."));
  }
  const auto length = [](const BatchValues& any) {
    return std::visit([](const auto& list) { return list.size(); }, any);
  };
  const std::size_t rows = length(values.front());
  for (std::size_t c = 1; c < values.size(); ++c) {
    if (length(values[c]) == rows) continue;
    throw SettingError(Cat(Quoted(targets[c]), " has ", std::to_string(length(values[c])),
                           " values and ", Quoted(targets.front()), " ", std::to_string(rows),
                           "; expected one each for every scenario."));
  }
  return rows;
}

// One pass over all scenarios: shared by the workers.
struct Run {
  std::span<const BatchValues> values;
  const BatchOutputs& outputs;
  std::size_t num_rows;
  BatchSummary* summary;
  std::atomic<std::size_t> next_row = 0;  // the first that no worker has
  std::atomic<std::size_t> num_done = 0;
  std::atomic<bool> stopped = false;
  std::mutex mutex{};  // of what follows
  std::vector<BatchFailure> failures{};
  std::exception_ptr error{};

  void Fail(std::size_t row, RowOutcome outcome, std::string reason) {
    const std::lock_guard lock(mutex);
    failures.push_back({row, outcome, std::move(reason)});
  }
};

}  // namespace

class BatchSolver::Impl {
 public:
  Impl(const CompiledNetwork& compiled, const std::vector<std::string>& targets,
       const BatchOptions& options)
      : compiled_(compiled),
        options_(options),
        targets_(targets),
        columns_(compiled.network(), targets) {
    std::string error;
    if (!options.IsValid(&error)) throw SettingError("options: " + error);
    const std::size_t components = compiled.component_names().size();
    if (!options.steady.initial_flow.empty() && options.steady.initial_flow.size() != components) {
      throw SettingError(
          Cat("options: initial_flow has ", std::to_string(options.steady.initial_flow.size()),
              " values; expected one for each of ", std::to_string(components), " components"));
    }
    if (options_.steady.initial_flow.empty()) StartFromOwnSolution();
    for (int w = 0; w < options.workers; ++w) {
      scenarios_.emplace_back(compiled_.network(), columns_);
    }
  }

  BatchSummary Solve(std::span<const BatchValues> values, std::span<const BatchOutput> outputs) {
    const std::size_t rows = NumRows(targets_, values);
    const BatchOutputs arrays(compiled_, outputs, rows);
    BatchSummary summary;
    summary.outcome.assign(rows, RowOutcome::kInterrupted);
    worst_imbalance_.assign(scenarios_.size(), 0.0);
    Run run{.values = values, .outputs = arrays, .num_rows = rows, .summary = &summary};
    RunWorkers(&run);
    if (run.error) std::rethrow_exception(run.error);
    Finish(&run);
    return summary;
  }

 private:
  void StartFromOwnSolution() {
    try {
      const Solution base = handwheel::Solve(compiled_.network(), options_.steady);
      if (base.converged()) options_.steady.initial_flow = base.flow();
    } catch (const NetworkError&) {
      // It need not have one.
    }
  }

  void RunWorkers(Run* run) {
    std::vector<std::jthread> threads;
    for (std::size_t w = 1; w < scenarios_.size(); ++w) {
      threads.emplace_back([this, run, w] { Work(run, w); });
    }
    Work(run, 0);
  }

  // The calling thread is worker 0 and alone tells of progress.
  void Work(Run* run, std::size_t worker) {
    try {
      while (!run->stopped && SolveChunk(run, worker)) {
        if (worker == 0) TellProgress(run);
      }
    } catch (...) {
      const std::lock_guard lock(run->mutex);
      if (!run->error) run->error = std::current_exception();
      run->stopped = true;
    }
  }

  void TellProgress(Run* run) const {
    if (options_.progress && !options_.progress(run->num_done, run->num_rows)) run->stopped = true;
  }

  bool SolveChunk(Run* run, std::size_t worker) {
    const std::size_t first = run->next_row.fetch_add(kRowsPerChunk);
    if (first >= run->num_rows) return false;
    const std::size_t end = std::min(first + kRowsPerChunk, run->num_rows);
    for (std::size_t row = first; row < end && !run->stopped; ++row) SolveRow(run, worker, row);
    return true;
  }

  void SolveRow(Run* run, std::size_t worker, std::size_t row) {
    ScenarioNetwork& scenario = scenarios_[worker];
    SingleSolver solver(run->outputs, options_.steady);
    RowResult result{.outcome = RowOutcome::kRefused};
    std::string reason;
    if (scenario.Set(run->values, row, &reason)) {
      result = solver.Solve(scenario.network(), row, &reason);
    } else {
      run->outputs.WriteNothing(row);
    }
    run->summary->outcome[row] = result.outcome;
    worst_imbalance_[worker] = std::max(worst_imbalance_[worker], result.flow_imbalance);
    if (result.outcome != RowOutcome::kSolved) run->Fail(row, result.outcome, std::move(reason));
    ++run->num_done;
  }

  void Finish(Run* run) const {
    BatchSummary& summary = *run->summary;
    for (std::size_t row = 0; row < run->num_rows; ++row) {
      if (summary.outcome[row] == RowOutcome::kSolved) ++summary.num_solved;
      if (summary.outcome[row] != RowOutcome::kInterrupted) continue;
      summary.interrupted = true;
      run->outputs.WriteNothing(row);
    }
    std::sort(run->failures.begin(), run->failures.end(),
              [](const BatchFailure& a, const BatchFailure& b) { return a.row < b.row; });
    summary.failures = std::move(run->failures);
    for (const double worst : worst_imbalance_) {
      summary.worst_flow_imbalance = std::max(summary.worst_flow_imbalance, worst);
    }
  }

  CompiledNetwork compiled_;
  BatchOptions options_;
  std::vector<std::string> targets_;
  BatchColumns columns_;
  std::vector<ScenarioNetwork> scenarios_;  // by worker
  std::vector<double> worst_imbalance_;     // by worker
};

BatchSolver::BatchSolver(const CompiledNetwork& compiled, const std::vector<std::string>& targets,
                         const BatchOptions& options)
    : impl_(std::make_unique<Impl>(compiled, targets, options)) {}
BatchSolver::~BatchSolver() = default;
BatchSolver::BatchSolver(BatchSolver&&) noexcept = default;
BatchSolver& BatchSolver::operator=(BatchSolver&&) noexcept = default;

BatchSummary BatchSolver::Solve(std::span<const BatchValues> values,
                                std::span<const BatchOutput> outputs) {
  return impl_->Solve(values, outputs);
}

BatchSummary SolveMany(const CompiledNetwork& compiled, const std::vector<BatchColumn>& columns,
                       const std::vector<BatchOutput>& outputs, const BatchOptions& options) {
  std::vector<std::string> targets;
  std::vector<BatchValues> values;
  for (const BatchColumn& column : columns) {
    targets.push_back(column.target);
    values.push_back(column.values);
  }
  return BatchSolver(compiled, targets, options).Solve(values, outputs);
}

bool BatchOptions::IsValid(std::string* error) const {
  if (workers < 1 || workers > kMostWorkers) {
    *error = Cat("workers is ", std::to_string(workers), "; expected 1 to ",
                 std::to_string(kMostWorkers));
    return false;
  }
  if (steady.method != Method::kNewton) {
    *error = Cat("steady.method is ", MethodName(steady.method), "; a batch knows newton alone");
    return false;
  }
  if (steady.callback) {
    *error = "steady.callback is set; a batch tells its progress by `progress`";
    return false;
  }
  return steady.IsValid(error);
}

std::string_view RowOutcomeName(RowOutcome outcome) {
  switch (outcome) {
    case RowOutcome::kSolved:
      return "solved";
    case RowOutcome::kRefused:
      return "refused";
    case RowOutcome::kNoSolution:
      return "no solution";
    case RowOutcome::kNotConverged:
      return "not converged";
    case RowOutcome::kInterrupted:
      return "interrupted";
  }
  return "";
}

std::string BatchSummary::BriefReport() const {
  std::string report =
      Cat(std::to_string(num_solved), " of ", std::to_string(num_rows()), " scenarios solved");
  for (const RowOutcome kind : {RowOutcome::kRefused, RowOutcome::kNoSolution,
                                RowOutcome::kNotConverged, RowOutcome::kInterrupted}) {
    const auto count = std::count(outcome.begin(), outcome.end(), kind);
    if (count > 0) report += Cat(", ", std::to_string(count), " ", RowOutcomeName(kind));
  }
  return report;
}

}  // namespace handwheel
