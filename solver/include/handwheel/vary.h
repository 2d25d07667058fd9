#pragma once

#include <string>

#include "handwheel/network.h"

namespace handwheel {

// A number of the plant that a question may change: "HV-3.opening", "L-4.roughness",
// "mixer.draw", "day tank.level".
struct Vary {
  std::string target{};
  // Bounds, SI or text with a unit; empty text: as far as the property itself may go.
  Value lower = std::string{};
  Value upper = std::string{};
};

}  // namespace handwheel
