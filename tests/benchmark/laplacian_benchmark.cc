// What does one linear step of a network cost against a general sparse LDLᵀ? The same matrices in
// the same run; the counter `ratio` is Eigen's time over ours for the same work, both taken
// alternately within one benchmark, so that a busy machine slows both. For the symbolic phase,
// Eigen starts from a finished matrix and we from a list of links.

#include <benchmark/benchmark.h>

#include <Eigen/SparseCholesky>
#include <algorithm>
#include <chrono>
#include <cstddef>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "benchmark/compare.h"
#include "grid_network.h"
#include "steady/weighted_laplacian.h"

namespace handwheel {
namespace {

using Matrix = Eigen::SparseMatrix<double>;
using Reference = Eigen::SimplicialLDLT<Matrix, Eigen::Lower, Eigen::AMDOrdering<int>>;

// Junctions only: a link to a fixed head is a link to ground.
struct Problem {
  int num_nodes = 0;
  std::vector<int> from, to;
  std::vector<double> conductance;
  std::vector<double> b;

  explicit Problem(const GridNetwork& network) : conductance(network.conductance) {
    std::vector<int> number(static_cast<size_t>(network.num_nodes), LaplacianSymbolic::kGround);
    for (size_t i = 0; i < number.size(); ++i) {
      if (!network.is_fixed[i]) number[i] = num_nodes++;
    }
    for (size_t l = 0; l < network.from.size(); ++l) {
      from.push_back(number[static_cast<size_t>(network.from[l])]);
      to.push_back(number[static_cast<size_t>(network.to[l])]);
    }
    GridNetworkRandom random(7);
    for (int i = 0; i < num_nodes; ++i) b.push_back(random.Uniform() - 0.5);
  }

  Matrix LowerTriangle() const {
    std::vector<Eigen::Triplet<double>> entries;
    for (size_t l = 0; l < from.size(); ++l) {
      const int i = from[l], j = to[l];
      if (i == j) continue;
      if (i >= 0) entries.emplace_back(i, i, conductance[l]);
      if (j >= 0) entries.emplace_back(j, j, conductance[l]);
      if (i >= 0 && j >= 0) entries.emplace_back(std::max(i, j), std::min(i, j), -conductance[l]);
    }
    Matrix matrix(num_nodes, num_nodes);
    matrix.setFromTriplets(entries.begin(), entries.end());
    return matrix;
  }
};

struct Pair {
  explicit Pair(int num_nodes)
      : problem(MakeGridNetwork(num_nodes)),
        matrix(problem.LowerTriangle()),
        ours(
            std::make_shared<const LaplacianSymbolic>(problem.num_nodes, problem.from, problem.to)),
        x(problem.b.size()) {
    theirs.analyzePattern(matrix);
    theirs.factorize(matrix);
    ours.Factor(problem.conductance);
  }

  Problem problem;
  Matrix matrix;
  LaplacianFactor ours;
  Reference theirs;
  std::vector<double> x;
};

Eigen::Map<const Eigen::VectorXd> AsVector(const std::vector<double>& v) {
  return {v.data(), static_cast<Eigen::Index>(v.size())};
}

void Symbolic(benchmark::State& state) {
  const Problem problem(MakeGridNetwork(static_cast<int>(state.range(0))));
  const Matrix matrix = problem.LowerTriangle();
  Reference theirs;
  Compare(
      state,
      [&] {
        benchmark::DoNotOptimize(LaplacianSymbolic(problem.num_nodes, problem.from, problem.to));
      },
      [&] { theirs.analyzePattern(matrix); });
}

void Factor(benchmark::State& state) {
  Pair pair(static_cast<int>(state.range(0)));
  Compare(
      state, [&] { benchmark::DoNotOptimize(pair.ours.Factor(pair.problem.conductance)); },
      [&] { pair.theirs.factorize(pair.matrix); });
  state.SetLabel(
      std::to_string(pair.ours.symbolic().factor_nonzeros()) + " numbers, Eigen " +
      std::to_string(pair.theirs.matrixL().nestedExpression().nonZeros() + pair.problem.num_nodes));
}

void Solve(benchmark::State& state) {
  Pair pair(static_cast<int>(state.range(0)));
  Eigen::VectorXd y;
  Compare(
      state, [&] { pair.ours.Solve(pair.problem.b, pair.x); },
      [&] { y = pair.theirs.solve(AsVector(pair.problem.b)); });
}

void FactorAndSolve(benchmark::State& state) {
  Pair pair(static_cast<int>(state.range(0)));
  Eigen::VectorXd y;
  Compare(
      state,
      [&] {
        pair.ours.Factor(pair.problem.conductance);
        pair.ours.Solve(pair.problem.b, pair.x);
      },
      [&] {
        pair.theirs.factorize(pair.matrix);
        y = pair.theirs.solve(AsVector(pair.problem.b));
      });
}

// The number of iterations is fixed: Google Benchmark would find it by building the problem anew.
void RegisterAll() {
  const std::pair<const char*, void (*)(benchmark::State&)> works[] = {
      {"Symbolic", Symbolic},
      {"Factor", Factor},
      {"Solve", Solve},
      {"FactorAndSolve", FactorAndSolve}};
  for (const auto& [name, work] : works) {
    for (const int size : {20, 100, 1000, 10'000, 100'000, 1'000'000}) {
      benchmark::RegisterBenchmark(name, work)
          ->ArgName("junctions")
          ->Arg(size)
          ->Iterations(std::clamp(2'000'000 / size, 3, 100))
          ->UseManualTime()
          ->Unit(benchmark::kMicrosecond);
    }
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
