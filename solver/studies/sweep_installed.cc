#include "studies/sweep_installed.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "handwheel/errors.h"
#include "steady/plant_view.h"
#include "studies/sweep_solver.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

constexpr double kStep = 5e-4;                     // of opening, for the gain
constexpr double kNearlyShut = 1e-3;               // opening
constexpr double kLowGain = 0.5, kHighGain = 2.0;  // relative; common practice, no source
// Flow that passes for none [m³/s]: the solver's usual tolerance.
constexpr double kAtRest = 1e-9;

struct Passed {
  double flow = kNaN;  // [m³/s]
  double drop = kNaN;  // [m]
};

class InstalledFinder {
 public:
  InstalledFinder(const Network& network, const std::string& valve, const SweepOptions& options)
      : network_(network), solver_(options.steady, options.warm_start), enough_(options.enough) {
    const auto& valves = network_.valves;
    const auto found = std::find_if(valves.begin(), valves.end(), [&](const Valve& candidate) {
      return candidate.name == valve;
    });
    index_ = static_cast<std::size_t>(found - valves.begin());
    found_.valve = valve;
  }

  InstalledCharacteristic Run(const OpeningFlows& rows, bool* interrupted) {
    const Passed open = At(1.0);
    found_.full_flow = open.flow;
    found_.drop_open = open.drop;
    FindDropShut();
    FindAuthority();
    TakeRows(rows);
    FindEnoughOpening();
    FindBestRange();
    *interrupted = *interrupted || solver_.interrupted();
    return std::move(found_);
  }

 private:
  Passed At(double opening) {
    network_.valves[index_].opening = opening;
    std::string reason;
    const auto solution = solver_.Solve(network_, &reason);
    if (!solution) return {};
    const std::size_t component = network_.pipes.size() + index_;
    return {solution->flow()[component], solution->drop()[component]};
  }

  void FindDropShut() {
    const Passed shut = At(0.0);
    found_.drop_shut = shut.drop;
    if (std::isnan(shut.flow) || !std::isnan(shut.drop)) return;
    found_.nearly_shut = true;
    found_.drop_shut = At(kNearlyShut).drop;
  }

  void FindAuthority() {
    const double authority = found_.drop_open / found_.drop_shut;
    // A drop that turns round when it shuts shares no pressure with the rest of the line.
    if (authority >= 0.0 && std::isfinite(authority)) found_.authority = authority;
  }

  void TakeRows(OpeningFlows rows) {
    std::stable_sort(rows.begin(), rows.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    for (const auto& [opening, flow] : rows) {
      if (!found_.opening.empty() && found_.opening.back() == opening) continue;
      found_.opening.push_back(opening);
      found_.flow.push_back(flow);
      const double low = std::max(0.0, opening - kStep), high = std::min(1.0, opening + kStep);
      const double gain = (At(high).flow - At(low).flow) / (high - low);
      found_.gain.push_back(gain);
      const bool flows = std::abs(found_.full_flow) > kAtRest;
      found_.relative_gain.push_back(flows ? gain / found_.full_flow : kNaN);
      if (solver_.interrupted()) return;
    }
  }

  // Flow rises with the opening, so halving finds where it has risen enough.
  void FindEnoughOpening() {
    if (!(std::abs(found_.full_flow) > kAtRest)) return;
    double low = 0.0, high = 1.0;
    while (high - low > 1e-3) {
      const double middle = 0.5 * (low + high);
      const double share = At(middle).flow / found_.full_flow;
      if (std::isnan(share)) return;
      (share >= enough_ ? high : low) = middle;
    }
    found_.enough_opening = high;
  }

  struct Span {
    double from, to;
  };

  // Where the gain, straight between two openings, keeps within the bounds.
  std::optional<Span> Within(std::size_t i) const {
    const double x0 = found_.opening[i], x1 = found_.opening[i + 1];
    const double g0 = found_.relative_gain[i], g1 = found_.relative_gain[i + 1];
    if (!std::isfinite(g0) || !std::isfinite(g1)) return std::nullopt;
    double from = 0.0, to = 1.0;  // of the way from x0 to x1
    for (const double bound : {kLowGain, kHighGain}) {
      const bool low = bound == kLowGain;
      const auto is_out = [&](double g) { return low ? g < bound : g > bound; };
      if (is_out(g0) && is_out(g1)) return std::nullopt;
      const double crossing = (bound - g0) / (g1 - g0);
      if (is_out(g0)) from = std::max(from, crossing);
      if (is_out(g1)) to = std::min(to, crossing);
    }
    if (from > to) return std::nullopt;
    return Span{from == 0.0 ? x0 : x0 + from * (x1 - x0), to == 1.0 ? x1 : x0 + to * (x1 - x0)};
  }

  void FindBestRange() {
    std::optional<Span> widest, current;
    for (std::size_t i = 0; i + 1 < found_.relative_gain.size(); ++i) {
      const auto span = Within(i);
      if (!span) continue;
      const bool goes_on = current && current->to == span->from;
      current = Span{goes_on ? current->from : span->from, span->to};
      if (!widest || current->to - current->from > widest->to - widest->from) widest = current;
    }
    if (!widest || !(widest->to > widest->from)) return;
    found_.best_from = widest->from;
    found_.best_to = widest->to;
  }

  Network network_;
  SweepSolver solver_;
  double enough_;
  std::size_t index_ = 0;  // of the valve
  InstalledCharacteristic found_;
};

}  // namespace

InstalledCharacteristic FindInstalledCharacteristic(const Network& network,
                                                    const std::string& valve,
                                                    const OpeningFlows& rows,
                                                    const SweepOptions& options,
                                                    bool* interrupted) {
  return InstalledFinder(network, valve, options).Run(rows, interrupted);
}

}  // namespace handwheel
