#include "handwheel/fit.h"

#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include <algorithm>
#include <cmath>
#include <memory>

#include "bindings.h"
#include "handwheel/errors.h"
#include "indexed_network.h"
#include "listener.h"
#include "solution_view.h"
#include "text/suggest.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

struct FitView {
  FitResult fit;
  std::vector<std::shared_ptr<SolutionView>> solutions;  // by state
  std::shared_ptr<FitView> without;                      // may be null
};
using SharedFit = std::shared_ptr<FitView>;
using FitClass = py::class_<FitView, SharedFit>;
using NumberClass = py::class_<FittedNumber>;

#ifdef HANDWHEEL_OPTIMISE

// --- What is asked -------------------------------------------------------------------------------

bool IsList(py::handle given) {
  return py::isinstance<py::tuple>(given) || py::isinstance<py::list>(given);
}

std::vector<std::string> TargetsOf(py::handle given) {
  if (py::isinstance<py::str>(given)) return {given.cast<std::string>()};
  std::vector<std::string> targets;
  if (IsList(given)) {
    for (py::handle one : given) {
      if (py::isinstance<py::str>(one)) targets.push_back(one.cast<std::string>());
    }
    if (!targets.empty() && targets.size() == py::len(given)) return targets;
  }
  throw SettingError(
      "vary holds what is no text; expected such as \"HV-3.opening\", or a list of those that "
      "share "
      "one number.");
}

FitUnknown WithBounds(py::handle targets, const py::object& bounds) {
  FitUnknown unknown(TargetsOf(targets));
  if (bounds.is_none()) return unknown;
  const std::string what = "vary " + Quoted(unknown.targets.front());
  if (!IsList(bounds) || py::len(bounds) != 2) {
    throw SettingError(what + ": expected bounds such as (0.1, 0.8), or None.");
  }
  const py::object low = bounds[py::int_(0)], high = bounds[py::int_(1)];
  unknown.lower = ToValue(low, what);
  unknown.upper = ToValue(high, what);
  return unknown;
}

std::vector<FitUnknown> ToUnknowns(const py::object& given) {
  std::vector<FitUnknown> unknowns;
  if (py::isinstance<py::str>(given)) return {FitUnknown(given.cast<std::string>())};
  if (py::hasattr(given, "items")) {
    for (py::handle item : given.attr("items")()) {
      const auto pair = py::reinterpret_borrow<py::sequence>(item);
      const py::object targets = pair[0];
      unknowns.push_back(WithBounds(targets, pair[1]));
    }
    return unknowns;
  }
  if (!py::isinstance<py::iterable>(given)) {
    throw SettingError(R"(vary is no list; expected such as ["HV-3.opening"].)");
  }
  for (py::handle one : given) unknowns.push_back(WithBounds(one, py::none()));
  return unknowns;
}

// None, NaN, and pandas' own word for nothing: how tables leave a cell empty.
bool IsEmpty(py::handle given) {
  if (given.is_none()) return true;
  if (PyFloat_Check(given.ptr())) return std::isnan(PyFloat_AS_DOUBLE(given.ptr()));
  return std::string(py::str(py::type::handle_of(given).attr("__name__"))) == "NAType";
}

Settings StateOf(const py::object& given) {
  if (IsEmpty(given)) return {};
  if (py::isinstance<py::str>(given)) return SettingsFromText(given.cast<std::string>());
  return ToSettings(given);
}

const std::vector<std::string>& Columns() {
  static const std::vector<std::string> columns = {"gauge", "value", "uncertainty", "case",
                                                   "settings"};
  return columns;
}

Measurement OfRow(const py::object& row) {
  Measurement measurement;
  for (py::handle item : row.attr("items")()) {
    const auto pair = py::reinterpret_borrow<py::sequence>(item);
    const std::string column = py::str(py::object(pair[0]));
    const py::object cell = pair[1];
    if (column == "settings") {
      measurement.settings = StateOf(cell);
    } else if (column == "value") {  // NaN is a mistake here, and told as one
      measurement.value = ToValue(cell, "value of " + Quoted(measurement.gauge));
    } else if (IsEmpty(cell)) {
      continue;
    } else if (column == "gauge") {
      measurement.gauge = py::str(cell);
    } else if (column == "case") {
      measurement.case_name = py::str(cell);
    } else if (column == "uncertainty") {
      measurement.uncertainty = ToValue(cell, "uncertainty of " + Quoted(measurement.gauge));
    } else {
      throw SettingError("measurements have no column " + Quoted(column) + ";" +
                         Suggest(column, Columns()));
    }
  }
  if (measurement.gauge.empty()) throw SettingError("a measurement names no gauge.");
  return measurement;
}

// A value, or (value, uncertainty).
Measurement OfPair(const std::string& gauge, const py::object& given) {
  Measurement measurement{.gauge = gauge};
  const std::string what = "value of " + Quoted(gauge);
  if (!IsList(given)) {
    measurement.value = ToValue(given, what);
    return measurement;
  }
  if (py::len(given) != 2) {
    throw SettingError(what + ": expected a value, or (value, uncertainty).");
  }
  const py::object value = given[py::int_(0)], uncertainty = given[py::int_(1)];
  measurement.value = ToValue(value, what);
  if (!IsEmpty(uncertainty)) {
    measurement.uncertainty = ToValue(uncertainty, "uncertainty of " + Quoted(gauge));
  }
  return measurement;
}

std::vector<Measurement> ToMeasurements(const py::object& given) {
  std::vector<Measurement> measurements;
  if (py::hasattr(given, "to_dict") && py::hasattr(given, "columns")) {  // a DataFrame
    return ToMeasurements(given.attr("to_dict")("records"));
  }
  if (py::hasattr(given, "items")) {
    for (py::handle item : given.attr("items")()) {
      const auto pair = py::reinterpret_borrow<py::sequence>(item);
      measurements.push_back(OfPair(py::str(py::object(pair[0])), pair[1]));
    }
    return measurements;
  }
  if (!py::isinstance<py::iterable>(given) || py::isinstance<py::str>(given)) {
    throw SettingError(
        R"(measurements are no table; expected such as {"L-4.flow": ("14.2 m3/h", "2 %")}.)");
  }
  for (py::handle row : given) {
    if (!py::hasattr(row, "items")) {
      throw SettingError(
          R"(a measurement is no row; expected such as {"gauge": "L-4.flow", "value": "14.2 m3/h"}.)");
    }
    measurements.push_back(OfRow(py::reinterpret_borrow<py::object>(row)));
  }
  return measurements;
}

FitLoss LossNamed(const std::string& name) {
  if (name == "huber") return FitLoss::kHuber;
  if (name == "squares") return FitLoss::kSquares;
  throw SettingError("loss " + Quoted(name) + " is unknown;" + Suggest(name, {"huber", "squares"}));
}

SharedFit ViewOf(FitResult fit) {
  auto view = std::make_shared<FitView>();
  view->fit = std::move(fit);
  for (const FittedState& state : view->fit.states) {
    view->solutions.push_back(std::make_shared<SolutionView>(state.solution, state.case_name));
  }
  if (view->fit.without) view->without = ViewOf(*view->fit.without);
  return view;
}

SharedFit RunFit(const IndexedNetwork& network, const py::object& measurements,
                 const py::object& vary, const py::object& settings, const std::string& case_name,
                 const std::string& loss, double confidence, const py::object& default_uncertainty,
                 int num_starts, const py::object& progress) {
  Network changed = network;
  if (!case_name.empty()) changed.ApplyCase(case_name);
  changed.Apply(ToSettings(settings));
  const std::vector<Measurement> read = ToMeasurements(measurements);
  const std::vector<FitUnknown> unknowns = ToUnknowns(vary);

  Listener listener(progress), interrupt{py::none()};
  FitOptions options;
  options.loss = LossNamed(loss);
  options.confidence = confidence;
  options.default_uncertainty = ToQuantity(default_uncertainty, Dimension::kNumber);
  options.num_starts = num_starts;
  options.steady.callback = [&](const IterationNews&) { return interrupt.KeepGoing(); };
  options.progress = [&](const FitNews& news) {
    return listener.Tell(news.num_solves, news.chi_square);
  };
  FitResult fit;
  {
    py::gil_scoped_release others_may_run;
    fit = Fit(changed, read, unknowns, options);
  }
  listener.RethrowIfRaised();
  interrupt.RethrowIfRaised();
  return ViewOf(std::move(fit));
}

// --- What is answered ----------------------------------------------------------------------------

py::object FitFrame(const py::list& rows, const std::vector<std::string>& columns) {
  return py::module_::import("pandas").attr("DataFrame")(rows, py::arg("columns") = columns);
}

std::vector<std::string> NumberNames(const FitResult& fit) {
  std::vector<std::string> names;
  for (const FittedNumber& number : fit.numbers) names.push_back(number.Name());
  return names;
}

std::string UnitOf(const FittedNumber& number) {
  if (number.dimension == Dimension::kNumber) return "";
  return std::string(SiUnit(number.dimension));
}

bool IsSuspicious(const FitResult& fit, std::size_t reading) {
  return std::find(fit.suspicious.begin(), fit.suspicious.end(), reading) != fit.suspicious.end();
}

py::object FitTable(const FitView& view, const std::string& which) {
  py::list rows;
  if (which == "numbers") {
    for (const FittedNumber& one : view.fit.numbers) {
      rows.append(py::make_tuple(one.Name(), UnitOf(one), one.before, one.value, one.lower,
                                 one.upper, one.standard_error, one.at_bound, one.identifiable,
                                 one.changed));
    }
    return FitFrame(rows, {"number", "unit", "before", "value", "lower", "upper", "standard error",
                           "at bound", "identifiable", "changed"});
  }
  if (which != "readings") {
    throw SettingError("table " + Quoted(which) + " is unknown;" +
                       Suggest(which, {"numbers", "readings"}));
  }
  for (std::size_t r = 0; r < view.fit.readings.size(); ++r) {
    const FittedReading& one = view.fit.readings[r];
    rows.append(py::make_tuple(one.gauge, view.fit.states[one.state].label,
                               std::string(SiUnit(one.dimension)), one.measured, one.uncertainty,
                               one.before, one.after, one.standardised, one.leverage,
                               IsSuspicious(view.fit, r)));
  }
  return FitFrame(rows, {"gauge", "state", "unit", "measured", "uncertainty", "before", "after",
                         "standardised", "leverage", "suspicious"});
}

py::object Square(const FitResult& fit, const std::vector<double>& numbers) {
  const auto size = static_cast<py::ssize_t>(fit.numbers.size());
  py::array_t<double> array({size, size});
  std::copy(numbers.begin(), numbers.end(), array.mutable_data());
  const py::object names = ArrayOf(NumberNames(fit));
  return py::module_::import("pandas").attr("DataFrame")(array, py::arg("index") = names,
                                                         py::arg("columns") = names);
}

py::dict ValuesByTarget(const FitView& view) {
  py::dict values;
  for (const FittedNumber& one : view.fit.numbers) {
    for (const std::string& target : one.targets) values[py::str(target)] = one.value;
  }
  return values;
}

std::vector<std::string> SuspiciousGauges(const FitView& view) {
  std::vector<std::string> names;
  for (std::size_t r : view.fit.suspicious) names.push_back(view.fit.readings[r].gauge);
  return names;
}

py::dict SolutionsByState(const FitView& view) {
  py::dict solutions;
  for (std::size_t s = 0; s < view.solutions.size(); ++s) {
    solutions[py::str(view.fit.states[s].label)] = view.solutions[s];
  }
  return solutions;
}

void BindNumber(NumberClass* cls) {
  cls->def_property_readonly("name", &FittedNumber::Name, "Its targets, with commas between.")
      .def_readonly("targets", &FittedNumber::targets, "What it is: [\"L-4.roughness\"].")
      .def_property_readonly("unit", &UnitOf, "SI; empty of a mere number.")
      .def_readonly("before", &FittedNumber::before, "As the plant stands.")
      .def_readonly("value", &FittedNumber::value, "What was found.")
      .def_readonly("lower", &FittedNumber::lower,
                    "Lower end of its interval, at the confidence asked for; NaN if no gauge tells "
                    "it.")
      .def_readonly("upper", &FittedNumber::upper, "Upper end.")
      .def_readonly("standard_error", &FittedNumber::standard_error,
                    "One standard deviation; of its logarithm if logarithmic.")
      .def_readonly("logarithmic", &FittedNumber::logarithmic,
                    "Whether it was found by its logarithm: roughness, kv, cv, leak_kv, vent_kv.")
      .def_readonly("at_bound", &FittedNumber::at_bound,
                    "Whether it stands at a bound; its interval is then one-sided.")
      .def_readonly("identifiable", &FittedNumber::identifiable,
                    "Whether the gauges tell it; if not, unclear of the Fit says why.")
      .def_readonly("changed", &FittedNumber::changed, "Whether before lies outside its interval.")
      .def("__repr__", [](const FittedNumber& one) {
        return "<FittedNumber " + one.Name() + " = " + one.InUnit(one.value) + ">";
      });
}

void BindResult(FitClass* cls) {
  const auto of = [&](const char* name, auto member, const char* doc) {
    cls->def_property_readonly(
        name, [member](const FitView& view) { return view.fit.*member; }, doc);
  };
  of("solved", &FitResult::solved, "False: verdict says why, and the rest is empty.");
  of("interrupted", &FitResult::interrupted, "Whether progress said stop.");
  of("verdict", &FitResult::verdict, "The answer in plain words.");
  of("numbers", &FitResult::numbers, "What was varied: a list of FittedNumber.");
  of("unclear", &FitResult::unclear, "What the gauges do not tell, and why: a list of sentences.");
  of("cautions", &FitResult::cautions, "What to mind: a list of sentences.");
  of("chi_square_before", &FitResult::chi_square_before,
     "Squares of deviation over uncertainty, summed, as the plant stands.");
  of("chi_square", &FitResult::chi_square, "The same after the fit, of least squares.");
  of("degrees_of_freedom", &FitResult::degrees_of_freedom,
     "What chi_square is expected to be: readings less numbers that they tell.");
  of("probability", &FitResult::probability,
     "Chance of a worse fit, were model and uncertainties right; NaN without a meaning.");
  of("confidence", &FitResult::confidence, "Of the intervals.");
  of("noise", &FitResult::noise,
     "Scatter of the readings over the uncertainties assumed, where none was stated; else 1.");
  of("noise_from_residuals", &FitResult::noise_from_residuals,
     "Whether no reading states its uncertainty, so that their scatter shows it.");
  of("num_solves", &FitResult::num_solves, "Steady states solved.");
  cls->def_property_readonly("value", &ValuesByTarget, "What was found, SI: a dict by target.")
      .def_property_readonly("suspicious", &SuspiciousGauges,
                             "Gauges that stand out; several if they cannot be told apart.")
      .def_property_readonly(
          "without", [](const FitView& view) { return view.without; },
          "The Fit that leaves the suspicious gauge out, in every state; None if there is no one\n"
          "gauge.")
      .def_property_readonly("solutions", &SolutionsByState,
                             "The Solution of every state, with what was found: a dict by label.")
      .def_property_readonly(
          "network",
          [](const FitView& view) { return std::make_shared<IndexedNetwork>(view.fit.network); },
          "The network with what was found, no case applied: a copy, ready to save.")
      .def("table", &FitTable, py::arg("which") = "readings",
           "\"readings\": measured, before, after, deviation; \"numbers\": what was found. A "
           "pandas\n"
           "DataFrame in SI, with a unit column.")
      .def(
          "covariance", [](const FitView& view) { return Square(view.fit, view.fit.covariance); },
          "Covariance of the numbers, SI (of logarithms where logarithmic): a DataFrame; NaN "
          "where\n"
          "not identifiable or at a bound.")
      .def(
          "correlation", [](const FitView& view) { return Square(view.fit, view.fit.correlation); },
          "Correlation of the numbers: a DataFrame, NaN likewise.")
      .def("__str__", [](const FitView& view) { return view.fit.Report(); })
      .def("__repr__", [](const FitView& view) {
        return "<Fit of " + std::to_string(view.fit.numbers.size()) + " numbers to " +
               std::to_string(view.fit.readings.size()) + " readings>";
      });
}

#endif

constexpr const char* kFitHelp =
    R"(What explains the gauges? Roughness, openings, blockages, K, draws ... that fit readings. A Fit.

measurements: {"L-4.flow": ("14.2 m3/h", "2 %"), "header.pressure": "1.78 bar"}, or rows with the
columns gauge, value, uncertainty, case and settings, the last three if wanted: a DataFrame or dicts.
Numbers are SI, texts have a unit. Uncertainties are one standard deviation, absolute or in per cent
of the reading. A reading without one has default_uncertainty of the largest reading of its kind; if
none has one, their scatter about the model shows how large they are. Readings with a case or settings
were taken in that state; one fit explains all states.

vary: ["HV-3.blockage", "L-4.roughness"], or {"HV-3.opening": (0.1, 0.8)} with bounds, None for none.
A list or tuple of targets in the place of one shares one number: ["HV-3.opening", ["L-1.roughness",
"L-2.roughness"]]. To vary the blockage of a sound valve takes it for blocked.

loss "huber": readings further off than twice their uncertainty weigh in proportion, not squared;
"squares": least squares. Intervals are from the Jacobian at the solution, normal where uncertainties
are stated, else Student's. num_starts searches begin from the plant as it stands and from points
spread over the bounds, always alike.

progress(num_solves, chi_square) is called after every step; returning False stops. Raises
SettingError, UnitError or NetworkError, all ValueErrors. Ctrl-C raises KeyboardInterrupt.

Method: Levenberg-Marquardt (Ceres Solver) with exact derivatives; see fit.h.)";

}  // namespace

void BindFit(py::module_& m) {
  NumberClass number(m, "FittedNumber", "One number that a fit found, SI.");
  FitClass result(
      m, "Fit",
      "What explains the gauges. print() shows the verdict first, then the numbers with\n"
      "their intervals and the readings before and after.");
#ifdef HANDWHEEL_OPTIMISE
  BindNumber(&number);
  BindResult(&result);
  const FitOptions defaults;
  m.def("fit", &RunFit, py::arg("network"), py::arg("measurements"), py::arg("vary"), py::kw_only(),
        py::arg("settings") = py::dict(), py::arg("case") = "", py::arg("loss") = "huber",
        py::arg("confidence") = defaults.confidence,
        py::arg("default_uncertainty") = defaults.default_uncertainty,
        py::arg("num_starts") = defaults.num_starts, py::arg("progress") = py::none(), kFitHelp);
#else
  m.def(
      "fit",
      [](const py::args&, const py::kwargs&) {
        throw Error("fit needs Ceres Solver, which this handwheel was built without.");
      },
      kFitHelp);
#endif
}

}  // namespace handwheel::python
