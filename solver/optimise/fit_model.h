#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "optimise/fit_input.h"
#include "studies/gauge_model.h"

namespace handwheel::optimise {

inline Eigen::Index Index(std::size_t i) {
  return static_cast<Eigen::Index>(i);
}

// All readings as a function of the numbers to be found, over all states.
class FitModel {
 public:
  FitModel(const FitInput& input, const FitOptions& options);

  struct Point {
    bool solved = false;
    std::string reason{};      // why not
    Eigen::VectorXd model;     // by reading, SI
    Eigen::VectorXd residual;  // (model - measured) / uncertainty
    Eigen::MatrixXd jacobian;  // d residual / d u, by reading and number
  };

  Point At(const Eigen::VectorXd& u);  // u by number, see Number
  Point AtPresent();                   // as the plant stands, without a Jacobian
  std::vector<Solution> Solutions() const { return solutions_; }  // of the last point solved

  int num_solves() const { return num_solves_; }
  bool interrupted() const { return interrupted_; }

 private:
  bool ReadState(std::size_t state, const std::vector<double>& varied, const Eigen::VectorXd* u,
                 Point* point);

  const FitInput& input_;
  std::vector<GaugeModel> models_;                     // by state
  std::vector<std::vector<std::size_t>> readings_of_;  // by state
  std::vector<Solution> solutions_;
  int num_solves_ = 0;
  bool interrupted_ = false;
};

}  // namespace handwheel::optimise
