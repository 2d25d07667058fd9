#include "optimise/fit_model.h"

#include <algorithm>
#include <cmath>

#include "handwheel/errors.h"
#include "text/cat.h"
#include "text/suggest.h"

namespace handwheel::optimise {

FitModel::FitModel(const FitInput& input, const FitOptions& options)
    : input_(input), readings_of_(input.states.size()) {
  std::vector<std::vector<Gauge>> gauges(input.states.size());
  for (std::size_t r = 0; r < input.readings.size(); ++r) {
    gauges[input.readings[r].state].push_back(input.readings[r].gauge);
    readings_of_[input.readings[r].state].push_back(r);
  }
  for (std::size_t s = 0; s < input.states.size(); ++s) {
    models_.emplace_back(input.states[s].network, input.varied, gauges[s], options.steady);
  }
}

FitModel::Point FitModel::At(const Eigen::VectorXd& u) {
  std::vector<double> varied(input_.varied.size());
  for (std::size_t n = 0; n < input_.numbers.size(); ++n) {
    const Number& number = input_.numbers[n];
    // The round trip through a logarithm may leave the bounds by a last digit.
    const double value =
        std::clamp(number.FromU(u[static_cast<Eigen::Index>(n)]), number.lower, number.upper);
    for (std::size_t v : number.varied) varied[v] = value;
  }
  Point point;
  const auto rows = static_cast<Eigen::Index>(input_.readings.size());
  point.model = Eigen::VectorXd::Constant(rows, std::nan(""));
  point.residual = point.model;
  point.jacobian = Eigen::MatrixXd::Zero(rows, u.size());
  std::vector<Solution> before;
  before.swap(solutions_);
  for (std::size_t s = 0; s < models_.size(); ++s) {
    if (!ReadState(s, varied, &u, &point)) {
      solutions_ = std::move(before);
      return point;
    }
  }
  point.solved = true;
  return point;
}

FitModel::Point FitModel::AtPresent() {
  std::vector<double> varied;
  for (const Varied& one : input_.varied) varied.push_back(one.present);
  Point point;
  point.model =
      Eigen::VectorXd::Constant(static_cast<Eigen::Index>(input_.readings.size()), std::nan(""));
  point.residual = point.model;
  point.solved = true;
  for (std::size_t s = 0; s < models_.size(); ++s) {
    if (!ReadState(s, varied, nullptr, &point)) point.solved = false;
  }
  solutions_.clear();
  return point;
}

bool FitModel::ReadState(std::size_t state, const std::vector<double>& varied,
                         const Eigen::VectorXd* u, Point* point) {
  const auto fail = [&](const std::string& reason) {
    point->reason = Cat(input_.states[state].label, ": ", reason);
    return false;
  };
  ++num_solves_;
  GaugeModel::Answer answer;
  try {
    answer = models_[state].At(varied);
  } catch (const SettingError& error) {  // numbers that contradict others
    return fail(error.what());
  }
  if (models_[state].interrupted()) interrupted_ = true;
  if (!answer.solution) return fail(answer.reason);
  for (std::size_t g = 0; g < readings_of_[state].size(); ++g) {
    const std::size_t r = readings_of_[state][g];
    const auto row = static_cast<Eigen::Index>(r);
    const Reading& reading = input_.readings[r];
    if (!std::isfinite(answer.value[g])) {
      return fail(Cat(Quoted(reading.gauge.name),
                      " is undetermined there: shut in, or without a bore; leave that reading "
                      "out."));
    }
    point->model[row] = answer.value[g];
    point->residual[row] = (answer.value[g] - reading.measured) / reading.uncertainty;
    if (u == nullptr) continue;
    for (std::size_t n = 0; n < input_.numbers.size(); ++n) {
      const Number& number = input_.numbers[n];
      double slope = 0.0;
      for (std::size_t v : number.varied) slope += answer.slope[g * varied.size() + v];
      const auto column = static_cast<Eigen::Index>(n);
      point->jacobian(row, column) = slope * number.Slope((*u)[column]) / reading.uncertainty;
    }
  }
  solutions_.push_back(std::move(*answer.solution));
  return true;
}

}  // namespace handwheel::optimise
