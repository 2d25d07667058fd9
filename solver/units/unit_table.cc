#include "units/unit_table.h"

#include <numbers>
#include <unordered_map>

namespace handwheel {
namespace {

// The exact definitions the ratios below are made of:
//   inch 0.0254 m, foot 0.3048 m                international yard and pound agreement of 1959
//   pound 0.45359237 kg                         the same
//   US gallon 231 in³ = 3.785411784e-3 m³       NIST Handbook 44, appendix C
//   imperial gallon 4.54609e-3 m³               UK Weights and Measures Act 1985
//   standard gravity 9.80665 m/s²               3rd CGPM 1901
//   standard atmosphere 101 325 Pa              10th CGPM 1954; torr = atm/760
//   pound-force = pound * standard gravity = 4.4482216152605 N
//   horsepower = 550 foot pound-force a second = 745.69987158227022 W
//   columns: water of 1000 kg/m³, mercury of 13 595.1 kg/m³, both at standard gravity (the
//     conventional units of ISO 80000-4:2006, annex C; water at 4 °C weighs 999.97 kg/m³)
constexpr double kUsGallon = 3785411784.0;    // [1e-12 m³]
constexpr double kImperialGallon = 454609.0;  // [1e-8 m³]
constexpr double kFoot3 = 28316846592.0;      // [1e-12 m³]

using enum Dimension;

constexpr Unit kUnits[] = {
    {"", kNumber},
    {"%", kNumber, 1, 100},

    {"m", kLength},
    {"mm", kLength, 1, 1000},
    {"cm", kLength, 1, 100},
    {"km", kLength, 1000},
    {"um", kLength, 1, 1e6},
    {"µm", kLength, 1, 1e6},  // micro sign
    {"in", kLength, 254, 10000},
    {"inch", kLength, 254, 10000},
    {"ft", kLength, 3048, 10000},

    {"m2", kArea},
    {"cm2", kArea, 1, 1e4},
    {"mm2", kArea, 1, 1e6},
    {"in2", kArea, 64516, 1e8},
    {"ft2", kArea, 9290304, 1e8},

    {"m3", kVolume},
    {"L", kVolume, 1, 1000},
    {"l", kVolume, 1, 1000},
    {"mL", kVolume, 1, 1e6},
    {"ml", kVolume, 1, 1e6},
    {"ML", kVolume, 1000},
    {"cm3", kVolume, 1, 1e6},
    {"gal", kVolume, kUsGallon, 1e12},
    {"US gal", kVolume, kUsGallon, 1e12},
    {"UK gal", kVolume, kImperialGallon, 1e8},
    {"in3", kVolume, 16387064, 1e12},
    {"ft3", kVolume, kFoot3, 1e12},

    {"s", kTime},
    {"ms", kTime, 1, 1000},
    {"min", kTime, 60},
    {"h", kTime, 3600},
    {"hr", kTime, 3600},
    {"d", kTime, 86400},
    {"day", kTime, 86400},

    {"m/s", kVelocity},
    {"mm/s", kVelocity, 1, 1000},
    {"cm/s", kVelocity, 1, 100},
    {"m/min", kVelocity, 1, 60},
    {"m/h", kVelocity, 1, 3600},
    {"km/h", kVelocity, 1000, 3600},
    {"ft/s", kVelocity, 3048, 10000},
    {"ft/min", kVelocity, 3048, 600000},

    {"m/s2", kAcceleration},
    {"ft/s2", kAcceleration, 3048, 10000},

    {"m3/s", kFlow},
    {"m3/h", kFlow, 1, 3600},
    {"m3/hr", kFlow, 1, 3600},
    {"m3/min", kFlow, 1, 60},
    {"m3/d", kFlow, 1, 86400},
    {"m3/day", kFlow, 1, 86400},
    {"L/s", kFlow, 1, 1000},
    {"l/s", kFlow, 1, 1000},
    {"L/min", kFlow, 1, 60000},
    {"l/min", kFlow, 1, 60000},
    {"L/h", kFlow, 1, 3.6e6},
    {"l/h", kFlow, 1, 3.6e6},
    {"mL/min", kFlow, 1, 60e6},
    {"ml/min", kFlow, 1, 60e6},
    {"ML/d", kFlow, 1000, 86400},
    {"ML/day", kFlow, 1000, 86400},
    {"gpm", kFlow, kUsGallon, 60e12},
    {"US gpm", kFlow, kUsGallon, 60e12},
    {"gal/min", kFlow, kUsGallon, 60e12},
    {"gph", kFlow, kUsGallon, 3600e12},
    {"gal/h", kFlow, kUsGallon, 3600e12},
    {"MGD", kFlow, kUsGallon, 86400e6},
    {"UK gpm", kFlow, kImperialGallon, 60e8},
    {"cfs", kFlow, kFoot3, 1e12},
    {"ft3/s", kFlow, kFoot3, 1e12},
    {"ft3/min", kFlow, kFoot3, 60e12},
    {"ft3/h", kFlow, kFoot3, 3600e12},

    {"Pa", kPressure},
    {"hPa", kPressure, 100},
    {"kPa", kPressure, 1000},
    {"MPa", kPressure, 1e6},
    {"GPa", kPressure, 1e9},
    {"bar", kPressure, 1e5},
    {"mbar", kPressure, 100},
    {"psi", kPressure, 44482216152605.0, 6451600000.0},
    {"kgf/cm2", kPressure, 980665, 10},
    {"kg/cm2", kPressure, 980665, 10},
    {"atm", kPressure, 101325},
    {"mH2O", kPressure, 980665, 100},
    {"mmH2O", kPressure, 980665, 1e5},
    {"mmHg", kPressure, 133322387415.0, 1e9},
    {"inHg", kPressure, 3386388640341.0, 1e9},
    {"torr", kPressure, 101325, 760},

    {"kg/m3", kDensity},
    {"g/cm3", kDensity, 1000},
    {"g/mL", kDensity, 1000},
    {"g/ml", kDensity, 1000},
    {"g/L", kDensity},
    {"g/l", kDensity},
    {"kg/L", kDensity, 1000},
    {"kg/l", kDensity, 1000},
    {"kg/dm3", kDensity, 1000},
    {"t/m3", kDensity, 1000},
    {"lb/ft3", kDensity, 453592370000.0, kFoot3},
    {"lb/gal", kDensity, 453592370000.0, kUsGallon},

    {"Pa.s", kDynamicViscosity},
    {"Pa s", kDynamicViscosity},
    {"mPa.s", kDynamicViscosity, 1, 1000},
    {"mPa s", kDynamicViscosity, 1, 1000},
    {"cP", kDynamicViscosity, 1, 1000},
    {"P", kDynamicViscosity, 1, 10},

    {"m2/s", kKinematicViscosity},
    {"mm2/s", kKinematicViscosity, 1, 1e6},
    {"cSt", kKinematicViscosity, 1, 1e6},
    {"St", kKinematicViscosity, 1, 1e4},
    {"cm2/s", kKinematicViscosity, 1, 1e4},
    {"ft2/s", kKinematicViscosity, 9290304, 1e8},

    {"K", kTemperature},
    {"degC", kTemperature, 1, 1, 273.15},
    {"C", kTemperature, 1, 1, 273.15},
    {"degF", kTemperature, 5, 9, 459.67},
    {"F", kTemperature, 5, 9, 459.67},

    {"rad/s", kRotation},
    {"rpm", kRotation, std::numbers::pi, 30},
    {"r/min", kRotation, std::numbers::pi, 30},
    {"1/min", kRotation, std::numbers::pi, 30},

    {"W", kPower},
    {"kW", kPower, 1000},
    {"MW", kPower, 1e6},
    {"hp", kPower, 745.69987158227022},
};

// The k of 10^k; -1 if the number is none.
int ExponentOf(double number) {
  int exponent = 0;
  double power = 1.0;  // exact up to 10^22
  while (power < number) {
    power *= 10.0;
    ++exponent;
  }
  return power == number ? exponent : -1;
}

std::unordered_map<std::string_view, const Unit*> MakeIndex() {
  std::unordered_map<std::string_view, const Unit*> index;
  for (const Unit& unit : kUnits) index.emplace(unit.name, &unit);
  return index;
}

}  // namespace

std::span<const Unit> UnitTable() {
  return kUnits;
}

std::optional<int> PowerOfTen(const Unit& unit) {
  const int times = ExponentOf(unit.times);
  const int over = ExponentOf(unit.over);
  if (unit.shift != 0.0 || times < 0 || over < 0) return std::nullopt;
  return times - over;
}

const Unit* FindUnit(std::string_view name) {
  static const auto index = MakeIndex();
  const auto found = index.find(name);
  return found == index.end() ? nullptr : found->second;
}

}  // namespace handwheel
