#include <pybind11/functional.h>
#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include <optional>

#include "bindings.h"
#include "handwheel/errors.h"
#ifdef HANDWHEEL_OPTIMISE
#include "handwheel/optimise.h"
#endif
#include "handwheel/steady.h"
#include "indexed_network.h"
#include "listener.h"
#include "solution_view.h"
#include "text/suggest.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

#ifdef HANDWHEEL_OPTIMISE
namespace steady = handwheel::optimise;  // every method
#else
namespace steady = handwheel;
#endif

Method MethodNamed(const std::string& name) {
  if (const auto method = MethodFromName(name)) return *method;
  std::vector<std::string> names;
  for (Method m : {Method::kNewton, Method::kHardyCross, Method::kTrustRegion}) {
    names.emplace_back(MethodName(m));
  }
  throw SettingError("method " + Quoted(name) + " is unknown;" + Suggest(name, names));
}

std::vector<double> InitialFlow(const py::object& given) {
  if (given.is_none()) return {};
  const auto array = py::array_t<double, py::array::c_style | py::array::forcecast>::ensure(given);
  if (!array || array.ndim() != 1) {
    PyErr_Clear();
    throw SettingError("initial_flow is not a row of numbers; expected one per component.");
  }
  return {array.data(), array.data() + array.size()};
}

std::shared_ptr<SolutionView> SolveSteady(const IndexedNetwork& network, const py::object& settings,
                                          const std::string& case_name, const std::string& method,
                                          double flow_tolerance, double head_tolerance,
                                          double step_tolerance, int max_num_iterations,
                                          bool record_loop_corrections,
                                          const py::object& initial_flow,
                                          const py::object& progress) {
  Network changed = network;
  if (!case_name.empty()) changed.ApplyCase(case_name);
  changed.Apply(ToSettings(settings));

  Listener listener(progress);
  const SteadyOptions options{
      .method = MethodNamed(method),
      .flow_tolerance = flow_tolerance,
      .head_tolerance = head_tolerance,
      .step_tolerance = step_tolerance,
      .max_num_iterations = max_num_iterations,
      .record_loop_corrections = record_loop_corrections,
      .callback = [&](const IterationNews& news) { return listener.Tell(news); },
      .initial_flow = InitialFlow(initial_flow)};
  std::optional<SolutionView> view;
  {
    py::gil_scoped_release others_may_run;
    view.emplace(steady::Solve(changed, options), case_name);
  }
  listener.RethrowIfRaised();
  return std::make_shared<SolutionView>(*std::move(view));
}

}  // namespace

void BindSolve(py::module_& m) {
  const SteadyOptions defaults;
  m.def("solve", &SolveSteady, py::arg("network"), py::arg("settings") = py::dict(), py::kw_only(),
        py::arg("case") = "", py::arg("method") = "newton",
        py::arg("flow_tolerance") = defaults.flow_tolerance,
        py::arg("head_tolerance") = defaults.head_tolerance,
        py::arg("step_tolerance") = defaults.step_tolerance, py::arg("max_num_iterations") = 0,
        py::arg("record_loop_corrections") = false, py::arg("initial_flow") = py::none(),
        py::arg("progress") = py::none(),
        R"(The steady state of a network, a Solution.

First the named case, then settings {"component.property": value} are applied to a copy; values are
SI numbers, texts with a unit, True or False. head [m] and pressure [Pa gauge] come one per vessel and
junction, flow [m³/s, positive from -> to], velocity [m/s] and drop [m] one per component, indexed by
name; .values gives float64 arrays in network order.

method: "newton", "hardy_cross" (loop corrections; kept with record_loop_corrections) or
"trust_region" (least squares, an independent second opinion).
Converged when every point balances within flow_tolerance [m³/s], every component is on its curve
within head_tolerance [m], and the last step changed no flow by more than step_tolerance times the
largest. max_num_iterations 0 is the method's own limit. initial_flow [m³/s] is one per component.
progress is called with an IterationNews after every iteration; returning False stops.

Non-convergence is reported in summary, not raised; look at converged. Raises SettingError for a bad
setting, NetworkError for a network that is malformed or has no solution; both are ValueErrors.
Ctrl-C raises KeyboardInterrupt. Other Python threads run meanwhile.

Methods: newton, Todini and Pilati's head-flow iteration with a fall-back on the convex content
(Cherry and Millar 1951); hardy_cross, Cross, Univ. Illinois Bull. 286, 1936.)");
}

}  // namespace handwheel::python
