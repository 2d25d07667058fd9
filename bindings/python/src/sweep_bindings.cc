#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include <memory>
#include <optional>

#include "bindings.h"
#include "handwheel/errors.h"
#include "handwheel/sweep.h"
#include "indexed_network.h"
#include "listener.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

using SharedSweep = std::shared_ptr<SweepResult>;

std::vector<Value> ValuesOf(const py::object& given, const std::string& target) {
  if (py::isinstance<py::str>(given) || !py::isinstance<py::iterable>(given)) {
    throw SettingError("values of " + target + " are no list; expected such as [0, 0.5, 1].");
  }
  std::vector<Value> values;
  for (py::handle value : given) values.push_back(ToValue(value, target));
  return values;
}

SharedSweep RunSweep(const IndexedNetwork& network, const std::string& target,
                     const py::object& values, const std::string& target2,
                     const py::object& values2, const py::object& settings,
                     const std::string& case_name, bool warm_start, bool installed, double enough,
                     const py::object& progress) {
  std::vector<SweepAxis> axes = {{target, ValuesOf(values, target)}};
  if (!target2.empty()) axes.push_back({target2, ValuesOf(values2, target2)});
  if (target2.empty() && !values2.is_none()) {
    throw SettingError("values2 without target2, the setting that they are for.");
  }
  Network changed = network;
  if (!case_name.empty()) changed.ApplyCase(case_name);
  changed.Apply(ToSettings(settings));

  Listener listener(progress), interrupt{py::none()};
  SweepOptions options{.warm_start = warm_start,
                       .installed = installed,
                       .enough = enough,
                       .steady = {},
                       .progress = {}};
  options.steady.callback = [&](const IterationNews&) { return interrupt.KeepGoing(); };
  options.progress = [&](std::size_t done, std::size_t total) {
    return listener.Tell(done, total);
  };
  auto result = std::make_shared<SweepResult>();
  {
    py::gil_scoped_release others_may_run;
    *result = Sweep(changed, axes, options);
  }
  listener.RethrowIfRaised();
  interrupt.RethrowIfRaised();
  return result;
}

// float64 if all are numbers.
py::object AxisArray(const SweepAxis& axis) {
  py::list list;
  for (const Value& value : axis.values) list.append(FromValue(value));
  return py::module_::import("numpy").attr("array")(list);
}

py::object Values(const SweepResult& sweep) {
  if (sweep.axes.size() == 1) return AxisArray(sweep.axes[0]);
  return py::make_tuple(AxisArray(sweep.axes[0]), AxisArray(sweep.axes[1]));
}

std::string AxisHeading(const SweepResult& sweep, std::size_t axis) {
  const std::string& unit = sweep.units[axis];
  return sweep.axes[axis].target + (unit.empty() ? "" : " [" + unit + "]");
}

// A level per axis.
py::object RowIndex(const SweepResult& sweep) {
  const py::module_ pandas = py::module_::import("pandas");
  if (sweep.axes.size() == 1) {
    return pandas.attr("Index")(AxisArray(sweep.axes[0]), py::arg("name") = AxisHeading(sweep, 0));
  }
  return pandas.attr("MultiIndex")
      .attr("from_product")(
          py::make_tuple(AxisArray(sweep.axes[0]), AxisArray(sweep.axes[1])),
          py::arg("names") = py::make_tuple(AxisHeading(sweep, 0), AxisHeading(sweep, 1)));
}

py::object Frame(const SweepResult& sweep, const std::vector<double>& numbers,
                 const std::vector<std::string>& names) {
  py::array_t<double> array(
      {static_cast<py::ssize_t>(sweep.num_rows()), static_cast<py::ssize_t>(names.size())});
  std::copy(numbers.begin(), numbers.end(), array.mutable_data());
  return py::module_::import("pandas").attr("DataFrame")(array, py::arg("index") = RowIndex(sweep),
                                                         py::arg("columns") = ArrayOf(names));
}

py::object Failures(const SweepResult& sweep) {
  py::object reasons = py::module_::import("pandas").attr("Series")(
      ArrayOf(sweep.reason), py::arg("index") = RowIndex(sweep), py::arg("name") = "reason");
  std::vector<bool> failed = sweep.solved;
  failed.flip();
  return reasons[ArrayOf(failed)];
}

// A row per swept valve and value of the other setting.
py::object Installed(const SweepResult& sweep) {
  py::list rows;
  for (const InstalledCharacteristic& valve : sweep.installed) {
    rows.append(py::make_tuple(valve.valve, valve.other, valve.full_flow, valve.drop_open,
                               valve.drop_shut, valve.authority, valve.enough_opening,
                               valve.best_from, valve.best_to));
  }
  const std::vector<std::string> columns = {
      "valve",     "at",          "full flow [m3/s]", "drop open [m]", "drop shut [m]",
      "authority", "enough from", "best from",        "best to"};
  return py::module_::import("pandas").attr("DataFrame")(rows,
                                                         py::arg("columns") = py::cast(columns));
}

py::object Characteristic(const SweepResult& sweep) {
  py::list rows;
  for (const InstalledCharacteristic& valve : sweep.installed) {
    for (std::size_t i = 0; i < valve.opening.size(); ++i) {
      rows.append(py::make_tuple(valve.valve, valve.other, valve.opening[i], valve.flow[i],
                                 valve.gain[i], valve.relative_gain[i]));
    }
  }
  const std::vector<std::string> columns = {"valve",       "at",          "opening",
                                            "flow [m3/s]", "gain [m3/s]", "relative gain"};
  return py::module_::import("pandas").attr("DataFrame")(rows,
                                                         py::arg("columns") = py::cast(columns));
}

std::string SweepRepr(const SweepResult& sweep) {
  std::string text = "<Sweep of " + sweep.axes[0].target;
  if (sweep.axes.size() == 2) text += " and " + sweep.axes[1].target;
  std::size_t failed = 0;
  for (bool solved : sweep.solved) failed += solved ? 0 : 1;
  text += ": " + std::to_string(sweep.num_rows()) + " rows";
  return text + (failed > 0 ? ", " + std::to_string(failed) + " not solved>" : ">");
}

void BindResult(py::module_& m) {
  py::class_<SweepResult, SharedSweep>(
      m, "Sweep",
      "Flow everywhere against one or two settings. A row per value, or per pair of them; NaN "
      "where\n"
      "there is no solution. print() shows a table and what the swept valves are like.")
      .def_property_readonly(
          "targets",
          [](const SweepResult& sweep) {
            std::vector<std::string> targets;
            for (const SweepAxis& axis : sweep.axes) targets.push_back(axis.target);
            return targets;
          },
          "The settings swept.")
      .def_property_readonly("values", &Values,
                             "What was set, numbers in SI: an array, or two of two settings.")
      .def_property_readonly(
          "flow",
          [](const SweepResult& sweep) { return Frame(sweep, sweep.flow, sweep.component_names); },
          "Flow from -> to [m³/s], a pandas DataFrame with a column per component.")
      .def_property_readonly(
          "velocity",
          [](const SweepResult& sweep) {
            return Frame(sweep, sweep.velocity, sweep.component_names);
          },
          "Velocity [m/s], a pandas DataFrame with a column per component.")
      .def_property_readonly(
          "pressure",
          [](const SweepResult& sweep) { return Frame(sweep, sweep.pressure, sweep.point_names); },
          "Gauge pressure [Pa], a pandas DataFrame with a column per vessel and junction.")
      .def_property_readonly("failures", &Failures,
                             "Why rows have no solution, a pandas Series of those that have none.")
      .def_property_readonly(
          "interrupted", [](const SweepResult& sweep) { return sweep.interrupted; },
          "Whether progress said stop; the rows missing are failures.")
      .def(
          "installed", &Installed,
          "What the swept valves are like where they are installed, a pandas DataFrame with a row\n"
          "per valve, and per value of the other setting. Authority: drop fully open over drop\n"
          "shut. enough from: opening from which 90 % (or as asked for) of the full flow passes.\n"
          "best from, to: openings between which the relative gain keeps to 0.5 .. 2.")
      .def("characteristic", &Characteristic,
           "Flow and gain of the swept valves against their opening, a pandas DataFrame. gain is\n"
           "d flow / d opening, relative gain that over the full flow.")
      .def("most_changing", &SweepResult::MostChanging, py::arg("most") = 4,
           "Components whose flow changes most, of parts in series one.")
      .def(
          "plot",
          [](const SharedSweep& sweep, const py::object& components, const py::object& ax) {
            return py::module_::import("handwheel._plots")
                .attr("plot_sweep")(sweep, components, ax);
          },
          py::arg("components") = py::none(), py::arg("ax") = py::none(),
          "Flows against the values, of the components named (else those that change most), on\n"
          "matplotlib Axes, which are made unless given and returned.")
      .def("__len__", &SweepResult::num_rows)
      .def("__str__", [](const SweepResult& sweep) { return sweep.Report(); })
      .def("__repr__", &SweepRepr);
}

}  // namespace

void BindSweep(py::module_& m) {
  BindResult(m);
  const SweepOptions defaults;
  m.def("sweep", &RunSweep, py::arg("network"), py::arg("target"), py::arg("values"),
        py::arg("target2") = "", py::arg("values2") = py::none(), py::kw_only(),
        py::arg("settings") = py::dict(), py::arg("case") = "",
        py::arg("warm_start") = defaults.warm_start, py::arg("installed") = defaults.installed,
        py::arg("enough") = defaults.enough, py::arg("progress") = py::none(),
        R"(Flow everywhere against one setting, "HV-3.opening", or two. A Sweep.

values are SI numbers, texts with a unit, words or flags. case and settings {"component.property":
value} say how the rest of the plant stands. With warm_start each solve begins with the flows of the
one before; the results are the same within the solver's tolerances. For every valve whose opening
is swept, installed works out its gain, its authority, from which opening on `enough` of the full
flow passes, and where it controls best, for three more solves a row.

progress(done, total) is called after every row; returning False stops. A row without a solution has
NaN, and its reason in failures. Raises SettingError or NetworkError, both ValueErrors, for what
cannot be set. Ctrl-C raises KeyboardInterrupt.)");
}

}  // namespace handwheel::python
