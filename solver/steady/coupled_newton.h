#pragma once

#include "handwheel/steady.h"
#include "steady/solution_builder.h"

namespace handwheel {

// Newton's method with the controls inside its passes (newton_controls.h), valves that choke
// joining as they are found. If it does not converge, ControlledSolver is the one to ask.
MethodResult RunCoupledNewton(const Plan& plan, const SteadyOptions& options,
                              SteadySummary* summary);

}  // namespace handwheel
