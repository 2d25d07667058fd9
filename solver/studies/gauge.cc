#include "studies/gauge.h"

#include <algorithm>
#include <array>
#include <vector>

#include "handwheel/errors.h"
#include "network/draft.h"
#include "text/cat.h"
#include "text/number.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

using Numbers = std::vector<double>;

struct Property {
  std::string_view key;
  Gauge::Shows shows;
  bool of_point;
  Dimension dimension;
  std::string_view unit;  // for readers
  const Numbers& (Solution::*reading)() const;
  Numbers Sensitivity::*slope;
};

constexpr std::array<Property, 5> kProperties = {{
    {"flow", Gauge::Shows::kFlow, false, Dimension::kFlow, "m3/h", &Solution::flow,
     &Sensitivity::flow},
    {"velocity", Gauge::Shows::kVelocity, false, Dimension::kVelocity, "m/s", &Solution::velocity,
     &Sensitivity::velocity},
    {"drop", Gauge::Shows::kDrop, false, Dimension::kLength, "m", &Solution::drop,
     &Sensitivity::drop},
    {"pressure", Gauge::Shows::kPressure, true, Dimension::kPressure, "bar", &Solution::pressure,
     &Sensitivity::pressure},
    {"head", Gauge::Shows::kHead, true, Dimension::kLength, "m", &Solution::head,
     &Sensitivity::head},
}};

const Property& PropertyOf(const Gauge& gauge) {
  return *std::find_if(kProperties.begin(), kProperties.end(),
                       [&](const Property& one) { return one.shows == gauge.shows; });
}

std::vector<std::string> KeysOf(bool of_point) {
  std::vector<std::string> keys;
  for (const Property& one : kProperties) {
    if (one.of_point == of_point) keys.emplace_back(one.key);
  }
  return keys;
}

}  // namespace

Dimension Gauge::dimension() const {
  return PropertyOf(*this).dimension;
}

Gauge FindGauge(const Network& network, std::string_view name) {
  const PartPlace part = FindTargetPart(network, name);
  const std::string_view key = SplitTarget(name).property;
  if (part.kind->role == Role::kSection) {
    throw SettingError(Cat(Quoted(name), ": no gauge shows the ", part.kind->spoken,
                           "; expected a point or a component."));
  }
  const bool of_point = part.kind->role == Role::kPoint;
  for (const Property& one : kProperties) {
    if (one.key != key || one.of_point != of_point) continue;
    std::size_t index = part.index;  // in its kind; those before it count too
    for (const PartKind& kind : PartKindTable()) {
      if (kind.name == part.kind->name) break;
      if (kind.role == part.kind->role) index += kind.count(network);
    }
    return {std::string(name), one.shows, index};
  }
  throw SettingError(Cat(Quoted(name), ": no gauge shows the ", Quoted(key), " of a ",
                         part.kind->spoken, ";", Suggest(key, KeysOf(of_point))));
}

double ReadGauge(const Gauge& gauge, const Solution& solution) {
  return (solution.*PropertyOf(gauge).reading)()[gauge.index];
}

double GaugeSlope(const Gauge& gauge, const Sensitivity& sensitivity) {
  return (sensitivity.*PropertyOf(gauge).slope)[gauge.index];
}

std::string GaugeText(const Gauge& gauge, double value) {
  const Property& property = PropertyOf(gauge);
  return Cat(FormatDecimal(FromSi(value, property.dimension, property.unit), 4), " ",
             property.unit);
}

}  // namespace handwheel
