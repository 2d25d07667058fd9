#include "handwheel/backflow.h"

#include <pybind11/stl.h>

#include <memory>
#include <optional>

#include "arguments.h"
#include "bindings.h"
#include "handwheel/errors.h"
#include "indexed_network.h"
#include "listener.h"
#include "text/layout.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

using Names = std::vector<std::string>;

Names TripsOf(const py::object& trip) {
  if (trip.is_none()) return {};
  if (py::isinstance<py::str>(trip)) return {trip.cast<std::string>()};
  try {
    return trip.cast<Names>();
  } catch (const py::cast_error&) {
    throw SettingError("trip is no name of a pump and no list of such names.");
  }
}

std::shared_ptr<BackflowResult> StudyBackflow(const IndexedNetwork& network,
                                              const py::object& settings, const py::object& trip,
                                              const std::string& case_name, bool power_loss,
                                              const py::object& before, int max_failed,
                                              std::size_t max_states,
                                              const py::object& least_flow) {
  const BackflowScenario scenario{.before = ToSettings(before),
                                  .case_name = case_name,
                                  .trips = TripsOf(trip),
                                  .power_loss = power_loss,
                                  .settings = ToSettings(settings)};
  Listener listener{py::none()};
  BackflowOptions options{.least_flow = Positive(least_flow, "least_flow", Dimension::kFlow),
                          .max_failed = max_failed,
                          .max_states = max_states,
                          .steady = {}};
  options.steady.callback = [&](const IterationNews&) { return listener.KeepGoing(); };
  const Network copy = network;
  auto result = std::make_shared<BackflowResult>();
  {
    py::gil_scoped_release others_may_run;
    *result = Backflow(copy, scenario, options);
  }
  listener.RethrowIfRaised();
  return result;
}

py::dict FailedOf(const BackflowState& state) {
  py::dict failed;
  for (const FailedCheckValve& valve : state.failed) {
    failed[py::str(valve.name)] = valve.condition;
  }
  return failed;
}

std::string FailedInWords(const BackflowState& state) {
  std::string text;
  for (const FailedCheckValve& valve : state.failed) {
    text += (text.empty() ? "" : ", ") + valve.name + " " + valve.condition;
  }
  return text.empty() ? "as they are" : text;
}

// A row per state and path, one of a state without any.
py::object TableOf(const BackflowResult& result) {
  py::list rows;
  constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
  const auto add = [&](const BackflowState& state, const BackflowPath* path) {
    const std::string none;
    rows.append(py::make_tuple(FailedInWords(state), state.solved, path ? path->source : none,
                               path ? path->sink : none, path ? path->flow : state.flow,
                               path ? path->driving_head : kNone,
                               py::cast(path ? path->components : Names()),
                               py::cast(path ? path->driven_by : Names()), state.reason));
  };
  for (const BackflowState& state : result.states) {
    for (const BackflowPath& path : state.paths) add(state, &path);
    if (state.paths.empty()) add(state, nullptr);
  }
  const py::list columns = py::cast(Names{"check valves", "solved", "source", "sink", "flow [m3/s]",
                                          "driving head [m]", "components", "driven by", "reason"});
  return py::module_::import("pandas").attr("DataFrame")(rows, py::arg("columns") = columns);
}

std::string InCubicMetresPerHour(double flow) {
  return Shown(flow * 3600.0) + " m3/h";
}

void BindParts(py::module_& m) {
  py::class_<BackflowPath>(m, "BackflowPath", "Liquid that runs the wrong way along one path.")
      .def_readonly("source", &BackflowPath::source,
                    "The vessel that gives, or the junction whose feed does; empty if a pump\n"
                    "drives the liquid round.")
      .def_readonly("sink", &BackflowPath::sink,
                    "The vessel, nozzle, relief valve or junction (its draw, or a leak) that gets.")
      .def_readonly("flow", &BackflowPath::flow, "[m³/s].")
      .def_readonly("driving_head", &BackflowPath::driving_head,
                    "Head at the source less that at the sink [m]; NaN of what goes round.")
      .def_readonly("components", &BackflowPath::components, "As the liquid passes them.")
      .def_readonly("backward", &BackflowPath::backward,
                    "Of the components, those it passes the wrong way.")
      .def_readonly("driven_by", &BackflowPath::driven_by, "Of the components, running pumps.")
      .def_property_readonly("goes_round", &BackflowPath::goes_round,
                             "Whether a pump drives the liquid round.")
      .def("__repr__", [](const BackflowPath& path) {
        const std::string ends = path.goes_round() ? "round" : path.source + " -> " + path.sink;
        return "<BackflowPath " + ends + ": " + InCubicMetresPerHour(path.flow) + ">";
      });
  py::class_<BackwardComponent>(m, "BackwardComponent",
                                "A component that liquid passes the wrong way: pumps and one-way\n"
                                "parts against their direction, others against their flow before.")
      .def_readonly("name", &BackwardComponent::name, "The component.")
      .def_readonly("flow", &BackwardComponent::flow, "from -> to [m³/s].")
      .def_readonly("flow_before", &BackwardComponent::flow_before,
                    "[m³/s]; NaN if the state before has no solution.")
      .def("__repr__", [](const BackwardComponent& part) {
        return "<BackwardComponent " + part.name + ": " + InCubicMetresPerHour(part.flow) + ">";
      });
  py::class_<FillingVessel>(m, "FillingVessel", "A vessel that takes liquid and did not before.")
      .def_readonly("name", &FillingVessel::name, "The vessel.")
      .def_readonly("flow", &FillingVessel::flow, "What it gains [m³/s].")
      .def_readonly("level_rise", &FillingVessel::level_rise,
                    "How fast its level rises [m/s]; NaN without an area.")
      .def("__repr__", [](const FillingVessel& vessel) {
        return "<FillingVessel " + vessel.name + ": " + InCubicMetresPerHour(vessel.flow) + ">";
      });
  py::class_<ReversedPump>(m, "ReversedPump", "A pump that liquid is pushed back through.")
      .def_readonly("name", &ReversedPump::name, "The pump.")
      .def_readonly("flow", &ReversedPump::flow, "from -> to, below 0 [m³/s].")
      .def_readonly(
          "reverse_speed", &ReversedPump::reverse_speed,
          "At which its rotor would spin in reverse if nothing held it, over full speed;\n"
          "0: unknown.")
      .def_readonly("running", &ReversedPump::running, "Whether it runs against the flow.")
      .def("__repr__", [](const ReversedPump& pump) {
        return "<ReversedPump " + pump.name + ": " + InCubicMetresPerHour(pump.flow) + ">";
      });
  py::class_<HeldPath>(m, "HeldPath", "A way on which nothing runs back, and what holds it.")
      .def_readonly("source", &HeldPath::source, "The vessel that would give.")
      .def_readonly("sink", &HeldPath::sink, "The vessel or nozzle that would get.")
      .def_readonly("driving_head", &HeldPath::driving_head,
                    "Head at the source less that at the sink [m].")
      .def_readonly("components", &HeldPath::components, "As liquid would pass them.")
      .def_readonly("held_by", &HeldPath::held_by,
                    "Of the components, the shut valves and check valves that hold.")
      .def_readonly("through", &HeldPath::through,
                    "Of the components, the stopped pumps it would be pushed back through.")
      .def_readonly("driven_by", &HeldPath::driven_by, "Of the components, running pumps.")
      .def("__repr__", [](const HeldPath& path) {
        return "<HeldPath " + path.source + " -> " + path.sink + ", held by " +
               Joined(path.held_by, ", ") + ">";
      });
}

void BindState(py::module_& m) {
  py::class_<BackflowState>(m, "BackflowState", "The scenario with some check valves failed.")
      .def_property_readonly("failed", &FailedOf,
                             "{check valve: \"passing\" or \"stuck open\"}; empty: as they are.")
      .def_readonly("solved", &BackflowState::solved, "Whether there is a solution.")
      .def_readonly("reason", &BackflowState::reason, "Why not; empty if there is.")
      .def_readonly("flow", &BackflowState::flow,
                    "What runs the wrong way, all paths together [m³/s]; NaN if not solved.")
      .def_readonly("paths", &BackflowState::paths, "A list of BackflowPath, largest first.")
      .def_readonly("backward", &BackflowState::backward, "A list of BackwardComponent.")
      .def_readonly("reversed_vessels", &BackflowState::reversed_vessels,
                    "Vessels that take and gave before, or give and took before.")
      .def_readonly("filling", &BackflowState::filling, "A list of FillingVessel.")
      .def_readonly("reversed_pumps", &BackflowState::reversed_pumps, "A list of ReversedPump.")
      .def_property_readonly("runs_back", &BackflowState::RunsBack,
                             "Whether anything runs the wrong way.")
      .def("__repr__", [](const BackflowState& state) {
        return "<BackflowState, check valves " + FailedInWords(state) + ": " +
               (state.solved ? InCubicMetresPerHour(state.flow) : state.reason) + ">";
      });
}

}  // namespace

void BindBackflow(py::module_& m) {
  BindParts(m);
  BindState(m);
  py::class_<BackflowResult, std::shared_ptr<BackflowResult>>(
      m, "Backflow", "Where liquid can run backwards; print() shows the verdict and a table.")
      .def_readonly("scenario", &BackflowResult::scenario, "In words: \"P-1 trips\".")
      .def_property_readonly("verdict", &BackflowResult::Verdict, "A few sentences.")
      .def_property_readonly("runs_back", &BackflowResult::RunsBackInAnyState,
                             "Whether anything runs the wrong way in any of the states.")
      .def_property_readonly("as_it_stands", &BackflowResult::as_it_stands,
                             "The BackflowState with every check valve as it is.")
      .def_readonly("states", &BackflowResult::states,
                    "A list of BackflowState: as it stands first, then by flow, those without a\n"
                    "solution last.")
      .def_readonly("held", &BackflowResult::held,
                    "A list of HeldPath, with the check valves as they are.")
      .def_readonly("before_failure", &BackflowResult::before_failure,
                    "Why the state before has no solution; empty if it has.")
      .def_readonly("num_skipped", &BackflowResult::num_skipped,
                    "Combinations of failed check valves left out for max_states.")
      .def("table", &TableOf,
           "A pandas DataFrame, a row per state and path. A state in which nothing runs back has\n"
           "one row of flow 0, one without a solution its reason.")
      .def("__str__", &BackflowResult::Report)
      .def("__repr__", [](const BackflowResult& result) {
        return "<Backflow: " + result.scenario + ". " + result.Verdict() + ">";
      });

  const BackflowOptions defaults;
  m.def("backflow", &StudyBackflow, py::arg("network"), py::arg("settings") = py::dict(),
        py::kw_only(), py::arg("trip") = py::none(), py::arg("case") = "",
        py::arg("power_loss") = false, py::arg("before") = py::dict(),
        py::arg("max_failed") = defaults.max_failed, py::arg("max_states") = defaults.max_states,
        py::arg("least_flow") = "0.001 m3/h",
        R"(Can liquid run backwards, from where to where, how much? A Backflow.

What happens: the named case, then trip (a pump or a list of pumps stops), power_loss (every pump
stops) and settings {"component.property": value}, in this order, on top of `before`, settings of how
the plant stands before. Backwards is what runs against the flow before, a pump or a one-way part
against its direction, or into a vessel that gave before.

Solved with the check valves as they are and with each of them passing or stuck open, up to
max_failed (0, 1 or 2) at a time and max_states in all; what was left out is counted in num_skipped.
Flows up to least_flow pass for none. Each state is steady: what runs after the event as long as
levels last, without run-down, slam or surge.

A state without a solution is reported with its reason. Raises SettingError or NetworkError, both
ValueErrors, for a scenario or network that is malformed. Ctrl-C raises KeyboardInterrupt. A check
valve is never isolation.)");
}

}  // namespace handwheel::python
