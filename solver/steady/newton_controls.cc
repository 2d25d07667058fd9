#include "steady/newton_controls.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>

#include "steady/newton.h"

namespace handwheel {
namespace {

constexpr int kFreeChanges = 3;   // of mode, before a component has to stay
constexpr int kLongestStay = 12;  // [passes]

}  // namespace

NewtonControls::NewtonControls(const Plan& plan, const std::vector<const PlanControl*>& controls,
                               double flow_tolerance, double head_tolerance)
    : plan_(plan), flow_tolerance_(flow_tolerance), head_tolerance_(head_tolerance) {
  if (!controls.empty()) index_.assign(plan.laws.size(), -1);
  for (const PlanControl* control : controls) {
    const auto l = static_cast<std::size_t>(control->component);
    index_[l] = static_cast<int>(list_.size());
    const ControlJudge judge(plan, *control);
    const bool has_law = !std::holds_alternative<LimitFlow>(control->control);
    list_.push_back(
        {.judge = judge, .component = l, .law = has_law ? judge.GovernedLaw() : Law(ShutLaw{})});
  }
}

void NewtonControls::Start(const std::vector<ControlMode>& modes) {
  for (std::size_t i = 0; i < list_.size(); ++i) {
    list_[i].mode = i < modes.size() ? modes[i] : ControlMode::kFree;
    list_[i].changes = 0;
    list_[i].passes_to_stay = 0;
  }
}

void NewtonControls::AppendLinks(std::vector<int>* from, std::vector<int>* to,
                                 std::vector<double>* conductance) {
  for (Controlled& item : list_) {
    item.first_link = conductance->size();
    for (int node : {plan_.from[item.component], plan_.to[item.component]}) {
      from->push_back(plan_.IsFixed(node) ? LaplacianSymbolic::kGround : node);
      to->push_back(LaplacianSymbolic::kGround);
      conductance->push_back(0.0);
    }
  }
}

int NewtonControls::In(const Controlled& item) const {
  return item.mode == ControlMode::kByFrom ? plan_.from[item.component] : plan_.to[item.component];
}
int NewtonControls::Out(const Controlled& item) const {
  return item.mode == ControlMode::kByFrom ? plan_.to[item.component] : plan_.from[item.component];
}

NewtonControls::Residual NewtonControls::Linearise(const SteadyState& state,
                                                   std::vector<double>* conductance) {
  Residual residual;
  for (Controlled& item : list_) {
    const double flow = state.flow[item.component];
    const auto head = [&](int node) { return state.head[static_cast<std::size_t>(node)]; };
    const double misfit = item.judge.HeadMisfit(flow, head(plan_.from[item.component]),
                                                head(plan_.to[item.component]));
    if (item.mode != ControlMode::kLifted) {
      residual.head_misfit = std::max(residual.head_misfit, misfit);
    }
    (*conductance)[item.first_link] = (*conductance)[item.first_link + 1] = 0.0;
    item.conductance = item.misfit = 0.0;
    if (!IsGoverned(item.mode)) continue;
    const DropSlope at = EvaluateLaw(item.law, flow);
    const double ground = item.judge.GroundHead(item.mode);
    const bool by_from = item.mode == ControlMode::kByFrom;
    const double rise = by_from ? head(In(item)) - ground : ground - head(In(item));
    item.conductance = 1.0 / std::max(at.slope, kLeastSlope);
    item.misfit = rise - at.drop;
    (*conductance)[item.first_link + (by_from ? 0 : 1)] = item.conductance;
    residual.largest_step =
        std::max(residual.largest_step, item.conductance * std::abs(item.misfit));
  }
  return residual;
}

void NewtonControls::AddToRightSide(std::vector<double>* right_side) const {
  for (const Controlled& item : list_) {
    const double dq = item.conductance * item.misfit;
    const int from = plan_.from[item.component], to = plan_.to[item.component];
    if (!plan_.IsFixed(from)) (*right_side)[static_cast<std::size_t>(from)] -= dq;
    if (!plan_.IsFixed(to)) (*right_side)[static_cast<std::size_t>(to)] += dq;
  }
}

// correction = A⁻¹ b from S⁻¹ b.
bool NewtonControls::Couple(LaplacianFactor* factor, std::vector<double>* correction) {
  std::vector<const Controlled*> coupled;
  for (const Controlled& item : list_) {
    if (!IsGoverned(item.mode) || plan_.IsFixed(In(item)) || plan_.IsFixed(Out(item))) continue;
    if (In(item) != Out(item)) coupled.push_back(&item);
  }
  if (coupled.empty()) return true;
  const auto count = static_cast<Eigen::Index>(coupled.size());
  const auto size = static_cast<Eigen::Index>(correction->size());
  Eigen::MatrixXd answer(size, count);  // S⁻¹ e_out
  Eigen::MatrixXd system = Eigen::MatrixXd::Identity(count, count);
  Eigen::VectorXd given(count);
  std::vector<double> unit(correction->size());
  for (Eigen::Index k = 0; k < count; ++k) {
    std::fill(unit.begin(), unit.end(), 0.0);
    unit[static_cast<std::size_t>(Out(*coupled[static_cast<std::size_t>(k)]))] = 1.0;
    factor->Solve(unit, std::span(answer.col(k).data(), unit.size()));
  }
  for (Eigen::Index i = 0; i < count; ++i) {
    const Controlled& item = *coupled[static_cast<std::size_t>(i)];
    for (Eigen::Index k = 0; k < count; ++k) {
      system(i, k) -= item.conductance * answer(In(item), k);
    }
    given(i) = item.conductance * (*correction)[static_cast<std::size_t>(In(item))];
  }
  const Eigen::VectorXd fed = system.partialPivLu().solve(given);
  Eigen::Map<Eigen::VectorXd>(correction->data(), size) += answer * fed;
  return fed.allFinite();
}

void NewtonControls::Predict(const SteadyState& state, const std::vector<double>& correction,
                             std::vector<double>* predicted) const {
  for (const Controlled& item : list_) {
    if (LawGoverns(item.mode)) continue;
    double& next = (*predicted)[item.component];
    next = state.flow[item.component];
    if (!IsGoverned(item.mode)) continue;
    const int in = In(item);
    const double shift = plan_.IsFixed(in) ? 0.0 : correction[static_cast<std::size_t>(in)];
    const double sign = item.mode == ControlMode::kByFrom ? 1.0 : -1.0;
    next += item.conductance * (item.misfit + sign * shift);
  }
}

double NewtonControls::NextFlow(std::size_t l, double predicted, const SteadyState& state) {
  Controlled& item = list_[static_cast<std::size_t>(index_[l])];
  const double head_from = state.head[static_cast<std::size_t>(plan_.from[l])];
  const double head_to = state.head[static_cast<std::size_t>(plan_.to[l])];
  if (item.passes_to_stay > 0) {
    --item.passes_to_stay;
  } else {
    const ControlMode wanted = item.judge.NextMode(item.mode, predicted, head_from, head_to,
                                                   flow_tolerance_, head_tolerance_);
    if (wanted != item.mode) ChangeMode(&item, wanted);
  }
  switch (item.mode) {
    case ControlMode::kAtLimit:
      return item.judge.set_flow();
    case ControlMode::kShut:
      return 0.0;
    default:
      return predicted;
  }
}

void NewtonControls::ChangeMode(Controlled* item, ControlMode mode) const {
  item->mode = mode;
  if (++item->changes > kFreeChanges) {
    item->passes_to_stay = std::min(item->changes - kFreeChanges, kLongestStay);
  }
}

}  // namespace handwheel
