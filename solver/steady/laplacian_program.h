#ifndef HANDWHEEL_STEADY_LAPLACIAN_PROGRAM_H_
#define HANDWHEEL_STEADY_LAPLACIAN_PROGRAM_H_

// What LaplacianFactor (weighted_laplacian.h) does in which order; the arithmetic that follows it
// is in laplacian_arithmetic-inl.h. Internal.

#include <cstddef>
#include <cstdint>
#include <vector>

namespace handwheel {

// Columns that are eliminated one after another and reach the same later nodes are one *panel*:
// `width` columns and `num_rows` later nodes. In a panel the columns come one after another:
// column t holds the conductances to the width - 1 - t columns after it in the panel, then to the
// num_rows later nodes, then to ground. A *run* is a sequence of panels of one shape.
struct LaplacianRun {
  int width = 1;
  int num_rows = 0;
  int num_panels = 0;

  size_t column_length(int t) const { return static_cast<size_t>(width - t + num_rows); }
  size_t targets_per_panel() const {
    const auto r = static_cast<size_t>(num_rows);
    return r * (r + 1) / 2;
  }
};

// What to eliminate and where the results go. Everything lies in the order of elimination and is
// read front to back (back to front in the back substitution), so nothing needs a pointer.
struct LaplacianProgram {
  std::vector<LaplacianRun> runs;
  // For each panel, the num_rows later nodes, ascending; nodes are numbered as they are eliminated.
  std::vector<std::uint32_t> rows;
  // For each panel and each pair of row a and later row b > a (b = num_rows: ground), a before b:
  // the position in the values of the conductance between the two.
  std::vector<std::uint32_t> targets;
  size_t num_values = 0;
  int num_columns = 0;
  int max_width = 0;
  int max_rows = 0;

  // Numbers of scratch space that Eliminate() and Substitute() need.
  size_t scratch_size() const {
    return static_cast<size_t>(max_width) + static_cast<size_t>(max_rows) + 1;
  }
};

}  // namespace handwheel

#endif  // HANDWHEEL_STEADY_LAPLACIAN_PROGRAM_H_
