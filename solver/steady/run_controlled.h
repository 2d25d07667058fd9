#pragma once

#include "steady/solution_builder.h"

namespace handwheel {

// By a ControlledSolver at once; if that finds no solution, by one that settles first; and if that
// does not either, with the modes that newton finds, which still have to stand by themselves.
MethodResult RunControlled(const Network& network, const Plan& plan, const SteadyOptions& options,
                           const MethodFunction& method, SteadySummary* summary);

}  // namespace handwheel
