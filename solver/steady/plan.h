#pragma once

#include <optional>
#include <string>
#include <vector>

#include "components/control.h"
#include "components/law.h"
#include "handwheel/network.h"

namespace handwheel {

// A control of one component of a plan.
struct PlanControl {
  int component;
  Control control;
};

// A network compiled to flat arrays for the solvers.
//
// Nodes: junctions first, 0 .. num_free-1, whose heads are unknown; then the fixed ones: vessels,
// and behind each nozzle, open relief valve and leak the atmosphere at its elevation. Components
// keep network order; leaks to the open air, which the network does not list, follow them.
struct Plan {
  int num_free = 0;
  int num_fixed = 0;
  int num_listed = 0;              // components that the network lists
  std::vector<int> from, to;       // node of each component's ends
  std::vector<Law> laws;           // by component
  std::vector<double> start_flow;  // by component [m³/s]
  std::vector<double> area;        // by component [m²]; NaN without a bore
  std::vector<int> leaks_from;     // by leak: the component whose leak it is
  std::vector<double> fixed_head;  // by fixed node [m]
  std::vector<double> net_draw;    // draw - feed, by junction [m³/s]
  std::vector<double> elevation;   // by node [m]
  // Regulators and balanced relief valves; then, apart, the valves that may choke.
  std::vector<PlanControl> controls, chokes;
  Liquid liquid;
  double gravity = kStandardGravity;
  double atmospheric_pressure = kStandardAtmosphere;

  int num_nodes() const { return num_free + num_fixed; }
  int num_components() const { return static_cast<int>(laws.size()); }
  bool IsFixed(int node) const { return node >= num_free; }
  double Weight() const { return liquid.density * gravity; }  // [Pa/m]
  // Head of a gauge pressure [Pa] at a node [m].
  double HeadAt(int node, double pressure) const {
    return elevation[static_cast<std::size_t>(node)] + pressure / Weight();
  }
  int AddFixed(double head, double at_elevation) {
    fixed_head.push_back(head);
    elevation.push_back(at_elevation);
    return num_free + num_fixed++;
  }
};

// `network` must be valid. Does not judge whether a solution exists: see feasibility.h.
Plan CompilePlan(const Network& network);

// Heads of a fresh solve [m], by node: the fixed ones, and their mean for the rest.
std::vector<double> StartHeads(const Plan& plan);

// Net inflow less net draw of each junction [m³/s] at the given component flows.
void FlowImbalance(const Plan& plan, const std::vector<double>& flow,
                   std::vector<double>* imbalance);

}  // namespace handwheel
