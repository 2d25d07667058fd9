#include <pybind11/stl.h>

#include <cmath>
#include <memory>

#include "bindings.h"
#include "handwheel/errors.h"
#include "handwheel/find_settings.h"
#include "indexed_network.h"
#include "listener.h"
#include "solution_view.h"
#include "text/suggest.h"
#include "values.h"
#include "vary.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

struct FoundSettingsView {
  FoundSettings found;
  std::shared_ptr<SolutionView> solution;  // none: empty
};
using SharedFound = std::shared_ptr<FoundSettingsView>;

#ifdef HANDWHEEL_OPTIMISE

GaugeTarget ToTarget(const std::string& gauge, py::handle given) {
  GaugeTarget target{.gauge = gauge};
  const std::string what = "target " + Quoted(gauge);
  if (IsPair(given)) {
    std::tie(target.lower, target.upper) = EndsOf(given, what);
  } else {
    target.lower = target.upper = EndOf(given, what);
  }
  return target;
}

GaugeTarget* Known(std::vector<GaugeTarget>* targets, const std::string& gauge, const char* what) {
  std::vector<std::string> names;
  for (GaugeTarget& target : *targets) {
    if (target.gauge == gauge) return &target;
    names.push_back(target.gauge);
  }
  throw SettingError(std::string(what) + " for " + Quoted(gauge) + ", which is no target;" +
                     Suggest(gauge, names));
}

std::vector<GaugeTarget> ToTargets(const py::object& given, const py::object& priorities,
                                   const py::object& tolerances) {
  std::vector<GaugeTarget> targets;
  for (const auto& [gauge, value] : MappingItems(given, "targets", R"({"L-4.flow": "12 m3/h"})")) {
    targets.push_back(ToTarget(gauge, value));
  }
  for (const auto& [gauge, value] : MappingItems(priorities, "priorities", R"({"L-5.flow": 2})")) {
    if (!py::isinstance<py::int_>(value) || py::isinstance<py::bool_>(value)) {
      throw SettingError("priority of " + Quoted(gauge) + " is no whole number.");
    }
    Known(&targets, gauge, "a priority")->priority = value.cast<int>();
  }
  for (const auto& [gauge, value] :
       MappingItems(tolerances, "tolerances", R"({"L-4.flow": "0.1 m3/h"})")) {
    Known(&targets, gauge, "a tolerance")->tolerance = EndOf(value, "tolerance of " + gauge);
  }
  return targets;
}

SharedFound RunFindSettings(const IndexedNetwork& network, const py::object& vary,
                            const py::object& targets, const py::object& settings,
                            const std::string& case_name, const py::object& priorities,
                            const py::object& tolerances, bool keep_limits, int max_num_starts,
                            const py::object& progress) {
  Network changed = network;
  if (!case_name.empty()) changed.ApplyCase(case_name);
  changed.Apply(ToSettings(settings));
  const std::vector<Vary> varied = ToVary(vary);
  const std::vector<GaugeTarget> wanted = ToTargets(targets, priorities, tolerances);

  Listener listener(progress), interrupt{py::none()};
  FindSettingsOptions options{
      .keep_limits = keep_limits, .max_num_starts = max_num_starts, .steady = {}, .progress = {}};
  options.steady.callback = [&](const IterationNews&) { return interrupt.KeepGoing(); };
  options.progress = [&](std::size_t num_solves, double largest_miss) {
    return listener.Tell(num_solves, largest_miss);
  };
  auto view = std::make_shared<FoundSettingsView>();
  {
    py::gil_scoped_release others_may_run;
    view->found = FindSettings(changed, varied, wanted, options);
    if (view->found.solution) {
      view->solution = std::make_shared<SolutionView>(*view->found.solution, case_name);
    }
  }
  listener.RethrowIfRaised();
  interrupt.RethrowIfRaised();
  return view;
}

py::object RowsFrame(const py::list& rows, const std::vector<std::string>& columns) {
  return py::module_::import("pandas").attr("DataFrame")(rows,
                                                         py::arg("columns") = py::cast(columns));
}

py::object SettingsFrame(const FoundSettings& found) {
  py::list rows;
  for (const FoundSetting& one : found.settings) {
    rows.append(py::make_tuple(one.target, one.present, one.value, one.lower, one.upper, one.text,
                               one.turns, one.turns_of_travel));
  }
  return RowsFrame(rows, {"setting", "present", "found", "lower", "upper", "text", "turns open",
                          "turns of travel"})
      .attr("set_index")("setting");
}

py::object TargetsFrame(const FoundSettings& found) {
  py::list rows;
  for (const FoundTarget& one : found.targets) {
    rows.append(py::make_tuple(one.gauge, one.present, one.value, one.wanted, one.miss, one.reached,
                               one.priority, one.tolerance));
  }
  return RowsFrame(rows, {"target", "present", "found", "wanted", "miss", "reached", "priority",
                          "tolerance"})
      .attr("set_index")("target");
}

py::object FoundTable(const FoundSettingsView& view, const std::string& kind) {
  if (kind == "settings") return SettingsFrame(view.found);
  if (kind == "targets") return TargetsFrame(view.found);
  throw SettingError("table " + Quoted(kind) + " is unknown;" +
                     Suggest(kind, {"settings", "targets"}));
}

template <typename Member>
auto MemberOf(Member FoundSettings::*member) {
  return [member](const FoundSettingsView& view) { return view.found.*member; };
}

void BindResult(py::class_<FoundSettingsView, SharedFound>* result) {
  result
      ->def_property_readonly("verdict", MemberOf(&FoundSettings::verdict),
                              "The answer in a few plain sentences.")
      .def_property_readonly("reached", MemberOf(&FoundSettings::reached),
                             "Whether every target is reached within its tolerance.")
      .def_property_readonly(
          "settings",
          [](const FoundSettingsView& view) { return FromSettings(view.found.ToSettings()); },
          "What was found, SI: {\"HV-3.opening\": 0.37}. hw.solve takes it as it is.")
      .def_property_readonly(
          "binding",
          [](const FoundSettingsView& view) {
            py::list list;
            for (const BindingLimit& limit : view.found.binding) {
              py::dict one;
              one["target"] = limit.target;
              one["kind"] = limit.kind;
              one["name"] = limit.name;
              one["message"] = limit.message;
              list.append(one);
            }
            return list;
          },
          "What keeps targets from being reached, a list of dicts: target, kind (\"bound\",\n"
          "\"priority\", \"advice\", \"conflict\", \"no effect\", \"turning point\"), name, "
          "message.")
      .def_property_readonly("advice_before", MemberOf(&FoundSettings::advice_before),
                             "Findings on the plant as it stands, a list of Advice.")
      .def_property_readonly("advice_after", MemberOf(&FoundSettings::advice_after),
                             "Findings with the settings found, a list of Advice.")
      .def_property_readonly("new_advice", MemberOf(&FoundSettings::new_advice),
                             "Warnings and dangers that the settings found bring.")
      .def_property_readonly("cautions", MemberOf(&FoundSettings::cautions),
                             "What to know about this answer, a list of texts.")
      .def_property_readonly(
          "solution", [](const FoundSettingsView& view) { return view.solution; },
          "The steady state with the settings found; None if no start has one.")
      .def_property_readonly("num_solves", MemberOf(&FoundSettings::num_solves),
                             "Steady states solved.")
      .def_property_readonly("num_starts", MemberOf(&FoundSettings::num_starts),
                             "Points searched from.")
      .def_property_readonly("interrupted", MemberOf(&FoundSettings::interrupted),
                             "Whether progress said stop; the answer is the best so far.")
      .def("table", &FoundTable, py::arg("kind") = "settings",
           "\"settings\" or \"targets\" as a pandas DataFrame, numbers in SI. miss is above 0 "
           "where\n"
           "the gauge shows too much. NaN turns: no handwheel.")
      .def("__bool__", MemberOf(&FoundSettings::reached))
      .def("__str__", [](const FoundSettingsView& view) { return view.found.Report(); })
      .def("__repr__", [](const FoundSettingsView& view) {
        const FoundSettings& found = view.found;
        return "<FoundSettings: " + std::to_string(found.settings.size()) + " settings, " +
               std::to_string(found.targets.size()) + " targets, " +
               (found.reached ? "reached>" : "not reached>");
      });
}

#endif

constexpr const char* kHelp =
    R"(Openings, speeds, levels ... with which gauges show what is wanted. A FoundSettings.

vary: ["HV-3.opening", "P-1.speed"], or {"HV-3.opening": (0.1, 0.8)} with bounds, SI numbers or texts
with a unit, None where there is none. targets: {"L-4.flow": "12 m3/h"}; a pair is a range,
("5 m3/h", None) at least, (None, "2 bar") at most. Gauges show flow, velocity and drop [m] of
components, pressure and head of points. case and settings say how the plant stands.

priorities: {"L-5.flow": 2}, 1 unless given; a higher one is met first, and a lower one gets what is
left without moving it. Targets of one priority that cannot all be met share their misses, by least
squares of miss over target. tolerances: {"L-4.flow": "0.1 m3/h"}, up to which a miss counts as
reached; 0.1 % unless given. With keep_limits nothing that the advice watches may get worse, before
any target: no valve begins to cavitate, no check valve falls below the velocity that holds it fully
open, no pump leaves its range. If targets cannot be reached, the answer is the nearest, and binding
says why. Of several ways it is the one that changes least. Where the search from the present settings
does not reach everything, it starts anew, from max_num_starts points in all.

progress(num_solves, largest_miss) is called after every solve; returning False stops. Raises
SettingError, UnitError or NetworkError, all ValueErrors. Ctrl-C raises KeyboardInterrupt.

Method: Levenberg-Marquardt (Ceres Solver) with exact derivatives; see find_settings.h.)";

}  // namespace

void BindFindSettings(py::module_& m) {
  py::class_<FoundSettingsView, SharedFound> result(
      m, "FoundSettings",
      "Settings that reach targets, or come nearest. print() shows the verdict first.");
#ifdef HANDWHEEL_OPTIMISE
  BindResult(&result);
  const FindSettingsOptions defaults;
  m.def("find_settings", &RunFindSettings, py::arg("network"), py::arg("vary"), py::arg("targets"),
        py::kw_only(), py::arg("settings") = py::dict(), py::arg("case") = "",
        py::arg("priorities") = py::dict(), py::arg("tolerances") = py::dict(),
        py::arg("keep_limits") = defaults.keep_limits,
        py::arg("max_num_starts") = defaults.max_num_starts, py::arg("progress") = py::none(),
        kHelp);
#else
  m.def(
      "find_settings",
      [](const py::args&, const py::kwargs&) {
        throw Error("find_settings needs Ceres Solver, which this handwheel was built without.");
      },
      kHelp);
#endif
}

}  // namespace handwheel::python
