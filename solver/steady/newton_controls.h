#pragma once

#include <span>
#include <vector>

#include "steady/controls.h"
#include "steady/plan.h"
#include "steady/weighted_laplacian.h"

namespace handwheel {

struct SteadyState;

// The controlled components of a Newton iteration on heads and flows. Governed by its control, a
// component's flow follows the head at one end alone, `in`, and enters or leaves the network at the
// other, `out`:
//   q' = q + y (misfit + dH_in),   y = 1 / slope of the control's law
// (and with the sign of misfit and dH turned where `to` governs). Node `in` then has a conductance
// y to a fixed head, which keeps the matrix S a weighted Laplacian; what node `out` gets of y dH_in
// is not symmetric, and is brought in by the formula of Sherman, Morrison and Woodbury: the matrix
// is
//   A = S - sum_k y_k e_out(k) e_in(k)ᵀ
// with S⁻¹ >= 0, so A is an M-matrix like S as long as what is governed does not feed itself alone.
// So governed components converge with the rest, in the same few passes.
//
// Modes change where a pass contradicts them. A component that keeps changing has to stay longer
// each time, so that the others settle about it.
class NewtonControls {
 public:
  NewtonControls(const Plan& plan, const std::vector<const PlanControl*>& controls,
                 double flow_tolerance, double head_tolerance);

  bool empty() const { return list_.empty(); }
  // Whether a component is under control, and governed by it or shut.
  bool Watches(std::size_t l) const { return !list_.empty() && index_[l] >= 0; }
  bool Governs(std::size_t l) const {
    return Watches(l) && !LawGoverns(list_[static_cast<std::size_t>(index_[l])].mode);
  }
  ControlMode ModeOf(std::size_t i) const { return list_[i].mode; }
  double ConductanceOf(std::size_t i) const { return list_[i].conductance; }  // [m²/s]
  void Start(const std::vector<ControlMode>& modes);

  // Appends a link to ground at both ends of every component, to be filled by Linearise().
  void AppendLinks(std::vector<int>* from, std::vector<int>* to, std::vector<double>* conductance);

  struct Residual {
    double head_misfit = 0.0;   // largest [m]
    double largest_step = 0.0;  // of any flow towards its control's law at fixed heads [m³/s]
  };
  // Once per pass, in this order.
  Residual Linearise(const SteadyState& state, std::vector<double>* conductance);
  void AddToRightSide(std::vector<double>* right_side) const;
  // Returns false if what is governed feeds itself alone, and no correction exists.
  bool Couple(LaplacianFactor* factor, std::vector<double>* correction);
  void Predict(const SteadyState& state, const std::vector<double>& correction,
               std::vector<double>* predicted) const;
  // The flow to go on with, and the mode.
  double NextFlow(std::size_t l, double predicted, const SteadyState& state);

 private:
  struct Controlled {
    ControlJudge judge;
    std::size_t component;
    ControlMode mode = ControlMode::kFree;
    Law law;                     // of the control, where it has one
    std::size_t first_link = 0;  // of the two to ground
    double conductance = 0.0;    // y [m²/s]; 0 unless governed
    double misfit = 0.0;         // head at `in` less what the flow asks for, towards more flow [m]
    int changes = 0;
    int passes_to_stay = 0;
  };
  int In(const Controlled& item) const;
  int Out(const Controlled& item) const;
  void ChangeMode(Controlled* item, ControlMode mode) const;

  const Plan& plan_;
  double flow_tolerance_, head_tolerance_;
  std::vector<Controlled> list_;
  std::vector<int> index_;  // by component; -1 where there is no control
};

}  // namespace handwheel
