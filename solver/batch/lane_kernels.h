#pragma once

#include <cstddef>
#include <string_view>
#include <vector>

#include "batch/lane_arrays.h"
#include "batch/lane_plan.h"
#include "components/loss_law.h"

namespace handwheel {

// Drops of single lanes that left the range of a vector formula, by the scalar laws.
class OffRange {
 public:
  virtual DropSlope Valve(std::size_t valve, std::size_t lane, double flow) = 0;
  virtual DropSlope Loss(std::size_t loss, double flow) = 0;

 protected:
  ~OffRange() = default;
};

// The arithmetic of all lanes at once, for one instruction set and number of lanes. No lane's
// result depends on its neighbours, their number or the instruction set: every operation is one
// that IEEE 754 rounds, in one order, and nothing is fused.
struct LaneKernels {
  std::string_view instructions;
  std::size_t lanes;

  // correction = what the values (conductances on entry) make of right_side, which it replaces.
  void (*solve)(const LanePlan& plan, LaneArrays& at);
  // One pass over all but the others: moves heads and flows by the corrections, linearises at the
  // new flows, and sums up the values and the right-hand side.
  void (*sweep)(const LanePlan& plan, LaneArrays& at, OffRange& off_range);
};

// Those for this machine, the one to prefer first; the other, if any, is what every machine of its
// kind can run.
std::vector<LaneKernels> AvailableLaneKernels();

}  // namespace handwheel
