#include "handwheel/sensitivity.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "handwheel/errors.h"
#include "network/draft.h"
#include "network/fields.h"
#include "steady/linearised_plan.h"
#include "steady/solution_builder.h"
#include "studies/varied.h"
#include "text/cat.h"
#include "text/suggest.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

// Of the step by which a law's own data are moved. Truncation and round-off then stay below 1e-9 of
// the derivative, but at the points of a characteristic, where the curvature jumps, below 1e-6.
constexpr double kRelativeStep = 1e-6;

// Plans around the present one, with the weights of a difference of second order.
class Neighbours {
 public:
  Neighbours(const Network& network, const std::string& target)
      : network_(network),
        target_(target),
        field_(FindSettableField(*FindTargetPart(network, target).kind, target)) {
    const Value value = network.Get(target);
    if (std::holds_alternative<double>(value)) {
      value_ = std::get<double>(value);
    } else {
      throw SettingError(Cat(Quoted(target), " has no number at present; give it one to vary it."));
    }
    const double size = std::max(std::abs(value_), 1e-3 * UsualSize(field_.axis.dimension));
    const double h = kRelativeStep * size;
    if (!Allows(value_ - h)) {
      Add(0.0, -1.5 / h);
      Add(h, 2.0 / h);
      Add(2.0 * h, -0.5 / h);
    } else if (!Allows(value_ + h)) {
      Add(0.0, 1.5 / h);
      Add(-h, -2.0 / h);
      Add(-2.0 * h, 0.5 / h);
    } else {
      Add(h, 0.5 / h);
      Add(-h, -0.5 / h);
    }
  }

  double value() const { return value_; }

  std::vector<std::pair<double, const Plan*>> Weighted() const {
    std::vector<std::pair<double, const Plan*>> weighted;
    for (std::size_t i = 0; i < plans_.size(); ++i) weighted.push_back({weights_[i], &plans_[i]});
    return weighted;
  }

 private:
  bool Allows(double value) const {
    const Range& range = field_.axis.range;
    const bool above = range.above_min ? value > range.min : value >= range.min;
    return above && value <= range.max;
  }

  void Add(double offset, double weight) {
    Network moved = network_;
    moved.Apply(target_, value_ + offset);
    moved.Validate();
    plans_.push_back(CompilePlan(moved));
    weights_.push_back(weight);
  }

  const Network& network_;
  const std::string& target_;
  const Field& field_;
  double value_ = 0.0;
  std::vector<Plan> plans_;
  std::vector<double> weights_;
};

std::size_t NodeOfPoint(const Network& network, const Plan& plan, std::size_t point) {
  const std::size_t vessels = network.vessels.size();
  return point < vessels ? Index(plan.num_free) + point : point - vessels;
}

// Velocity is flow / area, pressure is (head - elevation) density g; all of these may follow the
// setting.
Sensitivity Describe(const std::string& target, const Neighbours& neighbours,
                     const LinearisedPlan::Response& response, const Solution& solution,
                     const Plan& plan) {
  const Network& network = solution.network();
  Sensitivity found{.target = target, .value = neighbours.value()};
  found.flow.assign(response.flow.begin(), response.flow.begin() + plan.num_listed);
  for (std::size_t l = 0; l < found.flow.size(); ++l) {
    double area_change = 0.0;
    for (const auto& [weight, moved] : neighbours.Weighted())
      area_change += weight * moved->area[l];
    found.velocity.push_back((found.flow[l] - solution.velocity()[l] * area_change) / plan.area[l]);
    const double across = response.head[Index(plan.from[l])] - response.head[Index(plan.to[l])];
    found.drop.push_back(std::isnan(solution.drop()[l]) ? kNaN : across);
  }
  double weight_change = 0.0;
  for (const auto& [weight, moved] : neighbours.Weighted())
    weight_change += weight * moved->Weight();
  for (std::size_t p = 0; p < solution.head().size(); ++p) {
    const std::size_t node = NodeOfPoint(network, plan, p);
    double lifted = 0.0;
    for (const auto& [weight, moved] : neighbours.Weighted())
      lifted += weight * moved->elevation[node];
    const double head = solution.shut_in()[p] ? kNaN : response.head[node];
    const double column = solution.head()[p] - plan.elevation[node];
    found.head.push_back(head);
    found.pressure.push_back((head - lifted) * plan.Weight() + column * weight_change);
  }
  return found;
}

}  // namespace

Sensitivities ComputeSensitivities(const Network& network, const std::vector<std::string>& targets,
                                   const SteadyOptions& options) {
  SteadyOptions tight = options;
  tight.method = Method::kNewton;
  const SolvedPlan solved = SolvePlan(network, tight, RunNewton);
  Sensitivities found{.solution = BuildSolution(network, tight, solved), .by_target = {}};
  std::vector<Neighbours> neighbours;
  for (const std::string& target : targets) neighbours.emplace_back(network, target);
  if (!found.solution.converged()) return found;
  LinearisedPlan linearised(solved.plan, solved.result.state, solved.result.modes);
  for (std::size_t i = 0; i < targets.size(); ++i) {
    const auto response = linearised.To(linearised.Between(neighbours[i].Weighted()));
    found.by_target.push_back(
        Describe(targets[i], neighbours[i], response, found.solution, solved.plan));
  }
  return found;
}

std::string Sensitivities::Report() const {
  std::string text = "change of flow, m3/h, for 1 % more of\n";
  const auto& names = solution.component_names();
  for (const Sensitivity& one : by_target) {
    char value[64];
    std::snprintf(value, sizeof value, "%.6g", one.value);
    text += Cat("  ", one.target, " (", value, " in SI)\n");
    for (std::size_t l = 0; l < names.size(); ++l) {
      char line[64];
      std::snprintf(line, sizeof line, "%12.4g", one.flow[l] * 0.01 * one.value * 3600.0);
      text += Cat("    ", line, "  ", names[l], "\n");
    }
  }
  return text;
}

}  // namespace handwheel
