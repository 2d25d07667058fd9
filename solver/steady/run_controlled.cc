#include "steady/run_controlled.h"

#include <exception>
#include <optional>
#include <utility>

#include "handwheel/errors.h"
#include "steady/controlled.h"
#include "steady/coupled_newton.h"

namespace handwheel {
namespace {

// One solver after another, each with the iterations that are left.
class Attempts {
 public:
  Attempts(const Network& network, const Plan& plan, const SteadyOptions& options,
           const MethodFunction& method)
      : network_(network), plan_(plan), options_(options), left_(options), method_(method) {}

  // Returns whether it is over: solved, interrupted, or no iterations left.
  bool Try(ControlledSolver::Pace pace, const MethodResult* start) {
    SteadySummary summary;
    summary.method = options_.method;
    ControlledSolver solver(network_, plan_, left_, method_, pace);
    if (start != nullptr) solver.StartLike(*start);
    try {
      MethodResult result = solver.Solve(&summary);
      num_iterations_ += summary.num_iterations;
      const bool over = summary.termination != Termination::kNoConvergence || !Left();
      if (over || !result_) {
        result_ = std::move(result);
        summary_ = std::move(summary);
      }
      return over;
    } catch (const NetworkError&) {
      if (!refusal_) refusal_ = std::current_exception();
      return false;
    }
  }

  // The first refusal, if one was met and nothing solved it.
  MethodResult Take(SteadySummary* summary) {
    if (refusal_ && summary_.termination != Termination::kConverged) {
      std::rethrow_exception(refusal_);
    }
    summary_.num_iterations = num_iterations_;
    *summary = std::move(summary_);
    return std::move(*result_);
  }

 private:
  bool Left() {
    if (options_.max_num_iterations == 0) return true;
    left_.max_num_iterations = options_.max_num_iterations - num_iterations_;
    return left_.max_num_iterations > 0;
  }

  const Network& network_;
  const Plan& plan_;
  const SteadyOptions& options_;
  SteadyOptions left_;
  const MethodFunction& method_;
  std::optional<MethodResult> result_;
  SteadySummary summary_;
  std::exception_ptr refusal_;
  int num_iterations_ = 0;
};

}  // namespace

MethodResult RunControlled(const Network& network, const Plan& plan, const SteadyOptions& options,
                           const MethodFunction& method, SteadySummary* summary) {
  using Pace = ControlledSolver::Pace;
  Attempts attempts(network, plan, options, method);
  if (attempts.Try(Pace::kAtOnce, nullptr)) return attempts.Take(summary);
  if (attempts.Try(Pace::kSettled, nullptr)) return attempts.Take(summary);
  if (options.method != Method::kNewton) {
    SteadyOptions by_newton = options;
    by_newton.method = Method::kNewton;
    by_newton.max_num_iterations = 0;
    by_newton.callback = {};
    SteadySummary of_newton;
    const MethodResult start = RunCoupledNewton(plan, by_newton, &of_newton);
    if (of_newton.termination == Termination::kConverged) attempts.Try(Pace::kSettled, &start);
  }
  return attempts.Take(summary);
}

}  // namespace handwheel
