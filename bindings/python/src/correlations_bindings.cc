#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include <cmath>

#include "bindings.h"
#include "correlations/friction.h"
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
      "`relative_roughness` [-]; a float, or an array of their common (broadcast) shape.\n"
      "64/re up to 2000, the named formula from 4000, a smooth blend between; \"churchill\" alone\n"
      "covers every regime. Raises Error for re <= 0, a roughness outside 0 to 0.05, or an "
      "unknown\n"
      "formula. Colebrook, J. Inst. Civ. Eng. 11, 1939; friction_formulas() lists the others.");
  m.def("friction_formulas", &FrictionFormulaNames,
        "The names of the friction formulas that can be chosen.");
  m.def("water", &Water, py::arg("temperature"),
        "Liquid water at `temperature` [K] or, say, \"60 degC\": a Liquid with density [kg/m³],\n"
        "dynamic viscosity [Pa·s] and absolute vapour pressure [Pa], at one atmosphere, or at its\n"
        "vapour pressure where that is higher. Raises Error outside 0.01 to 150 degC, UnitError\n"
        "for what is no temperature. IAPWS R7-97(2012), IF97, and IAPWS R12-08.");
}

}  // namespace handwheel::python
