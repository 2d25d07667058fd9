#include "steady/linearised_plan.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "steady/zones.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

std::vector<const PlanControl*> Watched(const Plan& plan,
                                        const std::vector<std::pair<int, ControlMode>>& modes) {
  std::vector<const PlanControl*> watched;
  for (const auto& [component, mode] : modes) {
    const PlanControl* found = nullptr;
    for (const auto* list : {&plan.controls, &plan.chokes}) {
      for (const PlanControl& control : *list) {
        if (control.component == component) found = &control;
      }
    }
    watched.push_back(found);
  }
  return watched;
}

}  // namespace

LinearisedPlan::LinearisedPlan(const Plan& plan, SteadyState state,
                               const std::vector<std::pair<int, ControlMode>>& modes)
    : plan_(plan),
      state_(std::move(state)),
      modes_(modes),
      watched_(Watched(plan, modes)),
      controls_(plan, watched_, 0.0, 0.0),
      conductance_(plan.laws.size(), 0.0) {
  std::vector<ControlMode> just_modes;
  for (const auto& [component, mode] : modes_) just_modes.push_back(mode);
  controls_.Start(just_modes);
  std::vector<int> from, to;
  std::vector<double> links(plan.laws.size(), kTokenConductance);
  const auto node = [&](int i) { return plan.IsFixed(i) ? LaplacianSymbolic::kGround : i; };
  for (std::size_t l = 0; l < plan.laws.size(); ++l) {
    from.push_back(node(plan.from[l]));
    to.push_back(node(plan.to[l]));
    const bool rests = IsOneWay(plan.laws[l]) && state_.flow[l] <= 0.0;
    if (IsShut(plan.laws[l]) || rests || controls_.Governs(l)) continue;
    links[l] = conductance_[l] =
        1.0 / std::max(EvaluateLaw(plan.laws[l], state_.flow[l]).slope, kLeastSlope);
  }
  for (int i : FloatingZones(plan)) {
    from.push_back(i);
    to.push_back(LaplacianSymbolic::kGround);
    links.push_back(1.0);
  }
  controls_.AppendLinks(&from, &to, &links);
  controls_.Linearise(state_, &links);
  factor_ = std::make_unique<LaplacianFactor>(
      std::make_shared<const LaplacianSymbolic>(plan.num_free, from, to));
  if (!factor_->Factor(links)) throw std::logic_error("the linearised plan is singular");
}

// As one pass of newton from an exact solution, with the changes as misfits; then passes that
// remove what is left of the balances: large conductances turn round-off of heads into flow.
LinearisedPlan::Response LinearisedPlan::To(const Change& change) {
  Response response{PushedFlows(change), std::vector<double>(Index(plan_.num_nodes()), 0.0)};
  constexpr int kPasses = 3;
  for (int pass = 0; pass < kPasses; ++pass) Balance(change, &response);
  std::copy(change.fixed_head.begin(), change.fixed_head.end(),
            response.head.begin() + plan_.num_free);
  return response;
}

// What each flow would change by if no free head moved.
std::vector<double> LinearisedPlan::PushedFlows(const Change& change) const {
  const auto fixed = [&](int node) {
    return plan_.IsFixed(node) ? change.fixed_head[Index(node - plan_.num_free)] : 0.0;
  };
  std::vector<double> flow(plan_.laws.size(), 0.0);
  for (std::size_t l = 0; l < flow.size(); ++l) {
    const double push = fixed(plan_.from[l]) - fixed(plan_.to[l]) - change.drop[l];
    flow[l] = conductance_[l] * push;
  }
  for (std::size_t k = 0; k < modes_.size(); ++k) {
    const auto [component, mode] = modes_[k];
    const std::size_t l = Index(component);
    if (mode == ControlMode::kAtLimit) flow[l] = change.control[k];
    if (!IsGoverned(mode)) continue;
    // The head at the governing end, where that is fixed, pushes against the head it holds.
    const bool by_from = mode == ControlMode::kByFrom;
    const double end = fixed(by_from ? plan_.from[l] : plan_.to[l]);
    flow[l] =
        controls_.ConductanceOf(k) * (by_from ? end - change.control[k] : change.control[k] - end);
  }
  return flow;
}

void LinearisedPlan::Balance(const Change& change, Response* response) {
  std::vector<double> left(Index(plan_.num_free));
  for (std::size_t i = 0; i < left.size(); ++i) left[i] = -change.net_draw[i];
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    if (!plan_.IsFixed(plan_.from[l])) left[Index(plan_.from[l])] -= response->flow[l];
    if (!plan_.IsFixed(plan_.to[l])) left[Index(plan_.to[l])] += response->flow[l];
  }
  std::vector<double> head(left.size());
  factor_->Solve(left, head);
  if (!controls_.Couple(factor_.get(), &head)) {
    throw std::logic_error("the linearised plan is singular");
  }
  const auto free = [&](int i) { return plan_.IsFixed(i) ? 0.0 : head[Index(i)]; };
  for (std::size_t i = 0; i < head.size(); ++i) response->head[i] += head[i];
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    response->flow[l] += conductance_[l] * (free(plan_.from[l]) - free(plan_.to[l]));
  }
  for (std::size_t k = 0; k < modes_.size(); ++k) {
    const auto [component, mode] = modes_[k];
    if (!IsGoverned(mode)) continue;
    const bool by_from = mode == ControlMode::kByFrom;
    const int end = by_from ? plan_.from[Index(component)] : plan_.to[Index(component)];
    response->flow[Index(component)] +=
        controls_.ConductanceOf(k) * (by_from ? free(end) : -free(end));
  }
}

LinearisedPlan::Change LinearisedPlan::Between(
    const std::vector<std::pair<double, const Plan*>>& weighted) const {
  Change change{
      std::vector<double>(plan_.laws.size(), 0.0), std::vector<double>(plan_.net_draw.size(), 0.0),
      std::vector<double>(plan_.fixed_head.size(), 0.0), std::vector<double>(modes_.size(), 0.0)};
  for (const auto& [weight, plan] : weighted) {
    for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
      if (Moves(l)) change.drop[l] += weight * EvaluateLaw(plan->laws[l], state_.flow[l]).drop;
    }
    for (std::size_t i = 0; i < change.net_draw.size(); ++i) {
      change.net_draw[i] += weight * plan->net_draw[i];
    }
    for (std::size_t i = 0; i < change.fixed_head.size(); ++i) {
      change.fixed_head[i] += weight * plan->fixed_head[i];
    }
    const std::vector<const PlanControl*> controls = Watched(*plan, modes_);
    for (std::size_t k = 0; k < modes_.size(); ++k) {
      const auto [component, mode] = modes_[k];
      if (LawGoverns(mode) || mode == ControlMode::kShut) continue;
      const ControlJudge judge(*plan, *controls[k]);
      if (mode == ControlMode::kAtLimit) {
        change.control[k] += weight * judge.set_flow();
        continue;
      }
      // The head at the governing end that this flow takes.
      const double drop = EvaluateLaw(judge.GovernedLaw(), state_.flow[Index(component)]).drop;
      change.control[k] += weight * (mode == ControlMode::kByFrom ? judge.GroundHead(mode) + drop
                                                                  : judge.GroundHead(mode) - drop);
    }
  }
  return change;
}

}  // namespace handwheel
