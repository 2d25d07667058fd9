#pragma once

#include <string>
#include <vector>

#include "handwheel/backflow.h"

namespace handwheel {

// "case "night shift", then P-1 trips"
std::string ScenarioInWords(const BackflowScenario& scenario);

// "NRV-1 sticks open", "NRV-1 and NRV-2 stick open", "NRV-1 sticks open and NRV-2 passes"
std::string FailuresInWords(const std::vector<FailedCheckValve>& failed);

}  // namespace handwheel
