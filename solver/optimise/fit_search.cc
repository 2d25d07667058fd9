#include "optimise/fit_search.h"

#include <ceres/ceres.h>

#include <algorithm>
#include <cmath>

namespace handwheel::optimise {
namespace {

// A number nearer to a bound than this share of a change that matters stands at it.
constexpr double kAtBound = 1e-6;
constexpr int kMostRounds = 8;  // of letting numbers go from their bounds

// One reading; the whole plant is solved once for all of them before they are asked.
class ReadingResidual : public ceres::CostFunction {
 public:
  ReadingResidual(const FitModel::Point* point, Eigen::Index row, std::size_t numbers)
      : point_(point), row_(row) {
    set_num_residuals(1);
    mutable_parameter_block_sizes()->assign(numbers, 1);
  }

  bool Evaluate(double const* const*, double* residuals, double** jacobians) const override {
    if (!point_->solved) return false;
    residuals[0] = point_->residual[row_];
    if (jacobians == nullptr) return true;
    for (std::size_t n = 0; n < parameter_block_sizes().size(); ++n) {
      if (jacobians[n] != nullptr) jacobians[n][0] = point_->jacobian(row_, Index(n));
    }
    return true;
  }

 private:
  const FitModel::Point* point_;
  Eigen::Index row_;
};

class Searcher : private ceres::EvaluationCallback, private ceres::IterationCallback {
 public:
  Searcher(const Eigen::VectorXd& start, const FitInput& input, const FitOptions& options,
           FitModel* model, const std::function<bool(double)>& news)
      : input_(input),
        options_(options),
        model_(*model),
        news_(news),
        u_(start),
        problem_(ProblemOptions()),
        held_(static_cast<std::size_t>(start.size()), 0) {
    Build();
  }

  Minimum Run() {
    Minimum minimum;
    for (int round = 0; round < kMostRounds; ++round) {
      if (!Descend(&minimum)) return minimum;
      if (!HoldAndRelease()) break;
    }
    PrepareForEvaluation(true, true);
    minimum.found = point_.solved;
    minimum.reason = point_.reason;
    minimum.u = u_;
    for (int side : held_) {
      minimum.at_lower.push_back(side < 0);
      minimum.at_upper.push_back(side > 0);
    }
    problem_.Evaluate({}, &minimum.cost, nullptr, nullptr, nullptr);
    return minimum;
  }

 private:
  ceres::Problem::Options ProblemOptions() {
    ceres::Problem::Options options;
    options.loss_function_ownership = ceres::DO_NOT_TAKE_OWNERSHIP;
    options.evaluation_callback = this;
    return options;
  }

  void Build() {
    std::vector<double*> blocks;
    for (std::size_t n = 0; n < input_.numbers.size(); ++n) {
      double* block = &u_[Index(n)];
      blocks.push_back(block);
      problem_.AddParameterBlock(block, 1);
      const double low = LowerU(n), high = UpperU(n);
      if (std::isfinite(low)) problem_.SetParameterLowerBound(block, 0, low);
      if (std::isfinite(high)) problem_.SetParameterUpperBound(block, 0, high);
      *block = std::clamp(*block, low, high);
    }
    ceres::LossFunction* loss = options_.loss == FitLoss::kHuber ? &huber_ : nullptr;
    for (std::size_t r = 0; r < input_.readings.size(); ++r) {
      problem_.AddResidualBlock(new ReadingResidual(&point_, Index(r), input_.numbers.size()), loss,
                                blocks);
    }
  }

  double LowerU(std::size_t n) const { return input_.numbers[n].ToU(input_.numbers[n].lower); }
  double UpperU(std::size_t n) const { return input_.numbers[n].ToU(input_.numbers[n].upper); }

  void PrepareForEvaluation(bool, bool new_evaluation_point) override {
    if (!new_evaluation_point && point_.model.size() > 0) return;
    if (evaluated_.size() == u_.size() && evaluated_ == u_) return;
    point_ = model_.At(u_);
    evaluated_ = u_;
  }

  ceres::CallbackReturnType operator()(const ceres::IterationSummary& iteration) override {
    const bool go_on = news_(2.0 * iteration.cost) && !model_.interrupted();
    return go_on ? ceres::SOLVER_CONTINUE : ceres::SOLVER_ABORT;
  }

  bool Descend(Minimum* minimum) {
    if (std::all_of(held_.begin(), held_.end(), [](int side) { return side != 0; })) return true;
    PrepareForEvaluation(true, true);
    if (!point_.solved) {  // told to Ceres Solver, this would be printed
      minimum->reason = point_.reason;
      return false;
    }
    ceres::Solver::Options options;
    options.linear_solver_type = ceres::DENSE_QR;
    options.logging_type = ceres::SILENT;
    options.max_num_iterations = options_.max_num_iterations;
    options.function_tolerance = 1e-11;
    options.parameter_tolerance = 1e-10;
    options.gradient_tolerance = 1e-15;
    options.update_state_every_iteration = true;
    options.callbacks.push_back(this);
    ceres::Solver::Summary summary;
    ceres::Solve(options, &problem_, &summary);
    if (summary.termination_type == ceres::USER_FAILURE) {
      minimum->reason = "interrupted";
      return false;
    }
    if (summary.termination_type != ceres::FAILURE) return true;
    minimum->reason = point_.reason.empty() ? summary.message : point_.reason;
    return false;
  }

  // Numbers that reached a bound are held there, those that would leave theirs let go. Whether any
  // of that changed.
  bool HoldAndRelease() {
    PrepareForEvaluation(true, true);
    if (!point_.solved) return false;
    bool changed = false, moved = false;
    for (std::size_t n = 0; n < held_.size(); ++n) {
      const int side = SideOf(n);
      const int hold = Gradient(n) * side < 0.0 ? side : 0;
      if (side != 0) {
        const double bound = side < 0 ? LowerU(n) : UpperU(n);
        moved = moved || (hold != 0 && u_[Index(n)] != bound);
        u_[Index(n)] = bound;
      }
      if (hold == held_[n]) continue;
      changed = true;
      held_[n] = hold;
      if (hold != 0) problem_.SetParameterBlockConstant(&u_[Index(n)]);
      if (hold == 0) problem_.SetParameterBlockVariable(&u_[Index(n)]);
    }
    return changed || moved;
  }

  // Which bound a number stands at: -1 the lower, 1 the upper, 0 none.
  int SideOf(std::size_t n) const {
    const double near = kAtBound * input_.numbers[n].Room();
    if (u_[Index(n)] - LowerU(n) <= near) return -1;
    return UpperU(n) - u_[Index(n)] <= near ? 1 : 0;
  }

  double Gradient(std::size_t n) const {
    double gradient = 0.0;
    for (Eigen::Index r = 0; r < point_.residual.size(); ++r) {
      const double size = std::abs(point_.residual[r]);
      const bool clipped = options_.loss == FitLoss::kHuber && size > kHuberThreshold;
      gradient += (clipped ? kHuberThreshold / size : 1.0) * point_.residual[r] *
                  point_.jacobian(r, Index(n));
    }
    return gradient;
  }

  const FitInput& input_;
  const FitOptions& options_;
  FitModel& model_;
  const std::function<bool(double)>& news_;
  Eigen::VectorXd u_;
  FitModel::Point point_;
  Eigen::VectorXd evaluated_;  // where point_ is
  ceres::HuberLoss huber_{kHuberThreshold};
  ceres::Problem problem_;
  std::vector<int> held_;  // by number: -1 at the lower bound, 1 at the upper, 0 free
};

// Where starts are spread to, where nothing ends a number.
constexpr double kSpreadFactor = 30.0;  // of what is logarithmic
constexpr double kSpread = 2.0;         // changes that matter

std::pair<double, double> SpreadOf(const Number& number) {
  double low = number.ToU(number.lower), high = number.ToU(number.upper);
  if (number.logarithmic && number.before > 0.0) {
    low = std::max(low, std::log(number.before / kSpreadFactor));
    high = std::min(high, std::log(number.before * kSpreadFactor));
  }
  if (number.logarithmic) return {low, high};
  const double middle = number.before / number.scale;
  if (!std::isfinite(low)) low = std::min(middle, high) - kSpread;
  if (!std::isfinite(high)) high = std::max(middle, low) + kSpread;
  return {low, high};
}

// x > 1 with x^(n+1) = x + 1: steps of 1/x, 1/x^2, ... fill the unit cube of n sides evenly
// (an additive recurrence of the family of the golden section).
double EvenStep(std::size_t n) {
  double x = 1.5;
  for (int i = 0; i < 60; ++i) x = std::pow(1.0 + x, 1.0 / static_cast<double>(n + 1));
  return x;
}

}  // namespace

std::vector<Eigen::VectorXd> StartsOf(const FitInput& input, int count) {
  const std::size_t numbers = input.numbers.size();
  const double step = EvenStep(numbers);
  std::vector<Eigen::VectorXd> starts;
  for (int i = 0; i < count; ++i) {
    Eigen::VectorXd u(Index(numbers));
    for (std::size_t n = 0; n < numbers; ++n) {
      const Number& number = input.numbers[n];
      const auto [low, high] = SpreadOf(number);
      double whole = 0.0;
      const double share = std::modf(0.5 + i * std::pow(step, -static_cast<double>(n + 1)), &whole);
      const double before = std::clamp(number.before, number.lower, number.upper);
      u[Index(n)] = i == 0 ? number.ToU(before) : low + share * (high - low);
    }
    starts.push_back(std::move(u));
  }
  return starts;
}

Minimum SearchFrom(const Eigen::VectorXd& start, const FitInput& input, const FitOptions& options,
                   FitModel* model, const std::function<bool(double chi_square)>& news) {
  return Searcher(start, input, options, model, news).Run();
}

}  // namespace handwheel::optimise
