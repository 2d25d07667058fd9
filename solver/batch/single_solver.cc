#include "batch/single_solver.h"

#include <algorithm>
#include <cmath>

#include "handwheel/errors.h"

namespace handwheel {
namespace {

double FlowImbalanceOf(const Solution& solution) {
  double largest = 0.0;
  for (const double flow : solution.flow()) largest = std::max(largest, std::abs(flow));
  for (const Junction& junction : solution.network().junctions) {
    largest = std::max(largest, std::abs(junction.draw - junction.feed));
  }
  return ShareOfFlow(solution.summary().max_flow_imbalance, largest);
}

}  // namespace

RowResult SingleSolver::Solve(const Network& network, std::size_t row, std::string* reason) const {
  RowResult result{.outcome = RowOutcome::kRefused};
  outputs_.WriteNothing(row);
  try {
    network.Validate();
    result.outcome = RowOutcome::kNoSolution;
    const Solution solution = handwheel::Solve(network, options_);
    if (!solution.converged()) {
      *reason = solution.summary().message;
      result.outcome = RowOutcome::kNotConverged;
      return result;
    }
    outputs_.Write(row, {.flow = solution.flow(),
                         .velocity = solution.velocity(),
                         .drop = solution.drop(),
                         .head = solution.head(),
                         .pressure = solution.pressure()});
    result.outcome = RowOutcome::kSolved;
    result.flow_imbalance = FlowImbalanceOf(solution);
  } catch (const NetworkError& error) {
    *reason = error.what();
  }
  return result;
}

}  // namespace handwheel
