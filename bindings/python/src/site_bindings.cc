#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindSite(py::module_& m) {
  ViewClass<Section<Site>>(m, "Site", "Where the plant stands.")
      .Property("gravity", &Site::gravity, "[m/s²]; 9.80665 unless given.")
      .Property("atmospheric_pressure", &Site::atmospheric_pressure,
                "Absolute [Pa]; 101 325 unless given.")
      .Finish();
}

}  // namespace handwheel::python
