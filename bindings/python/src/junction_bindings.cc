#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindJunction(py::module_& m) {
  ViewClass<Part<Junction>>(
      m, "Junction", "A point without storage: what flows in flows out, less draw, plus feed.")
      .ReadOnly("name", &Junction::name, "Its name.")
      .Property("elevation", &Junction::elevation, "[m].")
      .Property("draw", &Junction::draw, "Taken out of the network [m³/s], >= 0.")
      .Property("feed", &Junction::feed, "Put into the network [m³/s], >= 0.")
      .Property("x", &Junction::x, "Its place on diagrams, with y: right of the origin [m].")
      .Property("y", &Junction::y, "Its place on diagrams, with x: below the origin [m].")
      .Finish();
}

}  // namespace handwheel::python
