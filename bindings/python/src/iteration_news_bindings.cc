#include "bindings.h"
#include "handwheel/steady.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {

void BindIterationNews(py::module_& m) {
  py::class_<IterationNews>(m, "IterationNews", "What a progress function is told.")
      .def_readonly("iteration", &IterationNews::iteration, "From 1; a pass, for Hardy-Cross.")
      .def_readonly("max_flow_imbalance", &IterationNews::max_flow_imbalance, "[m³/s].")
      .def_readonly("max_head_imbalance", &IterationNews::max_head_imbalance, "[m].")
      .def("__repr__", [](const IterationNews& news) {
        return "<IterationNews " + std::to_string(news.iteration) + ": " +
               Shown(news.max_flow_imbalance) + " m3/s, " + Shown(news.max_head_imbalance) + " m>";
      });
}

}  // namespace handwheel::python
