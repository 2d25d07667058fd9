#include <pybind11/stl.h>

#include "bindings.h"
#include "handwheel/sensitivity.h"
#include "indexed_network.h"
#include "solution_view.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

struct SensitivitiesView {
  Sensitivities found;
  std::shared_ptr<SolutionView> solution;
};

std::shared_ptr<SensitivitiesView> ComputeView(const IndexedNetwork& network,
                                               const std::vector<std::string>& targets,
                                               const py::object& settings,
                                               const std::string& case_name) {
  Network changed = network;
  if (!case_name.empty()) changed.ApplyCase(case_name);
  changed.Apply(ToSettings(settings));
  auto view = std::make_shared<SensitivitiesView>();
  {
    py::gil_scoped_release others_may_run;
    view->found = ComputeSensitivities(changed, targets);
    view->solution = std::make_shared<SolutionView>(view->found.solution, case_name);
  }
  return view;
}

using SensitivityMember = std::vector<double> Sensitivity::*;

// A row per target, a column per name.
py::object SensitivityFrame(const SensitivitiesView& view, SensitivityMember numbers,
                            const std::vector<std::string>& names) {
  const auto rows = static_cast<py::ssize_t>(view.found.by_target.size());
  const auto columns = static_cast<py::ssize_t>(names.size());
  py::array_t<double> values({rows, columns});
  std::vector<std::string> targets;
  for (py::ssize_t row = 0; row < rows; ++row) {
    const Sensitivity& one = view.found.by_target[static_cast<std::size_t>(row)];
    targets.push_back(one.target);
    const std::vector<double>& from = one.*numbers;
    std::copy(from.begin(), from.end(), values.mutable_data(row, 0));
  }
  const py::module_ pandas = py::module_::import("pandas");
  const py::object index = pandas.attr("Index")(ArrayOf(targets), py::arg("name") = "target");
  return pandas.attr("DataFrame")(values, py::arg("index") = index,
                                  py::arg("columns") = ArrayOf(names));
}

}  // namespace

void BindSensitivity(py::module_& m) {
  py::class_<SensitivitiesView, std::shared_ptr<SensitivitiesView>>(
      m, "Sensitivities",
      "How flows, heads and pressures follow settings, per SI unit of each, at one steady state.")
      .def_property_readonly(
          "solution", [](const SensitivitiesView& view) { return view.solution; },
          "The steady state they belong to.")
      .def_property_readonly(
          "value",
          [](const SensitivitiesView& view) {
            py::dict values;
            for (const Sensitivity& one : view.found.by_target) {
              values[py::str(one.target)] = one.value;
            }
            return values;
          },
          "What each target is set to there, SI; a dict.")
      .def_property_readonly(
          "flow",
          [](const SensitivitiesView& view) {
            return SensitivityFrame(view, &Sensitivity::flow,
                                    view.found.solution.component_names());
          },
          "d flow / d setting [m³/s per SI unit]: a DataFrame, a row per target, a column per\n"
          "component.")
      .def_property_readonly(
          "velocity",
          [](const SensitivitiesView& view) {
            return SensitivityFrame(view, &Sensitivity::velocity,
                                    view.found.solution.component_names());
          },
          "d velocity / d setting [m/s per SI unit], a column per component; NaN without a bore.")
      .def_property_readonly(
          "drop",
          [](const SensitivitiesView& view) {
            return SensitivityFrame(view, &Sensitivity::drop,
                                    view.found.solution.component_names());
          },
          "d drop / d setting [m per SI unit], a column per component; NaN where an end is shut\n"
          "in.")
      .def_property_readonly(
          "head",
          [](const SensitivitiesView& view) {
            return SensitivityFrame(view, &Sensitivity::head, view.found.solution.point_names());
          },
          "d head / d setting [m per SI unit], a column per point; NaN where it is shut in.")
      .def_property_readonly(
          "pressure",
          [](const SensitivitiesView& view) {
            return SensitivityFrame(view, &Sensitivity::pressure,
                                    view.found.solution.point_names());
          },
          "d pressure / d setting [Pa per SI unit], a column per point; NaN where it is shut in.")
      .def("__str__", [](const SensitivitiesView& view) { return view.found.Report(); })
      .def("__repr__", [](const SensitivitiesView& view) {
        return "<Sensitivities to " + std::to_string(view.found.by_target.size()) + " settings>";
      });

  m.def("sensitivities", &ComputeView, py::arg("network"), py::arg("targets"),
        py::arg("settings") = py::dict(), py::kw_only(), py::arg("case") = "",
        R"(How every flow, head and pressure follows settings, Sensitivities.

targets are numeric properties such as "HV-3.opening", "day tank.level" or "fluid.viscosity".
The equations are linearised at the solution and factorised once; each target then takes one
back-substitution. Exact to about 1e-9 of the largest; where the state stands on a border (a check
valve just shut), the derivative of the side the solution is said to be on. Without a row if the
solve did not converge: look at solution.summary.

Raises SettingError for a target that is unknown or has no number, NetworkError as solve() does.)");
}

}  // namespace handwheel::python
