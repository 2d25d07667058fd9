// The arithmetic of LaplacianFactor (weighted_laplacian.h), as templates over the number: `Number`
// is double, or a pack of doubles with elementwise + * / and `1.0 / pack`, one scenario per lane.
//
// No include guard: whoever runs lanes includes it once for each set of instructions that they
// compile for, with HANDWHEEL_LAPLACIAN_NAMESPACE a namespace of its own each time.

#include <cstddef>
#include <cstdint>
#include <limits>

#include "steady/laplacian_program.h"

namespace handwheel {
namespace HANDWHEEL_LAPLACIAN_NAMESPACE {

namespace laplacian_internal {

// False if the reciprocal of a pivot tells that the pivot was zero, negative, infinite or NaN.
// Packs of lanes overload this, found by argument-dependent lookup, and judge each lane later.
inline bool IsUsableInversePivot(double inverse) {
  return inverse > 0.0 && inverse <= std::numeric_limits<double>::max();
}

// The sum of `count` numbers, as four interleaved sums: a chain of additions is all latency.
template <typename Number>
Number Sum(const Number* x, size_t count) {
  if (count < 4) {
    Number sum = x[0];
    for (size_t i = 1; i < count; ++i) sum = sum + x[i];
    return sum;
  }
  Number s0 = x[0], s1 = x[1], s2 = x[2], s3 = x[3];
  size_t i = 4;
  for (; i + 4 <= count; i += 4) {
    s0 = s0 + x[i];
    s1 = s1 + x[i + 1];
    s2 = s2 + x[i + 2];
    s3 = s3 + x[i + 3];
  }
  for (; i < count; ++i) s0 = s0 + x[i];
  return (s0 + s1) + (s2 + s3);
}

template <typename Number>
Number Dot(const Number* __restrict a, const Number* __restrict b, size_t count) {
  Number s0 = Number(), s1 = Number(), s2 = Number(), s3 = Number();
  size_t i = 0;
  for (; i + 4 <= count; i += 4) {
    s0 = s0 + a[i] * b[i];
    s1 = s1 + a[i + 1] * b[i + 1];
    s2 = s2 + a[i + 2] * b[i + 2];
    s3 = s3 + a[i + 3] * b[i + 3];
  }
  for (; i < count; ++i) s0 = s0 + a[i] * b[i];
  return (s0 + s1) + (s2 + s3);
}

template <typename Number>
void AddScaled(const Number f, const Number* __restrict a, Number* __restrict sum, size_t count) {
  for (size_t i = 0; i < count; ++i) sum[i] = sum[i] + f * a[i];
}

template <typename Number>
void AddScaled4(const Number* f, const Number* __restrict a0, const Number* __restrict a1,
                const Number* __restrict a2, const Number* __restrict a3, Number* __restrict sum,
                size_t count) {
  const Number f0 = f[0], f1 = f[1], f2 = f[2], f3 = f[3];
  for (size_t i = 0; i < count; ++i) {
    sum[i] = sum[i] + ((f0 * a0[i] + f1 * a1[i]) + (f2 * a2[i] + f3 * a3[i]));
  }
}

// Where Eliminate() and Substitute() stand in the arrays of the program.
template <typename Number>
struct ProgramCursor {
  Number* values;
  const std::uint32_t* targets;
  const std::uint32_t* rows;
  int column;
};

// --- Elimination ---------------------------------------------------------------------------

// Panels of one column with kRows rows, all loops unrolled.
template <int kRows, typename Number>
bool EliminateColumns(int count, Number* values, ProgramCursor<Number>& at) {
  for (; count > 0; --count) {
    Number w[kRows + 1];
    for (int k = 0; k <= kRows; ++k) w[k] = at.values[k];
    const Number inverse = 1.0 / Sum(w, kRows + 1);
    if (!IsUsableInversePivot(inverse)) return false;
    at.values[kRows] = inverse;
    const std::uint32_t* target = at.targets;
    for (int a = 0; a < kRows; ++a) {
      const Number f = w[a] * inverse;
      for (int b = a + 1; b <= kRows; ++b, ++target) {
        values[*target] = values[*target] + f * w[b];
      }
    }
    at.values += kRows + 1;
    at.targets = target;
    ++at.column;
  }
  return true;
}

// Walks along one row of a panel, column by column.
template <typename Number>
struct ColumnWalk {
  const LaplacianRun& run;
  const Number* inverses;  // of the pivots
  const Number* entry;     // in this row, column t
  int t = 0;

  // Gives the factor of column t, and what follows the row in that column; moves on to the next.
  const Number* Next(Number& factor) {
    factor = entry[0] * inverses[t];
    const Number* rest = entry + 1;
    entry += run.column_length(t) - 1;
    ++t;
    return rest;
  }
};

// Adds the next `num_columns` columns, each times its factor, four at a time.
template <typename Number>
void AddColumns(ColumnWalk<Number>& columns, int num_columns, Number* sum, size_t count) {
  Number f[4];
  for (; num_columns >= 4; num_columns -= 4) {
    const Number* a0 = columns.Next(f[0]);
    const Number* a1 = columns.Next(f[1]);
    const Number* a2 = columns.Next(f[2]);
    const Number* a3 = columns.Next(f[3]);
    AddScaled4(f, a0, a1, a2, a3, sum, count);
  }
  for (; num_columns > 0; --num_columns) {
    const Number* a = columns.Next(f[0]);
    AddScaled(f[0], a, sum, count);
  }
}

// Forms the columns of one panel from those before them in the panel, and their inverse pivots.
template <typename Number>
bool EliminateInsidePanel(const LaplacianRun& run, Number* inverses, ProgramCursor<Number>& at) {
  Number* column = at.values;
  for (int t = 0; t < run.width; ++t) {
    const size_t length = run.column_length(t);
    ColumnWalk<Number> earlier{run, inverses, at.values + (t > 0 ? t - 1 : 0)};
    AddColumns(earlier, t, column, length);
    inverses[t] = 1.0 / Sum(column, length);
    if (!IsUsableInversePivot(inverses[t])) {
      at.column += t;
      return false;
    }
    column += length;
  }
  return true;
}

// Adds what a panel of kWidth columns gives to the conductances between its rows.
template <int kWidth, typename Number>
void SpreadNarrowPanel(const LaplacianRun& run, const Number* inverses, Number* values,
                       ProgramCursor<Number>& at) {
  const Number* w[kWidth];
  const Number* column = at.values;
  for (int t = 0; t < kWidth; ++t) {
    w[t] = column + kWidth - 1 - t;
    column += run.column_length(t);
  }
  const std::uint32_t* target = at.targets;
  for (int a = 0; a < run.num_rows; ++a) {
    Number f[kWidth];
    for (int t = 0; t < kWidth; ++t) f[t] = w[t][a] * inverses[t];
    for (int b = a + 1; b <= run.num_rows; ++b, ++target) {
      Number sum = f[0] * w[0][b];
      for (int t = 1; t < kWidth; ++t) sum = sum + f[t] * w[t][b];
      values[*target] = values[*target] + sum;
    }
  }
}

// The same for any width: sums a row in the scratch space before it is spread.
template <typename Number>
void SpreadWidePanel(const LaplacianRun& run, const Number* inverses, Number* scratch,
                     Number* values, ProgramCursor<Number>& at) {
  const std::uint32_t* target = at.targets;
  for (int a = 0; a < run.num_rows; ++a) {
    const auto count = static_cast<size_t>(run.num_rows - a);
    for (size_t b = 0; b < count; ++b) scratch[b] = Number();
    ColumnWalk<Number> columns{run, inverses, at.values + run.width - 1 + a};
    AddColumns(columns, run.width, scratch, count);
    for (size_t b = 0; b < count; ++b) values[target[b]] = values[target[b]] + scratch[b];
    target += count;
  }
}

template <typename Number>
bool EliminatePanels(const LaplacianRun& run, Number* values, Number* scratch,
                     ProgramCursor<Number>& at) {
  Number* inverses = scratch;
  Number* row_scratch = scratch + run.width;
  for (int panel = 0; panel < run.num_panels; ++panel) {
    if (!EliminateInsidePanel(run, inverses, at)) return false;
    switch (run.width) {
      case 1:
        SpreadNarrowPanel<1>(run, inverses, values, at);
        break;
      case 2:
        SpreadNarrowPanel<2>(run, inverses, values, at);
        break;
      case 3:
        SpreadNarrowPanel<3>(run, inverses, values, at);
        break;
      case 4:
        SpreadNarrowPanel<4>(run, inverses, values, at);
        break;
      default:
        SpreadWidePanel(run, inverses, row_scratch, values, at);
    }
    for (int t = 0; t < run.width; ++t) {
      at.values += run.column_length(t);
      at.values[-1] = inverses[t];
    }
    at.targets += run.targets_per_panel();
    at.column += run.width;
  }
  return true;
}

// --- Substitution --------------------------------------------------------------------------

template <int kRows, typename Number>
void ForwardColumns(int count, Number* x, ProgramCursor<const Number>& at) {
  for (; count > 0; --count) {
    const Number z = x[at.column] * at.values[kRows];
    x[at.column] = z;
    for (int k = 0; k < kRows; ++k) x[at.rows[k]] = x[at.rows[k]] + at.values[k] * z;
    at.values += kRows + 1;
    at.rows += kRows;
    ++at.column;
  }
}

template <int kRows, typename Number>
void BackwardColumns(int count, Number* x, ProgramCursor<const Number>& at) {
  for (; count > 0; --count) {
    at.values -= kRows + 1;
    at.rows -= kRows;
    --at.column;
    if constexpr (kRows > 0) {
      Number terms[kRows];
      for (int k = 0; k < kRows; ++k) terms[k] = at.values[k] * x[at.rows[k]];
      x[at.column] = x[at.column] + at.values[kRows] * Sum(terms, kRows);
    }
  }
}

template <typename Number>
void ForwardPanels(const LaplacianRun& run, Number* x, Number* scratch,
                   ProgramCursor<const Number>& at) {
  const auto num_rows = static_cast<size_t>(run.num_rows);
  for (int panel = 0; panel < run.num_panels; ++panel) {
    for (size_t k = 0; k < num_rows; ++k) scratch[k] = x[at.rows[k]];
    for (int t = 0; t < run.width; ++t) {
      const auto inside = static_cast<size_t>(run.width - 1 - t);
      const Number z = x[at.column] * at.values[inside + num_rows];
      x[at.column] = z;
      ++at.column;
      AddScaled(z, at.values, x + at.column, inside);
      AddScaled(z, at.values + inside, scratch, num_rows);
      at.values += inside + num_rows + 1;
    }
    for (size_t k = 0; k < num_rows; ++k) x[at.rows[k]] = scratch[k];
    at.rows += num_rows;
  }
}

template <typename Number>
void BackwardPanels(const LaplacianRun& run, Number* x, Number* scratch,
                    ProgramCursor<const Number>& at) {
  const auto num_rows = static_cast<size_t>(run.num_rows);
  for (int panel = 0; panel < run.num_panels; ++panel) {
    at.rows -= num_rows;
    for (size_t k = 0; k < num_rows; ++k) scratch[k] = x[at.rows[k]];
    for (int t = run.width - 1; t >= 0; --t) {
      const auto inside = static_cast<size_t>(run.width - 1 - t);
      at.values -= inside + num_rows + 1;
      const Number sum = Dot(at.values, x + at.column, inside) +
                         Dot(at.values + inside, static_cast<const Number*>(scratch), num_rows);
      --at.column;
      x[at.column] = x[at.column] + at.values[inside + num_rows] * sum;
    }
  }
}

// Calls step.Columns<kRows>() where a run has single columns with few enough rows for an unrolled
// kernel, step.Panels() otherwise.
template <typename Step>
auto DispatchRun(const LaplacianRun& run, Step step) {
  if (run.width != 1) return step.Panels();
  switch (run.num_rows) {
    case 0:
      return step.template Columns<0>();
    case 1:
      return step.template Columns<1>();
    case 2:
      return step.template Columns<2>();
    case 3:
      return step.template Columns<3>();
    case 4:
      return step.template Columns<4>();
    case 5:
      return step.template Columns<5>();
    case 6:
      return step.template Columns<6>();
    case 7:
      return step.template Columns<7>();
    case 8:
      return step.template Columns<8>();
    default:
      return step.Panels();
  }
}

// Objects, not lambdas: those are not compiled for the instructions of what stands around them.
template <typename Number>
struct EliminateRun {
  const LaplacianRun& run;
  Number* values;
  Number* scratch;
  ProgramCursor<Number>& at;
  template <int kRows>
  bool Columns() {
    return EliminateColumns<kRows>(run.num_panels, values, at);
  }
  bool Panels() { return EliminatePanels(run, values, scratch, at); }
};

template <typename Number>
struct ForwardRun {
  const LaplacianRun& run;
  Number* x;
  Number* scratch;
  ProgramCursor<const Number>& at;
  template <int kRows>
  void Columns() {
    ForwardColumns<kRows>(run.num_panels, x, at);
  }
  void Panels() { ForwardPanels(run, x, scratch, at); }
};

template <typename Number>
struct BackwardRun {
  const LaplacianRun& run;
  Number* x;
  Number* scratch;
  ProgramCursor<const Number>& at;
  template <int kRows>
  void Columns() {
    BackwardColumns<kRows>(run.num_panels, x, at);
  }
  void Panels() { BackwardPanels(run, x, scratch, at); }
};

}  // namespace laplacian_internal

// Eliminates all columns. On entry `values` holds the conductances given, zero where there is
// none; on return the conductances at the moment of each column's elimination, with the inverse of
// the pivot in the place of the conductance to ground. Returns the column whose pivot was not
// usable, or -1.
template <typename Number>
int EliminateLaplacian(const LaplacianProgram& program, Number* values, Number* scratch) {
  using namespace laplacian_internal;
  ProgramCursor<Number> at{values, program.targets.data(), program.rows.data(), 0};
  for (const LaplacianRun& run : program.runs) {
    if (!DispatchRun(run, EliminateRun<Number>{run, values, scratch, at})) return at.column;
  }
  return -1;
}

// Replaces `x`, the right-hand side in the order of elimination, by the solution.
template <typename Number>
void SubstituteLaplacian(const LaplacianProgram& program, const Number* values, Number* x,
                         Number* scratch) {
  using namespace laplacian_internal;
  ProgramCursor<const Number> at{values, nullptr, program.rows.data(), 0};
  for (const LaplacianRun& run : program.runs) {
    DispatchRun(run, ForwardRun<Number>{run, x, scratch, at});
  }
  for (auto run = program.runs.rbegin(); run != program.runs.rend(); ++run) {
    DispatchRun(*run, BackwardRun<Number>{*run, x, scratch, at});
  }
}

}  // namespace HANDWHEEL_LAPLACIAN_NAMESPACE
}  // namespace handwheel
