#include "batch/lane_kernels.h"

#include <gtest/gtest.h>

#include <cmath>

#include "components/pipe_law.h"

namespace handwheel {
namespace {

struct NoOthers final : OffRange {
  DropSlope Valve(std::size_t, std::size_t, double) override { return {}; }
  DropSlope Loss(std::size_t, double) override { return {}; }
};

// One pipe between two fixed heads of 0: a pass takes each lane to its flow and linearises there.
class OnePipe {
 public:
  OnePipe(const PipeLaw& law, double r, const LaneKernels& kernels) : kernels_(kernels) {
    plan_.program = &program_;
    plan_.num_nodes = 2;
    plan_.num_pipes = 1;
    plan_.places = {{0, 1, 0}};
    plan_.pipes = {{law.re_per_flow, law.laminar, law.turbulent, law.minor_linear,
                    law.minor_quadratic, r / kRoughnessScale, law.friction.square(),
                    law.friction.cube()}};
    const std::size_t lanes = kernels.lanes;
    for (LaneArray* list : {&at_.flow, &at_.conductance, &at_.misfit, &at_.root, &at_.values}) {
      *list = LaneArray(1, lanes);
    }
    for (LaneArray* list : {&at_.head, &at_.correction, &at_.right_side, &at_.feed}) {
      *list = LaneArray(2, lanes);
    }
    std::fill_n(at_.root.data(), lanes, 9.0);
  }

  void Pass(const std::vector<double>& flow) {
    for (std::size_t lane = 0; lane < kernels_.lanes; ++lane) {
      at_.conductance.data()[lane] = 1.0;
      at_.misfit.data()[lane] = flow[lane] - at_.flow.data()[lane];
    }
    kernels_.sweep(plan_, at_, others_);
  }
  DropSlope In(std::size_t lane) const {
    return {-at_.misfit.data()[lane], 1.0 / at_.conductance.data()[lane]};
  }
  double Flow(std::size_t lane) const { return at_.flow.data()[lane]; }

 private:
  LaneKernels kernels_;
  LaplacianProgram program_;
  LanePlan plan_;
  LaneArrays at_;
  NoOthers others_;
};

PipeLaw Law(double r) {
  return {.friction = PipeFriction(FrictionFormula::kColebrook, r),
          .re_per_flow = 1e7,
          .laminar = 64.0 / 1e7 * 3000.0,
          .turbulent = 3000.0,
          .minor_linear = 1e-5,
          .minor_quadratic = 20.0,
          .laminar_limit = kLaminarLimit};
}

// Reynolds numbers of 1 to 1e9, every regime in one vector, both ways. The first pass comes from a
// root of nowhere, the second finds it at hand. 4e-14: the exponential of the transition has 10
// units in the last place, the others a few.
TEST(LaneKernels, FollowThePipesOwnLawInEveryRegime) {
  for (const LaneKernels& kernels : AvailableLaneKernels()) {
    for (const double r : {0.0, 1e-5, 1e-3, 0.05}) {
      const PipeLaw law = Law(r);
      OnePipe pipe(law, r, kernels);
      for (double power = -7.0; power < 2.0; power += 0.37) {
        std::vector<double> flow;
        for (std::size_t lane = 0; lane < kernels.lanes; ++lane) {
          const double size = std::pow(10.0, power + 0.21 * static_cast<double>(lane));
          flow.push_back(lane % 2 == 0 ? size : -size);
        }
        pipe.Pass(flow);
        pipe.Pass(flow);
        for (std::size_t lane = 0; lane < kernels.lanes; ++lane) {
          const DropSlope expected = law.At(pipe.Flow(lane));
          EXPECT_NEAR(pipe.In(lane).drop, expected.drop, 4e-14 * std::abs(expected.drop))
              << kernels.instructions << " r " << r << " flow " << flow[lane];
          EXPECT_NEAR(pipe.In(lane).slope, expected.slope, 1e-12 * expected.slope)
              << kernels.instructions << " r " << r << " flow " << flow[lane];
        }
      }
    }
  }
}

}  // namespace
}  // namespace handwheel
