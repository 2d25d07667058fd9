// What a call costs from C++: the other side of python_overhead.py, which starts it.
//   call_times FILE SCENARIOS     prints seconds of one Solve(), and of one SolveMany() in one
//   thread

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <vector>

#include "handwheel/batch.h"
#include "handwheel/file.h"

namespace handwheel {
namespace {

constexpr int kRounds = 5;
constexpr int kSolvesPerRound = 200;

double Seconds(auto&& call) {
  const std::clock_t start = std::clock();
  call();
  return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

// The best of a few rounds: what disturbs a round only ever adds.
double Best(auto&& call) {
  double best = Seconds(call);
  for (int round = 1; round < kRounds; ++round) best = std::min(best, Seconds(call));
  return best;
}

double TimeSolve(const Network& network) {
  const double round = Best([&] {
    for (int i = 0; i < kSolvesPerRound; ++i) {
      if (!Solve(network).converged()) std::abort();
    }
  });
  return round / kSolvesPerRound;
}

double TimeSolveMany(const Network& network, std::size_t scenarios) {
  std::vector<double> level(scenarios), length(scenarios);
  for (std::size_t i = 0; i < scenarios; ++i) {
    const double along = static_cast<double>(i) / static_cast<double>(scenarios);
    level[i] = 15.0 + 10.0 * along;
    length[i] = 10.0 + 20.0 * along;
  }
  return Best([&] {
    const CompiledNetwork compiled(network);
    const std::size_t components = compiled.component_names().size();
    const std::size_t points = compiled.point_names().size();
    std::vector<double> flow(scenarios * components), pressure(scenarios * points);
    const BatchSummary summary =
        SolveMany(compiled, {{"source.level", level}, {"inlet.length", length}},
                  {{BatchReading::kFlow, {}, flow}, {BatchReading::kPressure, {}, pressure}});
    if (summary.num_solved != scenarios) std::abort();
  });
}

}  // namespace
}  // namespace handwheel

int main(int argc, char** argv) {
  if (argc != 3) return 2;
  const handwheel::Network network = handwheel::LoadNetwork(argv[1]);
  const auto scenarios = static_cast<std::size_t>(std::strtoul(argv[2], nullptr, 10));
  std::printf("%.9g %.9g\n", handwheel::TimeSolve(network),
              handwheel::TimeSolveMany(network, scenarios));
}
