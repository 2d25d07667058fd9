#pragma once

#include "handwheel/find_settings.h"
#include "handwheel/fit.h"
#include "handwheel/steady.h"

// The parts that need Ceres Solver, in the library handwheel_optimise.

namespace handwheel::optimise {

// As handwheel::Solve, with every method, kTrustRegion included: Levenberg-Marquardt on the mass
// and energy residuals, an independent second opinion that is slower and may fail on large networks
// with many one-way parts.
Solution Solve(const Network& network, const SteadyOptions& options = {});
Solution Solve(const Network& network, const Settings& settings, const SteadyOptions& options = {});

}  // namespace handwheel::optimise
