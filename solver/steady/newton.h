#pragma once

#include <memory>
#include <vector>

#include "handwheel/steady.h"
#include "steady/newton_controls.h"
#include "steady/part_step.h"
#include "steady/plan.h"
#include "steady/weighted_laplacian.h"

namespace handwheel {

// What a method found: flows by component, heads by node.
struct SteadyState {
  std::vector<double> flow;  // [m³/s]
  std::vector<double> head;  // [m]
};

// Newton's method on flows and heads together. Each pass linearises every component at one point of
// its curve, eliminates the flows, and solves one weighted Laplacian for the head corrections dH:
//   q_l' = q_l + y_l (H_a - H_b + dH_a - dH_b - drop_l(q_l)),   y_l = 1 / drop_l'(q_l)
//   sum of q' into node i = net draw of i
// Corrections, not heads, are solved for: the right-hand side is the true imbalance, so that mass
// balances to round-off however large the conductances (Todini & Pilati 1988 solve for the heads).
//
// A one-way part at rest is a vertical segment of its curve: it keeps flow 0 and enters the matrix
// with a token conductance that only keeps a zone behind it from floating. Passes are full steps. A
// part that keeps changing between rest and flow is moved only part-way (any point of a curve is a
// legal linearisation point).
//
// Fall-back, if full steps do not settle. The flows minimise the convex function
//   sum_l integral of drop_l dq - sum over fixed nodes of head * outflow,   mass balance as
//   constraint,
// and the same linear step is Newton's direction for it from any balanced flows. With one-way parts
// given a very stiff but finite reverse branch the function is strictly convex with a semismooth
// gradient of positive slope, so Newton with an exact line search descends to its minimiser from
// anywhere (Pang & Qi, SIAM J. Optim. 5, 1995). The line search needs only drops: the derivative
// along p is sum_l p_l (drop_l(q + t p) - head difference_l), increasing in t. Full steps then
// finish from there with the exact curves.
class NewtonSolver {
 public:
  // `controls` govern components as newton_controls.h has it; with any, there is no fall-back.
  NewtonSolver(const Plan& plan, const SteadyOptions& options,
               const std::vector<const PlanControl*>& controls = {});

  SteadyState Solve(SteadySummary* summary);
  // To begin with, by control; free where nothing is said.
  void StartControls(const std::vector<ControlMode>& modes) { controls_.Start(modes); }
  ControlMode ModeOf(std::size_t control) const { return controls_.ModeOf(control); }

 private:
  enum class Outcome { kConverged, kStalled, kInterrupted };

  // At most so many passes, and never beyond limit_ in all.
  Outcome IterateFullSteps(int max_passes);
  Outcome IterateWithLineSearch();
  Outcome MinimiseContent(double close_enough);
  Outcome FinishFromFallback();
  bool SwitchMisjudgedParts();

  void StartFlows();
  void RestPartsWithoutFlow();
  void Linearise();
  void LineariseControls();
  void LineariseExtended();
  bool SolveForHeadCorrections();
  void PredictFlows();
  void AcceptFullStep();
  double NextFlow(std::size_t l);
  double NextFreeFlow(std::size_t l);
  double StepLength() const;
  double SlopeOfContent(double t) const;
  bool WithinTolerances();
  bool KeepGoing();

  DropSlope ExtendedDrop(std::size_t l, double q) const;
  double HeadDifference(std::size_t l) const;
  double HeadRoundOffAt(std::size_t l) const;
  bool WantsToOpen(std::size_t l) const;
  void MeasureFlowImbalance();

  const Plan& plan_;
  const SteadyOptions& options_;
  int limit_;  // of passes in all
  NewtonControls controls_;
  std::unique_ptr<LaplacianFactor> factor_;

  SteadyState state_;
  std::vector<PartMemory> memory_;   // by component
  bool one_way_parts_held_ = false;  // none may change between rest and flow

  // Of the linearisation, by component, then by junction. The pins of floating zones and the links
  // of controlled components stand behind the components' conductances.
  std::vector<double> conductance_;  // [m²/s]
  std::vector<double> misfit_;       // head difference - drop [m]
  std::vector<double> predicted_;    // q' [m³/s]
  std::vector<double> imbalance_, right_side_, correction_;

  double max_flow_imbalance_ = 0.0;
  double max_head_imbalance_ = 0.0;
  // Of any flow towards its curve at fixed heads [m³/s]; infinite if a part at rest is about to
  // open.
  double largest_step_ = 0.0;
  double last_change_ = std::numeric_limits<double>::infinity();  // of any flow [m³/s]
  double largest_flow_ = 0.0;
  int num_iterations_ = 0;
  bool heads_at_round_off_ = false;
  int num_polish_passes_ = 0;
  int num_flicker_passes_ = 0;
};

}  // namespace handwheel
