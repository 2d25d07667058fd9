#pragma once

#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <cstddef>
#include <vector>

namespace handwheel {

// Times `ours` as the benchmark's own time and `theirs` beside it. Small problems are repeated,
// lest the clock be measured. The ratio is that of the medians: single interruptions fall out.
template <typename Ours, typename Theirs>
void Compare(benchmark::State& state, Ours ours, Theirs theirs) {
  const int repeats = std::max(1, 10'000 / static_cast<int>(state.range(0)));
  const auto time_once = [repeats](auto work) {
    const auto start = std::chrono::steady_clock::now();
    for (int k = 0; k < repeats; ++k) work();
    const std::chrono::duration<double> elapsed = std::chrono::steady_clock::now() - start;
    return elapsed.count() / repeats;
  };
  std::vector<double> our_times, their_times;
  for (auto _ : state) {
    our_times.push_back(time_once(ours));
    their_times.push_back(time_once(theirs));
    state.SetIterationTime(our_times.back());
  }
  const auto median = [](std::vector<double>& times) {
    const auto middle = times.begin() + static_cast<std::ptrdiff_t>(times.size() / 2);
    std::nth_element(times.begin(), middle, times.end());
    return *middle;
  };
  const double our_median = median(our_times), their_median = median(their_times);
  state.counters["ours_us"] = 1e6 * our_median;
  state.counters["theirs_us"] = 1e6 * their_median;
  state.counters["ratio"] = their_median / our_median;
}

}  // namespace handwheel
