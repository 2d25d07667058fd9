#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include <cmath>
#include <map>
#include <memory>
#include <optional>

#include "arguments.h"
#include "bindings.h"
#include "handwheel/errors.h"
#include "handwheel/transient.h"
#include "indexed_network.h"
#include "listener.h"
#include "text/suggest.h"
#include "transient/events.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

using SharedRun = std::shared_ptr<Transient>;

// --- What happens ---

double TimeOf(const py::object& value, const char* name) {
  return NotNegative(value, name, Dimension::kTime);
}

TransientEvent Stroke(const std::string& valve, const py::object& opening, const py::object& at,
                      const py::object& over, const py::object& turns_per_second) {
  const double reached = Between(0.0, 1.0, opening, "opening");
  if (turns_per_second.is_none()) {
    return StrokeValve(valve, reached, TimeOf(at, "at"), TimeOf(over, "over"));
  }
  if (TimeOf(over, "over") > 0.0) {
    throw SettingError("a stroke takes over, a time, or turns_per_second, not both.");
  }
  return TurnHandwheel(valve, reached, TimeOf(at, "at"),
                       Positive(turns_per_second, "turns_per_second"));
}

void BindEvents(py::module_& m) {
  py::class_<TransientEvent>(m, "Event", "One thing that happens in a run of simulate().")
      .def_property_readonly(
          "name", [](const TransientEvent& event) { return event.name; },
          "Of the pump, valve, check valve, vessel or junction.")
      .def_property_readonly(
          "at", [](const TransientEvent& event) { return event.at; }, "When [s].")
      .def_property_readonly(
          "over", [](const TransientEvent& event) { return event.over; },
          "The time that it takes [s].")
      .def(
          "__eq__", [](const TransientEvent& a, const TransientEvent& b) { return a == b; },
          py::is_operator())
      .def("__repr__",
           [](const TransientEvent& event) {
             return "<Event: " + InWords(event) + " at " + Shown(event.at) + " s>";
           })
      .attr("__hash__") = py::none();
  const py::float_ zero(0.0);
  m.def(
      "trip",
      [](const std::string& pump, const py::object& at) {
        return TripPump(pump, TimeOf(at, "at"));
      },
      py::arg("pump"), py::arg("at") = zero,
      "The motor loses its power: the pump runs down by its inertia. One of positive displacement\n"
      "stops at once.");
  m.def(
      "start",
      [](const std::string& pump, const py::object& at, const py::object& over) {
        return StartPump(pump, TimeOf(at, "at"), TimeOf(over, "over"));
      },
      py::arg("pump"), py::arg("at") = zero, py::arg("over") = zero,
      "The pump's speed rises evenly to its `speed` within `over`.");
  m.def("stroke", &Stroke, py::arg("valve"), py::arg("opening"), py::arg("at") = zero,
        py::arg("over") = zero, py::arg("turns_per_second") = py::none(),
        "A valve travels evenly to an opening, within `over` or at a rate of its handwheel.");
  m.def(
      "fault",
      [](const std::string& part, const std::string& condition, const py::object& at) {
        return ChangeCondition(part, condition, TimeOf(at, "at"));
      },
      py::arg("part"), py::arg("condition"), py::arg("at") = zero,
      "A valve or check valve takes on another condition: fault(\"NRV-1\", \"stuck open\").");
  m.def(
      "gas_pressure",
      [](const std::string& vessel, const py::object& pressure, const py::object& at,
         const py::object& over) {
        return ChangeGasPressure(vessel, AnyFinite(pressure, "pressure", Dimension::kPressure),
                                 TimeOf(at, "at"), TimeOf(over, "over"));
      },
      py::arg("vessel"), py::arg("pressure"), py::arg("at") = zero, py::arg("over") = zero,
      "The gas above a vessel's liquid goes evenly to a gauge pressure.");
  m.def(
      "draw",
      [](const std::string& junction, const py::object& flow, const py::object& at,
         const py::object& over) {
        return ChangeDraw(junction, NotNegative(flow, "flow", Dimension::kFlow), TimeOf(at, "at"),
                          TimeOf(over, "over"));
      },
      py::arg("junction"), py::arg("flow"), py::arg("at") = zero, py::arg("over") = zero,
      "A junction's draw goes evenly to a flow.");
}

// --- The run ---

ColumnModel ColumnsOf(const std::string& name) {
  if (const auto model = ColumnModelFromName(name)) return *model;
  throw SettingError("columns " + Quoted(name) + ";" +
                     Suggest(name, {"auto", "elastic", "rigid", "steady"}));
}

std::vector<TransientEvent> EventsOf(const py::object& given) {
  if (py::isinstance<TransientEvent>(given)) return {given.cast<TransientEvent>()};
  if (py::isinstance<py::str>(given) || !py::isinstance<py::iterable>(given)) {
    throw SettingError("events are no list; expected such as [hw.trip(\"P-1\", at=\"1 s\")].");
  }
  std::vector<TransientEvent> events;
  for (py::handle event : given) {
    if (!py::isinstance<TransientEvent>(event)) {
      throw SettingError("an event is " + std::string(py::repr(event)) +
                         "; expected such as hw.trip(\"P-1\", at=\"1 s\").");
    }
    events.push_back(event.cast<TransientEvent>());
  }
  return events;
}

std::optional<double> TimeIfGiven(const py::object& value, const char* name) {
  if (value.is_none()) return std::nullopt;
  return Positive(value, name, Dimension::kTime);
}

SharedRun RunSimulate(const IndexedNetwork& network, const py::object& events,
                      const py::object& duration, const py::object& settings,
                      const std::string& case_name, const py::object& time_step,
                      const std::string& columns, const std::map<std::string, std::string>& pipes,
                      bool cavities, const py::object& record_every, const py::object& progress) {
  const std::vector<TransientEvent> happenings = EventsOf(events);
  Network changed = network;
  if (!case_name.empty()) changed.ApplyCase(case_name);
  changed.Apply(ToSettings(settings));
  Listener listener(progress), interrupt{py::none()};
  TransientOptions options;
  options.duration = Positive(duration, "duration", Dimension::kTime);
  options.time_step = TimeIfGiven(time_step, "time_step");
  options.record_every = TimeIfGiven(record_every, "record_every");
  options.columns = ColumnsOf(columns);
  for (const auto& [name, model] : pipes) options.pipes.emplace_back(name, ColumnsOf(model));
  options.cavities = cavities;
  options.steady.callback = [&](const IterationNews&) { return interrupt.KeepGoing(); };
  options.progress = [&](double time, double whole) { return listener.Tell(time, whole); };
  auto run = std::make_shared<Transient>();
  {
    py::gil_scoped_release others_may_run;
    *run = Simulate(changed, happenings, options);
  }
  listener.RethrowIfRaised();
  interrupt.RethrowIfRaised();
  return run;
}

// --- What came of it ---

py::object Frame(const Transient& run, const std::vector<double>& numbers,
                 const std::vector<std::string>& names) {
  py::array_t<double> array(
      {static_cast<py::ssize_t>(run.num_rows()), static_cast<py::ssize_t>(names.size())});
  std::copy(numbers.begin(), numbers.end(), array.mutable_data());
  const py::module_ pandas = py::module_::import("pandas");
  return pandas.attr("DataFrame")(
      array,
      py::arg("index") = pandas.attr("Index")(ArrayOf(run.time), py::arg("name") = "time [s]"),
      py::arg("columns") = ArrayOf(names));
}

py::object RowsFrame(const py::list& rows, const std::vector<std::string>& columns) {
  return py::module_::import("pandas").attr("DataFrame")(rows,
                                                         py::arg("columns") = py::cast(columns));
}

py::object LogFrame(const Transient& run) {
  py::list rows;
  for (const LogEntry& entry : run.log) {
    rows.append(py::make_tuple(entry.time, entry.name, entry.message));
  }
  return RowsFrame(rows, {"time [s]", "name", "message"});
}

py::object SlamFrame(const Transient& run) {
  py::list rows;
  for (const Slam& slam : run.slams) {
    rows.append(py::make_tuple(slam.check_valve, slam.time, slam.reverse_velocity,
                               slam.deceleration, slam.rise));
  }
  return RowsFrame(rows, {"check valve", "time [s]", "reverse velocity [m/s]",
                          "deceleration [m/s2]", "rise [Pa]"});
}

py::object ExtremesFrame(const Transient& run) {
  py::list rows;
  for (const PointExtremes& point : run.extremes) {
    rows.append(py::make_tuple(point.name, point.highest, point.highest_at, point.lowest,
                               point.lowest_at, point.largest_cavity));
  }
  return RowsFrame(rows, {"point", "highest [Pa]", "highest at [s]", "lowest [Pa]", "lowest at [s]",
                          "largest cavity [m3]"})
      .attr("set_index")("point");
}

py::object PipesFrame(const Transient& run) {
  py::list rows;
  for (const PipeEnvelope& pipe : run.envelopes) {
    rows.append(py::make_tuple(pipe.name, std::string(ColumnModelName(pipe.model)), pipe.reaches,
                               pipe.wave_speed, pipe.wave_speed_used, pipe.largest_cavity,
                               pipe.basis));
  }
  return RowsFrame(rows, {"pipe", "column", "reaches", "wave speed [m/s]", "wave speed used [m/s]",
                          "largest cavity [m3]", "basis"})
      .attr("set_index")("pipe");
}

py::object Envelope(const Transient& run, const std::string& name) {
  std::vector<std::string> names;
  for (const PipeEnvelope& pipe : run.envelopes) {
    names.push_back(pipe.name);
    if (pipe.name != name) continue;
    py::dict columns;
    columns["distance [m]"] = ArrayOf(pipe.distance);
    columns["elevation [m]"] = ArrayOf(pipe.elevation);
    columns["highest head [m]"] = ArrayOf(pipe.highest);
    columns["lowest head [m]"] = ArrayOf(pipe.lowest);
    return py::module_::import("pandas").attr("DataFrame")(columns);
  }
  throw NetworkError("no pipe is named " + Quoted(name) + ";" + Suggest(name, names), name);
}

py::dict Balance(const Transient& run) {
  py::dict balance;
  balance["came in [m3]"] = run.balance.came_in;
  balance["went out [m3]"] = run.balance.went_out;
  balance["spilled [m3]"] = run.balance.spilled;
  balance["stored more [m3]"] = run.balance.stored_more;
  balance["error [m3]"] = run.balance.error;
  return balance;
}

std::string RunRepr(const Transient& run) {
  std::string text = "<Transient of " + Shown(run.time.empty() ? 0.0 : run.time.back()) +
                     " s: " + std::to_string(run.num_steps) + " steps";
  if (run.interrupted) text += ", interrupted";
  return text + (run.ended_early.empty() ? ">" : ", ended early>");
}

template <typename Class>
void BindHistories(Class& cls) {
  const auto frame = [&](const char* name, auto numbers, auto names, const char* doc) {
    cls.def_property_readonly(
        name, [=](const Transient& run) { return Frame(run, run.*numbers, run.*names); }, doc);
  };
  frame("flow", &Transient::flow, &Transient::component_names,
        "Flow where it leaves `from` [m³/s], a pandas DataFrame by time, a column per component.");
  frame("flow_to", &Transient::flow_to, &Transient::component_names,
        "Flow where it arrives at `to` [m³/s], likewise; of pipes with waves it differs.");
  frame("head", &Transient::head, &Transient::point_names,
        "Head [m], a pandas DataFrame by time, a column per vessel and junction.");
  frame("pressure", &Transient::pressure, &Transient::point_names,
        "Gauge pressure [Pa], likewise.");
  frame("speed", &Transient::speed, &Transient::pump_names,
        "Speed of the pumps, fraction of that of their curve, a column per pump.");
  frame("level", &Transient::level, &Transient::vessel_names,
        "Level [m], a column per vessel; it moves in those with an area.");
}

void BindRun(py::module_& m) {
  py::class_<Transient, SharedRun> cls(
      m, "Transient",
      "What happens after something has happened to a plant. print() gives the verdict, the log,\n"
      "extremes against ratings, and what was assumed.");
  cls.def_property_readonly(
      "time", [](const SharedRun& run) { return ViewOf(run->time, py::cast(run)); },
      "Of the rows kept [s].");
  BindHistories(cls);
  cls.def_property_readonly("log", &LogFrame, "What happened, in plain words, by time.")
      .def_property_readonly("slams", &SlamFrame,
                             "Check valves that shut against reverse flow: what they caught, and\n"
                             "the rise of pressure at their outlet.")
      .def_property_readonly("extremes", &ExtremesFrame,
                             "Highest and lowest gauge pressure of every point, of all steps.")
      .def_property_readonly("pipes", &PipesFrame,
                             "How each pipe was worked out, and its wave speed.")
      .def_property_readonly("balance", &Balance, "Of the liquid over the whole run, a dict.")
      .def_property_readonly(
          "time_step", [](const Transient& run) { return run.time_step; }, "[s].")
      .def_property_readonly(
          "num_steps", [](const Transient& run) { return run.num_steps; }, "Steps run.")
      .def_property_readonly(
          "num_unsettled_steps", [](const Transient& run) { return run.num_unsettled_steps; },
          "Steps whose flows between pipes did not settle; above 0 the run is not to be trusted.")
      .def_property_readonly(
          "assumptions", [](const Transient& run) { return run.assumptions; },
          "What was estimated for want of data.")
      .def_property_readonly(
          "ended_early", [](const Transient& run) { return run.ended_early; },
          "Why the run ended before its time; empty: it did not.")
      .def_property_readonly(
          "interrupted", [](const Transient& run) { return run.interrupted; },
          "Whether progress said stop.")
      .def_property_readonly("verdict", &Transient::Verdict, "A few sentences.")
      .def("envelope", &Envelope, py::arg("pipe"),
           "Highest and lowest heads along a pipe, a pandas DataFrame by distance.")
      .def(
          "plot",
          [](const SharedRun& run, const py::object& names, const py::object& ax) {
            return py::module_::import("handwheel._plots").attr("plot_transient")(run, names, ax);
          },
          py::arg("names") = py::none(), py::arg("ax") = py::none(),
          "Pressures of the points and flows of the components named (else the points whose\n"
          "pressure changes most) against time, on matplotlib Axes, which are made unless given\n"
          "and returned.")
      .def("__len__", &Transient::num_rows)
      .def("__str__", &Transient::Report)
      .def("__repr__", &RunRepr);
}

}  // namespace

void BindTransient(py::module_& m) {
  BindEvents(m);
  BindRun(m);
  m.def("simulate", &RunSimulate, py::arg("network"), py::arg("events") = py::list(),
        py::arg("duration") = 10.0, py::kw_only(), py::arg("settings") = py::dict(),
        py::arg("case") = "", py::arg("time_step") = py::none(), py::arg("columns") = "auto",
        py::arg("pipes") = std::map<std::string, std::string>(), py::arg("cavities") = true,
        py::arg("record_every") = py::none(), py::arg("progress") = py::none(),
        R"(What the plant does after events: pressure waves, pumps that run down, check valves that
slam, levels that fall. A Transient.

Begins in the steady state of the network with case and settings applied. columns says how liquid
moves in pipes: "elastic" with waves, "rigid" as one column with its inertia, "steady" without, for
levels over minutes and hours; "auto" is elastic where a step fits into the pipe; pipes {name: how}
makes exceptions. time_step [s] is chosen unless given; histories keep a row every record_every,
else some 2000. With cavities liquid parts at its vapour pressure.

progress(time, duration) is called now and then; returning False stops. Raises SettingError or
NetworkError, both ValueErrors, for what cannot be. Ctrl-C raises KeyboardInterrupt.)");
}

}  // namespace handwheel::python
