#pragma once

#include <string>

#include "handwheel/steady.h"

namespace handwheel::shell {

// A solution as JSON: SI values with a "units" object, null for what is undetermined.
std::string JsonReport(const Solution& solution, const std::string& case_name,
                       const Settings& settings);

}  // namespace handwheel::shell
