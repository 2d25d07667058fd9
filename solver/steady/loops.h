#pragma once

#include <vector>

#include "handwheel/steady.h"
#include "steady/plan.h"

namespace handwheel {

// A loop and what its drops must add up to at the solution:
//   sum over its parts of sign * drop(flow) = head_gain,
// zero unless the loop is closed through points of fixed head.
struct ClosedLoop {
  Loop parts;
  double head_gain = 0.0;  // [m]
};

// A spanning forest of a plan's nodes. All fixed heads count as one root.
struct Forest {
  std::vector<int> order;      // every node once, after its parent
  std::vector<int> parent;     // by node; -1 at a root
  std::vector<int> link;       // by node: the component that joins it to its parent; -1 at a root
  std::vector<char> grounded;  // by node: hangs on a fixed head

  bool IsRoot(int node) const { return parent[static_cast<std::size_t>(node)] < 0; }
};

// How dear a part is as a branch of the forest: one-way parts are dearer than all others, then the
// steeper is the dearer.
struct PartCost {
  bool one_way = false;
  double slope = 0.0;  // [s/m²]
  auto operator<=>(const PartCost&) const = default;
};

// Finds forests and loops among those parts of a plan that are in use.
class LoopFinder {
 public:
  // `in_use` and `cost` by component; a part not in use is no edge.
  LoopFinder(const Plan& plan, std::vector<char> in_use, std::vector<PartCost> cost);

  // The cheapest one, in the order in which it grows (Prim).
  Forest GrowForest() const;

  // One loop for each part in use that is no branch of `forest`, cheapest first. Each is closed by
  // the path of least slope through the forest and the parts closed before, which keeps loops short
  // and little coupled; being triangular, the set still spans every circulation, with whole
  // numbers. A one-way part that is no branch belongs to its own loop only, unless no two-way parts
  // join its ends.
  std::vector<ClosedLoop> FindLoops(const Forest& forest) const;

  // The loop that runs forwards through `parts`, none of them a branch, in turn, and from each to
  // the next along the forest.
  ClosedLoop CloseThrough(const std::vector<int>& parts, const Forest& forest) const;

 private:
  struct Arc {
    int to;  // node
    int component;
    int sign;  // +1: walking it is walking from -> to
  };

  std::vector<char> BranchesOf(const Forest& forest) const;
  int Merged(int node) const { return plan_.IsFixed(node) ? plan_.num_free : node; }
  void FindPath(int from, int to, const std::vector<char>& allowed, std::vector<Arc>* path) const;
  ClosedLoop Close(const std::vector<int>& parts, const std::vector<char>& allowed) const;

  const Plan& plan_;
  std::vector<char> in_use_;
  std::vector<PartCost> cost_;
  std::vector<std::vector<Arc>> arcs_;  // by node, all fixed ones merged into node num_free
};

}  // namespace handwheel
