#include "property/batch_more_lanes.h"

#include "correlations/friction.h"
#include "steady/laplacian_program.h"
#include "steady/part_step.h"

#define HWY_DISABLED_TARGETS (HWY_SSSE3 | HWY_SSE4 | HWY_AVX3_DL)
#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "property/batch_more_lanes_test.cc"
#include <hwy/foreach_target.h>
// After foreach_target.h, which brings it in for each set of instructions.
#include "batch/lane_kernels-inl.h"

HWY_BEFORE_NAMESPACE();
namespace handwheel {
namespace HWY_NAMESPACE {

std::vector<LaneKernels> MoreKernels() {
#if HWY_TARGET == HWY_SCALAR
  return {Kernels<1>(), Kernels<8>()};
#else
  return {Kernels<8>()};
#endif
}

}  // namespace HWY_NAMESPACE
}  // namespace handwheel
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
namespace handwheel {
HWY_EXPORT(MoreKernels);

namespace testing {

std::vector<LaneKernels> MoreLaneKernels() {
  std::vector<LaneKernels> list = HWY_DYNAMIC_DISPATCH(MoreKernels)();
  for (const LaneKernels& plain : HWY_STATIC_DISPATCH(MoreKernels)()) list.push_back(plain);
  return list;
}

}  // namespace testing
}  // namespace handwheel
#endif
