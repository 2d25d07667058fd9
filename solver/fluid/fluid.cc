#include "handwheel/fluid.h"

#include <cmath>

#include "correlations/water.h"
#include "handwheel/errors.h"
#include "handwheel/units.h"
#include "text/cat.h"
#include "text/number.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

constexpr double kCelsiusZero = 273.15;  // [K]

[[noreturn]] void Refuse(const std::string& key, const std::string& text) {
  throw NetworkError(Cat("fluid: ", key, " ", text), "fluid", key);
}

void CheckAboveZero(const std::string& key, const std::optional<double>& value,
                    Dimension dimension) {
  if (!value || (std::isfinite(*value) && *value > 0.0)) return;
  Refuse(key,
         Cat(FormatQuantity(*value, dimension, SiUnit(dimension)), "; expected a value above 0."));
}

void CheckGiven(const Fluid& fluid) {
  CheckAboveZero("density", fluid.density, Dimension::kDensity);
  CheckAboveZero("viscosity", fluid.viscosity, Dimension::kDynamicViscosity);
  CheckAboveZero("kinematic_viscosity", fluid.kinematic_viscosity, Dimension::kKinematicViscosity);
  if (fluid.vapour_pressure &&
      !(std::isfinite(*fluid.vapour_pressure) && *fluid.vapour_pressure >= 0.0)) {
    Refuse("vapour_pressure",
           Cat(FormatQuantity(*fluid.vapour_pressure, Dimension::kPressure, "Pa"),
               "; expected 0 or more."));
  }
  if (fluid.viscosity && fluid.kinematic_viscosity) {
    Refuse("kinematic_viscosity", "and viscosity are both given; give one of them.");
  }
}

Liquid Water(double temperature) {
  const auto water = WaterAt(temperature);
  if (!water) {
    Refuse("temperature", Cat(FormatDecimal(temperature - kCelsiusZero, 6),
                              " degC is outside what is known of liquid water; expected 0.01 to "
                              "150 degC."));
  }
  return {water->density, water->viscosity, water->vapour_pressure};
}

// Only water brings its own properties.
Liquid Named(const Fluid& fluid) {
  const auto need = [&](bool given, const std::string& key, const std::string& what) {
    if (!given) Refuse(key, Cat("is missing; ", Quoted(fluid.name), " needs ", what, "."));
  };
  need(fluid.density.has_value(), "density", "a density (only \"water\" has its own)");
  need(fluid.viscosity || fluid.kinematic_viscosity, "viscosity",
       "a viscosity or a kinematic_viscosity");
  return {};
}

}  // namespace

Liquid Fluid::Resolve() const {
  CheckGiven(*this);
  Liquid liquid = name == "water" ? Water(temperature) : Named(*this);
  if (density) liquid.density = *density;
  if (viscosity) liquid.viscosity = *viscosity;
  if (kinematic_viscosity) liquid.viscosity = *kinematic_viscosity * liquid.density;
  if (vapour_pressure) liquid.vapour_pressure = *vapour_pressure;
  return liquid;
}

}  // namespace handwheel
