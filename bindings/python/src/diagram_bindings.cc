#include <pybind11/stl.h>
#include <pybind11/stl/filesystem.h>

#include <filesystem>
#include <optional>

#include "bindings.h"
#include "handwheel/diagram.h"
#include "handwheel/errors.h"
#include "indexed_network.h"
#include "solution_view.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

using SvgPath = std::optional<std::filesystem::path>;

template <typename Plant>
std::string DrawPlant([[maybe_unused]] const Plant& plant, [[maybe_unused]] const SvgPath& path,
                      [[maybe_unused]] const DiagramOptions& options) {
#ifdef HANDWHEEL_DRAWING
  py::gil_scoped_release others_may_run;
  std::string svg = drawing::DrawSvg(plant, options);
  if (path) drawing::SaveSvg(svg, path->string());
  return svg;
#else
  throw SettingError("this build draws no diagrams; install libgraphviz-dev and build again.");
#endif
}

std::string DrawNetwork(const IndexedNetwork& network, const SvgPath& path,
                        const std::string& flow_unit, const std::string& pressure_unit,
                        const std::string& length_unit, const std::string& check_valve,
                        const std::string& date) {
  const Network plant = network;
  return DrawPlant(plant, path,
                   {.flow_unit = flow_unit,
                    .pressure_unit = pressure_unit,
                    .length_unit = length_unit,
                    .check_valve = check_valve,
                    .date = date});
}

std::string DrawSolution(const SolutionView& view, const SvgPath& path,
                         const std::string& flow_unit, const std::string& pressure_unit,
                         const std::string& length_unit, const std::string& check_valve,
                         const std::string& date) {
  return DrawPlant(view.solution, path,
                   {.flow_unit = flow_unit,
                    .pressure_unit = pressure_unit,
                    .length_unit = length_unit,
                    .check_valve = check_valve,
                    .case_name = view.case_name,
                    .date = date});
}

// The method `diagram` of a class that is bound already.
template <typename Class, typename Function>
void BindDiagramOf(const py::module_& m, const char* name, Function draw, const char* doc) {
  const DiagramOptions defaults;
  py::reinterpret_borrow<Class>(m.attr(name))
      .def("diagram", draw, py::arg("path") = py::none(), py::kw_only(),
           py::arg("flow_unit") = defaults.flow_unit,
           py::arg("pressure_unit") = defaults.pressure_unit,
           py::arg("length_unit") = defaults.length_unit,
           py::arg("check_valve") = defaults.check_valve, py::arg("date") = defaults.date, doc);
}

}  // namespace

void BindDiagram(py::module_& m) {
  BindDiagramOf<py::class_<IndexedNetwork, std::shared_ptr<IndexedNetwork>>>(
      m, "Network", &DrawNetwork,
      "A piping diagram of the plant as it stands, nothing computed: the text of an SVG file,\n"
      "written to `path` if given (whole, or not at all). Symbols are our own drawing and claim "
      "no\n"
      "standard. A part's x and y pin it to a place on the sheet. check_valve: its symbol, "
      "\"dot\"\n"
      "(at the inlet) or \"arrow\"; date: for the title block, as given. Raises NetworkError,\n"
      "SettingError for an option, FileError for the file; all are ValueErrors.");
  BindDiagramOf<py::class_<SolutionView, std::shared_ptr<SolutionView>>>(
      m, "Solution", &DrawSolution,
      "A piping diagram with flows, pressures, drops and levels beside the parts and the findings\n"
      "marked: the text of an SVG file, written to `path` if given (whole, or not at all).\n"
      "Flows below 0.07 l/h count as none. Options and errors as Network.diagram.");
}

}  // namespace handwheel::python
