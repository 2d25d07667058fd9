#pragma once

#include <string>
#include <string_view>

#include "handwheel/sensitivity.h"
#include "handwheel/units.h"

namespace handwheel {

// What can be read off a plant in a steady state: "L-4.flow", "L-4.velocity", "HV-3.drop" [m],
// "header.pressure" (gauge), "header.head".
struct Gauge {
  enum class Shows { kFlow, kVelocity, kDrop, kPressure, kHead };

  std::string name{};  // "L-4.flow"
  Shows shows = Shows::kFlow;
  std::size_t index = 0;  // of the component or point, network order

  Dimension dimension() const;
};

// Throws SettingError for what no gauge can show, with the nearest name or what can be shown.
Gauge FindGauge(const Network& network, std::string_view name);

// SI; NaN where it is undetermined: a point shut in, a velocity without a bore.
double ReadGauge(const Gauge& gauge, const Solution& solution);

// d reading / d setting, per SI unit of it; NaN likewise.
double GaugeSlope(const Gauge& gauge, const Sensitivity& sensitivity);

// "14.26 m3/h", "1.706 bar": four digits in the unit that a practitioner expects.
std::string GaugeText(const Gauge& gauge, double value);

}  // namespace handwheel
