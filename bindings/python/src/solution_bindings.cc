#include <pybind11/stl.h>

#include "bindings.h"
#include "handwheel/table.h"
#include "indexed_network.h"
#include "solution_pickle.h"
#include "solution_view.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

using SharedView = std::shared_ptr<SolutionView>;
using SolutionClass = py::class_<SolutionView, SharedView>;
using Numbers = const std::vector<double>& (Solution::*)() const;

constexpr std::size_t kLongestStateName = 8;  // "limiting"

void BindByPoint(SolutionClass& cls, const char* name, const char* unit, Numbers values,
                 const char* doc) {
  cls.def_property_readonly(
      name,
      [=](const SharedView& view) {
        return NamedValues{name, unit, view->points,
                           ViewOf((view->solution.*values)(), py::cast(view))};
      },
      doc);
}

void BindByComponent(SolutionClass& cls, const char* name, const char* unit, Numbers values,
                     const char* doc) {
  cls.def_property_readonly(
      name,
      [=](const SharedView& view) {
        return NamedValues{name, unit, view->components,
                           ViewOf((view->solution.*values)(), py::cast(view))};
      },
      doc);
}

NamedValues ShutIn(const SolutionView& view) {
  py::array flags = ArrayOf(view.solution.shut_in());
  MakeReadOnly(&flags);
  return {"shut in", "", view.points, flags};
}

NamedValues State(const SolutionView& view) {
  std::vector<std::string_view> names;
  for (FlowState state : view.solution.state()) names.push_back(FlowStateName(state));
  py::array texts = ArrayOf(names, kLongestStateName);
  MakeReadOnly(&texts);
  return {"state", "", view.components, texts};
}

std::vector<NamedLoop> Loops(const SolutionView& view) {
  std::vector<NamedLoop> loops;
  for (const Loop& loop : view.solution.loops()) {
    NamedLoop named{{}, loop.signs, loop.between_vessels};
    for (int c : loop.components) {
      named.components.push_back(view.solution.component_names()[static_cast<std::size_t>(c)]);
    }
    loops.push_back(std::move(named));
  }
  return loops;
}

py::object LoopCorrections(const SolutionView& view) {
  const auto& corrections = view.solution.loop_corrections();
  const auto size = static_cast<py::ssize_t>(corrections.size());
  py::array_t<int> pass(size), loop(size);
  py::array_t<double> correction(size);
  for (py::ssize_t i = 0; i < size; ++i) {
    const LoopCorrection& c = corrections[static_cast<std::size_t>(i)];
    pass.mutable_at(i) = c.pass;
    loop.mutable_at(i) = c.loop;
    correction.mutable_at(i) = c.correction;
  }
  py::dict columns;
  columns["pass"] = pass;
  columns["loop"] = loop;
  columns["correction [m3/s]"] = correction;
  return py::module_::import("pandas").attr("DataFrame")(columns);
}

py::object TableOf(const SolutionView& view, const std::string& name) {
  const ResultTable table = Tabulate(view.solution, name);
  py::dict columns;
  for (const Column& column : table.columns) {
    columns[py::str(column.Heading())] =
        std::visit([](const auto& values) { return ArrayOf(values); }, column.values);
  }
  const py::module_ pandas = py::module_::import("pandas");
  const py::object index = pandas.attr("Index")(ArrayOf(table.names), py::arg("name") = "name");
  return pandas.attr("DataFrame")(columns, py::arg("index") = index);
}

std::string Report(const SolutionView& view) {
  const std::string heading = view.case_name.empty() ? "" : "case: " + view.case_name + "\n";
  return heading + view.solution.Report() + "\n" + std::string(kCaution);
}

std::string SolutionRepr(const SolutionView& view) {
  const std::string& title = view.solution.network().title;
  return "<Solution" + (title.empty() ? "" : " of " + std::string(py::repr(py::str(title)))) +
         (view.case_name.empty() ? ""
                                 : ", case " + std::string(py::repr(py::str(view.case_name)))) +
         ": " + view.solution.summary().BriefReport() + ">";
}

void BindResults(SolutionClass& cls) {
  BindByPoint(cls, "head", "m", &Solution::head,
              "Head by point [m], Values. NaN where a point is shut in and nothing sets its\n"
              "pressure; see shut_in.");
  BindByPoint(cls, "pressure", "Pa", &Solution::pressure,
              "Gauge pressure at each point [Pa], Values; NaN as for head.");
  BindByPoint(
      cls, "outflow", "m3/s", &Solution::outflow,
      "What each point takes out of the network [m³/s], Values: the net draw of a junction,\n"
      "the flow into a vessel, and what leaks to the open air there.");
  cls.def_property_readonly("shut_in", &ShutIn,
                            "Whether no open path joins a point to a vessel, Values of bool.");
  BindByComponent(cls, "flow", "m3/s", &Solution::flow,
                  "Flow by component [m³/s], positive from -> to, Values.");
  BindByComponent(cls, "velocity", "m/s", &Solution::velocity,
                  "Mean velocity in the bore of each component [m/s], Values; NaN without a bore.");
  BindByComponent(cls, "drop", "m", &Solution::drop,
                  "Head at from less head at to of each component [m], Values; NaN where one of\n"
                  "them is undetermined.");
  BindByComponent(cls, "leak", "m3/s", &Solution::leak,
                  "What each damaged component lets out to the open air [m³/s], Values.");
  cls.def_property_readonly(
      "state", &State,
      "How each component stands, Values of str: \"open\", \"shut\", \"forward\"\n"
      "(a one-way part passing liquid), \"running\", \"stopped\", \"holding\" (its set\n"
      "pressure), \"limiting\" (its flow), \"choked\".");
}

}  // namespace

std::string_view TerminationName(Termination termination) {
  switch (termination) {
    case Termination::kNotRun:
      return "not run";
    case Termination::kConverged:
      return "converged";
    case Termination::kNoConvergence:
      return "no convergence";
    case Termination::kInterrupted:
      return "interrupted";
  }
  return "";
}

void BindSolution(py::module_& m) {
  SolutionClass cls(m, "Solution",
                    "One steady state. Results by point and by component follow network order;\n"
                    "print(s) is a readable report.");
  BindResults(cls);
  cls.def_property_readonly(
         "converged", [](const SolutionView& view) { return view.solution.converged(); },
         "Whether mass and energy balance within the tolerances.")
      .def_property_readonly(
          "summary", [](const SolutionView& view) { return view.solution.summary(); },
          "How the solve went, a Summary.")
      .def_property_readonly(
          "advice", [](const SolutionView& view) { return view.solution.advice(); },
          "Findings, a list of Advice. An empty list is no proof that all is well.")
      .def_property_readonly(
          "network",
          [](const SolutionView& view) {
            return std::make_shared<IndexedNetwork>(view.solution.network());
          },
          "The network that was solved, case and settings applied: a copy.")
      .def_readonly("case", &SolutionView::case_name, "The name of the case; empty if none.")
      .def_property_readonly(
          "liquid", [](const SolutionView& view) { return view.solution.liquid(); },
          "The properties that were used, a Liquid.")
      .def_property_readonly("loops", &Loops, "The loops of a Hardy-Cross run, a list of Loop.")
      .def_property_readonly(
          "loop_corrections", &LoopCorrections,
          "Columns pass, loop (index into loops) and correction [m³/s], a pandas\n"
          "DataFrame; empty unless solved with record_loop_corrections=True.")
      .def("table", &TableOf, py::arg("name"),
           "A pandas DataFrame, a row per part, SI columns with the unit in brackets. `name` is\n"
           "\"points\", \"components\", \"vessels\", \"junctions\", \"pipes\", \"valves\",\n"
           "\"check valves\", \"pumps\", \"restrictions\", \"nozzles\", \"regulators\" or\n"
           "\"relief valves\". Kv is in m³/h. Raises NetworkError.")
      .def(py::pickle(&PickleSolution, &UnpickleSolution))
      .def("__str__", &Report)
      .def("__repr__", &SolutionRepr);
}

}  // namespace handwheel::python
