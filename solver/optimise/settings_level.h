#pragma once

#include <ceres/cost_function.h>

#include <vector>

#include "optimise/settings_model.h"

namespace handwheel {

using Unknowns = std::vector<double>;

// A miss below it is none, in parts of the size of its wish.
inline constexpr double kReached = 1e-7;

// Numbers less the present ones, in parts of their sizes.
class UnknownScale {
 public:
  explicit UnknownScale(const std::vector<Varied>& varied) : varied_(varied) {}

  double Lower(std::size_t i) const { return Of(i, varied_[i].lower); }
  double Upper(std::size_t i) const { return Of(i, varied_[i].upper); }
  double Of(std::size_t i, double number) const {
    return (number - varied_[i].present) / varied_[i].size;
  }
  // Exactly the end where it is as good as there.
  double Number(std::size_t i, double unknown) const {
    if (unknown - Lower(i) <= kSnap) return varied_[i].lower;
    if (Upper(i) - unknown <= kSnap) return varied_[i].upper;
    return varied_[i].present + unknown * varied_[i].size;
  }
  std::vector<double> Numbers(const Unknowns& unknowns) const;
  std::size_t size() const { return varied_.size(); }

  static constexpr double kSnap = 1e-9;

 private:
  const std::vector<Varied>& varied_;
};

// Wishes of one priority; or, last of all, the wish to move least.
struct Level {
  int priority = 1;
  bool moves = false;

  bool Owns(const Wish& wish) const { return !moves && wish.priority == priority; }
  bool ComesAfter(const Wish& wish) const { return moves || wish.priority > priority; }
};

// The residuals of a level: the misses of its own wishes, and `weight` times what the wishes before
// it miss more than they have to (`allowed`, by wish). An unknown is a parameter block.
class LevelCost : public ceres::CostFunction {
 public:
  LevelCost(SettingsModel* model, const Level& level, const std::vector<double>& allowed,
            double weight);

  bool Evaluate(double const* const* unknowns, double* residuals,
                double** jacobians) const override;

 private:
  double Residual(std::size_t w, double value, double* residual) const;

  SettingsModel& model_;
  const UnknownScale scale_;
  const Level level_;
  const std::vector<double>& allowed_;
  const double weight_;
  std::vector<std::size_t> wishes_;  // that take part
};

}  // namespace handwheel
