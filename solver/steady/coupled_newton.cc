#include "steady/coupled_newton.h"

#include <vector>

#include "steady/controls.h"
#include "steady/newton.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

class CoupledNewton {
 public:
  CoupledNewton(const Plan& plan, const SteadyOptions& options)
      : plan_(plan), options_(options), left_(options), is_watched_(plan.chokes.size(), 0) {
    for (const PlanControl& control : plan.controls) Watch(control, ControlMode::kFree);
    if (!options.callback) return;
    left_.callback = [this](IterationNews news) {
      news.iteration += num_iterations_;
      return options_.callback(news);
    };
  }

  MethodResult Run(SteadySummary* summary) {
    while (true) {
      NewtonSolver solver(plan_, left_, controls_);
      solver.StartControls(modes_);
      MethodResult result{.state = solver.Solve(summary), .loops = {}, .loop_corrections = {}};
      num_iterations_ += summary->num_iterations;
      summary->num_iterations = num_iterations_;
      for (std::size_t i = 0; i < controls_.size(); ++i) modes_[i] = solver.ModeOf(i);
      const bool converged = summary->termination == Termination::kConverged;
      if (converged && WatchChokingValves(result.state)) {
        if (StartsAgain(result.state)) continue;
        summary->termination = Termination::kNoConvergence;
      }
      Describe(&result);
      return result;
    }
  }

 private:
  void Watch(const PlanControl& control, ControlMode mode) {
    controls_.push_back(&control);
    modes_.push_back(mode);
  }

  // Returns whether any joined the list.
  bool WatchChokingValves(const SteadyState& state) {
    const std::size_t before = controls_.size();
    for (std::size_t c = 0; c < plan_.chokes.size(); ++c) {
      if (is_watched_[c]) continue;
      const double flow = state.flow[Index(plan_.chokes[c].component)];
      const ControlMode mode = ControlJudge(plan_, plan_.chokes[c])
                                   .NextMode(ControlMode::kFree, flow, state.head, options_);
      if (mode == ControlMode::kFree) continue;
      is_watched_[c] = 1;
      Watch(plan_.chokes[c], mode);
    }
    return controls_.size() > before;
  }

  // Returns false if no iterations are left.
  bool StartsAgain(const SteadyState& state) {
    left_.initial_flow = state.flow;
    if (options_.max_num_iterations == 0) return true;
    left_.max_num_iterations = options_.max_num_iterations - num_iterations_;
    return left_.max_num_iterations > 0;
  }

  void Describe(MethodResult* result) const {
    std::vector<ControlState> states;
    for (std::size_t i = 0; i < controls_.size(); ++i) {
      const int component = controls_[i]->component;
      states.push_back({controls_[i], modes_[i], result->state.flow[Index(component)]});
      result->modes.push_back({component, modes_[i]});
    }
    if (!states.empty()) result->solved_plan = WithoutControls(plan_, states);
  }

  const Plan& plan_;
  const SteadyOptions& options_;
  SteadyOptions left_;  // what the next round may use
  std::vector<const PlanControl*> controls_;
  std::vector<ControlMode> modes_;  // by entry of controls_
  std::vector<char> is_watched_;    // by entry of plan.chokes
  int num_iterations_ = 0;
};

}  // namespace

MethodResult RunCoupledNewton(const Plan& plan, const SteadyOptions& options,
                              SteadySummary* summary) {
  return CoupledNewton(plan, options).Run(summary);
}

}  // namespace handwheel
