#pragma once

#include <cstddef>
#include <vector>

#include "studies/backflow_graph.h"

namespace handwheel {

// What liquid does the wrong way.
struct WrongWay {
  std::vector<char> component;  // by component
  std::vector<char> vessel;     // by vessel: gives and took before, or takes and gave before
};

// As nodes and components; both ends alike and `goes_round` if a pump drives it round.
struct FlowPath {
  std::size_t source = 0, sink = 0;
  double flow = 0.0;  // [m³/s]
  std::vector<std::size_t> components;
  bool goes_round = false;
};

// Splits what runs the wrong way into paths, largest first. Every path passes a component the wrong
// way or ends at a vessel that does; together they carry all such flow but for less than least_flow
// [m³/s] in any component.
//
// Each path is found from the wrong-way component with most flow left, upstream and downstream,
// along the wrong-way component with most left at every point, else the component with most left.
// Taking the least left on it away empties a component, or a feed or draw, so that there are no
// more paths than these.
std::vector<FlowPath> SplitBackflow(const BackflowGraph& graph, const std::vector<double>& flow,
                                    const WrongWay& wrong, double least_flow);

}  // namespace handwheel
