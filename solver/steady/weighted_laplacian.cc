#include "steady/weighted_laplacian.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <limits>
#include <new>
#include <utility>

#include "steady/elimination_order.h"

#define HANDWHEEL_LAPLACIAN_NAMESPACE plain
#include "steady/laplacian_arithmetic-inl.h"

namespace handwheel {
namespace {

constexpr int kNone = -1;

size_t At(int i) {
  return static_cast<size_t>(i);
}

// Panels are worth their overhead from this width and this height on; below, single columns.
constexpr int kMinPanelWidth = 2;
constexpr int kMinPanelRows = 8;
// A column may join a panel at the cost of this many explicit zeros, relative to the panel's size.
constexpr double kMaxZeroFraction = 0.03;
// Parts of the elimination tree up to this many columns are rescheduled for long runs: small enough
// that their numbers stay in the nearest caches.
constexpr int kMaxBlockColumns = 4096;

Adjacency MakeAdjacency(int num_nodes, std::span<const int> from, std::span<const int> to) {
  Adjacency graph;
  graph.starts.assign(At(num_nodes) + 1, 0);
  const auto for_each_edge = [&](auto visit) {
    for (size_t l = 0; l < from.size(); ++l) {
      if (from[l] == to[l] || from[l] < 0 || to[l] < 0) continue;
      visit(from[l], to[l]);
      visit(to[l], from[l]);
    }
  };
  for_each_edge([&](int a, int) { ++graph.starts[At(a) + 1]; });
  for (size_t i = 0; i < At(num_nodes); ++i) graph.starts[i + 1] += graph.starts[i];
  graph.neighbours.resize(At(graph.starts.back()));
  std::vector<int> end(graph.starts.begin(), graph.starts.end() - 1);
  for_each_edge([&](int a, int b) { graph.neighbours[At(end[At(a)]++)] = b; });

  // Parallel links: keep the first.
  std::vector<int> last_seen_from(At(num_nodes), kNone);
  int kept = 0;
  for (int i = 0; i < num_nodes; ++i) {
    const int begin = graph.starts[At(i)];
    graph.starts[At(i)] = kept;
    for (int k = begin; k < end[At(i)]; ++k) {
      const int j = graph.neighbours[At(k)];
      if (last_seen_from[At(j)] == i) continue;
      last_seen_from[At(j)] = i;
      graph.neighbours[At(kept++)] = j;
    }
  }
  graph.starts.back() = kept;
  graph.neighbours.resize(At(kept));
  return graph;
}

std::vector<int> Inverse(const std::vector<int>& order) {
  std::vector<int> inverse(order.size());
  for (size_t k = 0; k < order.size(); ++k) inverse[At(order[k])] = static_cast<int>(k);
  return inverse;
}

// The elimination tree: the parent of column k is the first later node that it reaches.
struct EliminationTree {
  std::vector<int> parent;    // kNone for a root
  std::vector<int> num_rows;  // later nodes reached, fill included
};

EliminationTree MakeTree(const Adjacency& graph, const std::vector<int>& order,
                         const std::vector<int>& position) {
  const auto n = static_cast<int>(order.size());
  EliminationTree tree{std::vector<int>(At(n), kNone), std::vector<int>(At(n), 0)};
  std::vector<int> last_row(At(n), kNone);
  for (int row = 0; row < n; ++row) {
    last_row[At(row)] = row;
    const int node = order[At(row)];
    for (int k = graph.starts[At(node)]; k < graph.starts[At(node) + 1]; ++k) {
      int column = position[At(graph.neighbours[At(k)])];
      if (column > row) continue;
      while (last_row[At(column)] != row) {
        last_row[At(column)] = row;
        ++tree.num_rows[At(column)];
        if (tree.parent[At(column)] == kNone) tree.parent[At(column)] = row;
        column = tree.parent[At(column)];
      }
    }
  }
  return tree;
}

// Children before parents, and the child with the most rows last, next to its parent: the two are
// likely to make a panel.
std::vector<int> Postorder(const EliminationTree& tree) {
  const auto n = static_cast<int>(tree.parent.size());
  std::vector<int> largest_child(At(n), kNone), other_children(At(n), kNone), next(At(n), kNone);
  const auto prepend = [&next](int& list, int column) {
    next[At(column)] = list;
    list = column;
  };
  int roots = kNone;
  for (int column = n - 1; column >= 0; --column) {
    const int parent = tree.parent[At(column)];
    if (parent == kNone) {
      prepend(roots, column);
      continue;
    }
    int& largest = largest_child[At(parent)];
    if (largest == kNone) {
      largest = column;
    } else if (tree.num_rows[At(column)] > tree.num_rows[At(largest)]) {
      prepend(other_children[At(parent)], largest);
      largest = column;
    } else {
      prepend(other_children[At(parent)], column);
    }
  }

  std::vector<int> postorder;
  postorder.reserve(At(n));
  std::vector<int> stack;
  for (; roots != kNone; roots = next[At(roots)]) {
    stack.push_back(roots);
    while (!stack.empty()) {
      const int column = stack.back();
      if (other_children[At(column)] != kNone) {
        const int child = other_children[At(column)];
        other_children[At(column)] = next[At(child)];
        stack.push_back(child);
      } else if (largest_child[At(column)] != kNone) {
        stack.push_back(std::exchange(largest_child[At(column)], kNone));
      } else {
        postorder.push_back(column);
        stack.pop_back();
      }
    }
  }
  return postorder;
}

struct Panel {
  int first = 0;  // column
  int width = 1;
  int num_rows = 0;
  int parent = kNone;  // panel
};

// Cuts the columns, numbered in postorder, into panels. A column may join the next one if that is
// its parent: it then reaches nothing that the parent does not reach, save the parent.
class PanelCutter {
 public:
  explicit PanelCutter(const EliminationTree& tree) : tree_(tree) {}

  std::vector<Panel> Cut() {
    const auto n = static_cast<int>(tree_.parent.size());
    std::vector<int> panel_of(At(n));
    panels_.reserve(At(n));
    for (int end = n; end > 0;) {
      const int first = FirstOfPanelEndingAt(end - 1);
      Append(first, end);
      end = first;
    }
    std::reverse(panels_.begin(), panels_.end());
    for (size_t p = 0; p < panels_.size(); ++p) {
      for (int t = 0; t < panels_[p].width; ++t) {
        panel_of[At(panels_[p].first + t)] = static_cast<int>(p);
      }
    }
    for (Panel& panel : panels_) {
      const int parent = tree_.parent[At(panel.first + panel.width - 1)];
      if (parent != kNone) panel.parent = panel_of[At(parent)];
    }
    return std::move(panels_);
  }

 private:
  int FirstOfPanelEndingAt(int last) const {
    const int num_rows = tree_.num_rows[At(last)];
    double zeros = 0.0, size = num_rows + 1.0;
    int first = last;
    for (; first > 0 && tree_.parent[At(first - 1)] == first; --first) {
      const int length = last - first + 1 + num_rows;
      zeros += length - tree_.num_rows[At(first - 1)];
      size += length + 1.0;
      if (zeros > kMaxZeroFraction * size) break;
    }
    const int width = last - first + 1;
    const bool is_worthwhile = width >= kMinPanelWidth && width - 1 + num_rows >= kMinPanelRows;
    return is_worthwhile ? first : last;
  }

  void Append(int first, int end) {
    panels_.push_back(
        {.first = first, .width = end - first, .num_rows = tree_.num_rows[At(end - 1)]});
  }

  const EliminationTree& tree_;
  std::vector<Panel> panels_;
};

// Puts the panels of each small part of the tree, its children always before it, into an order
// that has long runs of one shape: they cost no mispredicted branch, and neighbours in a run
// seldom wait for one another.
class RunScheduler {
 public:
  explicit RunScheduler(const std::vector<Panel>& panels) : panels_(panels) {
    num_children_.assign(panels.size(), 0);
    subtree_columns_.assign(panels.size(), 0);
    for (size_t p = 0; p < panels.size(); ++p) {
      subtree_columns_[p] += panels[p].width;
      if (panels[p].parent == kNone) continue;
      ++num_children_[At(panels[p].parent)];
      subtree_columns_[At(panels[p].parent)] += subtree_columns_[p];
    }
  }

  // The panels in their new order.
  std::vector<int> Run() {
    scheduled_.reserve(panels_.size());
    size_t begin = 0;
    for (size_t p = 0; p < panels_.size(); ++p) {
      const int parent = panels_[p].parent;
      const bool is_small = subtree_columns_[p] <= kMaxBlockColumns;
      if (is_small && parent != kNone && subtree_columns_[At(parent)] <= kMaxBlockColumns) continue;
      if (is_small) {
        pending_columns_ += subtree_columns_[p];
        if (pending_columns_ < kMaxBlockColumns / 2 && p + 1 < panels_.size()) continue;
      }
      ScheduleBlock(begin, p + 1);
      begin = p + 1;
      pending_columns_ = 0;
    }
    return std::move(scheduled_);
  }

 private:
  static constexpr size_t kNumShapes = 10;  // single columns by rows; the last: all else

  size_t Shape(int p) const {
    const Panel& panel = panels_[At(p)];
    return panel.width == 1 ? std::min(At(panel.num_rows), kNumShapes - 1) : kNumShapes - 1;
  }

  // Always drains the shape with the most panels that are ready.
  void ScheduleBlock(size_t begin, size_t end) {
    for (size_t p = begin; p < end; ++p) {
      if (num_children_[p] == 0) ready_[Shape(static_cast<int>(p))].push_back(static_cast<int>(p));
    }
    while (true) {
      const auto most =
          std::max_element(ready_.begin(), ready_.end(),
                           [](const auto& a, const auto& b) { return a.size() < b.size(); });
      if (most->empty()) return;
      draining_.swap(*most);
      for (const int p : draining_) {
        scheduled_.push_back(p);
        const int parent = panels_[At(p)].parent;
        if (parent == kNone || --num_children_[At(parent)] > 0 || At(parent) >= end) continue;
        ready_[Shape(parent)].push_back(parent);
      }
      draining_.clear();
    }
  }

  const std::vector<Panel>& panels_;
  std::vector<int> num_children_;  // not scheduled yet
  std::vector<int> subtree_columns_;
  int pending_columns_ = 0;
  std::vector<int> scheduled_;
  std::array<std::vector<int>, kNumShapes> ready_;
  std::vector<int> draining_;
};

std::vector<Panel> Reordered(const std::vector<Panel>& panels, const std::vector<int>& schedule) {
  const std::vector<int> position = Inverse(schedule);
  std::vector<Panel> reordered;
  reordered.reserve(panels.size());
  for (const int p : schedule) {
    reordered.push_back(panels[At(p)]);
    int& parent = reordered.back().parent;
    if (parent != kNone) parent = position[At(parent)];
  }
  return reordered;
}

std::vector<LaplacianRun> MakeRuns(const std::vector<Panel>& panels) {
  std::vector<LaplacianRun> runs;
  for (const Panel& panel : panels) {
    if (runs.empty() || runs.back().width != panel.width ||
        runs.back().num_rows != panel.num_rows) {
      runs.push_back({.width = panel.width, .num_rows = panel.num_rows, .num_panels = 0});
    }
    ++runs.back().num_panels;
  }
  return runs;
}

// Lays the factor out: rows, positions of its numbers, and the targets of every panel.
class ProgramBuilder {
 public:
  // `order` gives the node of each column, `column_of` the column of each node; the panels' columns
  // are consecutive.
  ProgramBuilder(const Adjacency& graph, const std::vector<int>& order,
                 const std::vector<int>& column_of, std::vector<Panel> panels)
      : graph_(graph), order_(order), column_of_(column_of), panels_(std::move(panels)) {
    program_.num_columns = static_cast<int>(order_.size());
    program_.runs = MakeRuns(panels_);
    PlacePanels();
    CollectRows();
    FindTargets();
  }

  LaplacianProgram TakeProgram() { return std::move(program_); }

  std::uint32_t ignored_position() const { return Narrow(program_.num_values); }

  // Of the conductance between two columns, or from one to ground (kNone).
  std::uint32_t Position(int a, int b) const {
    if (a == kNone || (b != kNone && b < a)) std::swap(a, b);
    const Panel& panel = panels_[At(panel_of_[At(a)])];
    const int inside = panel.first + panel.width - 1 - a;  // columns after a in its panel
    const size_t start = column_starts_[At(a)];
    if (b == kNone) return Narrow(start + At(inside + panel.num_rows));
    if (b <= a + inside) return Narrow(start + At(b - a - 1));
    const auto rows = program_.rows.begin() + Offset(row_starts_[At(panel_of_[At(a)])]);
    const auto row = std::lower_bound(rows, rows + panel.num_rows, static_cast<std::uint32_t>(b));
    return Narrow(start + At(inside) + static_cast<size_t>(row - rows));
  }

 private:
  static std::uint32_t Narrow(size_t position) { return static_cast<std::uint32_t>(position); }
  static std::ptrdiff_t Offset(size_t position) { return static_cast<std::ptrdiff_t>(position); }

  void PlacePanels() {
    panel_of_.reserve(order_.size());
    column_starts_.reserve(order_.size());
    row_starts_.reserve(panels_.size());
    target_starts_.reserve(panels_.size());
    size_t num_rows = 0, num_targets = 0;
    int column = 0;
    for (size_t p = 0; p < panels_.size(); ++p) {
      Panel& panel = panels_[p];
      panel.first = column;
      column += panel.width;
      const LaplacianRun shape{panel.width, panel.num_rows, 1};
      for (int t = 0; t < panel.width; ++t) {
        panel_of_.push_back(static_cast<int>(p));
        column_starts_.push_back(program_.num_values);
        program_.num_values += shape.column_length(t);
      }
      row_starts_.push_back(num_rows);
      num_rows += At(panel.num_rows);
      target_starts_.push_back(num_targets);
      num_targets += shape.targets_per_panel();
      program_.max_width = std::max(program_.max_width, panel.width);
      program_.max_rows = std::max(program_.max_rows, panel.num_rows);
    }
    // One more position takes the links that are ignored.
    if (program_.num_values >= std::numeric_limits<std::uint32_t>::max()) throw std::bad_alloc();
    program_.rows.resize(num_rows);
    program_.targets.resize(num_targets);
  }

  // Row k reaches, of the tree, the paths from its earlier neighbours up to k: panel by panel, as
  // a panel's last column reaches all that the others reach. Rows come out ascending.
  void CollectRows() {
    std::vector<int> last_row(panels_.size(), kNone);
    std::vector<size_t> end = row_starts_;
    for (int row = 0; row < program_.num_columns; ++row) {
      const int own_panel = panel_of_[At(row)];
      const int node = order_[At(row)];
      for (int k = graph_.starts[At(node)]; k < graph_.starts[At(node) + 1]; ++k) {
        const int column = column_of_[At(graph_.neighbours[At(k)])];
        if (column > row) continue;
        for (int p = panel_of_[At(column)]; p != own_panel && last_row[At(p)] != row;
             p = panels_[At(p)].parent) {
          last_row[At(p)] = row;
          program_.rows[end[At(p)]++] = static_cast<std::uint32_t>(row);
        }
      }
    }
  }

  // For each panel in turn, visits the earlier panels that reach one of its columns. These wait in
  // the list of the next column they reach.
  void FindTargets() {
    const auto num_columns = At(program_.num_columns);
    std::vector<int> waiting(num_columns, kNone);
    std::vector<int> next(panels_.size(), kNone);
    std::vector<int> num_done(panels_.size(), 0);       // rows of a panel
    std::vector<std::uint32_t> place(num_columns + 1);  // of a row among the panel's
    const auto wait_at_next_row = [&](int p) {
      const int done = num_done[At(p)];
      if (done == panels_[At(p)].num_rows) return;
      int& list = waiting[program_.rows[row_starts_[At(p)] + At(done)]];
      next[At(p)] = list;
      list = p;
    };
    for (int p = 0; p < static_cast<int>(panels_.size()); ++p) {
      const Panel& panel = panels_[At(p)];
      // Places count from the panel's first column, wherever the row stands.
      for (int t = 0; t < panel.width; ++t) place[At(panel.first + t)] = Narrow(At(t));
      const std::uint32_t* rows = program_.rows.data() + row_starts_[At(p)];
      for (int k = 0; k < panel.num_rows; ++k) place[rows[k]] = Narrow(At(panel.width + k));
      place[num_columns] = Narrow(At(panel.width + panel.num_rows));
      for (int t = 0; t < panel.width; ++t) {
        const std::uint32_t base = Narrow(column_starts_[At(panel.first + t)] - At(t) - 1);
        for (int q = waiting[At(panel.first + t)]; q != kNone;) {
          WriteTargets(q, num_done[At(q)]++, base, place);
          const int following = next[At(q)];
          wait_at_next_row(q);
          q = following;
        }
      }
      wait_at_next_row(p);
    }
  }

  // The targets that pair row a of panel p with the rows after it and with ground.
  void WriteTargets(int p, int a, std::uint32_t base, const std::vector<std::uint32_t>& place) {
    const auto num_rows = At(panels_[At(p)].num_rows);
    const std::uint32_t* rows = program_.rows.data() + row_starts_[At(p)];
    const size_t before = At(a) * num_rows - At(a) * (At(a) - 1) / 2;  // unsigned: right for a = 0
    std::uint32_t* target = program_.targets.data() + target_starts_[At(p)] + before;
    for (size_t b = At(a) + 1; b < num_rows; ++b) *target++ = base + place[rows[b]];
    *target = base + place.back();
  }

  const Adjacency& graph_;
  const std::vector<int>& order_;
  const std::vector<int>& column_of_;
  std::vector<Panel> panels_;
  LaplacianProgram program_;
  std::vector<int> panel_of_;
  std::vector<size_t> column_starts_;
  std::vector<size_t> row_starts_;
  std::vector<size_t> target_starts_;
};

// Numbers the tree and `order` in postorder.
void Renumber(const std::vector<int>& postorder, EliminationTree& tree, std::vector<int>& order) {
  const std::vector<int> number = Inverse(postorder);
  EliminationTree old_tree = std::exchange(tree, {});
  std::vector<int> old_order = std::exchange(order, {});
  tree.parent.reserve(postorder.size());
  tree.num_rows.reserve(postorder.size());
  order.reserve(postorder.size());
  for (const int column : postorder) {
    const int parent = old_tree.parent[At(column)];
    tree.parent.push_back(parent == kNone ? kNone : number[At(parent)]);
    tree.num_rows.push_back(old_tree.num_rows[At(column)]);
    order.push_back(old_order[At(column)]);
  }
}

// The columns of the panels, one panel after another.
std::vector<int> ColumnsOf(const std::vector<Panel>& panels, const std::vector<int>& order) {
  std::vector<int> columns;
  columns.reserve(order.size());
  for (const Panel& panel : panels) {
    const auto first = order.begin() + panel.first;
    columns.insert(columns.end(), first, first + panel.width);
  }
  return columns;
}

}  // namespace

LaplacianSymbolic::LaplacianSymbolic(int num_nodes, std::span<const int> from,
                                     std::span<const int> to) {
  assert(from.size() == to.size());
  const Adjacency graph = MakeAdjacency(num_nodes, from, to);
  std::vector<int> order = EliminationOrder(graph);
  EliminationTree tree = MakeTree(graph, order, Inverse(order));
  Renumber(Postorder(tree), tree, order);

  std::vector<Panel> panels = PanelCutter(tree).Cut();
  panels = Reordered(panels, RunScheduler(panels).Run());
  order = ColumnsOf(panels, order);
  const std::vector<int> column_of = Inverse(order);

  ProgramBuilder builder(graph, order, column_of, std::move(panels));
  columns_.assign(column_of.begin(), column_of.end());
  link_positions_.reserve(from.size());
  const auto column = [&](int node) { return node == kGround ? kNone : column_of[At(node)]; };
  for (size_t l = 0; l < from.size(); ++l) {
    link_positions_.push_back(from[l] == to[l] ? builder.ignored_position()
                                               : builder.Position(column(from[l]), column(to[l])));
  }
  program_ = builder.TakeProgram();
}

LaplacianFactor::LaplacianFactor(std::shared_ptr<const LaplacianSymbolic> symbolic)
    : symbolic_(std::move(symbolic)),
      values_(symbolic_->factor_nonzeros() + 1),
      x_(At(symbolic_->num_nodes())),
      scratch_(symbolic_->program().scratch_size()) {}

bool LaplacianFactor::Factor(std::span<const double> conductance) {
  const std::span<const std::uint32_t> positions = symbolic_->link_positions();
  assert(conductance.size() == positions.size());
  std::fill(values_.begin(), values_.end(), 0.0);
  for (size_t l = 0; l < positions.size(); ++l) {
    assert(!(conductance[l] < 0.0));
    values_[positions[l]] += conductance[l];
  }
  const int failed_column =
      plain::EliminateLaplacian(symbolic_->program(), values_.data(), scratch_.data());
  failed_node_ = kNone;
  if (failed_column != kNone) {
    const std::span<const std::uint32_t> columns = symbolic_->columns();
    failed_node_ = static_cast<int>(
        std::find(columns.begin(), columns.end(), static_cast<std::uint32_t>(failed_column)) -
        columns.begin());
  }
  return failed_node_ == kNone;
}

void LaplacianFactor::Solve(std::span<const double> b, std::span<double> x) {
  const std::span<const std::uint32_t> columns = symbolic_->columns();
  assert(b.size() == columns.size() && x.size() == columns.size());
  for (size_t i = 0; i < columns.size(); ++i) x_[columns[i]] = b[i];
  plain::SubstituteLaplacian(symbolic_->program(), values_.data(), x_.data(), scratch_.data());
  for (size_t i = 0; i < columns.size(); ++i) x[i] = x_[columns[i]];
}

}  // namespace handwheel
