#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include <cmath>
#include <limits>

#include "arguments.h"
#include "bindings.h"
#include "correlations/friction.h"
#include "correlations/liquids.h"
#include "correlations/water.h"
#include "errors.h"
#include "handwheel/fluid.h"
#include "handwheel/friction_formula.h"
#include "text/suggest.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

constexpr double kMaxRelativeRoughness = 0.05;  // to which the formulas are meant [-]

FrictionFormula FormulaFromName(const std::string& name) {
  if (const auto formula = FrictionFormulaFromName(name)) return *formula;
  throw Error("friction formula " + Quoted(name) + " is unknown;" +
              Suggest(name, FrictionFormulaNames()));
}

double CheckedFriction(FrictionFormula formula, double re, double r) {
  if (!(re > 0.0) || !std::isfinite(re)) {
    throw Error("Reynolds number " + Shown(re) + "; expected a finite value above 0.");
  }
  if (!(r >= 0.0) || r > kMaxRelativeRoughness) {
    throw Error("relative roughness " + Shown(r) + "; expected a value from 0 to 0.05.");
  }
  if (formula == FrictionFormula::kFullyRough && r == 0.0) {
    throw Error("relative roughness 0; the fully rough formula needs a value above 0.");
  }
  return DarcyFriction(formula, re, r).f;
}

Liquid Water(py::object temperature) {
  const double kelvin = ToQuantity(temperature, Dimension::kTemperature);
  const auto water = WaterAt(kelvin);
  if (!water) {
    throw Error("water at " + Shown(kelvin) +
                " K; expected 273.16 to 423.15 K (0.01 to 150 degC).");
  }
  return {water->density, water->viscosity, water->vapour_pressure};
}

// ---- Solutions ----------------------------------------------------------------------------------

using SolutionAt = std::optional<LiquidProperties> (*)(double temperature, double strength);

template <SolutionAt At>
Liquid LiquidAt(const char* name, const LiquidRanges& ranges, const py::object& temperature,
                const py::object& strength) {
  const LiquidRange& range = ranges.density;
  const double kelvin = AnyFinite(temperature, "temperature", Dimension::kTemperature);
  const double fraction = Between(0.0, range.max_fraction, strength, "strength");
  const auto properties = At(kelvin, fraction);
  if (!properties) {
    throw Error(std::string(name) + " at " + Shown(kelvin) + " K; expected " +
                Shown(range.min_temperature) + " to " + Shown(range.max_temperature) + " K.");
  }
  return {properties->density,
          properties->viscosity.value_or(std::numeric_limits<double>::quiet_NaN()),
          properties->vapour_pressure};
}

Liquid SeawaterLiquid(const py::object& temperature, const py::object& strength) {
  return LiquidAt<&SeawaterAt>("seawater", kSeawaterRanges, temperature, strength);
}
Liquid SodiumHydroxideLiquid(const py::object& temperature, const py::object& strength) {
  return LiquidAt<&SodiumHydroxideAt>("sodium hydroxide", kSodiumHydroxideRanges, temperature,
                                      strength);
}
Liquid SulphuricAcidLiquid(const py::object& temperature, const py::object& strength) {
  return LiquidAt<&SulphuricAcidAt>("sulphuric acid", kSulphuricAcidRanges, temperature, strength);
}

void BindSolutions(py::module_& m) {
  m.def(
      "seawater", &SeawaterLiquid, py::arg("temperature"), py::arg("strength") = 0.035,
      "Sea water at `temperature` [K] or, say, \"20 degC\": a Liquid, as water() gives;\n"
      "`strength` is the mass of salt in mass of solution [-]. Raises Error outside 0 to 40 degC\n"
      "and 0 to 0.042. Density: UNESCO, equation of state 1980, within 0.001 %. Viscosity:\n"
      "Sharqawy, Lienhard and Zubair, 2010, 1.5 %.");
  m.def(
      "sodium_hydroxide", &SodiumHydroxideLiquid, py::arg("temperature"), py::arg("strength"),
      "Caustic at `temperature` [K] and `strength`, mass of NaOH in mass of solution [-] or, say,\n"
      "\"32 %\": a Liquid. Viscosity, to 10 %, from 20 to 60 degC only, NaN elsewhere; vapour\n"
      "pressure that of water, an upper bound. Raises Error outside 10 to 85 degC and 0 to 0.5.\n"
      "A published table of densities to 19.4 %, handbook values from memory above.");
  m.def(
      "sulphuric_acid", &SulphuricAcidLiquid, py::arg("temperature"), py::arg("strength"),
      "Sulphuric acid likewise. Density peaks near 98 % and does not tell the strength of strong\n"
      "acid. Viscosity, to 15 %, up to 50 % and 30 degC only, NaN elsewhere; vapour pressure that\n"
      "of water, an upper bound. Raises Error outside 0 to 60 degC and 0 to 1. Handbook densities\n"
      "from memory; Vinal and Craig, 1933.");
}

}  // namespace

void BindCorrelations(py::module_& m) {
  m.def(
      "friction_factor",
      [](py::array_t<double> re, py::array_t<double> relative_roughness,
         const std::string& formula) -> py::object {
        const FrictionFormula chosen = FormulaFromName(formula);
        return py::vectorize([chosen](double x, double r) {
          return CheckedFriction(chosen, x, r);
        })(re, relative_roughness);
      },
      py::arg("re"), py::arg("relative_roughness"), py::arg("formula") = "colebrook",
      "Darcy friction factor [-], four times the Fanning factor, of Reynolds number `re` [-] and\n"
      "`relative_roughness` [-]; a float, or an array of their common (broadcast) shape. 64/re up\n"
      "to 2000, the named formula from 4000, a smooth blend between; \"churchill\" alone covers\n"
      "every regime. Raises Error for re <= 0, a roughness outside 0 to 0.05, or an unknown\n"
      "formula. Colebrook, J. Inst. Civ. Eng. 11, 1939; friction_formulas() lists the others.");
  m.def("friction_formulas", &FrictionFormulaNames,
        "The names of the friction formulas that can be chosen.");
  m.def("water", &Water, py::arg("temperature"),
        "Liquid water at `temperature` [K] or, say, \"60 degC\": a Liquid with density [kg/m³],\n"
        "dynamic viscosity [Pa·s] and absolute vapour pressure [Pa], at one atmosphere, or at its\n"
        "vapour pressure where that is higher. Raises Error outside 0.01 to 150 degC, UnitError\n"
        "for what is no temperature. IAPWS R7-97(2012), IF97, and IAPWS R12-08.");
  BindSolutions(m);
}

}  // namespace handwheel::python
