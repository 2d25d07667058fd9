#include <pybind11/stl.h>

#include "bindings.h"
#include "handwheel/steady.h"
#include "solution_view.h"

namespace py = pybind11;

namespace handwheel::python {

void BindSummary(py::module_& m) {
  py::class_<SteadySummary>(m, "Summary", "How a solve went.")
      .def_property_readonly(
          "method", [](const SteadySummary& s) { return std::string(MethodName(s.method)); },
          "\"newton\", \"hardy_cross\" or \"trust_region\".")
      .def_property_readonly(
          "termination",
          [](const SteadySummary& s) { return std::string(TerminationName(s.termination)); },
          "\"converged\", \"no convergence\" or \"interrupted\".")
      .def_property_readonly("converged", &SteadySummary::IsSolutionUsable,
                             "Whether the solution can be used.")
      .def_readonly("message", &SteadySummary::message, "One line for the reader.")
      .def_readonly("num_iterations", &SteadySummary::num_iterations,
                    "Iterations; passes, for Hardy-Cross.")
      .def_readonly("num_fallback_iterations", &SteadySummary::num_fallback_iterations,
                    "Of them, with the line search on the convex merit.")
      .def_readonly("max_flow_imbalance", &SteadySummary::max_flow_imbalance,
                    "Recomputed from the reported flows [m³/s].")
      .def_readonly("max_head_imbalance", &SteadySummary::max_head_imbalance,
                    "Recomputed from the reported heads and flows [m].")
      .def_readonly("worst_point", &SteadySummary::worst_point, "Of the flow imbalance.")
      .def_readonly("worst_component", &SteadySummary::worst_component, "Of the head imbalance.")
      .def_readonly("contradicting", &SteadySummary::contradicting,
                    "Components whose settings contradict each other, if that is why there is no\n"
                    "solution: a list of names.")
      .def(py::pickle(&PickleSummary, &UnpickleSummary))
      .def("__repr__", [](const SteadySummary& s) { return "<Summary: " + s.BriefReport() + ">"; });
}

}  // namespace handwheel::python
