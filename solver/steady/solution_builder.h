#pragma once

#include <functional>

#include "handwheel/steady.h"
#include "steady/newton.h"
#include "steady/plan.h"

namespace handwheel {

// What a method returns besides the summary that it fills.
struct MethodResult {
  SteadyState state;
  std::vector<Loop> loops;
  std::vector<LoopCorrection> loop_corrections;
};

using MethodFunction =
    std::function<MethodResult(const Plan&, const SteadyOptions&, SteadySummary*)>;

// What every method shares: check the input, compile, see that a solution exists, run `method`,
// find the shut-in zones, and recompute both residuals from what is reported. A method that claims
// convergence beyond the tolerances is overruled.
Solution SolveWith(const Network& network, const SteadyOptions& options,
                   const MethodFunction& method);

MethodResult RunNewton(const Plan& plan, const SteadyOptions& options, SteadySummary* summary);

}  // namespace handwheel
