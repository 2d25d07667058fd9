#include "bindings.h"
#include "handwheel/network.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {

void BindCase(py::module_& m) {
  py::class_<Case>(m, "Case", "A named set of settings of a network, a copy.")
      .def_readonly("name", &Case::name, "Its name.")
      .def_readonly("note", &Case::note, "What it stands for.")
      .def_property_readonly(
          "set", [](const Case& c) { return FromSettings(c.set); },
          "{\"component.property\": value}.")
      .def(
          "__eq__", [](const Case& a, const Case& b) { return a == b; }, py::is_operator())
      .def("__repr__", [](const Case& c) {
        return "Case(" + std::string(py::repr(py::str(c.name))) +
               ", set=" + std::string(py::repr(FromSettings(c.set))) + ")";
      });
}

}  // namespace handwheel::python
