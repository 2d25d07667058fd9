#ifndef HANDWHEEL_STEADY_WEIGHTED_LAPLACIAN_H_
#define HANDWHEEL_STEADY_WEIGHTED_LAPLACIAN_H_

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "steady/laplacian_program.h"

namespace handwheel {

// Sparse direct solution of  sum over links l at i of c_l (x_i - x_other end) = b_i  for the
// potentials x_i of `num_nodes` nodes, where every c_l >= 0 and an end on ground has potential 0.
// With x in metres of head, c in m²/s and b in m³/s fed in, it is one linear step of a network.
//
// The elimination never subtracts. It keeps the conductances w_ij between nodes and the excess e_i,
// the conductance from i to ground, and forms the pivot when it needs it:
//   d_i = e_i + sum_j w_ij;   w_jk += w_ij w_ik / d_i;   e_j += w_ij e_i / d_i.
// Hence every number of the factor is accurate to a few units in the last place times the number
// of additions behind it, whatever the contrast of the conductances, and so is every x_i if all
// b_i have one sign. An ordinary factorisation forms d_i by cancellation and loses as many digits
// as the conductances span. With mixed signs of b the error is as small relative to the solution
// for |b|.
// Sources: Grassmann, Taksar & Heyman, Oper. Res. 33(5), 1107-1116, 1985 (the elimination); Alfa,
// Xue & Ye, Math. Comp. 71, 217-236, 2002 (its accuracy for diagonally dominant M-matrices).

// What depends on the links alone: order of elimination, structure of the factor, and the place of
// every number. Immutable, so that any number of factors in any number of threads may share it.
class LaplacianSymbolic {
 public:
  static constexpr int kGround = -1;

  // Link l joins from[l] and to[l], each a node in [0, num_nodes) or kGround. Parallel links add
  // up; a link from a node to itself or from ground to ground is ignored.
  // Throws nothing but std::bad_alloc (also when the factor would exceed 2^32 numbers).
  LaplacianSymbolic(int num_nodes, std::span<const int> from, std::span<const int> to);

  int num_nodes() const { return program_.num_columns; }
  int num_links() const { return static_cast<int>(link_positions_.size()); }

  // Numbers stored per factor: one per node and one per pair of nodes joined by a link or by fill.
  size_t factor_nonzeros() const { return program_.num_values; }

  // For those who run the elimination themselves, for instance on several scenarios at once
  // (laplacian_arithmetic-inl.h): add conductance[l] to values[link_positions()[l]], where values
  // has factor_nonzeros() + 1 elements (the last takes the links that are ignored); node i is
  // column columns()[i].
  const LaplacianProgram& program() const { return program_; }
  std::span<const std::uint32_t> link_positions() const { return link_positions_; }
  std::span<const std::uint32_t> columns() const { return columns_; }

 private:
  LaplacianProgram program_;
  std::vector<std::uint32_t> link_positions_;
  std::vector<std::uint32_t> columns_;
};

// The numbers: one factorisation and the workspace to solve with it. One per thread. Neither
// Factor() nor Solve() allocates, and the same input gives the same bits.
class LaplacianFactor {
 public:
  explicit LaplacianFactor(std::shared_ptr<const LaplacianSymbolic> symbolic);

  // conductance[l] >= 0, one per link. Returns false if a node cannot be eliminated because no
  // link with a conductance above zero joins its zone to ground (failed_node() is in that zone),
  // or because a conductance is not finite; there is nothing to solve with then.
  bool Factor(std::span<const double> conductance);

  // Solves for x, both in the order of the caller's nodes; x may be b itself. Call only after
  // Factor() returned true.
  void Solve(std::span<const double> b, std::span<double> x);

  // The node at which the last Factor() failed, or -1.
  int failed_node() const { return failed_node_; }
  const LaplacianSymbolic& symbolic() const { return *symbolic_; }

 private:
  std::shared_ptr<const LaplacianSymbolic> symbolic_;
  std::vector<double> values_;
  std::vector<double> x_;  // in the order of elimination
  std::vector<double> scratch_;
  int failed_node_ = -1;
};

}  // namespace handwheel

#endif  // HANDWHEEL_STEADY_WEIGHTED_LAPLACIAN_H_
