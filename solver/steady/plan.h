#pragma once

#include <optional>
#include <string>
#include <vector>

#include "components/law.h"
#include "handwheel/network.h"

namespace handwheel {

// A network compiled to flat arrays for the solvers.
//
// Nodes: junctions first, 0 .. num_free-1, whose heads are unknown; then the fixed ones: vessels,
// and behind each nozzle the atmosphere at its elevation. Components keep network order.
struct Plan {
  int num_free = 0;
  int num_fixed = 0;
  std::vector<int> from, to;       // node of each component's ends
  std::vector<Law> laws;           // by component
  std::vector<double> start_flow;  // by component [m³/s]
  std::vector<double> area;        // by component [m²]; NaN without a bore
  std::vector<double> fixed_head;  // by fixed node [m]
  std::vector<double> net_draw;    // draw - feed, by junction [m³/s]
  Liquid liquid;
  double gravity = kStandardGravity;

  int num_nodes() const { return num_free + num_fixed; }
  int num_components() const { return static_cast<int>(laws.size()); }
  bool IsFixed(int node) const { return node >= num_free; }
};

// `network` must be valid. Does not judge whether a solution exists: see feasibility.h.
Plan CompilePlan(const Network& network);

// Heads of a fresh solve [m], by node: the fixed ones, and their mean for the rest.
std::vector<double> StartHeads(const Plan& plan);

// Net inflow less net draw of each junction [m³/s] at the given component flows.
void FlowImbalance(const Plan& plan, const std::vector<double>& flow,
                   std::vector<double>* imbalance);

}  // namespace handwheel
