#include "optimise/settings_level.h"

#include <algorithm>
#include <cmath>

namespace handwheel {

std::vector<double> UnknownScale::Numbers(const Unknowns& unknowns) const {
  std::vector<double> numbers;
  for (std::size_t i = 0; i < unknowns.size(); ++i) numbers.push_back(Number(i, unknowns[i]));
  return numbers;
}

LevelCost::LevelCost(SettingsModel* model, const Level& level, const std::vector<double>& allowed,
                     double weight)
    : model_(*model), scale_(model->varied()), level_(level), allowed_(allowed), weight_(weight) {
  const std::vector<Wish>& wishes = model_.wishes();
  for (std::size_t w = 0; w < wishes.size(); ++w) {
    if (level.Owns(wishes[w]) || level.ComesAfter(wishes[w])) wishes_.push_back(w);
  }
  mutable_parameter_block_sizes()->assign(scale_.size(), 1);
  set_num_residuals(static_cast<int>(wishes_.size() + (level.moves ? scale_.size() : 0)));
}

bool LevelCost::Evaluate(double const* const* unknowns, double* residuals,
                         double** jacobians) const {
  const std::size_t n = scale_.size();
  std::vector<double> numbers;
  for (std::size_t i = 0; i < n; ++i) numbers.push_back(scale_.Number(i, unknowns[i][0]));
  const SettingsModel::Answer& answer = model_.At(numbers);
  if (!answer.solution) return false;
  const auto rows = static_cast<std::size_t>(num_residuals());
  std::fill_n(residuals, rows, 0.0);
  for (std::size_t i = 0; jacobians && i < n; ++i) {
    if (jacobians[i]) std::fill_n(jacobians[i], rows, 0.0);
  }
  for (std::size_t r = 0; r < wishes_.size(); ++r) {
    const double factor = Residual(wishes_[r], answer.value[wishes_[r]], &residuals[r]);
    for (std::size_t i = 0; jacobians && i < n; ++i) {
      if (!jacobians[i]) continue;
      jacobians[i][r] = factor * answer.slope[wishes_[r] * n + i] * model_.varied()[i].size;
    }
  }
  for (std::size_t i = 0; level_.moves && i < n; ++i) {
    residuals[wishes_.size() + i] = unknowns[i][0];
    if (jacobians && jacobians[i]) jacobians[i][wishes_.size() + i] = 1.0;
  }
  return true;
}

// Returns its slope against the reading.
double LevelCost::Residual(std::size_t w, double value, double* residual) const {
  const Wish& wish = model_.wishes()[w];
  const double miss = std::isnan(value) ? 0.0 : wish.Miss(value);
  const bool exact = wish.lower == wish.upper;
  if (level_.Owns(wish)) {
    *residual = miss;
    return miss == 0.0 && !exact ? 0.0 : 1.0 / wish.size;
  }
  if (exact && allowed_[w] <= kReached) {  // met: no kink
    *residual = weight_ * miss;
    return weight_ / wish.size;
  }
  const double excess = std::max(0.0, std::abs(miss) - allowed_[w]);
  *residual = weight_ * std::copysign(excess, miss);
  return excess == 0.0 ? 0.0 : weight_ / wish.size;
}

}  // namespace handwheel
