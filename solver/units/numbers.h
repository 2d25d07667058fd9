#pragma once

#include <cstddef>
#include <limits>

namespace handwheel {

inline constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();  // undetermined
inline constexpr double kHour = 3600.0;                                   // [s]
inline constexpr double kInch = 0.0254;                                   // [m]

// Nodes, components and the like are numbered by int; -1 is none. To look one up in a vector.
inline std::size_t Index(int i) {
  return static_cast<std::size_t>(i);
}

}  // namespace handwheel
