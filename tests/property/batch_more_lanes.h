#pragma once

#include <vector>

#include "batch/lane_kernels.h"

namespace handwheel::testing {

// Kernels beside those of the library: of eight lanes by the best instructions at hand, and of one
// and eight, one number after the other, where that is what every machine of the kind can run.
std::vector<LaneKernels> MoreLaneKernels();

}  // namespace handwheel::testing
