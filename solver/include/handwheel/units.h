#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace handwheel {

// What a quantity measures. Two units can be exchanged only within one dimension.
enum class Dimension {
  kNumber,              // [-]; "%" is accepted as 0.01
  kLength,              // [m]; heads too
  kArea,                // [m²]
  kVolume,              // [m³]
  kTime,                // [s]
  kVelocity,            // [m/s]
  kAcceleration,        // [m/s²]
  kFlow,                // [m³/s]
  kPressure,            // [Pa]
  kDensity,             // [kg/m³]
  kDynamicViscosity,    // [Pa·s]
  kKinematicViscosity,  // [m²/s]
  kTemperature,         // [K]; "degC" and "degF" are offset scales
  kRotation,            // [rad/s]
  kPower,               // [W]
};

// Reads "12 m3/h", "80 gpm", "3 bar", "1.5 in", "20 degC", or a bare number, which is SI.
// Returns the value in SI. Throws UnitError naming what was found and which units are allowed, with
// the nearest spelling of a misspelt unit.
double ParseQuantity(std::string_view text, Dimension dimension);

// `value_si` in `unit` with the unit behind it, e.g. "12 m3/h"; shortest digits that read back as
// the same double where such exist, otherwise 17 significant digits. Throws UnitError for an
// unknown unit or one of another dimension.
std::string FormatQuantity(double value_si, Dimension dimension, std::string_view unit);

// The number alone, in `unit` (no text).
double FromSi(double value_si, Dimension dimension, std::string_view unit);
double ToSi(double value, Dimension dimension, std::string_view unit);

std::string_view DimensionName(Dimension dimension);    // "length", "flow", ...
std::string_view SiUnit(Dimension dimension);           // "m", "m3/s", ...
std::vector<std::string> UnitsOf(Dimension dimension);  // every accepted spelling

}  // namespace handwheel
