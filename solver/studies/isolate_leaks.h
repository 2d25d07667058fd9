#pragma once

#include <string>
#include <vector>

#include "handwheel/isolate.h"
#include "studies/isolate_graph.h"

namespace handwheel {

// What comes into a zone as the valves around it pass. `zone`: its points; of a zone that is not
// isolated, the target's alone. `vent`: the lowest of them. Vessels among `emptied`, to be worked
// on, stand empty.
struct LeakSetting {
  const IsolateGraph* graph;
  Flags zone;
  std::size_t vent;
  std::vector<std::size_t> shut;  // components of the list
  Flags emptied;                  // points
};

LeakEstimate EstimateLeak(const LeakSetting& setting, const std::vector<std::size_t>& passing,
                          const SteadyOptions& options);

}  // namespace handwheel
