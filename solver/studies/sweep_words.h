#pragma once

#include <string>

#include "handwheel/sweep.h"

namespace handwheel {

// "day tank.level = 2 m": one value of one axis.
std::string SettingInWords(const SweepResult& sweep, std::size_t axis, std::size_t value);

}  // namespace handwheel
