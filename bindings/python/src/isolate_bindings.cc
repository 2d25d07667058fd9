#include "handwheel/isolate.h"

#include <pybind11/stl.h>

#include <limits>
#include <memory>

#include "bindings.h"
#include "handwheel/errors.h"
#include "indexed_network.h"
#include "listener.h"
#include "text/layout.h"
#include "text/suggest.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

// An answer as Python holds it: with its case.
template <typename Answer>
struct OfCase : Answer {
  std::string case_name;  // empty: none

  std::string Text() const {
    const std::string heading = case_name.empty() ? "" : "case: " + case_name + "\n";
    return heading + Answer::Report();
  }
};
using IsolationView = OfCase<Isolation>;
using IsolationCheckView = OfCase<IsolationCheck>;

std::vector<std::string> NameOrNames(const py::object& given, const char* what) {
  if (py::isinstance<py::str>(given)) return {given.cast<std::string>()};
  std::vector<std::string> names;
  try {
    for (const py::handle item : given) names.push_back(py::cast<std::string>(item));
  } catch (const py::cast_error&) {
    throw SettingError(std::string(what) + " holds what is no name.");
  } catch (py::error_already_set& error) {
    if (!error.matches(PyExc_TypeError)) throw;
    throw SettingError(std::string(what) + " is no name and no list of names.");
  }
  return names;
}

// Runs a study of the network, case and settings applied, while other threads may run.
template <typename Answer, typename Study>
std::shared_ptr<OfCase<Answer>> RunStudy(const IndexedNetwork& network, const py::object& settings,
                                         const std::string& case_name, IsolateOptions options,
                                         const Study& study) {
  Network changed = network;
  if (!case_name.empty()) changed.ApplyCase(case_name);
  changed.Apply(ToSettings(settings));
  Listener listener{py::none()};
  options.steady.callback = [&](const IterationNews&) { return listener.KeepGoing(); };
  auto answer = std::make_shared<OfCase<Answer>>();
  {
    py::gil_scoped_release others_may_run;
    static_cast<Answer&>(*answer) = study(changed, options);
  }
  listener.RethrowIfRaised();
  answer->case_name = case_name;
  return answer;
}

std::shared_ptr<IsolationView> StudyIsolation(const IndexedNetwork& network,
                                              const py::object& target, const py::object& settings,
                                              const std::string& case_name, int max_sets,
                                              const py::object& exclude) {
  const auto names = NameOrNames(target, "target");
  IsolateOptions options;
  options.max_sets = max_sets;
  options.exclude = NameOrNames(exclude, "exclude");
  return RunStudy<Isolation>(network, settings, case_name, options,
                             [&](const Network& changed, const IsolateOptions& with) {
                               return Isolate(changed, names, with);
                             });
}

std::shared_ptr<IsolationCheckView> StudyIsolationCheck(
    const IndexedNetwork& network, const py::object& target, const py::object& shut,
    const py::object& settings, const std::string& case_name, const py::object& exclude) {
  const auto names = NameOrNames(target, "target"), list = NameOrNames(shut, "shut");
  IsolateOptions options;
  options.exclude = NameOrNames(exclude, "exclude");
  return RunStudy<IsolationCheck>(network, settings, case_name, options,
                                  [&](const Network& changed, const IsolateOptions& with) {
                                    return VerifyIsolation(changed, names, list, with);
                                  });
}

py::object FrameOf(const py::list& rows, const std::vector<std::string>& columns) {
  return py::module_::import("pandas").attr("DataFrame")(rows, py::arg("columns") = columns);
}

std::vector<std::string> SourcesIn(const BoundaryValve& valve) {
  std::vector<std::string> names;
  for (const PressureSource& source : valve.sources) names.push_back(source.name);
  return names;
}

// The highest head of a vessel behind it [m]; NaN without one.
double HighestHead(const BoundaryValve& valve) {
  double highest = std::numeric_limits<double>::quiet_NaN();
  for (const PressureSource& source : valve.sources) {
    if (!(highest >= source.head)) highest = source.head;
  }
  return highest;
}

py::object IsolationTable(const IsolationView& isolation) {
  py::list rows;
  const auto add = [&](int number, const IsolatingSet& set) {
    for (const BoundaryValve& valve : set.boundary) {
      rows.append(py::make_tuple(number, valve.valve, valve.opening, valve.outer_point,
                                 valve.pressure, HighestHead(valve), SourcesIn(valve), valve.single,
                                 valve.second_valves, valve.bleeds));
    }
  };
  if (isolation.with_blanks) add(0, *isolation.with_blanks);
  int number = 0;
  for (const IsolatingSet& set : isolation.sets) add(++number, set);
  return FrameOf(rows, {"set", "valve", "opening", "outer point", "pressure [Pa]",
                        "highest head [m]", "sources", "single", "second valves", "bleeds"});
}

py::object IsolationCheckTable(const IsolationCheckView& check) {
  py::list rows;
  for (const LeakEstimate& leak : check.leaks) {
    rows.append(
        py::make_tuple(leak.passing, leak.solved, leak.flow, leak.pressure, leak.at, leak.message));
  }
  return FrameOf(rows, {"passing", "solved", "flow [m3/s]", "pressure [Pa]", "at", "message"});
}

std::string Commas(const std::vector<std::string>& names) {
  std::vector<std::string> quoted;
  for (const std::string& name : names) quoted.push_back(Quoted(name));
  return quoted.empty() ? "nothing" : Joined(quoted, ", ");
}

void BindBoundary(py::module_& m) {
  py::class_<PressureSource>(m, "PressureSource", "What stands behind a boundary valve.")
      .def_readonly("name", &PressureSource::name, "The vessel, junction or pump.")
      .def_readonly("kind", &PressureSource::kind, "\"vessel\", \"feed\" or \"pump\".")
      .def_readonly("head", &PressureSource::head, "Of a vessel [m]; NaN else.")
      .def_readonly("pressure", &PressureSource::pressure,
                    "What a vessel alone puts on the valve, nothing flowing [Pa gauge]; NaN else.")
      .def_readonly("running", &PressureSource::running, "Whether it is a pump that runs.")
      .def_readonly("direct", &PressureSource::direct,
                    "Whether no other valve that counts stands between it and the valve.")
      .def_readonly("open_now", &PressureSource::open_now,
                    "False behind a further valve that stands shut, or is to be shut.")
      .def("__repr__", [](const PressureSource& source) {
        return "<PressureSource " + source.kind + " " + Quoted(source.name) + ">";
      });
  py::class_<BoundaryValve>(m, "BoundaryValve", "A valve between the isolated zone and the rest.")
      .def_readonly("valve", &BoundaryValve::valve, "Its name.")
      .def_readonly("outer_point", &BoundaryValve::outer_point, "The point at its far end.")
      .def_readonly("opening", &BoundaryValve::opening, "As it stands; 0: shut already.")
      .def_readonly("pressure", &BoundaryValve::pressure,
                    "At outer_point before anything is shut [Pa gauge]; NaN if undetermined.")
      .def_readonly("sources", &BoundaryValve::sources,
                    "A list of PressureSource: what can reach it past no valve of the set.")
      .def_readonly("single", &BoundaryValve::single,
                    "Whether it is all that holds back a vessel or feed.")
      .def_readonly("second_valves", &BoundaryValve::second_valves,
                    "The fewest further valves that, shut too, make a double block.")
      .def_readonly("second_are_shut", &BoundaryValve::second_are_shut,
                    "Whether the list to verify holds them already.")
      .def_readonly("bleeds", &BoundaryValve::bleeds, "Nozzles between it and them.")
      .def("__repr__", [](const BoundaryValve& valve) {
        return "<BoundaryValve " + Quoted(valve.valve) + (valve.single ? ", single>" : ">");
      });
}

void BindZone(py::module_& m) {
  py::class_<Drain>(m, "Drain", "A way for liquid out of a pocket.")
      .def_readonly("nozzle", &Drain::nozzle, "Where it leaves.")
      .def_readonly("elevation", &Drain::elevation, "Of the nozzle [m].")
      .def_readonly("opened_by", &Drain::opened_by,
                    "Valves on the way that stand shut; empty: it is open.")
      .def("__repr__", [](const Drain& drain) { return "<Drain " + Quoted(drain.nozzle) + ">"; });
  py::class_<Pocket>(m, "Pocket",
                     "A part of the zone that drains and vents as one; shut valves and one-way\n"
                     "parts divide them.")
      .def_readonly("points", &Pocket::points, "Their names.")
      .def_readonly("lowest", &Pocket::lowest, "Its lowest point.")
      .def_readonly("highest", &Pocket::highest, "Its highest point, or a pipe with a high point.")
      .def_readonly("lowest_elevation", &Pocket::lowest_elevation, "[m].")
      .def_readonly("highest_elevation", &Pocket::highest_elevation, "[m].")
      .def_readonly("trapped_head", &Pocket::trapped_head,
                    "Highest head before anything is shut [m]; NaN if undetermined.")
      .def_readonly("trapped_pressure", &Pocket::trapped_pressure,
                    "What that means at the lowest point [Pa gauge].")
      .def_readonly("volume", &Pocket::volume, "Of its pipes [m³].")
      .def_readonly("drains", &Pocket::drains, "A list of Drain within the zone, lowest first.")
      .def("__repr__",
           [](const Pocket& pocket) { return "<Pocket of " + Commas(pocket.points) + ">"; });
  py::class_<IsolatedZone>(m, "IsolatedZone", "What the shut valves cut off with the target.")
      .def_readonly("points", &IsolatedZone::points, "Names, network order.")
      .def_readonly("components", &IsolatedZone::components, "Names, without the boundary.")
      .def_readonly("pumps", &IsolatedZone::pumps, "Whose drives have to be locked.")
      .def_readonly("vessels", &IsolatedZone::vessels, "That have to be drained.")
      .def_readonly("draws", &IsolatedZone::draws,
                    "Points with a draw: what takes liquid there is beyond the model.")
      .def_readonly("volume", &IsolatedZone::volume, "Of its pipes [m³].")
      .def_readonly("pockets", &IsolatedZone::pockets, "A list of Pocket.")
      .def("__repr__", [](const IsolatedZone& zone) {
        return "<IsolatedZone of " + Commas(zone.points) + ">";
      });
}

void BindSets(py::module_& m) {
  py::class_<IsolatingSet>(m, "IsolatingSet", "Valves none of which can be left out.")
      .def_readonly("valves", &IsolatingSet::valves, "Names, network order.")
      .def_readonly("blanks", &IsolatingSet::blanks,
                    "Other parts, at which a blank (spade) has to be fitted.")
      .def_readonly("boundary", &IsolatingSet::boundary, "A list of BoundaryValve, in that order.")
      .def_readonly("zone", &IsolatingSet::zone, "An IsolatedZone.")
      .def("__repr__",
           [](const IsolatingSet& set) { return "<IsolatingSet " + Commas(set.valves) + ">"; });
  py::class_<OpenPath>(m, "OpenPath", "A way to the target on which nothing holds that counts.")
      .def_readonly("source", &OpenPath::source, "The vessel, or the junction with a feed.")
      .def_readonly("kind", &OpenPath::kind, "\"vessel\" or \"feed\".")
      .def_readonly("through", &OpenPath::through,
                    "Components, from the source on; empty: directly.")
      .def("__repr__", [](const OpenPath& path) {
        return "<OpenPath from " + Quoted(path.source) + " through " + Commas(path.through) + ">";
      });
  py::class_<NotCounted>(m, "NotCounted", "A part that is not counted as isolation.")
      .def_readonly("component", &NotCounted::component, "Its name.")
      .def_readonly("kind", &NotCounted::kind,
                    "\"check valve\", \"pump\", \"pinch valve\", \"control valve\", \"damaged "
                    "valve\",\n\"regulator\", \"relief valve\", \"restriction\", ...")
      .def_readonly("reason", &NotCounted::reason, "One sentence, with its source.")
      .def("__repr__",
           [](const NotCounted& part) { return "<NotCounted " + Quoted(part.component) + ">"; });
  py::class_<LeakEstimate>(m, "LeakEstimate", "What comes into the zone if some valves pass.")
      .def_readonly("passing", &LeakEstimate::passing, "Of the list; empty: every one holds.")
      .def_readonly("solved", &LeakEstimate::solved, "Whether there is a solution.")
      .def_readonly("message", &LeakEstimate::message, "Why not.")
      .def_readonly("flow", &LeakEstimate::flow,
                    "What comes out at the lowest point if that is open to the air [m³/s].")
      .def_readonly("pressure", &LeakEstimate::pressure,
                    "Highest in the zone if nothing drains it [Pa gauge]; NaN: nothing sets one.")
      .def_readonly("at", &LeakEstimate::at, "Where.")
      .def("__repr__", [](const LeakEstimate& leak) {
        return "<LeakEstimate, passing " + Commas(leak.passing) + ": " + Shown(leak.flow) +
               " m3/s>";
      });
}

}  // namespace

void BindIsolate(py::module_& m) {
  BindBoundary(m);
  BindZone(m);
  BindSets(m);
  py::class_<IsolationView, std::shared_ptr<IsolationView>>(
      m, "Isolation", "Which valves to shut to work on a part; print() shows all of it.")
      .def_readonly("case", &IsolationView::case_name, "The name of the case; empty if none.")
      .def_readonly("target", &IsolationView::target, "What is to be worked on.")
      .def_readonly("verdict", &IsolationView::verdict, "A few plain sentences.")
      .def_readonly("possible", &IsolationView::possible, "Whether valves alone isolate it.")
      .def_readonly("open_paths", &IsolationView::open_paths,
                    "A list of OpenPath: what reaches the target though every valve be shut.")
      .def_readonly("with_blanks", &IsolationView::with_blanks,
                    "The IsolatingSet to go by then, with blanks; None if valves alone will do,\n"
                    "or if a mere pipe would have to be blanked.")
      .def_readonly("sets", &IsolationView::sets,
                    "A list of IsolatingSet, fewest valves first, then the smaller zone. If not\n"
                    "possible, they hold once the vessels of open_paths are drained.")
      .def_readonly("all_sets_listed", &IsolationView::all_sets_listed,
                    "Whether there is no other smallest set.")
      .def_readonly("not_counted", &IsolationView::not_counted,
                    "A list of NotCounted on the ways to the target, nearest first.")
      .def_readonly("steps", &IsolationView::steps, "What to do, in order.")
      .def_readonly("cautions", &IsolationView::cautions, "To be read with the answer.")
      .def_readonly("present_state", &IsolationView::present_state,
                    "How the solve behind the pressures went.")
      .def("table", &IsolationTable,
           "A pandas DataFrame, a row per set and valve. Set 0 is with_blanks.")
      .def("__str__", &IsolationView::Text)
      .def("__repr__",
           [](const IsolationView& view) { return "<Isolation: " + view.verdict + ">"; });
  py::class_<IsolationCheckView, std::shared_ptr<IsolationCheckView>>(
      m, "IsolationCheck", "Whether a list of valves is an isolation; print() shows all of it.")
      .def_readonly("case", &IsolationCheckView::case_name, "The name of the case; empty if none.")
      .def_readonly("target", &IsolationCheckView::target, "What is to be worked on.")
      .def_readonly("shut", &IsolationCheckView::shut, "The list.")
      .def_readonly("verdict", &IsolationCheckView::verdict, "A few plain sentences.")
      .def_readonly("isolates", &IsolationCheckView::isolates,
                    "Whether no way is left past valves that count.")
      .def_readonly("open_paths", &IsolationCheckView::open_paths, "A list of OpenPath.")
      .def_readonly("not_counted", &IsolationCheckView::not_counted,
                    "A list of NotCounted: of the list, and on the ways left open.")
      .def_readonly("unneeded", &IsolationCheckView::unneeded,
                    "Of the list: on no boundary and no second block.")
      .def_readonly("boundary", &IsolationCheckView::boundary,
                    "A list of BoundaryValve; empty unless it isolates.")
      .def_readonly("zone", &IsolationCheckView::zone, "An IsolatedZone; empty unless it isolates.")
      .def_readonly("vent", &IsolationCheckView::vent,
                    "The lowest point, where the flow of `leaks` comes out.")
      .def_readonly("leaks", &IsolationCheckView::leaks,
                    "A list of LeakEstimate: all valves hold, each passes alone, all pass.")
      .def_readonly("cautions", &IsolationCheckView::cautions, "To be read with the answer.")
      .def_readonly("present_state", &IsolationCheckView::present_state,
                    "How the solve behind the pressures went.")
      .def("table", &IsolationCheckTable, "A pandas DataFrame, a row per LeakEstimate.")
      .def("__str__", &IsolationCheckView::Text)
      .def("__repr__",
           [](const IsolationCheckView& view) { return "<IsolationCheck: " + view.verdict + ">"; });

  m.def("isolate", &StudyIsolation, py::arg("network"), py::arg("target"),
        py::arg("settings") = py::dict(), py::kw_only(), py::arg("case") = "",
        py::arg("max_sets") = IsolateOptions().max_sets, py::arg("exclude") = py::tuple(),
        R"(Which valves must be shut to work on a part? An Isolation.

target: the name of a component or point, or a list of them (an area). A component is opened at both
its ends. Only hand valves in order count: no check valve, pump, control valve, pinch valve,
regulator, relief valve or restriction, no valve whose condition is not "sound", and none of `exclude`
(that cannot be locked, say). Up to max_sets smallest sets, fewest valves first; for each valve what
stands behind it, whether it is a single one, and what would make a double block; where the zone holds
liquid and pressure, and what drains it.

The named case and the settings are applied first, as in solve. Raises NetworkError for an unknown
name or an empty target, SettingError for a bad setting; both are ValueErrors. A check valve is never
isolation; permit, lock-out rules and a licensed engineer decide.)");
  m.def("verify_isolation", &StudyIsolationCheck, py::arg("network"), py::arg("target"),
        py::arg("shut"), py::arg("settings") = py::dict(), py::kw_only(), py::arg("case") = "",
        py::arg("exclude") = py::tuple(),
        R"(Is a list of valves an isolation of a part? An IsolationCheck.

shut: a name or a list of names; what does not count as isolation is told, with the reason. By the
plant's graph, and computed: what comes into the zone if each valve of the list passes, and if all do,
by their own leakage data or a hole of 1 % of their bore, check valves taken as failed.

Target, case, settings, exclude and errors as for isolate.)");
}

}  // namespace handwheel::python
