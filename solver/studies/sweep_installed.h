#pragma once

#include <string>
#include <utility>
#include <vector>

#include "handwheel/sweep.h"

namespace handwheel {

// (opening, flow [m³/s]) of rows already solved.
using OpeningFlows = std::vector<std::pair<double, double>>;

// `network` stands as it is to but for the opening of the valve. *interrupted is set, and the
// result then of no use, if the callback of options.steady says stop.
InstalledCharacteristic FindInstalledCharacteristic(const Network& network,
                                                    const std::string& valve,
                                                    const OpeningFlows& rows,
                                                    const SweepOptions& options, bool* interrupted);

}  // namespace handwheel
