#include "steady/newton.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "steady/zones.h"

namespace handwheel {
namespace {

// Slope of the reverse branch of a one-way part in the fall-back [s/m²].
constexpr double kReverseStiffness = 1e10;

constexpr int kDefaultIterations = 2000;
constexpr int kFinishingIterations = 30;

}  // namespace

NewtonSolver::NewtonSolver(const Plan& plan, const SteadyOptions& options,
                           const std::vector<const PlanControl*>& controls)
    : plan_(plan),
      options_(options),
      limit_(options.max_num_iterations > 0 ? options.max_num_iterations : kDefaultIterations),
      controls_(plan, controls, options.flow_tolerance, options.head_tolerance) {
  const auto node = [&](int i) { return plan.IsFixed(i) ? LaplacianSymbolic::kGround : i; };
  std::vector<int> from, to;
  from.reserve(plan.laws.size());
  to.reserve(plan.laws.size());
  for (std::size_t l = 0; l < plan.laws.size(); ++l) {
    from.push_back(node(plan.from[l]));
    to.push_back(node(plan.to[l]));
  }
  conductance_.assign(plan.laws.size(), 0.0);
  // A zone that nothing joins to a fixed head would leave the matrix singular: pin one node of
  // each. Its imbalances add up to zero, so the pin carries nothing.
  for (int i : FloatingZones(plan)) {
    from.push_back(i);
    to.push_back(LaplacianSymbolic::kGround);
    conductance_.push_back(1.0);
  }
  controls_.AppendLinks(&from, &to, &conductance_);
  factor_ = std::make_unique<LaplacianFactor>(
      std::make_shared<const LaplacianSymbolic>(plan.num_free, from, to));
  misfit_.resize(plan.laws.size());
  predicted_.resize(plan.laws.size());
  right_side_.resize(plan.net_draw.size());
  correction_.resize(plan.net_draw.size());
  memory_.resize(plan.laws.size());
}

SteadyState NewtonSolver::Solve(SteadySummary* summary) {
  StartFlows();
  Outcome outcome = IterateFullSteps(options_.max_full_steps);
  int fallback_iterations = 0;
  if (outcome == Outcome::kStalled && controls_.empty()) {
    const int before = num_iterations_;
    outcome = IterateWithLineSearch();
    fallback_iterations = num_iterations_ - before;
    if (outcome == Outcome::kConverged) outcome = FinishFromFallback();
  }
  summary->method = Method::kNewton;
  summary->num_iterations = num_iterations_;
  summary->num_fallback_iterations = fallback_iterations;
  summary->termination = outcome == Outcome::kConverged     ? Termination::kConverged
                         : outcome == Outcome::kInterrupted ? Termination::kInterrupted
                                                            : Termination::kNoConvergence;
  return state_;
}

// The minimiser found tells which one-way parts rest. With those held, full steps converge as on a
// network without any; then the few that were misjudged change sides, and so on. Should that not
// end, the steps go on with every part free.
NewtonSolver::Outcome NewtonSolver::FinishFromFallback() {
  constexpr int kRounds = 20, kStepsPerRound = 8;
  for (PartMemory& memory : memory_) memory.flips = 0;
  for (int round = 0; round < kRounds && num_iterations_ < limit_; ++round) {
    one_way_parts_held_ = true;
    const Outcome outcome = IterateFullSteps(kStepsPerRound);
    one_way_parts_held_ = false;
    if (outcome != Outcome::kStalled) return outcome;
    if (!SwitchMisjudgedParts()) break;
  }
  return IterateFullSteps(kFinishingIterations);
}

// Returns whether there were any.
bool NewtonSolver::SwitchMisjudgedParts() {
  bool any = false;
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    if (!IsOneWay(plan_.laws[l])) continue;
    const bool misjudged = memory_[l].resting ? WantsToOpen(l) : predicted_[l] < 0.0;
    if (!misjudged) continue;
    any = true;
    state_.flow[l] = NextFreeFlow(l);
  }
  return any;
}

void NewtonSolver::StartFlows() {
  state_.flow = options_.initial_flow.empty() ? plan_.start_flow : options_.initial_flow;
  state_.head = StartHeads(plan_);
  RestPartsWithoutFlow();
}

void NewtonSolver::RestPartsWithoutFlow() {
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    memory_[l].resting =
        IsShut(plan_.laws[l]) || (IsOneWay(plan_.laws[l]) && state_.flow[l] <= 0.0);
    if (memory_[l].resting) state_.flow[l] = 0.0;
  }
}

NewtonSolver::Outcome NewtonSolver::IterateFullSteps(int max_passes) {
  for (int pass = 0;; ++pass) {
    Linearise();
    if (WithinTolerances()) return Outcome::kConverged;
    if (pass == max_passes || num_iterations_ >= limit_) return Outcome::kStalled;
    ++num_iterations_;
    if (!SolveForHeadCorrections()) return Outcome::kStalled;
    PredictFlows();
    AcceptFullStep();
    if (!KeepGoing()) return Outcome::kInterrupted;
  }
}

NewtonSolver::Outcome NewtonSolver::IterateWithLineSearch() {
  StartFlows();  // whatever the full steps arrived at may be far out
  const Outcome outcome = MinimiseContent(1e-7);  // full steps finish from here
  RestPartsWithoutFlow();
  return outcome;
}

// Until no flow would change by more than a share of the largest, or than heads can tell: where all
// is at rest but for what the stiff reverse branches let by, round-off is more than any share.
NewtonSolver::Outcome NewtonSolver::MinimiseContent(double close_enough) {
  double step = 1.0;  // the first, full, makes the flows balance
  for (bool balanced = false; num_iterations_ < limit_; balanced = true) {
    ++num_iterations_;
    LineariseExtended();
    if (!SolveForHeadCorrections()) return Outcome::kStalled;
    PredictFlows();
    if (balanced) step = StepLength();
    double wanted = 0.0, largest = kSmallestFlowScale;
    for (std::size_t l = 0; l < predicted_.size(); ++l) {
      const double dq = predicted_[l] - state_.flow[l];
      state_.flow[l] += step * dq;
      if (std::abs(dq) > conductance_[l] * HeadRoundOffAt(l))
        wanted = std::max(wanted, std::abs(dq));
      largest = std::max(largest, std::abs(state_.flow[l]));
    }
    if (!KeepGoing()) return Outcome::kInterrupted;
    if (balanced && wanted <= close_enough * largest) break;
  }
  return Outcome::kConverged;
}

double NewtonSolver::HeadDifference(std::size_t l) const {
  return state_.head[static_cast<std::size_t>(plan_.from[l])] -
         state_.head[static_cast<std::size_t>(plan_.to[l])];
}

void NewtonSolver::Linearise() {
  max_head_imbalance_ = 0.0;
  largest_step_ = 0.0;
  heads_at_round_off_ = true;
  largest_flow_ = kSmallestFlowScale;
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    if (controls_.Governs(l)) {
      conductance_[l] = kTokenConductance;
      misfit_[l] = 0.0;
      largest_flow_ = std::max(largest_flow_, std::abs(state_.flow[l]));
      continue;
    }
    if (memory_[l].resting) {
      conductance_[l] = kTokenConductance;
      misfit_[l] = 0.0;
      max_head_imbalance_ =
          std::max(max_head_imbalance_, ExcessOverHold(plan_.laws[l], HeadDifference(l)));
      if (WantsToOpen(l)) {
        heads_at_round_off_ = false;
        largest_step_ = std::numeric_limits<double>::infinity();
      }
      continue;
    }
    const DropSlope at = EvaluateLaw(plan_.laws[l], state_.flow[l]);
    conductance_[l] = 1.0 / std::max(at.slope, kLeastSlope);
    misfit_[l] = HeadDifference(l) - at.drop;
    max_head_imbalance_ = std::max(max_head_imbalance_, std::abs(misfit_[l]));
    heads_at_round_off_ = heads_at_round_off_ && std::abs(misfit_[l]) <= HeadRoundOffAt(l);
    largest_step_ = std::max(largest_step_, conductance_[l] * std::abs(misfit_[l]));
    largest_flow_ = std::max(largest_flow_, std::abs(state_.flow[l]));
  }
  LineariseControls();
  MeasureFlowImbalance();
}

void NewtonSolver::LineariseControls() {
  if (controls_.empty()) return;
  const NewtonControls::Residual residual = controls_.Linearise(state_, &conductance_);
  max_head_imbalance_ = std::max(max_head_imbalance_, residual.head_misfit);
  largest_step_ = std::max(largest_step_, residual.largest_step);
}

double NewtonSolver::HeadRoundOffAt(std::size_t l) const {
  return HeadRoundOff(state_.head[static_cast<std::size_t>(plan_.from[l])],
                      state_.head[static_cast<std::size_t>(plan_.to[l])]);
}

bool NewtonSolver::WantsToOpen(std::size_t l) const {
  return ExcessOverHold(plan_.laws[l], HeadDifference(l)) > HeadRoundOffAt(l);
}

void NewtonSolver::MeasureFlowImbalance() {
  FlowImbalance(plan_, state_.flow, &imbalance_);
  max_flow_imbalance_ = 0.0;
  for (double b : imbalance_) max_flow_imbalance_ = std::max(max_flow_imbalance_, std::abs(b));
}

// The step still to come is judged by what each part's own misfit asks for, which saves a pass;
// where a tiny resistance turns round-off of heads into flow, by what the last pass changed. Beyond
// the caller's tolerances a pass or two more usually bring the mass balance to round-off, which
// contrasts of conductance otherwise spoil; they are granted while they help.
bool NewtonSolver::WithinTolerances() {
  if (max_flow_imbalance_ > options_.flow_tolerance ||
      max_head_imbalance_ > options_.head_tolerance) {
    return false;
  }
  const double allowed_step = options_.step_tolerance * largest_flow_;
  const bool settled = largest_step_ <= allowed_step ||
                       (std::isfinite(largest_step_) && last_change_ <= allowed_step);
  // Where heads hold no more digits, flows through tiny resistances may go on flickering.
  constexpr int kFlickerPasses = 4;
  if (!settled && (!heads_at_round_off_ || ++num_flicker_passes_ < kFlickerPasses)) return false;
  constexpr double kRoundOff = 1e-14;
  constexpr int kPolishPasses = 4;
  return max_flow_imbalance_ <= kRoundOff * largest_flow_ || ++num_polish_passes_ > kPolishPasses;
}

bool NewtonSolver::KeepGoing() {
  if (!options_.callback) return true;
  return options_.callback({num_iterations_, max_flow_imbalance_, max_head_imbalance_});
}

// Right-hand side: the imbalance that would remain if every flow moved to its own tangent alone.
// Returns false if there is no such correction.
bool NewtonSolver::SolveForHeadCorrections() {
  right_side_ = imbalance_;
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    const double dq = conductance_[l] * misfit_[l];
    if (!plan_.IsFixed(plan_.from[l])) right_side_[static_cast<std::size_t>(plan_.from[l])] -= dq;
    if (!plan_.IsFixed(plan_.to[l])) right_side_[static_cast<std::size_t>(plan_.to[l])] += dq;
  }
  controls_.AddToRightSide(&right_side_);
  if (!factor_->Factor(conductance_)) return false;
  factor_->Solve(right_side_, correction_);
  if (!controls_.Couple(factor_.get(), &correction_)) return false;
  for (std::size_t i = 0; i < correction_.size(); ++i) state_.head[i] += correction_[i];
  return true;
}

void NewtonSolver::PredictFlows() {
  const auto correction = [&](int node) {
    return plan_.IsFixed(node) ? 0.0 : correction_[static_cast<std::size_t>(node)];
  };
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    const double rise = correction(plan_.from[l]) - correction(plan_.to[l]);
    predicted_[l] = state_.flow[l] + conductance_[l] * (misfit_[l] + rise);
  }
  controls_.Predict(state_, correction_, &predicted_);
}

void NewtonSolver::AcceptFullStep() {
  last_change_ = 0.0;
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    if (IsShut(plan_.laws[l])) continue;
    const double next = NextFlow(l);
    last_change_ = std::max(last_change_, std::abs(next - state_.flow[l]));
    state_.flow[l] = next;
  }
}

double NewtonSolver::NextFlow(std::size_t l) {
  if (!controls_.Watches(l)) return NextFreeFlow(l);
  const double wanted = controls_.Governs(l) ? predicted_[l] : NextFreeFlow(l);
  const double next = controls_.NextFlow(l, wanted, state_);
  memory_[l].resting = !controls_.Governs(l) && IsOneWay(plan_.laws[l]) && next <= 0.0;
  return memory_[l].resting ? 0.0 : next;
}

double NewtonSolver::NextFreeFlow(std::size_t l) {
  return handwheel::NextFlow(plan_.laws[l],
                             {.flow = state_.flow[l],
                              .predicted = predicted_[l],
                              .head_difference = HeadDifference(l),
                              .head_round_off = HeadRoundOffAt(l),
                              .start_flow = plan_.start_flow[l],
                              .held = one_way_parts_held_},
                             &memory_[l]);
}

// --- Fall-back ---------------------------------------------------------------------------------

DropSlope NewtonSolver::ExtendedDrop(std::size_t l, double q) const {
  const Law& law = plan_.laws[l];
  if (IsShut(law)) return {q / kTokenConductance, 1.0 / kTokenConductance};
  if (IsOneWay(law) && q < 0.0) {
    return {std::get<OneWayLaw>(law).crack + kReverseStiffness * q, kReverseStiffness};
  }
  return EvaluateLaw(law, q);
}

void NewtonSolver::LineariseExtended() {
  max_head_imbalance_ = 0.0;
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    const DropSlope at = ExtendedDrop(l, state_.flow[l]);
    conductance_[l] = 1.0 / std::max(at.slope, kLeastSlope);
    misfit_[l] = HeadDifference(l) - at.drop;
    max_head_imbalance_ = std::max(max_head_imbalance_, std::abs(misfit_[l]));
  }
  MeasureFlowImbalance();
}

double NewtonSolver::SlopeOfContent(double t) const {
  double slope = 0.0;
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    const double p = predicted_[l] - state_.flow[l];
    if (p == 0.0) continue;
    slope += p * (ExtendedDrop(l, state_.flow[l] + t * p).drop - HeadDifference(l));
  }
  return slope;
}

// The root in (0, 1] of the increasing function SlopeOfContent, to about 1 %; 1 if there is none.
// The false-position steps are halved towards the stuck end (the Illinois rule).
double NewtonSolver::StepLength() const {
  double low = 0.0, high = 1.0;
  double at_low = SlopeOfContent(low), at_high = SlopeOfContent(high);
  if (at_high <= 0.0 || at_low >= 0.0) return 1.0;
  double t = 1.0;
  int last_side = 0;
  for (int i = 0; i < 60 && high - low > 0.01 * high; ++i) {
    t = (low * at_high - high * at_low) / (at_high - at_low);
    const double at_t = SlopeOfContent(t);
    const int side = at_t > 0.0 ? 1 : -1;
    if (side > 0) {
      high = t;
      at_high = at_t;
      if (last_side > 0) at_low *= 0.5;
    } else {
      low = t;
      at_low = at_t;
      if (last_side < 0) at_high *= 0.5;
    }
    last_side = side;
    if (at_t == 0.0) break;
  }
  return low > 0.0 ? low : t;
}

}  // namespace handwheel
