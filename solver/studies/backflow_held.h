#pragma once

#include <vector>

#include "handwheel/backflow.h"
#include "studies/backflow_graph.h"

namespace handwheel {

// Where nothing runs back, and why: for each stopped pump and each check valve that passes nothing,
// the way back through it that fewest shut valves and check valves hold, if higher liquid or a
// running pump waits at its upper end. Ways held by the same parts are given once.
//
// Both halves are searched from the part, upstream and downstream, by Dijkstra's method (E. W.
// Dijkstra, Numer. Math. 1, 1959) on (parts that hold, components). What flows is followed as it
// flows; what stands may be passed either way, one-way parts against their direction only as parts
// that hold.
std::vector<HeldPath> FindHeldPaths(const BackflowGraph& graph, const Solution& solution,
                                    double least_flow);

}  // namespace handwheel
