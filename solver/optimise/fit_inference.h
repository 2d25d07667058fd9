#pragma once

#include <Eigen/Core>
#include <string>
#include <vector>

#include "optimise/fit_input.h"
#include "optimise/fit_search.h"

// What a fit tells beside the numbers, from the Jacobian at its solution: the model is taken as
// linear there.

namespace handwheel::optimise {

// Numbers that the gauges do not tell, or not apart.
struct Blind {
  std::vector<std::size_t> numbers{};  // one: no gauge sees it; several: only a combination
  std::vector<double> share{};         // of each in the direction that the gauges do not see
  bool faint = false;                  // seen, but worse than to a change that matters
};

struct Inference {
  // By reading. Shares of the own reading that the fit follows; deviations over their scatter, of
  // what stands out from the fit of the others (externally studentised where the noise is
  // estimated; NaN: the reading is not checked by others).
  Eigen::VectorXd leverage, standardised;
  double chi_square = 0.0;  // of least squares, whatever the loss
  int degrees_of_freedom = 0;
  bool noise_from_residuals = false;
  double noise = 1.0;     // true uncertainties over those assumed
  double quantile = 0.0;  // two-sided, for the intervals
  double one_sided = 0.0;
  double outlying = 0.0;  // |standardised| above it happens to one in 20 sets of sound gauges

  // By number; of u in units of Number::Room(). NaN where there is none.
  Eigen::VectorXd error;       // one standard deviation
  Eigen::MatrixXd covariance;  // of the free numbers
  std::vector<Blind> blind{};
  std::vector<std::size_t> suspicious{};  // readings
};

Inference Infer(const FitInput& input, const FitModel::Point& point, const Minimum& minimum,
                const FitOptions& options);

}  // namespace handwheel::optimise
