#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindVessel(py::module_& m) {
  ViewClass<Part<Vessel>>(
      m, "Vessel", "Holds a pressure: head = elevation + level + gas_pressure / (density g).")
      .ReadOnly("name", &Vessel::name, "Its name.")
      .Property("elevation", &Vessel::elevation, "Of its bottom [m].")
      .Property("level", &Vessel::level, "Of the liquid above the bottom [m].")
      .Property("gas_pressure", &Vessel::gas_pressure, "Above the liquid, gauge [Pa].")
      .Property("area", &Vessel::area, "Of the liquid surface [m²], or None.")
      .Property("height", &Vessel::height,
                "Of the wall above the bottom [m], or None; liquid above it spills.")
      .Property("x", &Vessel::x, "Its place on diagrams, with y: right of the origin [m].")
      .Property("y", &Vessel::y, "Its place on diagrams, with x: below the origin [m].")
      .Finish();
}

}  // namespace handwheel::python
