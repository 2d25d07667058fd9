#include "optimise/settings_model.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "handwheel/errors.h"
#include "text/cat.h"

namespace handwheel {
namespace {

// Of a number's size, along the tangent of the solution. Readings are smooth but for the points of
// their curves; truncation and round-off stay below 1e-7 of a slope.
constexpr double kStep = 1e-6;

// The solution moved along its tangent by `step` of one number, without solving anew. States stay,
// as the sensitivities assume; so does the liquid.
Solution Moved(const Solution& from, const Sensitivity& along, double number, double step) {
  SolutionData data{.network = from.network(),
                    .liquid = from.liquid(),
                    .summary = from.summary(),
                    .head = from.head(),
                    .pressure = from.pressure(),
                    .outflow = from.outflow(),
                    .shut_in = from.shut_in(),
                    .flow = from.flow(),
                    .velocity = from.velocity(),
                    .drop = from.drop(),
                    .leak = from.leak(),
                    .state = from.state(),
                    .loops = {},
                    .loop_corrections = {}};
  data.network.Apply(along.target, number + step);
  const auto move = [step](const std::vector<double>& slope, std::vector<double>* values) {
    for (std::size_t i = 0; i < values->size(); ++i) (*values)[i] += step * slope[i];
  };
  move(along.head, &data.head);
  move(along.pressure, &data.pressure);
  move(along.flow, &data.flow);
  move(along.velocity, &data.velocity);
  move(along.drop, &data.drop);
  return Solution::FromData(std::move(data));
}

double StepOf(const Varied& varied, double number) {
  const double step = kStep * varied.size;
  return number + step <= varied.upper ? step : -step;
}

}  // namespace

const SettingsModel::Answer& SettingsModel::At(const std::vector<double>& numbers) {
  if (!last_ || numbers != last_numbers_) {
    last_ = Ask(numbers);
    last_numbers_ = numbers;
  }
  return *last_;
}

SettingsModel::Answer SettingsModel::Nothing(std::string reason) const {
  return {.solution = {},
          .reason = std::move(reason),
          .value = std::vector<double>(wishes_.size(), std::numeric_limits<double>::quiet_NaN()),
          .slope = std::vector<double>(wishes_.size() * varied().size(), 0.0)};
}

SettingsModel::Answer SettingsModel::Ask(const std::vector<double>& numbers) {
  if (interrupted()) return Nothing("interrupted");
  ++num_solves_;
  GaugeModel::Answer found = model_.At(numbers);
  if (listener_ && !listener_()) stopped_ = true;
  if (!found.solution) return Nothing(found.reason);
  Answer answer;
  AddTargets(found, &answer);
  if (!answer.reason.empty()) return Nothing(answer.reason);
  AddLimits(found, numbers, &answer);
  answer.solution = std::move(found.solution);
  return answer;
}

void SettingsModel::AddTargets(const GaugeModel::Answer& from, Answer* answer) const {
  const std::size_t n = varied().size();
  for (const Wish& wish : wishes_) {
    if (wish.is_limit) continue;
    const double value = from.value[wish.index];
    if (std::isnan(value)) {
      answer->reason = Cat(gauges()[wish.index].name, " shows nothing, being shut in.");
    }
    answer->value.push_back(value);
    for (std::size_t i = 0; i < n; ++i) answer->slope.push_back(from.slope[wish.index * n + i]);
  }
}

void SettingsModel::AddLimits(const GaugeModel::Answer& from, const std::vector<double>& numbers,
                              Answer* answer) const {
  const bool any =
      std::any_of(wishes_.begin(), wishes_.end(), [](const Wish& wish) { return wish.is_limit; });
  if (!any) return;
  const std::size_t n = varied().size();
  const std::vector<LimitReading> here = LimitsOf(*from.solution);
  std::vector<std::vector<LimitReading>> moved;
  std::vector<double> step;
  for (std::size_t i = 0; i < n; ++i) {
    step.push_back(StepOf(varied()[i], numbers[i]));
    moved.push_back(LimitsOf(Moved(*from.solution, from.by_number[i], numbers[i], step[i])));
  }
  for (const Wish& wish : wishes_) {
    if (!wish.is_limit) continue;
    const double value = here[wish.index].value;
    answer->value.push_back(value);
    for (std::size_t i = 0; i < n; ++i) {
      const double slope = (moved[i][wish.index].value - value) / step[i];
      answer->slope.push_back(std::isfinite(slope) ? slope : 0.0);
    }
  }
}

}  // namespace handwheel
