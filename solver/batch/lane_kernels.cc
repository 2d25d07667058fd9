#include "batch/lane_kernels.h"

// Before the rest, which would be compiled once only.
#include "correlations/friction.h"
#include "steady/laplacian_program.h"
#include "steady/part_step.h"

// Of x86-64 two levels of vectors; of another machine whatever it is built for.
#define HWY_DISABLED_TARGETS (HWY_SSSE3 | HWY_SSE4 | HWY_AVX3_DL)
#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "batch/lane_kernels.cc"
// Includes this file once for each set of instructions.
#include <hwy/foreach_target.h>
// What follows is compiled for each.
#include "batch/lane_kernels-inl.h"

HWY_BEFORE_NAMESPACE();
namespace handwheel {
namespace HWY_NAMESPACE {

// As many lanes as a vector has; two where it has fewer.
LaneKernels OurKernels() {
  return Kernels<std::max<std::size_t>(2, HWY_LANES(double))>();
}

}  // namespace HWY_NAMESPACE
}  // namespace handwheel
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
namespace handwheel {

HWY_EXPORT(OurKernels);

std::vector<LaneKernels> AvailableLaneKernels() {
  const LaneKernels best = HWY_DYNAMIC_DISPATCH(OurKernels)();
  const LaneKernels plain = HWY_STATIC_DISPATCH(OurKernels)();
  if (best.instructions == plain.instructions) return {best};
  return {best, plain};
}

}  // namespace handwheel
#endif
