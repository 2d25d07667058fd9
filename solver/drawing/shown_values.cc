#include "drawing/shown_values.h"

#include <cmath>

#include "text/cat.h"
#include "text/number.h"

namespace handwheel {
namespace {

constexpr int kDigits = 3;

std::string Digits(double value) {
  if (std::isnan(value)) return "-";
  if (std::abs(value) >= 1000.0) {
    const double rounded = std::round(value);
    return std::abs(rounded) < 1e15 ? std::to_string(static_cast<long long>(rounded))
                                    : FormatDecimal(value, kDigits);
  }
  return FormatDecimal(value == 0.0 ? 0.0 : value, kDigits);
}

std::string Shown(double value_si, Dimension dimension, const std::string& unit) {
  return Cat(Digits(FromSi(value_si, dimension, unit)), " ", unit);
}

}  // namespace

std::string ShownValues::Flow(double flow) const {
  return Shown(std::abs(flow), Dimension::kFlow, options_.flow_unit);
}
std::string ShownValues::Pressure(double pressure) const {
  return Shown(pressure, Dimension::kPressure, options_.pressure_unit);
}
std::string ShownValues::Length(double length) const {
  return Shown(length, Dimension::kLength, options_.length_unit);
}
std::string ShownValues::Millimetres(double length) const {
  return Shown(length, Dimension::kLength, "mm");
}
std::string ShownValues::Velocity(double velocity) const {
  return Shown(std::abs(velocity), Dimension::kVelocity, "m/s");
}
std::string ShownValues::Percent(double fraction) {
  return Cat(Digits(100.0 * fraction), " %");
}

}  // namespace handwheel
