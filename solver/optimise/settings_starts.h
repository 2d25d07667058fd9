#pragma once

#include <vector>

#include "studies/varied.h"

namespace handwheel {

// Points to search from: first the present numbers, moved into their bounds, then points spread
// evenly over the bounds (Halton's sequence), the same every time. Where nothing ends a number, it
// is spread over twice its size.
std::vector<std::vector<double>> SpreadStarts(const std::vector<Varied>& varied, int count);

}  // namespace handwheel
