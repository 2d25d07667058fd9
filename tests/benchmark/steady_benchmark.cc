// Where does the time of a steady solve go, and what would general-purpose parts take for the same
// equations? Grids of pipes with 5 % valves, no one-way parts (KINSOL's Newton does not get through
// those).
//   Friction, Assembly, Factor, Solve: one pass of each step
//   Newton: plan to solution, symbolic work included, against the same iteration on Eigen's
//   SimplicialLDLT Kinsol: plan to solution against KINSOL with KLU on flows and heads together
// The counter `ratio` is the reference's time over ours within the same run.

#include <kinsol/kinsol.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_klu.h>
#include <sunmatrix/sunmatrix_sparse.h>

#include <Eigen/SparseCholesky>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <memory>

#include "benchmark/compare.h"
#include "property/random_network.h"
#include "steady/newton.h"
#include "steady/plan.h"
#include "steady/weighted_laplacian.h"

namespace handwheel {
namespace {

std::size_t Index(int i) {
  return static_cast<std::size_t>(i);
}

Plan GridPlan(int junctions, bool check_valves) {
  return CompilePlan(
      testing::GridPlant(7, {.junctions = junctions, .check_valves = check_valves}).Take());
}

SteadyState RunOurs(const Plan& plan, const SteadyOptions& options) {
  SteadySummary summary;
  SteadyState state = NewtonSolver(plan, options).Solve(&summary);
  if (summary.termination != Termination::kConverged) std::abort();
  return state;
}

// --- The reference: the same Newton iteration on head corrections, Eigen's LDLT for the linear
// step ---

class EigenNewton {
 public:
  explicit EigenNewton(const Plan& plan) : plan_(plan) {
    std::vector<Eigen::Triplet<double>> entries;
    for (std::size_t l = 0; l < plan.laws.size(); ++l) {
      const int a = plan.from[l], b = plan.to[l];
      if (!plan.IsFixed(a)) entries.emplace_back(a, a, 1.0);
      if (!plan.IsFixed(b)) entries.emplace_back(b, b, 1.0);
      if (!plan.IsFixed(a) && !plan.IsFixed(b)) {
        entries.emplace_back(std::max(a, b), std::min(a, b), 1.0);
      }
    }
    matrix_.resize(plan.num_free, plan.num_free);
    matrix_.setFromTriplets(entries.begin(), entries.end());
    for (std::size_t l = 0; l < plan.laws.size(); ++l) {
      const int a = plan.from[l], b = plan.to[l];
      from_.push_back(plan.IsFixed(a) ? nullptr : &matrix_.coeffRef(a, a));
      to_.push_back(plan.IsFixed(b) ? nullptr : &matrix_.coeffRef(b, b));
      between_.push_back(from_.back() && to_.back() && a != b
                             ? &matrix_.coeffRef(std::max(a, b), std::min(a, b))
                             : nullptr);
    }
    solver_.analyzePattern(matrix_);
  }

  SteadyState Solve(const SteadyOptions& options) {
    SteadyState state{plan_.start_flow, StartHeads(plan_)};
    Eigen::VectorXd right_side(plan_.num_free);
    std::vector<double> imbalance, conductance(plan_.laws.size()), misfit(plan_.laws.size());
    for (int i = 0; i < 200; ++i) {
      Eigen::Map<Eigen::VectorXd>(matrix_.valuePtr(), matrix_.nonZeros()).setZero();
      FlowImbalance(plan_, state.flow, &imbalance);
      for (std::size_t n = 0; n < imbalance.size(); ++n) {
        right_side[static_cast<Eigen::Index>(n)] = imbalance[n];
      }
      double worst_step = 0.0, worst_head = 0.0, largest = 0.0;
      for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
        const DropSlope at = EvaluateLaw(plan_.laws[l], state.flow[l]);
        conductance[l] = 1.0 / at.slope;
        misfit[l] = state.head[Index(plan_.from[l])] - state.head[Index(plan_.to[l])] - at.drop;
        worst_head = std::max(worst_head, std::abs(misfit[l]));
        worst_step = std::max(worst_step, conductance[l] * std::abs(misfit[l]));
        largest = std::max(largest, std::abs(state.flow[l]));
        const double dq = conductance[l] * misfit[l];
        if (from_[l]) {
          *from_[l] += conductance[l];
          right_side[plan_.from[l]] -= dq;
        }
        if (to_[l]) {
          *to_[l] += conductance[l];
          right_side[plan_.to[l]] += dq;
        }
        if (between_[l]) *between_[l] -= conductance[l];
      }
      if (worst_head <= options.head_tolerance && worst_step <= options.step_tolerance * largest) {
        return state;
      }
      solver_.factorize(matrix_);
      const Eigen::VectorXd dh = solver_.solve(right_side);
      const auto at = [&](int node) { return plan_.IsFixed(node) ? 0.0 : dh[node]; };
      for (int n = 0; n < plan_.num_free; ++n) state.head[Index(n)] += dh[n];
      for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
        state.flow[l] += conductance[l] * (misfit[l] + at(plan_.from[l]) - at(plan_.to[l]));
      }
    }
    std::abort();
  }

 private:
  const Plan& plan_;
  Eigen::SparseMatrix<double> matrix_;
  std::vector<double*> from_, to_, between_;
  Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>, Eigen::Lower, Eigen::AMDOrdering<int>> solver_;
};

// --- KINSOL with KLU on (heads of junctions, flows): mass balances, then head drops
// -------------------

class Kinsol {
 public:
  explicit Kinsol(const Plan& plan) : plan_(plan) {
    const sunindextype n = plan.num_free + plan.num_components();
    SUNContext_Create(nullptr, &context_);
    unknowns_ = N_VNew_Serial(n, context_);
    scale_ = N_VNew_Serial(n, context_);
    N_VConst(1.0, scale_);
    matrix_ = SUNSparseMatrix(n, n, 5 * plan.num_components(), CSC_MAT, context_);
    linear_ = SUNLinSol_KLU(unknowns_, matrix_, context_);
    memory_ = KINCreate(context_);
    KINInit(memory_, Residual, unknowns_);
    KINSetUserData(memory_, this);
    KINSetLinearSolver(memory_, linear_, matrix_);
    KINSetJacFn(memory_, Jacobian);
    KINSetFuncNormTol(memory_, 1e-9);
    KINSetScaledStepTol(memory_, 1e-14);
    KINSetMaxSetupCalls(memory_, 1);
    KINSetNumMaxIters(memory_, 200);
    KINSetMaxNewtonStep(memory_, 1e9);
    KINSetErrHandlerFn(
        memory_, [](int, const char*, const char*, char*, void*) {}, nullptr);
  }
  ~Kinsol() {
    KINFree(&memory_);
    SUNLinSolFree(linear_);
    SUNMatDestroy(matrix_);
    N_VDestroy(unknowns_);
    N_VDestroy(scale_);
    SUNContext_Free(&context_);
  }
  Kinsol(const Kinsol&) = delete;
  Kinsol& operator=(const Kinsol&) = delete;

  bool Solve() {
    double* u = N_VGetArrayPointer(unknowns_);
    const std::vector<double> head = StartHeads(plan_);
    std::copy(head.begin(), head.begin() + plan_.num_free, u);
    std::copy(plan_.start_flow.begin(), plan_.start_flow.end(), u + plan_.num_free);
    return KINSol(memory_, unknowns_, KIN_NONE, scale_, scale_) >= 0;
  }
  double Flow(std::size_t l) const {
    return N_VGetArrayPointer(unknowns_)[Index(plan_.num_free) + l];
  }

 private:
  double HeadAt(const double* u, int node) const {
    return plan_.IsFixed(node) ? plan_.fixed_head[Index(node - plan_.num_free)] : u[node];
  }

  static int Residual(N_Vector unknowns, N_Vector residual, void* self) {
    const Plan& plan = static_cast<Kinsol*>(self)->plan_;
    const double* u = N_VGetArrayPointer(unknowns);
    double* r = N_VGetArrayPointer(residual);
    for (int i = 0; i < plan.num_free; ++i) r[i] = -plan.net_draw[Index(i)];
    for (int l = 0; l < plan.num_components(); ++l) {
      const double q = u[plan.num_free + l];
      const int a = plan.from[Index(l)], b = plan.to[Index(l)];
      if (!plan.IsFixed(a)) r[a] -= q;
      if (!plan.IsFixed(b)) r[b] += q;
      const auto* kinsol = static_cast<Kinsol*>(self);
      r[plan.num_free + l] =
          kinsol->HeadAt(u, a) - kinsol->HeadAt(u, b) - EvaluateLaw(plan.laws[Index(l)], q).drop;
    }
    return 0;
  }

  // Columns of heads hold +1/-1 in the head drops of the components at hand; columns of flows hold
  // the mass balances of their ends and their own slope.
  static int Jacobian(N_Vector unknowns, N_Vector, SUNMatrix matrix, void* self, N_Vector,
                      N_Vector) {
    const Plan& plan = static_cast<Kinsol*>(self)->plan_;
    const double* u = N_VGetArrayPointer(unknowns);
    sunindextype* pointers = SUNSparseMatrix_IndexPointers(matrix);
    sunindextype* rows = SUNSparseMatrix_IndexValues(matrix);
    double* values = SUNSparseMatrix_Data(matrix);
    std::vector<std::vector<std::pair<int, double>>>& ends = static_cast<Kinsol*>(self)->ends_;
    if (ends.empty()) {
      ends.resize(Index(plan.num_free));
      for (int l = 0; l < plan.num_components(); ++l) {
        const int a = plan.from[Index(l)], b = plan.to[Index(l)];
        if (!plan.IsFixed(a)) ends[Index(a)].emplace_back(plan.num_free + l, 1.0);
        if (!plan.IsFixed(b)) ends[Index(b)].emplace_back(plan.num_free + l, -1.0);
      }
    }
    sunindextype entry = 0;
    sunindextype column = 0;
    for (const auto& end : ends) {
      pointers[column++] = entry;
      for (const auto& [row, value] : end) {
        rows[entry] = row;
        values[entry++] = value;
      }
    }
    for (int l = 0; l < plan.num_components(); ++l) {
      pointers[column++] = entry;
      const int a = plan.from[Index(l)], b = plan.to[Index(l)];
      const auto put = [&](int row, double value) {
        rows[entry] = row;
        values[entry++] = value;
      };
      if (!plan.IsFixed(a)) put(a, -1.0);
      if (!plan.IsFixed(b)) put(b, 1.0);
      put(plan.num_free + l, -EvaluateLaw(plan.laws[Index(l)], u[plan.num_free + l]).slope);
    }
    pointers[column] = entry;
    return 0;
  }

  const Plan& plan_;
  std::vector<std::vector<std::pair<int, double>>> ends_;
  SUNContext context_ = nullptr;
  N_Vector unknowns_ = nullptr, scale_ = nullptr;
  SUNMatrix matrix_ = nullptr;
  SUNLinearSolver linear_ = nullptr;
  void* memory_ = nullptr;
};

double LargestDifference(const Plan& plan, const SteadyState& ours, const auto& flow_of) {
  double difference = 0.0, largest = 1e-9;
  for (std::size_t l = 0; l < plan.laws.size(); ++l) {
    difference = std::max(difference, std::abs(ours.flow[l] - flow_of(l)));
    largest = std::max(largest, std::abs(ours.flow[l]));
  }
  return difference / largest;
}

// --- Benchmarks ---------------------------------------------------------------------------------

// One pass over a solved network, by step.
struct Pass {
  explicit Pass(int junctions) : plan(GridPlan(junctions, false)) {
    state = RunOurs(plan, {});
    std::vector<int> from, to;
    for (std::size_t l = 0; l < plan.laws.size(); ++l) {
      from.push_back(plan.IsFixed(plan.from[l]) ? LaplacianSymbolic::kGround : plan.from[l]);
      to.push_back(plan.IsFixed(plan.to[l]) ? LaplacianSymbolic::kGround : plan.to[l]);
    }
    factor = std::make_unique<LaplacianFactor>(
        std::make_shared<const LaplacianSymbolic>(plan.num_free, from, to));
    conductance.resize(plan.laws.size());
    x.resize(Index(plan.num_free));
    Friction();
    Assemble();
    factor->Factor(conductance);
  }
  void Friction() {
    for (std::size_t l = 0; l < plan.laws.size(); ++l) {
      conductance[l] = 1.0 / EvaluateLaw(plan.laws[l], state.flow[l]).slope;
    }
  }
  void Assemble() { FlowImbalance(plan, state.flow, &imbalance); }

  Plan plan;
  SteadyState state;
  std::unique_ptr<LaplacianFactor> factor;
  std::vector<double> conductance, imbalance, x;
};

template <typename Work>
void TimeStep(benchmark::State& state, Work work) {
  Pass pass(static_cast<int>(state.range(0)));
  for (auto _ : state) {
    work(pass);
    benchmark::ClobberMemory();
  }
  state.counters["components"] = pass.plan.num_components();
}
void StepFriction(benchmark::State& state) {
  TimeStep(state, [](Pass& pass) { pass.Friction(); });
}
void StepAssembly(benchmark::State& state) {
  TimeStep(state, [](Pass& pass) { pass.Assemble(); });
}
void StepFactor(benchmark::State& state) {
  TimeStep(state, [](Pass& pass) { pass.factor->Factor(pass.conductance); });
}
void StepSolve(benchmark::State& state) {
  TimeStep(state, [](Pass& pass) { pass.factor->Solve(pass.imbalance, pass.x); });
}

void Newton(benchmark::State& state) {
  const Plan plan = GridPlan(static_cast<int>(state.range(0)), false);
  const SteadyOptions options;
  const SteadyState ours = RunOurs(plan, options);
  const SteadyState theirs = EigenNewton(plan).Solve(options);
  Compare(
      state, [&] { benchmark::DoNotOptimize(RunOurs(plan, options)); },
      [&] { benchmark::DoNotOptimize(EigenNewton(plan).Solve(options)); });
  state.counters["difference"] =
      LargestDifference(plan, ours, [&](std::size_t l) { return theirs.flow[l]; });
}

void NewtonWithCheckValves(benchmark::State& state) {
  const Plan plan = GridPlan(static_cast<int>(state.range(0)), true);
  SteadySummary summary;
  for (auto _ : state) benchmark::DoNotOptimize(NewtonSolver(plan, {}).Solve(&summary));
  state.counters["iterations"] = summary.num_iterations;
}

void KinsolPeer(benchmark::State& state) {
  const Plan plan = GridPlan(static_cast<int>(state.range(0)), false);
  const SteadyState ours = RunOurs(plan, {});
  Kinsol kinsol(plan);
  if (!kinsol.Solve()) {
    state.SkipWithError("KINSOL does not converge");
    return;
  }
  Compare(
      state, [&] { benchmark::DoNotOptimize(RunOurs(plan, {})); },
      [&] { benchmark::DoNotOptimize(Kinsol(plan).Solve()); });
  state.counters["difference"] =
      LargestDifference(plan, ours, [&](std::size_t l) { return kinsol.Flow(l); });
}

void RegisterAll() {
  const std::pair<const char*, void (*)(benchmark::State&)> steps[] = {
      {"Friction", StepFriction},
      {"Assembly", StepAssembly},
      {"Factor", StepFactor},
      {"Solve", StepSolve},
      {"NewtonWithCheckValves", NewtonWithCheckValves}};
  for (const auto& [name, work] : steps) {
    for (const int size : {1000, 10'000, 100'000, 1'000'000}) {
      benchmark::RegisterBenchmark(name, work)
          ->ArgName("junctions")
          ->Arg(size)
          ->Iterations(std::clamp(2'000'000 / size, 3, 500))
          ->Unit(benchmark::kMillisecond);
    }
  }
  for (const int size : {20, 100, 1000, 10'000, 100'000, 1'000'000}) {
    benchmark::RegisterBenchmark("Newton", Newton)
        ->ArgName("junctions")
        ->Arg(size)
        ->Iterations(std::clamp(300'000 / size, 3, 50))
        ->UseManualTime()
        ->Unit(benchmark::kMillisecond);
  }
  for (const int size : {20, 100, 1000, 10'000}) {
    benchmark::RegisterBenchmark("Kinsol", KinsolPeer)
        ->ArgName("junctions")
        ->Arg(size)
        ->Iterations(std::clamp(20'000 / size, 3, 20))
        ->UseManualTime()
        ->Unit(benchmark::kMillisecond);
  }
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
