#include "handwheel/transient.h"

#include <algorithm>
#include <cmath>

#include "handwheel/errors.h"
#include "network/names.h"
#include "text/cat.h"
#include "text/number.h"
#include "text/suggest.h"
#include "transient/simulator.h"

namespace handwheel {
namespace {

std::vector<double> ColumnOf(const std::vector<double>& values,
                             const std::vector<std::string>& names, std::string_view name,
                             const char* what) {
  std::vector<double> column;
  for (std::size_t i = IndexOfName(names, name, what); i < values.size(); i += names.size())
    column.push_back(values[i]);
  return column;
}

bool Positive(const char* field, double value, std::string* error) {
  if (value > 0.0 && std::isfinite(value)) return true;
  *error = Cat(field, " is ", FormatDecimal(value, 6), "; expected a value above 0");
  return false;
}

}  // namespace

std::string_view ColumnModelName(ColumnModel model) {
  switch (model) {
    case ColumnModel::kAuto:
      return "auto";
    case ColumnModel::kElastic:
      return "elastic";
    case ColumnModel::kRigid:
      return "rigid";
    case ColumnModel::kSteady:
      return "steady";
  }
  return "";
}

std::optional<ColumnModel> ColumnModelFromName(std::string_view name) {
  for (const ColumnModel model :
       {ColumnModel::kAuto, ColumnModel::kElastic, ColumnModel::kRigid, ColumnModel::kSteady}) {
    if (ColumnModelName(model) == name) return model;
  }
  return std::nullopt;
}

bool TransientOptions::IsValid(std::string* error) const {
  if (!Positive("duration", duration, error)) return false;
  if (time_step && !Positive("time_step", *time_step, error)) return false;
  if (record_every && !Positive("record_every", *record_every, error)) return false;
  if (least_reaches < 1) {
    *error = Cat("least_reaches is ", std::to_string(least_reaches), "; expected 1 or more");
    return false;
  }
  if (!(wave_speed_bound >= 0.0 && wave_speed_bound < 1.0)) {
    *error = Cat("wave_speed_bound is ", FormatDecimal(wave_speed_bound, 6),
                 "; expected a value from 0 to 1");
    return false;
  }
  return steady.IsValid(error);
}

std::vector<double> Transient::Head(std::string_view point) const {
  return ColumnOf(head, point_names, point, "point");
}
std::vector<double> Transient::Pressure(std::string_view point) const {
  return ColumnOf(pressure, point_names, point, "point");
}
std::vector<double> Transient::Flow(std::string_view component) const {
  return ColumnOf(flow, component_names, component, "component");
}
std::vector<double> Transient::Speed(std::string_view pump) const {
  return ColumnOf(speed, pump_names, pump, "pump");
}
std::vector<double> Transient::Level(std::string_view vessel) const {
  return ColumnOf(level, vessel_names, vessel, "vessel");
}

Transient Simulate(const Network& network, const std::vector<TransientEvent>& events,
                   const TransientOptions& options) {
  return Simulator(network, events, options).Run();
}

}  // namespace handwheel
