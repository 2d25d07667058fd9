#pragma once

#include <vector>

#include "steady/plan.h"

namespace handwheel {

// A plan's open parts as a directed graph: a shut part is no edge, a one-way part an edge forwards,
// any other part an edge both ways.
class FlowGraph {
 public:
  enum class Along { kFlow, kAgainst, kEither };

  explicit FlowGraph(const Plan& plan);

  // Nodes that can be reached from `start`, which are reached themselves.
  std::vector<char> Reach(const std::vector<int>& start, Along along) const;

  std::vector<int> FixedNodes() const;  // every vessel and nozzle outlet

  // Whether flows exist that meet every draw (every feed), vessels giving (taking) without limit.
  // Both true together imply flows that do both at once (exchange of augmenting paths).
  bool DrawsCanBeMet() const;
  bool FeedsCanLeave() const;

 private:
  struct Edge {
    int node;  // the other end
    int component;
    bool forward;  // walking it is walking from -> to
  };
  bool MayWalk(const Edge& edge, Along along) const;
  bool CanSaturate(bool draws) const;

  const Plan& plan_;
  std::vector<int> first_;  // by node: its edges are edges_[first_[node] .. first_[node + 1])
  std::vector<Edge> edges_;
};

}  // namespace handwheel
