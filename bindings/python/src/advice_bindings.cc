#include <pybind11/stl.h>

#include "bindings.h"
#include "handwheel/steady.h"
#include "text/suggest.h"

namespace py = pybind11;

namespace handwheel::python {

void BindAdvice(py::module_& m) {
  py::class_<Advice>(m, "Advice", "One finding on a solution.")
      .def_readonly("component", &Advice::component, "Name of the component, or of the point.")
      .def_readonly("kind", &Advice::kind, "\"shut-in\", \"pump beyond its curve\", ...")
      .def_readonly("severity", &Advice::severity, "\"note\", \"warning\" or \"danger\".")
      .def_readonly("message", &Advice::message, "What was found.")
      .def_readonly("check", &Advice::check, "What to check next.")
      .def_readonly("caution", &Advice::caution, "The usual caution; may be empty.")
      .def_readonly("value", &Advice::value, "What was found, SI; NaN if it is no number.")
      .def_readonly("limit", &Advice::limit, "What it should keep to, SI; NaN if it is no number.")
      .def(py::pickle(
          [](const Advice& a) {
            return py::make_tuple(a.component, a.kind, a.severity, a.message, a.check, a.caution,
                                  a.value, a.limit);
          },
          [](const py::tuple& t) {
            return Advice{.component = t[0].cast<std::string>(),
                          .kind = t[1].cast<std::string>(),
                          .severity = t[2].cast<std::string>(),
                          .message = t[3].cast<std::string>(),
                          .check = t[4].cast<std::string>(),
                          .caution = t[5].cast<std::string>(),
                          .value = t[6].cast<double>(),
                          .limit = t[7].cast<double>()};
          }))
      .def("__repr__", [](const Advice& a) {
        return "<Advice " + a.severity + " on " + Quoted(a.component) + ": " + a.kind + ">";
      });
}

}  // namespace handwheel::python
