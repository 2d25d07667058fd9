#pragma once

#include <array>
#include <vector>

namespace handwheel {

// An undirected graph; edges may be parallel, none joins a node to itself.
struct CutGraph {
  int num_nodes = 0;
  std::vector<std::array<int, 2>> edges{};
};

struct CutList {
  std::vector<std::vector<int>> cuts{};  // edges, each ascending; by size, smallest first
  bool complete = false;                 // there is no other minimal cut
};

// Minimal sets of edges without which no path joins two nodes: at least the `enough` smallest, with
// all those of equal size, or as many as there are. Gives up after max_steps; then what was found
// need not be the smallest, but for one of the smallest size, which is always there.
CutList MinimalCuts(const CutGraph& graph, int from, int to, int enough, int max_steps);

// Of the smallest cuts that nearest to `from`; empty if no path joins the two. `weights`, by edge
// and at least 1, make some edges count for more; none: all alike.
std::vector<int> NearestSmallestCut(const CutGraph& graph, int from, int to,
                                    const std::vector<int>& weights = {});

}  // namespace handwheel
