#pragma once

#include <string>
#include <vector>

#include "handwheel/batch.h"
#include "steady/plan.h"

namespace handwheel {

struct CompiledNetwork::Data {
  Network network;
  std::vector<std::string> point_names, component_names;
  Plan plan;
};

}  // namespace handwheel
