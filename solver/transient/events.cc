#include "transient/events.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "advice/words.h"
#include "handwheel/errors.h"
#include "handwheel/readings.h"
#include "text/cat.h"
#include "text/number.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

template <typename Part>
const Part& Find(const std::vector<Part>& parts, const std::string& name, const char* kind) {
  std::vector<std::string> names;
  for (const Part& part : parts) {
    if (part.name == name) return part;
    names.push_back(part.name);
  }
  throw SettingError(
      Cat("no ", kind, " is named ", Quoted(name), ";",
          names.empty() ? std::string(" the network has none.") : Suggest(name, names)));
}

template <typename Part>
bool Has(const std::vector<Part>& parts, const std::string& name) {
  return std::any_of(parts.begin(), parts.end(),
                     [&](const Part& part) { return part.name == name; });
}

void CheckTime(const TransientEvent& event, const char* what, double value) {
  if (value >= 0.0 && std::isfinite(value)) return;
  throw SettingError(Cat(Quoted(event.name), ": ", what, " is ", FormatDecimal(value, 6),
                         " s; expected a time from 0 on."));
}

// A change that settings can make is checked as they are.
void CheckSetting(const Network& network, const std::string& target, const Value& value) {
  Network changed = network;
  changed.Apply(target, value);
  changed.Validate();
}

void CheckStroke(const Network& network, const TransientEvent& event) {
  const Valve& valve = Find(network.valves, event.name, "valve");
  CheckSetting(network, event.name + ".opening", event.value);
  if (event.turns_per_second == 0.0) return;
  if (!(event.turns_per_second > 0.0) || !std::isfinite(event.turns_per_second)) {
    throw SettingError(Cat(Quoted(event.name), ": ", FormatDecimal(event.turns_per_second, 6),
                           " turns a second; expected a rate above 0."));
  }
  TurnsOfTravel(valve);  // throws if it has none
}

void CheckCondition(const Network& network, const TransientEvent& event) {
  const bool known = Has(network.check_valves, event.name) || Has(network.valves, event.name);
  if (!known) {
    std::vector<std::string> names;
    for (const CheckValve& valve : network.check_valves) names.push_back(valve.name);
    for (const Valve& valve : network.valves) names.push_back(valve.name);
    throw SettingError(
        Cat("no valve or check valve is named ", Quoted(event.name), ";",
            names.empty() ? std::string(" the network has none.") : Suggest(event.name, names)));
  }
  if (event.condition == "diaphragm cut") {
    throw SettingError(Cat(Quoted(event.name),
                           ": a diaphragm that is cut during a run is not modelled; set its "
                           "condition before."));
  }
  CheckSetting(network, event.name + ".condition", event.condition);
}

}  // namespace

TransientEvent TripPump(std::string pump, double at) {
  return {.kind = Happening::kTrip, .name = std::move(pump), .at = at};
}
TransientEvent StartPump(std::string pump, double at, double over) {
  return {.kind = Happening::kStart, .name = std::move(pump), .at = at, .over = over};
}
TransientEvent StrokeValve(std::string valve, double opening, double at, double over) {
  return {.kind = Happening::kStroke,
          .name = std::move(valve),
          .at = at,
          .over = over,
          .value = opening};
}
TransientEvent TurnHandwheel(std::string valve, double opening, double at,
                             double turns_per_second) {
  return {.kind = Happening::kStroke,
          .name = std::move(valve),
          .at = at,
          .value = opening,
          .turns_per_second = turns_per_second};
}
TransientEvent ChangeCondition(std::string part, std::string condition, double at) {
  return {.kind = Happening::kCondition,
          .name = std::move(part),
          .at = at,
          .condition = std::move(condition)};
}
TransientEvent ChangeGasPressure(std::string vessel, double pressure, double at, double over) {
  return {.kind = Happening::kGasPressure,
          .name = std::move(vessel),
          .at = at,
          .over = over,
          .value = pressure};
}
TransientEvent ChangeDraw(std::string junction, double draw, double at, double over) {
  return {
      .kind = Happening::kDraw, .name = std::move(junction), .at = at, .over = over, .value = draw};
}

void CheckEvents(const Network& network, const std::vector<TransientEvent>& events) {
  for (const TransientEvent& event : events) {
    CheckTime(event, "its time", event.at);
    CheckTime(event, "the time it takes", event.over);
    switch (event.kind) {
      case Happening::kTrip:
      case Happening::kStart:
        Find(network.pumps, event.name, "pump");
        break;
      case Happening::kStroke:
        CheckStroke(network, event);
        break;
      case Happening::kCondition:
        CheckCondition(network, event);
        break;
      case Happening::kGasPressure:
        Find(network.vessels, event.name, "vessel");
        CheckSetting(network, event.name + ".gas_pressure", event.value);
        break;
      case Happening::kDraw:
        Find(network.junctions, event.name, "junction");
        CheckSetting(network, event.name + ".draw", event.value);
        break;
    }
  }
}

double TimeOfStroke(const Valve& valve, double from, const TransientEvent& event) {
  if (event.turns_per_second == 0.0) return event.over;
  return std::abs(event.value - from) * TurnsOfTravel(valve) / event.turns_per_second;
}

std::string InWords(const TransientEvent& event) {
  const std::string within =
      event.over > 0.0 ? Cat(" within ", FormatDecimal(event.over, 3), " s") : std::string();
  switch (event.kind) {
    case Happening::kTrip:
      return event.name + " trips";
    case Happening::kStart:
      return Cat(event.name, " starts", within);
    case Happening::kStroke:
      return Cat(event.name, " travels to ", InPercent(event.value), " open",
                 event.turns_per_second > 0.0
                     ? Cat(" at ", FormatDecimal(event.turns_per_second, 3), " turns a second")
                     : within);
    case Happening::kCondition:
      return Cat(event.name, ": ", event.condition);
    case Happening::kGasPressure:
      return Cat(event.name, ": gas pressure to ", InBarGauge(event.value), within);
    case Happening::kDraw:
      return Cat(event.name, ": draw to ", InCubicMetres(event.value), within);
  }
  return "";
}

}  // namespace handwheel
