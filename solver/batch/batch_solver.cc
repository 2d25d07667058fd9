#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <optional>
#include <thread>

#include "batch/columns.h"
#include "batch/compiled_network.h"
#include "batch/lane_engine.h"
#include "batch/lane_network.h"
#include "batch/outputs.h"
#include "batch/single_solver.h"
#include "handwheel/errors.h"
#include "steady/solution_builder.h"
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

}  // namespace

// One pass over all scenarios: shared by the workers.
struct BatchRun {
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

// One thread's workspaces.
class BatchWorker {
 public:
  BatchWorker(const Network& network, const BatchColumns& columns, const SteadyOptions& options,
              const LaneNetwork* lanes, const LaneKernels* kernels)
      : scenario_(network, columns), options_(options) {
    if (lanes) engine_.emplace(*lanes, *kernels, options);
  }

  // Takes scenarios until none is left; tells of them now and then.
  template <typename Tell>
  void Work(BatchRun* run, const Tell& tell) {
    run_ = run;
    single_.emplace(run->outputs, options_);
    if (engine_) engine_->Begin(&run->outputs);
    worst_imbalance_ = 0.0;
    num_in_lanes_ = 0;
    row_ = end_ = 0;
    while (!run->stopped) {
      const bool more = FillLanes();
      if (engine_ && !engine_->is_idle()) {
        PassOverLanes();
      } else if (!more) {
        break;
      }
      tell();
    }
    if (engine_) engine_->Abandon();
  }

  double worst_imbalance() const { return worst_imbalance_; }
  std::size_t num_in_lanes() const { return num_in_lanes_; }

 private:
  // Takes scenarios while there is room, but no more than a few: false, if there are no more.
  bool FillLanes() {
    for (std::size_t k = 0; k < kRowsPerChunk && (!engine_ || engine_->has_room()); ++k) {
      if (run_->stopped || !NextRow()) return false;
      Take(row_++);
    }
    return true;
  }

  bool NextRow() {
    if (row_ < end_) return true;
    row_ = run_->next_row.fetch_add(kRowsPerChunk);
    end_ = std::min(row_ + kRowsPerChunk, run_->num_rows);
    return row_ < end_;
  }

  void Take(std::size_t row) {
    std::string reason;
    if (!scenario_.Set(run_->values, row, &reason)) {
      run_->outputs.WriteNothing(row);
      return Record(row, {.outcome = RowOutcome::kRefused}, std::move(reason));
    }
    if (engine_ && scenario_.PartsAreValid() && engine_->Admit(scenario_, row)) return;
    SolveAlone(row);
  }

  void SolveAlone(std::size_t row) {
    std::string reason;
    const RowResult result = single_->Solve(scenario_.network(), row, &reason);
    Record(row, result, std::move(reason));
  }

  void PassOverLanes() {
    engine_->Pass();
    for (const LaneEngine::Left& left : engine_->left()) {
      if (left.solved) {
        ++num_in_lanes_;
        Record(left.row, {.outcome = RowOutcome::kSolved, .flow_imbalance = left.flow_imbalance},
               {});
        continue;
      }
      std::string reason;
      scenario_.Set(run_->values, left.row, &reason);
      SolveAlone(left.row);
    }
  }

  void Record(std::size_t row, const RowResult& result, std::string reason) {
    run_->summary->outcome[row] = result.outcome;
    worst_imbalance_ = std::max(worst_imbalance_, result.flow_imbalance);
    if (result.outcome != RowOutcome::kSolved) run_->Fail(row, result.outcome, std::move(reason));
    ++run_->num_done;
  }

  ScenarioNetwork scenario_;
  const SteadyOptions& options_;
  std::optional<LaneEngine> engine_;
  std::optional<SingleSolver> single_;
  BatchRun* run_ = nullptr;
  std::size_t row_ = 0, end_ = 0;  // taken of the run
  double worst_imbalance_ = 0.0;
  std::size_t num_in_lanes_ = 0;
};

// Where every scenario starts from: the flows given, or the network's own solution, or 1 m/s.
static SteadyState StartOf(const CompiledNetwork::Data& compiled, const SteadyOptions& options) {
  const Plan& plan = compiled.plan;
  SteadyState state{plan.start_flow, StartHeads(plan)};
  if (!options.initial_flow.empty()) {
    std::copy(options.initial_flow.begin(), options.initial_flow.end(), state.flow.begin());
    return state;
  }
  try {
    SolvedPlan solved = SolvePlan(compiled.network, options, RunNewton);
    if (solved.summary.termination == Termination::kConverged) {
      state = std::move(solved.result.state);
    }
  } catch (const NetworkError&) {
    // It need not have a solution.
  }
  return state;
}

class BatchSolver::Impl {
 public:
  Impl(const CompiledNetwork& compiled, const std::vector<std::string>& targets,
       const BatchOptions& options, const LaneKernels* kernels)
      : compiled_(compiled),
        options_(options),
        targets_(targets),
        columns_(compiled.network(), targets) {
    CheckOptions();
    const CompiledNetwork::Data& data = *compiled_.data();
    const std::vector<LaneKernels> available = AvailableLaneKernels();
    if (LaneNetwork::Fits(data, columns_))
      lanes_.emplace(data, columns_, StartOf(data, options_.steady));
    for (int w = 0; w < options.workers; ++w) {
      workers_.push_back(std::make_unique<BatchWorker>(data.network, columns_, options_.steady,
                                                       lanes_ ? &*lanes_ : nullptr,
                                                       kernels ? kernels : &available.front()));
    }
  }

  BatchSummary Solve(std::span<const BatchValues> values, std::span<const BatchOutput> outputs) {
    const std::size_t rows = NumRows(targets_, values);
    const BatchOutputs arrays(compiled_, outputs, rows);
    BatchSummary summary;
    summary.outcome.assign(rows, RowOutcome::kInterrupted);
    BatchRun run{.values = values, .outputs = arrays, .num_rows = rows, .summary = &summary};
    RunWorkers(&run);
    if (run.error) std::rethrow_exception(run.error);
    Finish(&run);
    return summary;
  }

 private:
  void CheckOptions() const {
    std::string error;
    if (!options_.IsValid(&error)) throw SettingError("options: " + error);
    const std::size_t given = options_.steady.initial_flow.size();
    const std::size_t components = compiled_.component_names().size();
    if (given != 0 && given != components) {
      throw SettingError(Cat("options: initial_flow has ", std::to_string(given),
                             " values; expected one for each of ", std::to_string(components),
                             " components"));
    }
  }

  // The calling thread is worker 0 and alone tells of progress.
  void RunWorkers(BatchRun* run) {
    std::vector<std::jthread> threads;
    for (std::size_t w = 1; w < workers_.size(); ++w) {
      threads.emplace_back([this, run, w] { Work(run, w, [] {}); });
    }
    std::size_t told = 0;
    Work(run, 0, [&] {
      const std::size_t done = run->num_done;
      if (done - told >= kRowsPerChunk) Tell(run, told = done);
    });
    threads.clear();
    if (!run->stopped && run->num_done > told) Tell(run, run->num_done);
  }

  void Tell(BatchRun* run, std::size_t done) const {
    if (options_.progress && !options_.progress(done, run->num_rows)) run->stopped = true;
  }

  template <typename ToTell>
  void Work(BatchRun* run, std::size_t worker, const ToTell& tell) {
    try {
      workers_[worker]->Work(run, tell);
    } catch (...) {
      const std::lock_guard lock(run->mutex);
      if (!run->error) run->error = std::current_exception();
      run->stopped = true;
    }
  }

  void Finish(BatchRun* run) const {
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
    for (const auto& worker : workers_) {
      summary.worst_flow_imbalance =
          std::max(summary.worst_flow_imbalance, worker->worst_imbalance());
      summary.num_in_lanes += worker->num_in_lanes();
    }
  }

  CompiledNetwork compiled_;
  BatchOptions options_;
  std::vector<std::string> targets_;
  BatchColumns columns_;
  std::optional<LaneNetwork> lanes_;
  std::vector<std::unique_ptr<BatchWorker>> workers_;
};

BatchSolver::BatchSolver(const CompiledNetwork& compiled, const std::vector<std::string>& targets,
                         const BatchOptions& options)
    : impl_(std::make_unique<Impl>(compiled, targets, options, nullptr)) {}
BatchSolver::BatchSolver(const CompiledNetwork& compiled, const std::vector<std::string>& targets,
                         const BatchOptions& options, const LaneKernels& kernels)
    : impl_(std::make_unique<Impl>(compiled, targets, options, &kernels)) {}
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
