#include "steady/elimination_order.h"

#include <Eigen/SparseCore>
// Eigen's modules must come in this order.
#include <Eigen/OrderingMethods>
#include <algorithm>
#include <utility>

namespace handwheel {
namespace {

// Eliminates nodes of degree two and less from a graph, in place: joining the two neighbours of
// such a node never lengthens a neighbour list.
class LowDegreeElimination {
 public:
  explicit LowDegreeElimination(Adjacency& graph)
      : graph_(graph),
        degree_(static_cast<size_t>(graph.num_nodes())),
        length_(degree_.size()),
        eliminated_(degree_.size(), false),
        last_touched_(degree_.size(), -1) {
    for (int i = 0; i < graph.num_nodes(); ++i) {
      degree_[At(i)] = length_[At(i)] = graph.starts[At(i) + 1] - graph.starts[At(i)];
    }
  }

  // Appends the eliminated nodes to `order`.
  void Run(std::vector<int>& order) {
    std::vector<int> waiting, next;
    for (int i = 0; i < graph_.num_nodes(); ++i) {
      if (degree_[At(i)] <= 2) waiting.push_back(i);
    }
    for (int round = 0; !waiting.empty(); ++round) {
      next.clear();
      for (const int i : waiting) {
        if (eliminated_[At(i)]) continue;
        if (last_touched_[At(i)] == round) {
          next.push_back(i);
        } else if (Eliminate(i, round, next)) {
          order.push_back(i);
        }
      }
      waiting.swap(next);
    }
  }

  bool IsEliminated(int i) const { return eliminated_[At(i)]; }

  // Applies `visit` to every neighbour of i that is not eliminated.
  template <typename Visitor>
  void ForEachNeighbour(int i, Visitor visit) const {
    const int* list = graph_.neighbours.data() + graph_.starts[At(i)];
    for (int k = 0; k < length_[At(i)]; ++k) {
      if (!eliminated_[At(list[k])]) visit(list[k]);
    }
  }

 private:
  static size_t At(int i) { return static_cast<size_t>(i); }

  // Searching the list of a hub once for every node around it would cost the square of its degree:
  // such nodes are left to minimum degree.
  static constexpr int kLongestSearch = 64;

  bool Eliminate(int i, int round, std::vector<int>& next) {
    int ends[2];
    int num_ends = 0;
    ForEachNeighbour(i, [&](int j) { ends[num_ends++] = j; });
    if (num_ends == 2) {
      if (length_[At(ends[0])] > kLongestSearch || length_[At(ends[1])] > kLongestSearch) {
        return false;
      }
      if (AreJoined(ends[0], ends[1])) {
        --degree_[At(ends[0])];
        --degree_[At(ends[1])];
      } else {
        Replace(ends[0], i, ends[1]);
        Replace(ends[1], i, ends[0]);
      }
    } else if (num_ends == 1) {
      --degree_[At(ends[0])];
    }
    eliminated_[At(i)] = true;
    for (int k = 0; k < num_ends; ++k) {
      last_touched_[At(ends[k])] = round;
      if (degree_[At(ends[k])] <= 2) next.push_back(ends[k]);
    }
    return true;
  }

  bool AreJoined(int a, int b) const {
    const int* list = graph_.neighbours.data() + graph_.starts[At(a)];
    return std::find(list, list + length_[At(a)], b) != list + length_[At(a)];
  }

  void Replace(int node, int old_neighbour, int new_neighbour) {
    int* list = graph_.neighbours.data() + graph_.starts[At(node)];
    *std::find(list, list + length_[At(node)], old_neighbour) = new_neighbour;
  }

  Adjacency& graph_;
  std::vector<int> degree_;  // neighbours not eliminated
  std::vector<int> length_;  // of the neighbour list, eliminated ones included
  std::vector<char> eliminated_;
  std::vector<int> last_touched_;  // the round that last eliminated a neighbour
};

// Appends the nodes that `low` left, by approximate minimum degree.
void OrderRest(const LowDegreeElimination& low, int num_nodes, std::vector<int>& order) {
  std::vector<int> number(static_cast<size_t>(num_nodes), -1);
  std::vector<int> rest;
  rest.reserve(static_cast<size_t>(num_nodes) - order.size());
  for (int i = 0; i < num_nodes; ++i) {
    if (low.IsEliminated(i)) continue;
    number[static_cast<size_t>(i)] = static_cast<int>(rest.size());
    rest.push_back(i);
  }
  if (rest.empty()) return;

  // Only the pattern counts, and it must hold the diagonal.
  const auto num_rest = static_cast<int>(rest.size());
  std::vector<int> starts = {0};
  std::vector<int> rows;
  starts.reserve(rest.size() + 1);
  rows.reserve(5 * rest.size());
  for (int k = 0; k < num_rest; ++k) {
    rows.push_back(k);
    low.ForEachNeighbour(rest[static_cast<size_t>(k)],
                         [&](int j) { rows.push_back(number[static_cast<size_t>(j)]); });
    starts.push_back(static_cast<int>(rows.size()));
  }
  Eigen::SparseMatrix<signed char, Eigen::ColMajor, int> pattern(num_rest, num_rest);
  pattern.resizeNonZeros(static_cast<Eigen::Index>(rows.size()));
  std::copy(starts.begin(), starts.end(), pattern.outerIndexPtr());
  std::copy(rows.begin(), rows.end(), pattern.innerIndexPtr());

  // Eigen::AMDOrdering would first add the transpose to the pattern, which changes nothing on a
  // symmetric one.
  Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> permutation;
  Eigen::internal::minimum_degree_ordering(pattern, permutation);
  for (int k = 0; k < num_rest; ++k) {
    order.push_back(rest[static_cast<size_t>(permutation.indices()[k])]);
  }
}

}  // namespace

std::vector<int> EliminationOrder(Adjacency graph) {
  std::vector<int> order;
  order.reserve(static_cast<size_t>(graph.num_nodes()));
  LowDegreeElimination low(graph);
  low.Run(order);
  OrderRest(low, graph.num_nodes(), order);
  return order;
}

}  // namespace handwheel
