#include "handwheel/optimise.h"

#include "optimise/trust_region.h"
#include "steady/solution_builder.h"

namespace handwheel::optimise {

Solution Solve(const Network& network, const SteadyOptions& options) {
  if (options.method != Method::kTrustRegion) return handwheel::Solve(network, options);
  return SolveWith(network, options, RunTrustRegion);
}

Solution Solve(const Network& network, const Settings& settings, const SteadyOptions& options) {
  Network changed = network;
  changed.Apply(settings);
  return optimise::Solve(changed, options);
}

}  // namespace handwheel::optimise
