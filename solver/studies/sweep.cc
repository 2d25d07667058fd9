#include "handwheel/sweep.h"

#include <algorithm>
#include <cmath>
#include <string_view>

#include "handwheel/errors.h"
#include "network/draft.h"
#include "network/names.h"
#include "studies/sweep_installed.h"
#include "studies/sweep_solver.h"
#include "studies/sweep_words.h"
#include "text/cat.h"
#include "text/suggest.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

void CheckAxes(const std::vector<SweepAxis>& axes) {
  if (axes.empty() || axes.size() > 2) {
    throw SettingError(
        Cat("a sweep of ", std::to_string(axes.size()), " settings; expected one or two."));
  }
  for (const SweepAxis& axis : axes) {
    if (axis.values.empty()) throw SettingError(Cat("no values to sweep ", axis.target, " over."));
  }
  if (axes.size() == 2 && axes[0].target == axes[1].target) {
    throw SettingError(Cat(Quoted(axes[0].target), " is swept twice."));
  }
}

// The SI unit of what a target is set to; empty of a mere number, a word or a flag.
std::string UnitOf(const Network& network, const std::string& target) {
  const std::string_view name = SplitTarget(target).component;
  const PartKind* kind = FindSection(name);
  for (const PartKind& candidate : PartKindTable()) {
    if (kind != nullptr || candidate.role == Role::kSection) continue;
    for (std::size_t i = 0; i < candidate.count(network); ++i) {
      if (NameOf(candidate, candidate.At(network, i)) == name) kind = &candidate;
    }
  }
  const Field& field = FindSettableField(*kind, target);
  const Slot slot = SlotOf(field, kind->blank);
  const bool number =
      std::holds_alternative<double*>(slot) || std::holds_alternative<std::optional<double>*>(slot);
  if (!number || field.axis.dimension == Dimension::kNumber) return "";
  return std::string(SiUnit(field.axis.dimension));
}

class Sweeper {
 public:
  Sweeper(const Network& network, const std::vector<SweepAxis>& axes, const SweepOptions& options)
      : network_(network), options_(options), solver_(options.steady, options.warm_start) {
    result_.title = network.title;
    result_.axes = axes;
    result_.point_names = network.PointNames();
    result_.component_names = network.ComponentNames();
    result_.enough = options.enough;
    for (std::size_t a = axes.size(); a-- > 0;) TryValues(&result_.axes[a]);
    for (const SweepAxis& axis : axes) result_.units.push_back(UnitOf(network, axis.target));
  }

  SweepResult Run() {
    std::size_t rows = 1;
    for (const SweepAxis& axis : result_.axes) rows *= axis.values.size();
    Reserve(rows);
    for (std::size_t row = 0; row < rows; ++row) {
      SolveRow(row);
      if (!result_.interrupted && options_.progress && !options_.progress(row + 1, rows)) {
        result_.interrupted = true;
      }
    }
    if (options_.installed && !result_.interrupted) AddInstalled();
    return std::move(result_);
  }

 private:
  // So that a value that cannot be is found before the long part; the values become SI.
  void TryValues(SweepAxis* axis) {
    for (Value& value : axis->values) {
      network_.Apply(axis->target, value);
      network_.Validate();
      value = network_.Get(axis->target);
    }
    network_.Apply(axis->target, axis->values.front());
  }

  void Reserve(std::size_t rows) {
    result_.solved.assign(rows, false);
    result_.reason.assign(rows, "");
    result_.flow.assign(rows * result_.component_names.size(), kNaN);
    result_.velocity = result_.flow;
    result_.pressure.assign(rows * result_.point_names.size(), kNaN);
  }

  void SetTo(std::size_t row) {
    for (std::size_t a = 0; a < result_.axes.size(); ++a) {
      network_.Apply(result_.axes[a].target, result_.ValueAt(row, a));
    }
  }

  void SolveRow(std::size_t row) {
    if (result_.interrupted) {
      result_.reason[row] = "interrupted";
      return;
    }
    SetTo(row);
    const auto solution = solver_.Solve(network_, &result_.reason[row]);
    result_.interrupted = solver_.interrupted();
    if (!solution) return;
    result_.solved[row] = true;
    const auto put = [row](const std::vector<double>& values, std::vector<double>* into) {
      std::copy(values.begin(), values.end(),
                into->begin() + static_cast<std::ptrdiff_t>(row * values.size()));
    };
    put(solution->flow(), &result_.flow);
    put(solution->velocity(), &result_.velocity);
    put(solution->pressure(), &result_.pressure);
  }

  bool IsValveOpening(const std::string& target) const {
    const Target parts = SplitTarget(target);
    return parts.property == "opening" &&
           std::any_of(network_.valves.begin(), network_.valves.end(),
                       [&](const Valve& valve) { return valve.name == parts.component; });
  }

  void AddInstalled() {
    for (std::size_t axis = 0; axis < result_.axes.size(); ++axis) {
      if (!IsValveOpening(result_.axes[axis].target)) continue;
      const bool alone = result_.axes.size() == 1;
      const std::size_t others = alone ? 1 : result_.axes[1 - axis].values.size();
      for (std::size_t other = 0; other < others && !result_.interrupted; ++other) {
        AddInstalledFor(axis, alone, other);
      }
    }
  }

  void AddInstalledFor(std::size_t axis, bool alone, std::size_t other) {
    const std::string valve(SplitTarget(result_.axes[axis].target).component);
    OpeningFlows flows;
    for (std::size_t row = 0; row < result_.num_rows(); ++row) {
      if (!alone && result_.ValueIndex(row, 1 - axis) != other) continue;
      SetTo(row);
      flows.emplace_back(std::get<double>(result_.ValueAt(row, axis)), result_.Flow(row, valve));
    }
    InstalledCharacteristic found =
        FindInstalledCharacteristic(network_, valve, flows, options_, &result_.interrupted);
    if (!alone) found.other = SettingInWords(result_, 1 - axis, other);
    if (!result_.interrupted) result_.installed.push_back(std::move(found));
  }

  Network network_;
  const SweepOptions& options_;
  SweepSolver solver_;
  SweepResult result_;
};

}  // namespace

bool SweepOptions::IsValid(std::string* error) const {
  if (!(enough > 0.0 && enough < 1.0)) {
    *error = "enough is " + std::to_string(enough) + "; expected a value between 0 and 1";
    return false;
  }
  return steady.IsValid(error);
}

std::size_t SweepResult::ValueIndex(std::size_t row, std::size_t axis) const {
  if (axes.size() == 1) return row;
  const std::size_t inner = axes[1].values.size();
  return axis == 0 ? row / inner : row % inner;
}

double SweepResult::Flow(std::size_t row, std::string_view component) const {
  const std::size_t c = IndexOfName(component_names, component, "component");
  return flow.at(row * component_names.size() + c);
}

double SweepResult::Velocity(std::size_t row, std::string_view component) const {
  const std::size_t c = IndexOfName(component_names, component, "component");
  return velocity.at(row * component_names.size() + c);
}

double SweepResult::Pressure(std::size_t row, std::string_view point) const {
  const std::size_t p = IndexOfName(point_names, point, "point");
  return pressure.at(row * point_names.size() + p);
}

SweepResult Sweep(const Network& network, const std::vector<SweepAxis>& axes,
                  const SweepOptions& options) {
  std::string error;
  if (!options.IsValid(&error)) throw SettingError("options: " + error);
  CheckAxes(axes);
  return Sweeper(network, axes, options).Run();
}

}  // namespace handwheel
