#pragma once

#include <Eigen/Core>
#include <functional>
#include <string>
#include <vector>

#include "optimise/fit_model.h"

namespace handwheel::optimise {

inline constexpr double kHuberThreshold = 2.0;  // uncertainties; see Loss

// Where a search ended.
struct Minimum {
  bool found = false;
  std::string reason{};                      // why not
  Eigen::VectorXd u;                         // by number
  std::vector<bool> at_lower{}, at_upper{};  // by number: at a bound that holds it back
  double cost = 0.0;                         // half the sum of the losses
};

// The points that searches start from: the plant as it stands, then points spread evenly.
std::vector<Eigen::VectorXd> StartsOf(const FitInput& input, int count);

// Levenberg-Marquardt within the bounds; numbers that end at a bound are held there while the
// others settle, and let go again if the squares then fall inwards. `news` is told after every
// step; false: stop.
Minimum SearchFrom(const Eigen::VectorXd& start, const FitInput& input, const FitOptions& options,
                   FitModel* model, const std::function<bool(double chi_square)>& news);

}  // namespace handwheel::optimise
