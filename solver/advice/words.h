#pragma once

#include <string>
#include <string_view>

#include "text/cat.h"

// Severities, and numbers as readers have them: three digits, in the trade's units.

namespace handwheel {

inline constexpr const char* kNote = "note";
inline constexpr const char* kWarning = "warning";
inline constexpr const char* kDanger = "danger";

std::string ThreeDigits(double value);
std::string InBar(double pressure);          // a difference [Pa]: "1.25 bar"
std::string InBarGauge(double pressure);     // gauge [Pa]: "1.25 bar gauge"
std::string InBarAbsolute(double pressure);  // absolute [Pa]: "1.25 bar absolute"
std::string InMetres(double head);           // "12.5 m"
std::string InCubicMetres(double flow);      // [m³/s]: "14.3 m3/h", "18 ml/h"
// In the unit that suits the larger of the two, so that a sentence with both reads in one.
std::string InUnitOf(double flow, double other);  // [m³/s]
std::string InSpeed(double velocity);             // "1.35 m/s"
std::string InPercent(double fraction);           // "35 %"
std::string InKiloWatt(double power);             // [W]: "7.5 kW"
std::string AsSentence(std::string_view reason);  // "It wears there."

}  // namespace handwheel
