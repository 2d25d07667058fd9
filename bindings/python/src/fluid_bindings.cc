#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindFluid(py::module_& m) {
  ViewClass<Section<Fluid>>(
      m, "Fluid",
      "The liquid of a network, as given. Assign SI numbers or texts with a unit; None takes a "
      "value\n"
      "back. Water needs its temperature only; seawater, sodium hydroxide and sulphuric acid "
      "their\n"
      "strength as well; any other liquid a density and a viscosity.")
      .Property(
          "name", &Fluid::name,
          "\"water\", \"seawater\", \"sodium hydroxide\", \"sulphuric acid\" or any other name.")
      .Property("temperature", &Fluid::temperature, "[K]; \"20 degC\" will do too.")
      .Property(
          "strength", &Fluid::strength,
          "Mass of the solute in mass of the solution [-]; \"32 %\" will do too. None: 0.035 for\n"
          "seawater.")
      .Property("density", &Fluid::density,
                "[kg/m³], of the carrier if there are solids; None: by name or density_table.")
      .Property("viscosity", &Fluid::viscosity,
                "Dynamic [Pa·s], of the carrier if there are solids, plastic if there is a\n"
                "yield_stress; None: by name or viscosity_table.")
      .Property("kinematic_viscosity", &Fluid::kinematic_viscosity,
                "[m²/s], instead of the dynamic viscosity.")
      .Property("vapour_pressure", &Fluid::vapour_pressure,
                "Absolute [Pa]; None: by name or vapour_pressure_table, else 0.")
      .Property("critical_pressure", &Fluid::critical_pressure, "Absolute [Pa]; None: as of water.")
      .Property("bulk_modulus", &Fluid::bulk_modulus, "[Pa]; None: by name.")
      .Property("density_table", &Fluid::density_table,
                "Points (temperature [K], density [kg/m³]), never extrapolated: an array of two\n"
                "columns, a copy.")
      .Property("viscosity_table", &Fluid::viscosity_table,
                "Points (temperature [K], dynamic viscosity [Pa·s]), likewise.")
      .Property("vapour_pressure_table", &Fluid::vapour_pressure_table,
                "Points (temperature [K], absolute pressure [Pa]), likewise.")
      .Property("yield_stress", &Fluid::yield_stress,
                "[Pa]; with it stress = yield_stress + viscosity rate, or consistency rate^index.")
      .Property("consistency", &Fluid::consistency,
                "Instead of a viscosity, with index [Pa·s^index].")
      .Property("index", &Fluid::index, "Flow behaviour index [-]; below 1: shear-thinning.")
      .Property("solids", &Fluid::solids,
                "Settling solids: mass in mass of the mixture [-], or None.")
      .Property("solids_density", &Fluid::solids_density, "Of the grains [kg/m³], or None.")
      .Property("d50", &Fluid::d50, "Grain size that half by mass is finer than [m], or None.")
      .Def(
          "resolve", [](const Section<Fluid>& fluid) { return fluid.data().Resolve(); },
          "The properties at its temperature, a Liquid. Raises NetworkError if some are missing.\n"
          "Water: IAPWS R7-97(2012), IF97, and IAPWS R12-08.")
      .Finish();
}

}  // namespace handwheel::python
