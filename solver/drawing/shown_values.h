#pragma once

#include <string>

#include "handwheel/diagram.h"
#include "handwheel/units.h"

namespace handwheel {

// Flows below this count as none on a diagram: round-off, and the creep of a liquid with a yield
// stress [m³/s] (0.07 l/h).
inline constexpr double kLeastShownFlow = 2e-8;

// Values as a diagram shows them: three significant digits and the unit.
class ShownValues {
 public:
  explicit ShownValues(const DiagramOptions& options) : options_(options) {}

  std::string Flow(double flow) const;          // its amount [m³/s], without a sign
  std::string Pressure(double pressure) const;  // [Pa]
  std::string Length(double length) const;      // [m]
  std::string Millimetres(double length) const;
  std::string Velocity(double velocity) const;
  static std::string Percent(double fraction);

 private:
  const DiagramOptions& options_;
};

}  // namespace handwheel
