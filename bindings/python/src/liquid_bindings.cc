#include "bindings.h"
#include "handwheel/fluid.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {

void BindLiquid(py::module_& m) {
  py::class_<Liquid>(m, "Liquid", "Properties of a liquid at one temperature.")
      .def_readonly("density", &Liquid::density, "[kg/m³].")
      .def_readonly("viscosity", &Liquid::viscosity, "Dynamic [Pa·s].")
      .def_readonly("vapour_pressure", &Liquid::vapour_pressure, "Absolute [Pa].")
      .def_property_readonly("kinematic_viscosity", &Liquid::KinematicViscosity, "[m²/s].")
      .def(py::pickle(
          [](const Liquid& liquid) {
            return py::make_tuple(liquid.density, liquid.viscosity, liquid.vapour_pressure);
          },
          [](const py::tuple& state) {
            return Liquid{state[0].cast<double>(), state[1].cast<double>(),
                          state[2].cast<double>()};
          }))
      .def("__repr__", [](const Liquid& liquid) {
        return "Liquid(density=" + Shown(liquid.density) +
               ", viscosity=" + Shown(liquid.viscosity) +
               ", vapour_pressure=" + Shown(liquid.vapour_pressure) + ")";
      });
}

}  // namespace handwheel::python
