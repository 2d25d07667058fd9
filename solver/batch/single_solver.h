#pragma once

#include <string>

#include "batch/outputs.h"
#include "handwheel/batch.h"

namespace handwheel {

// What became of one scenario.
struct RowResult {
  RowOutcome outcome = RowOutcome::kInterrupted;
  double flow_imbalance = 0.0;  // largest, over the largest flow or draw [-]
};

// One scenario after another by Solve() itself, whatever the settings change, and whatever the
// plant holds.
class SingleSolver {
 public:
  SingleSolver(const BatchOutputs& outputs, const SteadyOptions& options)
      : outputs_(outputs), options_(options) {}

  // Writes the outputs of the row; if it is not solved, *reason.
  RowResult Solve(const Network& network, std::size_t row, std::string* reason) const;

 private:
  const BatchOutputs& outputs_;
  const SteadyOptions& options_;
};

}  // namespace handwheel
