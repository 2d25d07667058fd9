#include "advice/words.h"

#include <cmath>

#include "text/number.h"

namespace handwheel {

std::string ThreeDigits(double value) {
  const double size = std::abs(value);
  if (size >= 1000.0) return FormatDecimal(std::round(value), 15);
  if (size > 0.0 && size < 1e-3) return "less than 0.001";
  return FormatDecimal(value, 3);
}

std::string InBar(double pressure) {
  return ThreeDigits(pressure / 1e5) + " bar";
}
std::string InMetres(double head) {
  return ThreeDigits(head) + " m";
}
std::string InCubicMetres(double flow) {
  constexpr double kMillilitre = 1e-6;  // [m³]
  const double per_hour = flow * 3600.0;
  // A weeping seat.
  if (std::abs(per_hour) < 1e-3 && per_hour != 0.0) {
    return ThreeDigits(per_hour / kMillilitre) + " ml/h";
  }
  return ThreeDigits(flow * 3600.0) + " m3/h";
}
std::string InSpeed(double velocity) {
  return ThreeDigits(velocity) + " m/s";
}
std::string InPercent(double fraction) {
  return ThreeDigits(100.0 * fraction) + " %";
}
std::string InKiloWatt(double power) {
  return ThreeDigits(power / 1e3) + " kW";
}

}  // namespace handwheel
