#include "optimise/trust_region.h"

#include <ceres/ceres.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>

#include "steady/loops.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

constexpr int kDefaultIterations = 500;
constexpr int kDirectIterations = 200;  // with sharp bends, before rounding them
// A rounded stage ends at this sum of squares or after so many iterations.
constexpr double kStageCost = 1e-16;
constexpr int kStageIterations = 50;
constexpr double kFirstRounding = 1.0;  // mu, in units of the part's own flow at 1 m/s
constexpr double kLastRounding = 1e-7;
constexpr double kRoundingStep = 0.1;
// A damped step is no measure of the error left, so iterate to this share of the residual
// tolerances; but where nothing improves any more, the tolerances themselves will do.
constexpr double kPolish = 1e-3;
// Slope that the Jacobian shows for a part at rest, whose flow does not change at all: without it a
// zone at rest leaves the matrix singular. The residuals never see it.
constexpr double kTokenLeak = 1e-6;
constexpr double kHeadScale = 1.0;   // head withheld at x = -1 [m]
constexpr double kUsualHead = 10.0;  // [m]
// Mass weighs more: its residual is nearly linear and so costs no curvature.
constexpr double kMassWeight = 3.0;

// Flow and drop of a component at a point x of its line, with their slopes in x.
struct LinePoint {
  double flow, flow_slope;  // [m³/s]
  double drop, drop_slope;  // [m]
};

// Where a passing check valve's disc lifts: the flow at which leak path and open valve drop the
// same, found by halving. Infinite if the leak is the easier way however large the flow.
double LiftingFlow(const PassingLaw& law, double flow_scale) {
  const auto leak_is_easier = [&](double q) { return law.leak.At(q).drop < law.open.At(q).drop; };
  double low = 0.0, high = 1e3 * flow_scale;
  if (leak_is_easier(high)) return std::numeric_limits<double>::infinity();
  while (true) {
    const double middle = 0.5 * (low + high);
    if (middle <= low || middle >= high) return low;
    (leak_is_easier(middle) ? low : high) = middle;
  }
}

// A component's curve of drop against flow, followed by one number x: flow in units of flow_scale
// for a smooth law. A bent one counts x from the bend: forwards flow in units of flow_scale,
// backwards head in units of kHeadScale.
class Line {
 public:
  Line(const Law& law, double flow_scale) : law_(law), flow_scale_(flow_scale) {
    if (const auto* one_way = std::get_if<OneWayLaw>(&law)) {
      bends_ = true;
      bend_drop_ = one_way->crack;
    } else if (const auto* passing = std::get_if<PassingLaw>(&law)) {
      const double lifting_flow = LiftingFlow(*passing, flow_scale);
      if (!std::isfinite(lifting_flow)) return;
      bends_ = true;
      bend_flow_ = lifting_flow;
      bend_drop_ = passing->leak.At(bend_flow_).drop;
      leak_scale_ = passing->leak.FlowAt(kHeadScale);
    }
  }

  bool bends() const { return bends_; }
  double flow_scale() const { return flow_scale_; }

  LinePoint At(double x, double rounding) const {
    if (bends_) return BentAt(x, rounding);
    const double flow = flow_scale_ * x;
    const DropSlope at = EvaluateLaw(law_, flow);
    return {flow, flow_scale_, at.drop, at.slope * flow_scale_};
  }

  // About where the flow is `flow`.
  double PointOf(double flow) const { return (flow - bend_flow_) / flow_scale_; }

 private:
  LinePoint BentAt(double x, double rounding) const {
    const double root = std::hypot(x, 2.0 * rounding);
    // The smaller one of the two by their product, free of cancellation.
    const double larger = 0.5 * (root + std::abs(x));
    const double smaller = larger > 0.0 ? rounding * rounding / larger : 0.0;
    const double lean = root > 0.0 ? x / root : 0.0;
    const LinePoint ahead = Ahead(x >= 0.0 ? larger : smaller, 0.5 * (1.0 + lean));
    const LinePoint behind = Behind(x >= 0.0 ? smaller : larger, 0.5 * (1.0 - lean), rounding);
    return {ahead.flow - bend_flow_ + behind.flow, ahead.flow_slope + behind.flow_slope,
            ahead.drop - bend_drop_ + behind.drop, ahead.drop_slope + behind.drop_slope};
  }

  // The branch from the bend forwards, at `distance` >= 0, which grows with `slope` in x.
  LinePoint Ahead(double distance, double slope) const {
    const double flow = bend_flow_ + flow_scale_ * distance;
    const auto* passing = std::get_if<PassingLaw>(&law_);
    const DropSlope at = passing ? passing->open.At(flow) : EvaluateLaw(law_, flow);
    return {flow, flow_scale_ * slope, at.drop, at.slope * flow_scale_ * slope};
  }

  // The branch from the bend backwards: the leak path, or none however much head is held, but for
  // what rounding lets through.
  LinePoint Behind(double distance, double slope, double rounding) const {
    const auto* passing = std::get_if<PassingLaw>(&law_);
    if (!passing) {
      return {-rounding * flow_scale_ * distance,
              std::max(rounding, kTokenLeak) * flow_scale_ * slope,
              bend_drop_ - kHeadScale * distance, kHeadScale * slope};
    }
    const double flow = bend_flow_ - leak_scale_ * distance;
    const DropSlope at = passing->leak.At(flow);
    return {flow, leak_scale_ * slope, at.drop, at.slope * leak_scale_ * slope};
  }

  const Law& law_;
  double flow_scale_;  // [m³/s]
  bool bends_ = false;
  double bend_flow_ = 0.0;   // [m³/s]
  double bend_drop_ = 0.0;   // [m]
  double leak_scale_ = 0.0;  // flow of the leak path at kHeadScale [m³/s]
};

// (head difference - drop) / scale. Parameters: x, then the heads of `from` and `to`; x alone where
// these are one point.
class EnergyResidual : public ceres::CostFunction {
 public:
  EnergyResidual(const Line& line, const double* rounding, double head_scale, bool between_points)
      : line_(line), rounding_(rounding), head_scale_(head_scale), between_points_(between_points) {
    set_num_residuals(1);
    mutable_parameter_block_sizes()->assign(between_points ? 3 : 1, 1);
  }

  bool Evaluate(double const* const* parameters, double* residuals,
                double** jacobians) const override {
    const LinePoint at = line_.At(parameters[0][0], *rounding_);
    const double difference = between_points_ ? parameters[1][0] - parameters[2][0] : 0.0;
    residuals[0] = (difference - at.drop) / head_scale_;
    if (jacobians) {
      if (jacobians[0]) jacobians[0][0] = -at.drop_slope / head_scale_;
      if (between_points_ && jacobians[1]) jacobians[1][0] = 1.0 / head_scale_;
      if (between_points_ && jacobians[2]) jacobians[2][0] = -1.0 / head_scale_;
    }
    return std::isfinite(residuals[0]) && std::isfinite(at.drop_slope);
  }

 private:
  const Line& line_;
  const double* rounding_;
  double head_scale_;  // [m]
  bool between_points_;
};

// (net inflow - net draw) / scale of a junction. Parameters: x of every component on it.
class MassResidual : public ceres::CostFunction {
 public:
  struct Inflow {
    const Line* line;
    double sign;
  };

  MassResidual(std::vector<Inflow> inflows, double net_draw, const double* rounding,
               double flow_scale)
      : inflows_(std::move(inflows)),
        net_draw_(net_draw),
        rounding_(rounding),
        flow_scale_(flow_scale) {
    set_num_residuals(1);
    mutable_parameter_block_sizes()->assign(inflows_.size(), 1);
  }

  bool Evaluate(double const* const* parameters, double* residuals,
                double** jacobians) const override {
    double surplus = -net_draw_;
    for (std::size_t i = 0; i < inflows_.size(); ++i) {
      const LinePoint at = inflows_[i].line->At(parameters[i][0], *rounding_);
      surplus += inflows_[i].sign * at.flow;
      if (jacobians && jacobians[i]) {
        jacobians[i][0] = inflows_[i].sign * at.flow_slope / flow_scale_;
      }
    }
    residuals[0] = surplus / flow_scale_;
    return std::isfinite(residuals[0]);
  }

 private:
  std::vector<Inflow> inflows_;
  double net_draw_;  // [m³/s]
  const double* rounding_;
  double flow_scale_;  // [m³/s]
};

class LeastSquares : private ceres::IterationCallback {
 public:
  LeastSquares(const Plan& plan, const SteadyOptions& options);

  MethodResult Run(SteadySummary* summary);

 private:
  enum class Outcome { kGoOn, kSolved, kInterrupted };

  void AddEnergyResiduals();
  void AddMassResiduals();
  void HoldHeads();
  double HeadScale(std::size_t l) const;
  bool MayGoOn() const;
  void Start();
  void RunStage(double rounding, int max_iterations);
  ceres::CallbackReturnType operator()(const ceres::IterationSummary& iteration) override;
  void UpdateState();
  bool ResidualsWithin(double share) const;  // of their tolerances

  const Plan& plan_;
  const SteadyOptions& options_;
  std::vector<Line> lines_;    // by component
  std::vector<double> point_;  // x, by component
  double rounding_ = 0.0;      // mu
  SteadyState state_;
  ceres::Problem problem_;

  Outcome outcome_ = Outcome::kGoOn;
  int limit_;
  int num_iterations_ = 0;
  std::vector<double> imbalance_;
  double max_flow_imbalance_ = 0.0;
  double max_head_imbalance_ = 0.0;
  double largest_change_ = 0.0;
  double largest_flow_ = 0.0;
  double largest_flow_scale_ = 0.0;
};
LeastSquares::LeastSquares(const Plan& plan, const SteadyOptions& options)
    : plan_(plan),
      options_(options),
      point_(plan.laws.size()),
      state_{.flow = std::vector<double>(plan.laws.size(), 0.0),
             .head = std::vector<double>(Index(plan.num_nodes()), 0.0)},
      limit_(options.max_num_iterations > 0 ? options.max_num_iterations : kDefaultIterations) {
  lines_.reserve(plan.laws.size());
  for (std::size_t l = 0; l < plan.laws.size(); ++l) {
    lines_.emplace_back(plan.laws[l], plan.start_flow[l]);
    largest_flow_scale_ = std::max(largest_flow_scale_, plan.start_flow[l]);
  }
  Start();
  AddEnergyResiduals();
  AddMassResiduals();
  HoldHeads();
}

void LeastSquares::AddEnergyResiduals() {
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    if (IsShut(plan_.laws[l])) continue;
    const int from = plan_.from[l], to = plan_.to[l];
    std::vector<double*> parameters{&point_[l]};
    if (from != to) {
      parameters.push_back(&state_.head[Index(from)]);
      parameters.push_back(&state_.head[Index(to)]);
    }
    problem_.AddResidualBlock(new EnergyResidual(lines_[l], &rounding_, HeadScale(l), from != to),
                              nullptr, parameters);
  }
}

void LeastSquares::AddMassResiduals() {
  std::vector<std::vector<MassResidual::Inflow>> inflows(Index(plan_.num_free));
  std::vector<std::vector<double*>> parameters(Index(plan_.num_free));
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    if (IsShut(plan_.laws[l]) || plan_.from[l] == plan_.to[l]) continue;
    const auto add = [&](int node, double sign) {
      if (plan_.IsFixed(node)) return;
      inflows[Index(node)].push_back({&lines_[l], sign});
      parameters[Index(node)].push_back(&point_[l]);
    };
    add(plan_.from[l], -1.0);
    add(plan_.to[l], +1.0);
  }
  for (std::size_t i = 0; i < inflows.size(); ++i) {
    if (inflows[i].empty()) continue;
    double flow_scale = 0.0;
    for (const MassResidual::Inflow& inflow : inflows[i]) {
      flow_scale = std::max(flow_scale, inflow.line->flow_scale() / kMassWeight);
    }
    problem_.AddResidualBlock(
        new MassResidual(std::move(inflows[i]), plan_.net_draw[i], &rounding_, flow_scale), nullptr,
        parameters[i]);
  }
}

// Fixed heads are constants; so is one head of every group of junctions that no open part joins to
// them.
void LeastSquares::HoldHeads() {
  std::vector<char> open(plan_.laws.size());
  for (std::size_t l = 0; l < open.size(); ++l) open[l] = !IsShut(plan_.laws[l]);
  const Forest forest = LoopFinder(plan_, open, std::vector<PartCost>(open.size())).GrowForest();
  for (int node = 0; node < plan_.num_nodes(); ++node) {
    double* head = &state_.head[Index(node)];
    if (forest.IsRoot(node) && problem_.HasParameterBlock(head)) {
      problem_.SetParameterBlockConstant(head);
    }
  }
}

// A part's own drop at about 1 m/s, so that steep and flat parts weigh alike, and what is usual in
// a plant.
double LeastSquares::HeadScale(std::size_t l) const {
  const double flow = plan_.start_flow[l];
  return kUsualHead + EvaluateLaw(plan_.laws[l], flow).slope * flow;
}

MethodResult LeastSquares::Run(SteadySummary* summary) {
  summary->method = Method::kTrustRegion;
  const bool bends =
      std::any_of(lines_.begin(), lines_.end(), [](const Line& line) { return line.bends(); });
  if (bends) {
    RunStage(0.0, kDirectIterations);
    if (MayGoOn()) Start();
    for (double mu = kFirstRounding; mu >= kLastRounding && MayGoOn(); mu *= kRoundingStep) {
      RunStage(mu, kStageIterations);
    }
  }
  if (MayGoOn()) RunStage(0.0, limit_);
  UpdateState();
  summary->num_iterations = num_iterations_;
  summary->termination = outcome_ == Outcome::kSolved        ? Termination::kConverged
                         : outcome_ == Outcome::kInterrupted ? Termination::kInterrupted
                                                             : Termination::kNoConvergence;
  return {.state = std::move(state_), .loops = {}, .loop_corrections = {}};
}

// Ceres holds on to the places of the unknowns, which therefore stay where they are.
void LeastSquares::Start() {
  const std::vector<double> head = StartHeads(plan_);
  const std::vector<double>& flow =
      options_.initial_flow.empty() ? plan_.start_flow : options_.initial_flow;
  std::copy(head.begin(), head.end(), state_.head.begin());
  for (std::size_t l = 0; l < lines_.size(); ++l) {
    point_[l] = IsShut(plan_.laws[l]) ? 0.0 : lines_[l].PointOf(flow[l]);
  }
}

bool LeastSquares::MayGoOn() const {
  return outcome_ == Outcome::kGoOn && num_iterations_ < limit_;
}

void LeastSquares::RunStage(double rounding, int max_iterations) {
  const bool sharp = rounding == 0.0;
  rounding_ = rounding;
  UpdateState();
  ceres::Solver::Options options;
  options.minimizer_type = ceres::TRUST_REGION;
  options.trust_region_strategy_type = ceres::LEVENBERG_MARQUARDT;
  options.linear_solver_type = ceres::SPARSE_NORMAL_CHOLESKY;
  options.sparse_linear_algebra_library_type = ceres::EIGEN_SPARSE;  // CHOLMOD prints warnings
  options.logging_type = ceres::SILENT;
  options.num_threads = 1;
  options.use_nonmonotonic_steps = true;  // the valleys are narrow and bent
  // Undamped first: refusals shrink the radius fast.
  if (sharp) options.initial_trust_region_radius = options.max_trust_region_radius;
  options.max_num_iterations = std::min(max_iterations, limit_ - num_iterations_);
  options.function_tolerance = 0.0;  // the callback decides
  options.gradient_tolerance = 0.0;
  options.parameter_tolerance = 0.0;
  options.callbacks.push_back(this);
  options.update_state_every_iteration = true;
  ceres::Solver::Summary summary;
  ceres::Solve(options, &problem_, &summary);
  if (!sharp || outcome_ != Outcome::kGoOn) return;
  UpdateState();
  // Nothing improves any more; a step refused changes no flow.
  if (summary.termination_type == ceres::CONVERGENCE && ResidualsWithin(1.0)) {
    outcome_ = Outcome::kSolved;
  }
}

// After every iteration, with the unknowns at its result.
ceres::CallbackReturnType LeastSquares::operator()(const ceres::IterationSummary& iteration) {
  UpdateState();
  // A step refused has changed nothing; its size tells how far the solver still wanted to go.
  if (!iteration.step_is_successful) {
    largest_change_ = iteration.step_is_valid ? iteration.step_norm * largest_flow_scale_
                                              : std::numeric_limits<double>::infinity();
  }
  if (iteration.iteration > 0) {
    ++num_iterations_;
    if (options_.callback &&
        !options_.callback({num_iterations_, max_flow_imbalance_, max_head_imbalance_})) {
      outcome_ = Outcome::kInterrupted;
      return ceres::SOLVER_ABORT;
    }
  }
  if (rounding_ > 0.0) {
    return iteration.cost < kStageCost ? ceres::SOLVER_TERMINATE_SUCCESSFULLY
                                       : ceres::SOLVER_CONTINUE;
  }
  const bool settled = largest_change_ <= options_.step_tolerance * largest_flow_;
  if (iteration.iteration == 0 || !settled || !ResidualsWithin(kPolish)) {
    return ceres::SOLVER_CONTINUE;
  }
  outcome_ = Outcome::kSolved;
  return ceres::SOLVER_TERMINATE_SUCCESSFULLY;
}

// Flows from the unknowns, and what is left of the residuals on the lines as they are bent now.
void LeastSquares::UpdateState() {
  largest_change_ = 0.0;
  largest_flow_ = kSmallestFlowScale;
  max_head_imbalance_ = 0.0;
  for (std::size_t l = 0; l < lines_.size(); ++l) {
    if (IsShut(plan_.laws[l])) continue;
    const LinePoint at = lines_[l].At(point_[l], rounding_);
    largest_change_ = std::max(largest_change_, std::abs(at.flow - state_.flow[l]));
    largest_flow_ = std::max(largest_flow_, std::abs(at.flow));
    state_.flow[l] = at.flow;
    const double difference = state_.head[Index(plan_.from[l])] - state_.head[Index(plan_.to[l])];
    max_head_imbalance_ = std::max(max_head_imbalance_, std::abs(difference - at.drop));
  }
  FlowImbalance(plan_, state_.flow, &imbalance_);
  max_flow_imbalance_ = 0.0;
  for (double b : imbalance_) max_flow_imbalance_ = std::max(max_flow_imbalance_, std::abs(b));
}

bool LeastSquares::ResidualsWithin(double share) const {
  return max_flow_imbalance_ <= share * options_.flow_tolerance &&
         max_head_imbalance_ <= share * options_.head_tolerance;
}

}  // namespace

MethodResult RunTrustRegion(const Plan& plan, const SteadyOptions& options,
                            SteadySummary* summary) {
  return LeastSquares(plan, options).Run(summary);
}

}  // namespace handwheel
