#include "handwheel/batch.h"

#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include <cstring>
#include <memory>
#include <utility>

#include "bindings.h"
#include "handwheel/errors.h"
#include "handwheel/file.h"
#include "handwheel/steady.h"
#include "indexed_network.h"
#include "listener.h"
#include "text/suggest.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

using SharedCompiled = std::shared_ptr<CompiledNetwork>;
using Float64Array = py::array_t<double, py::array::c_style>;
using CodeArray = py::array_t<std::int32_t, py::array::c_style>;

constexpr std::pair<const char*, BatchReading> kReadings[] = {
    {"flow", BatchReading::kFlow},         {"velocity", BatchReading::kVelocity},
    {"drop", BatchReading::kDrop},         {"head", BatchReading::kHead},
    {"pressure", BatchReading::kPressure},
};

BatchReading ReadingNamed(const std::string& name) {
  std::vector<std::string> known;
  for (const auto& [text, reading] : kReadings) {
    if (name == text) return reading;
    known.emplace_back(text);
  }
  throw SettingError("no reading is named " + Quoted(name) + ";" + Suggest(name, known));
}

// Values of one column as the solver takes them. Numbers are read where they lie; of words and
// flags, (codes, values), each scenario gets its own.
class ColumnValues {
 public:
  explicit ColumnValues(const py::handle& column) {
    if (py::isinstance<py::array>(column)) {
      numbers_ = column.cast<Float64Array>();
      return;
    }
    const auto [codes, given] = column.cast<std::pair<CodeArray, std::vector<py::object>>>();
    std::vector<Value> values;
    for (const py::object& value : given) values.push_back(ToValue(value, "a column"));
    values_.reserve(static_cast<std::size_t>(codes.size()));
    for (const std::int32_t code : std::span(codes.data(), static_cast<std::size_t>(codes.size())))
      values_.push_back(values.at(static_cast<std::size_t>(code)));
  }

  BatchValues span() const {
    if (numbers_) {
      return std::span(numbers_->data(), static_cast<std::size_t>(numbers_->size()));
    }
    return std::span<const Value>(values_);
  }

 private:
  std::optional<Float64Array> numbers_;
  std::vector<Value> values_;
};

// (reading, indices, array): the array is written in place, so it must be what it should be.
BatchOutput ToOutput(const py::handle& item) {
  auto [reading, of, array] =
      item.cast<std::tuple<std::string, std::vector<std::size_t>, py::array>>();
  if (!py::isinstance<Float64Array>(array)) throw SettingError("an output is no array of float64.");
  auto* into = static_cast<double*>(array.mutable_data());
  return {ReadingNamed(reading), std::move(of),
          std::span(into, static_cast<std::size_t>(array.size()))};
}

template <typename T, typename From>
py::array_t<T> ArrayBy(const std::vector<From>& items, const auto& get) {
  py::array_t<T> array(static_cast<py::ssize_t>(items.size()));
  T* into = array.mutable_data();
  for (const From& item : items) *into++ = static_cast<T>(get(item));
  return array;
}

// A solver and what it was made with: what solve_many runs in its process and in a worker's.
class Batch {
 public:
  Batch(const SharedCompiled& compiled, const std::vector<std::string>& targets, int workers,
        const SteadyOptions& steady)
      : told_(std::make_unique<Told>()),
        solver_(*compiled, targets,
                {.steady = steady,
                 .workers = workers,
                 .progress = [told = told_.get()](std::size_t done, std::size_t total) {
                   return told->listener == nullptr || told->listener->Tell(done, total);
                 }}) {}

  // Ctrl-C and a progress function that returns False stop it, and what is done is returned.
  py::dict Solve(const py::list& columns, const py::list& outputs, const py::object& progress) {
    std::vector<ColumnValues> held;
    std::vector<BatchValues> values;
    std::vector<BatchOutput> into;
    for (py::handle column : columns) held.emplace_back(column);
    for (const ColumnValues& column : held) values.push_back(column.span());
    for (py::handle output : outputs) into.push_back(ToOutput(output));
    Listener listener(progress);
    BatchSummary summary = Run(&listener, values, into);
    summary.interrupted |= WasInterrupted(&listener);
    return ToDict(summary);
  }

 private:
  struct Told {
    Listener* listener = nullptr;  // of the run, if there is one
  };

  BatchSummary Run(Listener* listener, std::span<const BatchValues> values,
                   std::span<const BatchOutput> outputs) {
    py::gil_scoped_release others_may_run;
    told_->listener = listener;
    const std::unique_ptr<Told, void (*)(Told*)> forget(
        told_.get(), [](Told* told) { told->listener = nullptr; });
    return solver_.Solve(values, outputs);
  }

  // Rethrows what the progress function raised, save KeyboardInterrupt.
  static bool WasInterrupted(Listener* listener) {
    try {
      listener->RethrowIfRaised();
    } catch (py::error_already_set& error) {
      if (!error.matches(PyExc_KeyboardInterrupt)) throw;
      return true;
    }
    return false;
  }

  static py::dict ToDict(const BatchSummary& summary) {
    py::dict result;
    result["outcome"] =
        ArrayBy<std::uint8_t>(summary.outcome, [](RowOutcome outcome) { return outcome; });
    result["failed_rows"] = ArrayBy<std::int64_t>(
        summary.failures, [](const BatchFailure& failure) { return failure.row; });
    py::list reasons;
    for (const BatchFailure& failure : summary.failures) reasons.append(failure.reason);
    result["reasons"] = reasons;
    result["num_in_lanes"] = summary.num_in_lanes;
    result["interrupted"] = summary.interrupted;
    result["worst_flow_imbalance"] = summary.worst_flow_imbalance;
    return result;
  }

  std::unique_ptr<Told> told_;
  BatchSolver solver_;
};

void BindCompiledNetwork(py::module_& m) {
  py::class_<CompiledNetwork, SharedCompiled>(
      m, "CompiledNetwork",
      "A network made ready for many solves: what solve_many makes of a Network, once, if it is\n"
      "given one. It never changes, any number of threads may use it, and it pickles.")
      .def(py::init([](const IndexedNetwork& network) {
             return std::make_shared<CompiledNetwork>(network);
           }),
           py::arg("network"), "Raises NetworkError for a malformed network.")
      .def_property_readonly(
          "network",
          [](const CompiledNetwork& compiled) {
            return std::make_shared<IndexedNetwork>(compiled.network());
          },
          "What was compiled, a copy.")
      .def_property_readonly("point_names", &CompiledNetwork::point_names,
                             "Names of the vessels and junctions, in network order.")
      .def_property_readonly("component_names", &CompiledNetwork::component_names,
                             "Names of the components, in network order.")
      .def(py::pickle(
          [](const CompiledNetwork& compiled) { return FormatNetwork(compiled.network()); },
          [](const std::string& text) {
            return std::make_shared<CompiledNetwork>(ParseNetwork(text, "<pickle>"));
          }))
      .def("__repr__", [](const CompiledNetwork& compiled) {
        const std::string& title = compiled.network().title;
        return "<CompiledNetwork" +
               (title.empty() ? "" : " of " + std::string(py::repr(py::str(title)))) + ": " +
               std::to_string(compiled.point_names().size()) + " points, " +
               std::to_string(compiled.component_names().size()) + " components>";
      });
}

}  // namespace

void BindBatch(py::module_& m) {
  BindCompiledNetwork(m);
  py::class_<Batch>(m, "_Batch", "The solver behind solve_many.")
      .def(py::init([](const SharedCompiled& compiled, const std::vector<std::string>& targets,
                       int workers, double flow_tolerance, double head_tolerance,
                       double step_tolerance, int max_num_iterations) {
             return Batch(compiled, targets, workers,
                          {.flow_tolerance = flow_tolerance,
                           .head_tolerance = head_tolerance,
                           .step_tolerance = step_tolerance,
                           .max_num_iterations = max_num_iterations});
           }),
           py::arg("compiled"), py::arg("targets"), py::arg("workers"), py::arg("flow_tolerance"),
           py::arg("head_tolerance"), py::arg("step_tolerance"), py::arg("max_num_iterations"),
           py::call_guard<py::gil_scoped_release>())
      .def("solve", &Batch::Solve, py::arg("columns"), py::arg("outputs"), py::arg("progress"));
  std::vector<std::string> readings, outcomes;
  for (const auto& [name, reading] : kReadings) readings.emplace_back(name);
  for (const RowOutcome outcome :
       {RowOutcome::kSolved, RowOutcome::kRefused, RowOutcome::kNoSolution,
        RowOutcome::kNotConverged, RowOutcome::kInterrupted}) {
    outcomes.emplace_back(RowOutcomeName(outcome));
  }
  m.def("_is_by_point", [](const std::string& reading) {
    const BatchReading named = ReadingNamed(reading);
    return named == BatchReading::kHead || named == BatchReading::kPressure;
  });
  m.attr("_caution") = py::str(kCaution.data(), kCaution.size());
  m.attr("_readings") = py::tuple(py::cast(readings));
  m.attr("_outcomes") = py::tuple(py::cast(outcomes));
}

}  // namespace handwheel::python
