#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "handwheel/errors.h"
#include "handwheel/steady.h"

namespace handwheel {

// One solve after another of networks with the same components, each from the flows of the one
// before if told so; afresh where that does not converge.
class SweepSolver {
 public:
  SweepSolver(const SteadyOptions& options, bool warm_start)
      : options_(options), first_flow_(options.initial_flow), warm_start_(warm_start) {}

  // Empty, with the reason, if there is no solution.
  std::optional<Solution> Solve(const Network& network, std::string* reason) {
    if (interrupted_) {
      *reason = "interrupted";
      return std::nullopt;
    }
    try {
      options_.initial_flow = warm_start_ && !last_flow_.empty() ? last_flow_ : first_flow_;
      Solution solution = handwheel::Solve(network, options_);
      if (Failed(solution) && options_.initial_flow != first_flow_) {
        options_.initial_flow = first_flow_;
        solution = handwheel::Solve(network, options_);
      }
      if (solution.converged()) {
        last_flow_ = solution.flow();
        return solution;
      }
      interrupted_ = solution.summary().termination == Termination::kInterrupted;
      *reason = interrupted_ ? "interrupted" : solution.summary().message;
    } catch (const NetworkError& error) {
      *reason = error.what();
    }
    return std::nullopt;
  }

  bool interrupted() const { return interrupted_; }

 private:
  static bool Failed(const Solution& solution) {
    return solution.summary().termination == Termination::kNoConvergence;
  }

  SteadyOptions options_;
  std::vector<double> first_flow_, last_flow_;  // [m³/s]
  bool warm_start_;
  bool interrupted_ = false;
};

}  // namespace handwheel
