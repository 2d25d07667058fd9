#pragma once

#include <functional>
#include <optional>
#include <utility>
#include <vector>

#include "handwheel/steady.h"
#include "steady/controls.h"
#include "steady/newton.h"
#include "steady/plan.h"

namespace handwheel {

// What a method returns besides the summary that it fills.
struct MethodResult {
  SteadyState state;
  std::vector<Loop> loops;
  std::vector<LoopCorrection> loop_corrections;
  // Of a solve with controls (controlled.h): the modes of the components under watch, and the plan
  // of the last round.
  std::vector<std::pair<int, ControlMode>> modes{};
  std::optional<Plan> solved_plan{};
};

using MethodFunction =
    std::function<MethodResult(const Plan&, const SteadyOptions&, SteadySummary*)>;

struct SolvedPlan {
  Plan plan;
  MethodResult result;
  SteadySummary summary;  // as the method has it; BuildSolution() recomputes the residuals
};

// Checks the input, compiles, sees that a solution exists, and runs `method`.
SolvedPlan SolvePlan(const Network& network, const SteadyOptions& options,
                     const MethodFunction& method);

// What is reported of a solved plan: shut-in zones found, and both residuals recomputed from what
// is reported. A method that claims convergence beyond the tolerances is overruled.
Solution BuildSolution(const Network& network, const SteadyOptions& options, SolvedPlan solved);

// What every method shares: check the input, compile, see that a solution exists, run `method` once
// or, with controls, in rounds, and BuildSolution().
Solution SolveWith(const Network& network, const SteadyOptions& options,
                   const MethodFunction& method);

MethodResult RunNewton(const Plan& plan, const SteadyOptions& options, SteadySummary* summary);

}  // namespace handwheel
