#include "bindings.h"
#include "solution_view.h"

namespace py = pybind11;

namespace handwheel::python {

void BindLoop(py::module_& m) {
  py::class_<NamedLoop>(m, "Loop", "A loop of a Hardy-Cross run.")
      .def_property_readonly(
          "components",
          [](const NamedLoop& loop) {
            py::list names;
            for (const std::string& name : loop.components) names.append(py::str(name));
            return names;
          },
          "Names of its components, in order around the loop.")
      .def_property_readonly(
          "signs",
          [](const NamedLoop& loop) {
            py::list signs;
            for (int sign : loop.signs) signs.append(py::int_(sign));
            return signs;
          },
          "+1 where the loop runs with positive flow, -1 where it runs against it.")
      .def_readonly("between_vessels", &NamedLoop::between_vessels,
                    "Whether it is closed through two points of fixed head (a virtual loop).")
      .def("__len__", [](const NamedLoop& loop) { return loop.components.size(); })
      .def("__repr__", [](const NamedLoop& loop) {
        std::string text = "<Loop:";
        for (std::size_t i = 0; i < loop.components.size(); ++i) {
          text += (loop.signs[i] > 0 ? " +" : " -") + loop.components[i];
        }
        return text + (loop.between_vessels ? ", between vessels>" : ">");
      });
}

}  // namespace handwheel::python
