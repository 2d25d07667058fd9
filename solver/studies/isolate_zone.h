#pragma once

#include <optional>
#include <string>
#include <vector>

#include "handwheel/isolate.h"
#include "studies/isolate_cuts.h"
#include "studies/isolate_graph.h"

namespace handwheel {

// The steady state before anything is shut, as far as there is one.
struct PresentState {
  std::optional<Solution> solution;
  std::string message;

  double Head(std::size_t point) const;      // [m]; NaN where undetermined
  double Pressure(std::size_t point) const;  // gauge [Pa]
};
PresentState SolvePresent(const Network& network, const SteadyOptions& options);

// Points joined past nothing that holds make one node; what holds, the edges. What is in `near` is
// one node, every source outside of it another.
struct ContractedPlant {
  CutGraph graph;
  int near_node = 0, source_node = 1;
  std::vector<int> node;               // by point; -1: left out
  std::vector<std::size_t> component;  // by edge
};
ContractedPlant Contract(const IsolateGraph& graph, const Flags& holds, const Flags& near,
                         const Flags& left_out);

// `shut` flags what holds, blanks too: the zone ends there.
IsolatedZone DescribeZone(const IsolateGraph& graph, const Flags& zone, const Flags& shut,
                          const PresentState& present);
double PipeVolume(const IsolateGraph& graph, const Flags& zone);  // [m³]

// The valves that count of `shut` between the zone and the rest, in network order.
std::vector<BoundaryValve> DescribeBoundary(const IsolateGraph& graph, const Flags& zone,
                                            const Flags& shut, const PresentState& present);

}  // namespace handwheel
