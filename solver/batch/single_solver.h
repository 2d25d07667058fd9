#pragma once

#include <string>
#include <vector>

#include "batch/outputs.h"
#include "handwheel/batch.h"

namespace handwheel {

// What became of one scenario.
struct RowResult {
  RowOutcome outcome = RowOutcome::kInterrupted;
  double flow_imbalance = 0.0;  // largest, over the largest flow or draw [-]
  bool in_lanes = false;
};

// One scenario after another by Solve(): whatever the settings change, and whatever the plant
// holds. Each starts from the same flows, afresh where that does not converge.
class SingleSolver {
 public:
  SingleSolver(const BatchOutputs& outputs, const SteadyOptions& options)
      : outputs_(outputs), options_(options), start_(options.initial_flow) {}

  // Writes the outputs of the row; if it is not solved, *reason.
  RowResult Solve(const Network& network, std::size_t row, std::string* reason);

 private:
  Solution SolveFrom(const Network& network, const std::vector<double>& start);

  const BatchOutputs& outputs_;
  SteadyOptions options_;
  std::vector<double> start_;
};

}  // namespace handwheel
