#include "advice/words.h"

#include <algorithm>
#include <cctype>
#include <cmath>

#include "text/number.h"

namespace handwheel {
namespace {

constexpr double kMillilitre = 1e-6;          // [m³]
constexpr double kLitreAnHour = 1e-3 / 3600;  // [m³/s]; less is told in ml/h: a weeping seat

std::string InMillilitres(double flow) {
  return ThreeDigits(flow * 3600.0 / kMillilitre) + " ml/h";
}

}  // namespace

std::string ThreeDigits(double value) {
  const double size = std::abs(value);
  if (size >= 1000.0) return FormatDecimal(std::round(value), 15);
  if (size > 0.0 && size < 1e-3) return "less than 0.001";
  return FormatDecimal(value, 3);
}

std::string InBar(double pressure) {
  return ThreeDigits(pressure / 1e5) + " bar";
}
std::string InBarGauge(double pressure) {
  return InBar(pressure) + " gauge";
}
std::string InBarAbsolute(double pressure) {
  return InBar(pressure) + " absolute";
}
std::string InMetres(double head) {
  return ThreeDigits(head) + " m";
}
std::string InCubicMetres(double flow) {
  return InUnitOf(flow, flow);
}
std::string InUnitOf(double flow, double other) {
  const double larger = std::max(std::abs(flow), std::abs(other));
  if (larger < kLitreAnHour && larger != 0.0) return InMillilitres(flow);
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
std::string AsSentence(std::string_view reason) {
  std::string text(reason);
  if (text.empty()) return text;
  text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text + ".";
}

}  // namespace handwheel
