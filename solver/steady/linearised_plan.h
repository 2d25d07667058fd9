#pragma once

#include <memory>
#include <utility>
#include <vector>

#include "steady/controls.h"
#include "steady/newton.h"
#include "steady/newton_controls.h"
#include "steady/plan.h"
#include "steady/weighted_laplacian.h"

namespace handwheel {

// The equations of a plan, linearised at a state that solves them and factorised once. For small
// changes of the plan it gives the change of every flow and head, exactly as the derivatives of the
// laws are. What rests, is shut or passes a set flow keeps doing so: where a solution stands on the
// border of two regimes, these are the derivatives of the side it is said to be on.
class LinearisedPlan {
 public:
  // `modes` are those of the controlled components of the solve (MethodResult::modes).
  LinearisedPlan(const Plan& plan, SteadyState state,
                 const std::vector<std::pair<int, ControlMode>>& modes);

  // Per unit of whatever changes.
  struct Change {
    std::vector<double> drop;        // of each component's law at its present flow [m]
    std::vector<double> net_draw;    // by junction [m³/s]
    std::vector<double> fixed_head;  // by fixed node [m]
    // By entry of `modes`: the head at the governing end that the present flow takes [m], or the
    // set flow [m³/s].
    std::vector<double> control;
  };
  struct Response {
    std::vector<double> flow;  // by component [m³/s]
    std::vector<double> head;  // by node [m]
  };
  Response To(const Change& change);

  // The change from plans that differ from this one: the sum of weight * (what they say).
  Change Between(const std::vector<std::pair<double, const Plan*>>& weighted) const;

  const SteadyState& state() const { return state_; }

 private:
  bool Moves(std::size_t l) const { return conductance_[l] > 0.0; }
  std::vector<double> PushedFlows(const Change& change) const;
  void Balance(const Change& change, Response* response);

  const Plan& plan_;
  SteadyState state_;
  std::vector<std::pair<int, ControlMode>> modes_;
  std::vector<const PlanControl*> watched_;  // by entry of modes_
  NewtonControls controls_;
  std::vector<double> conductance_;  // by component; 0 where the flow does not change [m²/s]
  std::unique_ptr<LaplacianFactor> factor_;
};

}  // namespace handwheel
