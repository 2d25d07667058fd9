#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindFluid(py::module_& m) {
  ViewClass<Section<Fluid>>(
      m, "Fluid",
      "The liquid of a network, as given. Assign SI numbers or texts with a unit; None takes a "
      "value\n"
      "back. Water needs its temperature only; any other liquid a density and a viscosity.")
      .Property("name", &Fluid::name, "\"water\", or any other name.")
      .Property("temperature", &Fluid::temperature, "[K]; \"20 degC\" will do too.")
      .Property("density", &Fluid::density, "[kg/m³]; None: as of water.")
      .Property("viscosity", &Fluid::viscosity, "Dynamic [Pa·s]; None: as of water.")
      .Property("kinematic_viscosity", &Fluid::kinematic_viscosity,
                "[m²/s], instead of the dynamic viscosity.")
      .Property("vapour_pressure", &Fluid::vapour_pressure, "Absolute [Pa]; None: as of water.")
      .Def(
          "resolve", [](const Section<Fluid>& fluid) { return fluid.data().Resolve(); },
          "The properties at its temperature, a Liquid. Raises NetworkError if some are missing.\n"
          "Water: IAPWS R7-97(2012), IF97, and IAPWS R12-08.")
      .Finish();
}

}  // namespace handwheel::python
