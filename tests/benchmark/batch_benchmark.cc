// How many scenarios a second, against a loop over the same scenarios by general-purpose parts?
// Grids of pipes with 5 % check valves and 5 % hand valves; three openings change from scenario to
// scenario; all flows are written down.
//   Lanes: SolveMany by each kind of kernels, one thread, against the loop: warm start from the
//     network's own solution, Newton on Eigen's SimplicialLDLT (symbolic work once), scalar laws
//   Workers: two threads against one; `work` is the processor time of two over that of one, which
//     a busy machine changes less: two can be 2/work times as fast
// The counter `ratio` is the other's time over ours, both taken alternately within one run;
// `per_second` counts scenarios.

#include <benchmark/benchmark.h>

#include <Eigen/SparseCholesky>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>
#include <vector>

#include "batch/compiled_network.h"
#include "batch/lane_kernels.h"
#include "benchmark/compare.h"
#include "components/valve_throttle.h"
#include "handwheel/batch.h"
#include "property/random_network.h"
#include "steady/newton.h"
#include "steady/part_step.h"
#include "steady/plan.h"

namespace handwheel {
namespace {

constexpr std::size_t kVaried = 3;

std::size_t Index(int i) {
  return static_cast<std::size_t>(i);
}

// A grid with three hand valves at least.
Network Grid(int junctions) {
  Network network = testing::GridPlant(7, {.junctions = junctions}).Take();
  while (network.valves.size() < kVaried) {
    const Pipe pipe = network.pipes.back();
    network.pipes.pop_back();
    Valve valve;
    valve.name = "more" + std::to_string(network.valves.size());
    valve.from = pipe.from;
    valve.to = pipe.to;
    valve.kind = "diaphragm weir";
    valve.bore = pipe.bore;
    network.valves.push_back(valve);
  }
  return network;
}

struct Scenarios {
  explicit Scenarios(int junctions, std::size_t rows) : compiled(Grid(junctions)), num_rows(rows) {
    testing::Dice dice(11);
    for (std::size_t c = 0; c < kVaried; ++c) {
      targets.push_back(compiled.network().valves[c].name + ".opening");
      openings.emplace_back();
      for (std::size_t row = 0; row < rows; ++row) openings[c].push_back(dice.Uniform(0.1, 1.0));
    }
    flow.resize(rows * compiled.component_names().size());
  }

  void Run(BatchSolver* solver) {
    std::vector<BatchValues> values;
    for (const auto& list : openings) values.emplace_back(std::span<const double>(list));
    const BatchOutput outputs[] = {{BatchReading::kFlow, {}, flow}};
    const BatchSummary summary = solver->Solve(values, outputs);
    if (summary.num_solved != num_rows) {
      std::fprintf(stderr, "%s: %s\n", summary.BriefReport().c_str(),
                   summary.failures.front().reason.c_str());
      std::abort();
    }
    num_in_lanes = summary.num_in_lanes;
  }

  CompiledNetwork compiled;
  std::size_t num_rows;
  std::vector<std::string> targets;
  std::vector<std::vector<double>> openings;  // by column
  std::vector<double> flow;
  std::size_t num_in_lanes = 0;
};

// --- The reference ------------------------------------------------------------------------------

class ReferenceLoop {
 public:
  explicit ReferenceLoop(const Scenarios& scenarios)
      : scenarios_(scenarios), plan_(scenarios.compiled.data()->plan) {
    const Network& network = scenarios.compiled.network();
    const LawContext context{plan_.liquid, plan_.gravity, network.model};
    for (std::size_t c = 0; c < kVaried; ++c) {
      throttles_.emplace_back(network.valves[c], context);
      throttles_.back().FindPlainRecovery();
    }
    SteadySummary summary;
    const SteadyOptions options;
    base_ = NewtonSolver(plan_, options).Solve(&summary);
    if (summary.termination != Termination::kConverged) std::abort();
    Analyse();
    conductance_.resize(plan_.laws.size());
    misfit_.resize(plan_.laws.size());
    memory_.resize(plan_.laws.size());
    right_side_.resize(plan_.num_free);
    flow_.resize(scenarios.flow.size());
  }

  void Run() {
    for (std::size_t row = 0; row < scenarios_.num_rows; ++row) Solve(row);
  }
  const std::vector<double>& flow() const { return flow_; }

 private:
  void Analyse() {
    std::vector<Eigen::Triplet<double>> entries;
    const auto each = [&](const auto& visit) {
      for (std::size_t l = 0; l < plan_.laws.size(); ++l) visit(plan_.from[l], plan_.to[l]);
    };
    each([&](int a, int b) {
      if (!plan_.IsFixed(a)) entries.emplace_back(a, a, 1.0);
      if (!plan_.IsFixed(b)) entries.emplace_back(b, b, 1.0);
      if (!plan_.IsFixed(a) && !plan_.IsFixed(b)) {
        entries.emplace_back(std::max(a, b), std::min(a, b), 1.0);
      }
    });
    matrix_.resize(plan_.num_free, plan_.num_free);
    matrix_.setFromTriplets(entries.begin(), entries.end());
    each([&](int a, int b) {
      from_.push_back(plan_.IsFixed(a) ? nullptr : &matrix_.coeffRef(a, a));
      to_.push_back(plan_.IsFixed(b) ? nullptr : &matrix_.coeffRef(b, b));
      between_.push_back(from_.back() && to_.back() && a != b
                             ? &matrix_.coeffRef(std::max(a, b), std::min(a, b))
                             : nullptr);
    });
    solver_.analyzePattern(matrix_);
  }

  // Of a valve that is varied, as far as its flow is turbulent without making its whole law.
  DropSlope Evaluate(std::size_t l, double q) const {
    const std::size_t v = l - scenarios_.compiled.network().pipes.size();
    if (v >= kVaried) return EvaluateLaw(plan_.laws[l], q);
    const double size = std::abs(q);
    if (plain_[v].rev_per_flow * size < throttles_[v].turbulent_from()) {
      return EvaluateLaw(throttles_[v].LawAt(opening_[v]).law, q);
    }
    return {plain_[v].r * size * q, 2.0 * plain_[v].r * size};
  }

  void Start(std::size_t row) {
    state_.flow = base_.flow;
    state_.head = base_.head;
    for (std::size_t c = 0; c < kVaried; ++c) {
      opening_[c] = scenarios_.openings[c][row];
      plain_[c] = throttles_[c].PlainAt(opening_[c]);
    }
    for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
      memory_[l] = {.resting = IsOneWay(plan_.laws[l]) && state_.flow[l] <= 0.0};
    }
  }

  void Solve(std::size_t row) {
    Start(row);
    change_ = std::numeric_limits<double>::infinity();
    for (int pass = 0; !Linearise(); ++pass) {
      if (pass == 100) {
        std::fprintf(stderr, "the reference does not converge\n");
        std::abort();
      }
      solver_.factorize(matrix_);
      Move(solver_.solve(right_side_));
    }
    std::copy_n(state_.flow.begin(), plan_.num_listed,
                flow_.begin() + static_cast<std::ptrdiff_t>(row * Index(plan_.num_listed)));
  }

  void Move(const Eigen::VectorXd& correction) {
    const auto at = [&](int node) { return plan_.IsFixed(node) ? 0.0 : correction[node]; };
    for (int n = 0; n < plan_.num_free; ++n) state_.head[Index(n)] += correction[n];
    change_ = 0.0;
    for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
      const int a = plan_.from[l], b = plan_.to[l];
      const double before = state_.flow[l];
      const double predicted = state_.flow[l] + conductance_[l] * (misfit_[l] + at(a) - at(b));
      if (!IsOneWay(plan_.laws[l])) {
        state_.flow[l] = predicted;
        change_ = std::max(change_, std::abs(predicted - before));
        continue;
      }
      const double head_a = state_.head[Index(a)], head_b = state_.head[Index(b)];
      state_.flow[l] = NextFlow(plan_.laws[l],
                                {.flow = state_.flow[l],
                                 .predicted = predicted,
                                 .head_difference = head_a - head_b,
                                 .head_round_off = HeadRoundOff(head_a, head_b),
                                 .start_flow = plan_.start_flow[l]},
                                &memory_[l]);
      change_ = std::max(change_, std::abs(state_.flow[l] - before));
    }
  }

  // False until it has converged, with the same tolerances as ours.
  bool Linearise() {
    Eigen::Map<Eigen::VectorXd>(matrix_.valuePtr(), matrix_.nonZeros()).setZero();
    for (int n = 0; n < plan_.num_free; ++n) right_side_[n] = -plan_.net_draw[Index(n)];
    double step = 0.0, head = 0.0, largest = 0.0;
    bool opens = false;
    for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
      const int a = plan_.from[l], b = plan_.to[l];
      const double difference = state_.head[Index(a)] - state_.head[Index(b)];
      if (memory_[l].resting) {
        conductance_[l] = kTokenConductance;
        misfit_[l] = 0.0;
        opens = opens || ExcessOverHold(plan_.laws[l], difference) >
                             HeadRoundOff(state_.head[Index(a)], state_.head[Index(b)]);
      } else {
        const DropSlope drop = Evaluate(l, state_.flow[l]);
        conductance_[l] = 1.0 / drop.slope;
        misfit_[l] = difference - drop.drop;
      }
      head = std::max(head, std::abs(misfit_[l]));
      step = std::max(step, conductance_[l] * std::abs(misfit_[l]));
      largest = std::max(largest, std::abs(state_.flow[l]));
      const double wanted = state_.flow[l] + conductance_[l] * misfit_[l];
      if (from_[l]) {
        *from_[l] += conductance_[l];
        right_side_[a] -= wanted;
      }
      if (to_[l]) {
        *to_[l] += conductance_[l];
        right_side_[b] += wanted;
      }
      if (between_[l]) *between_[l] -= conductance_[l];
    }
    const SteadyOptions options;
    return !opens && head <= options.head_tolerance &&
           std::min(step, change_) <= options.step_tolerance * largest;
  }

  const Scenarios& scenarios_;
  const Plan& plan_;
  std::vector<ValveThrottle> throttles_;
  ValveThrottle::Plain plain_[kVaried] = {};
  double opening_[kVaried] = {};
  double change_ = 0.0;  // largest of any flow in the last pass [m³/s]
  SteadyState base_, state_;
  std::vector<PartMemory> memory_;
  std::vector<double> conductance_, misfit_, flow_;
  Eigen::SparseMatrix<double> matrix_;
  std::vector<double*> from_, to_, between_;
  Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>, Eigen::Lower, Eigen::AMDOrdering<int>> solver_;
  Eigen::VectorXd right_side_;
};

// --- Benchmarks ---------------------------------------------------------------------------------

double LargestDifference(const std::vector<double>& a, const std::vector<double>& b) {
  double difference = 0.0, largest = 1e-9;
  for (std::size_t i = 0; i < a.size(); ++i) {
    difference = std::max(difference, std::abs(a[i] - b[i]));
    largest = std::max(largest, std::abs(a[i]));
  }
  return difference / largest;
}

std::size_t NumRows(int junctions) {
  return static_cast<std::size_t>(std::clamp(200'000 / junctions, 500, 10'000));
}

// Work of one thread is timed by what the processor spent on it, which a busy machine changes less.
void CompareRows(benchmark::State& state, const Scenarios& scenarios, bool of_one_thread, auto ours,
                 auto theirs) {
  std::vector<double> our_times, their_times;
  const auto now = [&] {
    if (!of_one_thread) {
      return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch())
          .count();
    }
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
  };
  const auto time = [&](auto& work) {
    const double start = now();
    work();
    return now() - start;
  };
  for (auto _ : state) {
    our_times.push_back(time(ours));
    their_times.push_back(time(theirs));
    state.SetIterationTime(our_times.back());
  }
  const auto median = [](std::vector<double>& times) {
    std::nth_element(times.begin(), times.begin() + static_cast<std::ptrdiff_t>(times.size() / 2),
                     times.end());
    return times[times.size() / 2];
  };
  const double our_time = median(our_times), their_time = median(their_times);
  state.counters["per_second"] = static_cast<double>(scenarios.num_rows) / our_time;
  state.counters["theirs_per_second"] = static_cast<double>(scenarios.num_rows) / their_time;
  state.counters["ratio"] = their_time / our_time;
}

void Lanes(benchmark::State& state, const LaneKernels& kernels) {
  const int junctions = static_cast<int>(state.range(0));
  Scenarios scenarios(junctions, NumRows(junctions));
  ReferenceLoop reference(scenarios);
  BatchSolver solver(scenarios.compiled, scenarios.targets, {}, kernels);
  CompareRows(
      state, scenarios, true, [&] { scenarios.Run(&solver); }, [&] { reference.Run(); });
  state.counters["difference"] = LargestDifference(reference.flow(), scenarios.flow);
  state.counters["one_at_a_time"] =
      static_cast<double>(scenarios.num_rows - scenarios.num_in_lanes);
}

void Workers(benchmark::State& state) {
  const int junctions = static_cast<int>(state.range(0));
  Scenarios scenarios(junctions, 4 * NumRows(junctions));
  BatchSolver one(scenarios.compiled, scenarios.targets, {});
  BatchOptions options;
  options.workers = 2;
  BatchSolver two(scenarios.compiled, scenarios.targets, options);
  CompareRows(
      state, scenarios, false, [&] { scenarios.Run(&two); }, [&] { scenarios.Run(&one); });
  const auto processor_time = [&](BatchSolver* solver) {
    const std::clock_t start = std::clock();
    scenarios.Run(solver);
    return static_cast<double>(std::clock() - start);
  };
  const double of_one = processor_time(&one);
  state.counters["work"] = processor_time(&two) / of_one;
}

void RegisterAll() {
  for (const LaneKernels& kernels : AvailableLaneKernels()) {
    const std::string name =
        "Lanes/" + std::string(kernels.instructions) + "/" + std::to_string(kernels.lanes);
    benchmark::RegisterBenchmark(name.c_str(), Lanes, kernels)
        ->ArgName("junctions")
        ->Args({20})
        ->Args({100})
        ->Args({1000})
        ->Iterations(7)
        ->UseManualTime()
        ->Unit(benchmark::kMillisecond);
  }
  benchmark::RegisterBenchmark("Workers", Workers)
      ->ArgName("junctions")
      ->Args({20})
      ->Args({100})
      ->Args({1000})
      ->Iterations(7)
      ->UseManualTime()
      ->Unit(benchmark::kMillisecond);
}

}  // namespace
}  // namespace handwheel

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 1;
  handwheel::RegisterAll();
  benchmark::RunSpecifiedBenchmarks();
  benchmark::Shutdown();
}
