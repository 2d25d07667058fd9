#include "studies/gauge_model.h"

#include "handwheel/errors.h"

namespace handwheel {

GaugeModel::GaugeModel(Network network, std::vector<Varied> varied, std::vector<Gauge> gauges,
                       const SteadyOptions& options)
    : network_(std::move(network)),
      varied_(std::move(varied)),
      gauges_(std::move(gauges)),
      options_(options),
      first_flow_(options.initial_flow) {
  for (const Varied& one : varied_) targets_.push_back(one.target);
}

GaugeModel::Answer GaugeModel::At(std::span<const double> numbers) {
  Answer answer;
  for (std::size_t i = 0; i < numbers.size(); ++i) network_.Apply(targets_[i], numbers[i]);
  try {
    Sensitivities found = SolveFrom(last_flow_.empty() ? first_flow_ : last_flow_);
    if (!found.solution.converged() && !interrupted_ && !last_flow_.empty()) {
      found = SolveFrom(first_flow_);
    }
    if (found.solution.converged()) {
      last_flow_ = found.solution.flow();
      Read(found, &answer);
      answer.solution = std::move(found.solution);
      answer.by_number = std::move(found.by_target);
    } else {
      answer.reason = found.solution.summary().message;
    }
  } catch (const NetworkError& error) {
    answer.reason = error.what();
  }
  return answer;
}

Sensitivities GaugeModel::SolveFrom(const std::vector<double>& flow) {
  options_.initial_flow = flow;
  Sensitivities found = ComputeSensitivities(network_, targets_, options_);
  if (found.solution.summary().termination == Termination::kInterrupted) interrupted_ = true;
  return found;
}

void GaugeModel::Read(const Sensitivities& found, Answer* answer) const {
  for (const Gauge& gauge : gauges_) {
    answer->value.push_back(ReadGauge(gauge, found.solution));
    for (const Sensitivity& one : found.by_target) {
      answer->slope.push_back(GaugeSlope(gauge, one));
    }
  }
}

}  // namespace handwheel
