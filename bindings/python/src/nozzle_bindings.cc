#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindNozzle(py::module_& m) {
  ViewClass<Part<Nozzle>>(m, "Nozzle", "Discharge to atmosphere; never draws air in.")
      .ReadOnly("name", &Nozzle::name, "Its name.")
      .FromProperty(&Nozzle::from)
      .Property("bore", &Nozzle::bore, "[m]; None: the nominal bore of size.")
      .Property("size", &Nozzle::size, "\"DN25\"; empty if a bore is given.")
      .Property("k", &Nozzle::k, "On the velocity head in the bore, exit included [-].")
      .Property("elevation", &Nozzle::elevation, "[m]; None: that of `from_`.")
      .Property("x", &Nozzle::x, "Its place on diagrams, with y: right of the origin [m].")
      .Property("y", &Nozzle::y, "Its place on diagrams, with x: below the origin [m].")
      .Finish();
}

}  // namespace handwheel::python
