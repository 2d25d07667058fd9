#pragma once

#include <cstdint>
#include <vector>

#include "batch/lane_arrays.h"
#include "steady/plan.h"
#include "steady/weighted_laplacian.h"

// What the kernels read of a plan, the same for every lane.
//
// Nodes: the junctions as they are eliminated, then the fixed heads. Components: pipes by
// Colebrook-White, then valves, plain losses, and all others, whose laws are not for vectors.

namespace handwheel {

// Where a component stands in the matrix and the balances.
struct LanePlace {
  std::uint32_t from, to;     // nodes
  std::uint32_t conductance;  // in the values of the matrix
};

// PipeLaw with the numbers of its friction.
struct LanePipe {
  double re_per_flow, laminar, turbulent, minor_linear, minor_quadratic;
  double wall;          // r/3.7
  double square, cube;  // PipeFriction
};

struct LaneLoss {
  double r, q_linear_squared;
  double plain_from;  // flow from which viscosity adds nothing [m³/s]
};

struct LanePlan {
  const LaplacianProgram* program = nullptr;
  std::size_t num_free = 0, num_nodes = 0;
  std::size_t num_pipes = 0, num_valves = 0, num_losses = 0, num_others = 0;
  std::vector<LanePlace> places;  // by component
  std::vector<LanePipe> pipes;
  std::vector<LaneLoss> losses;
  std::vector<std::uint32_t> pins;  // places of a conductance of 1 in the values

  std::size_t num_components() const { return places.size(); }
  std::size_t first_valve() const { return num_pipes; }
  std::size_t first_loss() const { return num_pipes + num_valves; }
  std::size_t first_other() const { return first_loss() + num_losses; }
};

}  // namespace handwheel
