#include "solution_pickle.h"

#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include "handwheel/file.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

using Doubles = std::vector<double>;

py::object PickleSolids(const std::optional<Solids>& solids) {
  if (!solids) return py::none();
  return py::make_tuple(solids->volume_fraction, solids->density, solids->d50,
                        solids->carrier_density);
}

std::optional<Solids> UnpickleSolids(const py::handle& state) {
  if (state.is_none()) return std::nullopt;
  const auto t = state.cast<py::tuple>();
  return Solids{.volume_fraction = t[0].cast<double>(),
                .density = t[1].cast<double>(),
                .d50 = t[2].cast<double>(),
                .carrier_density = t[3].cast<double>()};
}

std::vector<int> CodesOf(const std::vector<FlowState>& states) {
  std::vector<int> codes;
  for (FlowState state : states) codes.push_back(static_cast<int>(state));
  return codes;
}

std::vector<FlowState> StatesOf(const std::vector<int>& codes) {
  std::vector<FlowState> states;
  for (int code : codes) states.push_back(static_cast<FlowState>(code));
  return states;
}

py::list PickleLoops(const std::vector<Loop>& loops) {
  py::list list;
  for (const Loop& loop : loops) {
    list.append(py::make_tuple(loop.components, loop.signs, loop.between_vessels));
  }
  return list;
}

std::vector<Loop> UnpickleLoops(const py::list& list) {
  std::vector<Loop> loops;
  for (py::handle item : list) {
    const auto t = item.cast<py::tuple>();
    loops.push_back(
        {t[0].cast<std::vector<int>>(), t[1].cast<std::vector<int>>(), t[2].cast<bool>()});
  }
  return loops;
}

py::list PickleCorrections(const std::vector<LoopCorrection>& corrections) {
  py::list list;
  for (const LoopCorrection& c : corrections) {
    list.append(py::make_tuple(c.pass, c.loop, c.correction));
  }
  return list;
}

std::vector<LoopCorrection> UnpickleCorrections(const py::list& list) {
  std::vector<LoopCorrection> corrections;
  for (py::handle item : list) {
    const auto t = item.cast<py::tuple>();
    corrections.push_back({t[0].cast<int>(), t[1].cast<int>(), t[2].cast<double>()});
  }
  return corrections;
}

Doubles UnpickleArray(const py::handle& array) {
  const auto values = array.cast<py::array_t<double, py::array::c_style>>();
  return Doubles(values.data(), values.data() + values.size());
}

}  // namespace

py::tuple PickleLiquid(const Liquid& liquid) {
  return py::make_tuple(liquid.density, liquid.viscosity, liquid.vapour_pressure,
                        liquid.critical_pressure, liquid.yield_stress, liquid.consistency,
                        liquid.index, PickleSolids(liquid.solids));
}

Liquid UnpickleLiquid(const py::tuple& t) {
  return {.density = t[0].cast<double>(),
          .viscosity = t[1].cast<double>(),
          .vapour_pressure = t[2].cast<double>(),
          .critical_pressure = t[3].cast<double>(),
          .yield_stress = t[4].cast<double>(),
          .consistency = t[5].cast<double>(),
          .index = t[6].cast<double>(),
          .solids = UnpickleSolids(t[7])};
}

py::tuple PickleSummary(const SteadySummary& s) {
  return py::make_tuple(static_cast<int>(s.method), static_cast<int>(s.termination), s.message,
                        s.num_iterations, s.num_fallback_iterations, s.max_flow_imbalance,
                        s.max_head_imbalance, s.worst_point, s.worst_component, s.contradicting);
}

SteadySummary UnpickleSummary(const py::tuple& t) {
  return {.method = static_cast<Method>(t[0].cast<int>()),
          .termination = static_cast<Termination>(t[1].cast<int>()),
          .message = t[2].cast<std::string>(),
          .num_iterations = t[3].cast<int>(),
          .num_fallback_iterations = t[4].cast<int>(),
          .max_flow_imbalance = t[5].cast<double>(),
          .max_head_imbalance = t[6].cast<double>(),
          .worst_point = t[7].cast<std::string>(),
          .worst_component = t[8].cast<std::string>(),
          .contradicting = t[9].cast<std::vector<std::string>>()};
}

py::tuple PickleSolution(const SolutionView& view) {
  const Solution& s = view.solution;
  return py::make_tuple(view.case_name, FormatNetwork(s.network()), PickleLiquid(s.liquid()),
                        PickleSummary(s.summary()), ArrayOf(s.head()), ArrayOf(s.pressure()),
                        ArrayOf(s.outflow()), s.shut_in(), ArrayOf(s.flow()), ArrayOf(s.velocity()),
                        ArrayOf(s.drop()), ArrayOf(s.leak()), CodesOf(s.state()),
                        PickleLoops(s.loops()), PickleCorrections(s.loop_corrections()));
}

std::shared_ptr<SolutionView> UnpickleSolution(const py::tuple& t) {
  SolutionData data{.network = ParseNetwork(t[1].cast<std::string>(), "<pickle>"),
                    .liquid = UnpickleLiquid(t[2].cast<py::tuple>()),
                    .summary = UnpickleSummary(t[3].cast<py::tuple>()),
                    .head = UnpickleArray(t[4]),
                    .pressure = UnpickleArray(t[5]),
                    .outflow = UnpickleArray(t[6]),
                    .shut_in = t[7].cast<std::vector<bool>>(),
                    .flow = UnpickleArray(t[8]),
                    .velocity = UnpickleArray(t[9]),
                    .drop = UnpickleArray(t[10]),
                    .leak = UnpickleArray(t[11]),
                    .state = StatesOf(t[12].cast<std::vector<int>>()),
                    .loops = UnpickleLoops(t[13].cast<py::list>()),
                    .loop_corrections = UnpickleCorrections(t[14].cast<py::list>())};
  return std::make_shared<SolutionView>(Solution::FromData(std::move(data)),
                                        t[0].cast<std::string>());
}

}  // namespace handwheel::python
