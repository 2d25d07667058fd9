#include "transient/point_solver.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace handwheel {
namespace {

constexpr int kMaxIterations = 80;
constexpr int kFullSteps = 25;  // then half steps: some law may not be convex
constexpr int kPatience = 4;
constexpr int kMaxRounds = 40;
constexpr int kMaxFlips = 4;            // of one part in one step
constexpr double kOpens = 1e-9;         // more than its cracking drop [m]
constexpr double kReverses = 1e-13;     // [m³/s]
constexpr double kTiesDown = 1e-13;     // of a pivot before elimination: less is round-off
constexpr double kTangentError = 1e-9;  // [m]
// A drop may be level where flow reverses (a pump at shut-off); a line must not be. Newton's step
// is then too short, not wrong.
constexpr double kLeastSlope = 1e-2;  // [s/m²]
constexpr double kModeFlow = 1e-9, kModeHead = 1e-7;

int Root(std::vector<int>* parent, int i) {
  while ((*parent)[static_cast<std::size_t>(i)] != i) {
    int& up = (*parent)[static_cast<std::size_t>(i)];
    up = (*parent)[static_cast<std::size_t>(up)];
    i = up;
  }
  return i;
}

}  // namespace

PointSolver::PointSolver(const Plan& plan, ElasticPipes* pipes, double time_step, bool cavities,
                         const std::vector<int>& lumped, const std::vector<Inertia>& rigid,
                         const std::vector<Area>& areas, const std::vector<double>& head,
                         const std::vector<double>& flow,
                         const std::vector<std::pair<int, ControlMode>>& modes)
    : plan_(plan),
      pipes_(pipes),
      time_step_(time_step),
      cavities_(cavities && pipes->num_pipes() > 0),
      head_(head),
      head_before_(head),
      flow_(flow),
      before_(flow),
      before_that_(flow),
      lumped_(lumped) {
  const auto nodes = Index(plan.num_nodes());
  const auto components = Index(plan.num_components());
  for (auto* array : {&gas_gained_, &area_, &inflow_, &inflow_before_, &vapour_head_, &cavity_,
                      &cavity_shrinks_, &largest_cavity_, &sum_, &pull_, &net_, &scale_}) {
    array->assign(nodes, 0.0);
  }
  in_cavity_.assign(nodes, 0);
  closing_.assign(nodes, 0);
  cavity_flips_.assign(nodes, 0);
  place_.assign(nodes, -1);
  inertance_.assign(components, 0.0);
  rests_.assign(components, 0);
  flips_.assign(components, 0);
  rested_.assign(components, 0);
  pumps_.assign(components, nullptr);
  flaps_.assign(components, nullptr);
  controls_.assign(components, nullptr);
  modes_.assign(components, ControlMode::kFree);
  lines_.assign(components, {});
  line_flow_.assign(components, 0.0);
  for (const Inertia& column : rigid) inertance_[Index(column.component)] = column.inertance;
  for (const Area& vessel : areas) area_[Index(vessel.point)] = vessel.area;
  for (const auto* list : {&plan.controls, &plan.chokes}) {
    for (const PlanControl& control : *list) controls_[Index(control.component)] = &control;
  }
  for (const auto& [component, mode] : modes) modes_[Index(component)] = mode;
  for (int l : lumped) {
    if (IsOneWay(plan.laws[Index(l)])) rests_[Index(l)] = flow_[Index(l)] <= 0.0;
  }
  for (int i = 0; i < plan.num_nodes(); ++i) {
    const double vapour = plan.HeadAt(i, plan.liquid.vapour_pressure - plan.atmospheric_pressure);
    vapour_head_[Index(i)] = std::min(vapour, head_[Index(i)]);
  }
  MakeGroups(lumped);
  SumFixedInflows();
  SumVesselInflows();
  inflow_before_ = inflow_;
}

void PointSolver::MakeGroups(const std::vector<int>& lumped) {
  std::vector<int> parent(Index(plan_.num_nodes()));
  std::iota(parent.begin(), parent.end(), 0);
  std::vector<std::vector<int>> neighbours(parent.size());
  for (int l : lumped) {
    const int from = plan_.from[Index(l)], to = plan_.to[Index(l)];
    if (!IsUnknown(from) || !IsUnknown(to)) continue;
    parent[Index(Root(&parent, from))] = Root(&parent, to);
    neighbours[Index(from)].push_back(to);
    neighbours[Index(to)].push_back(from);
  }
  std::vector<int> group_of(parent.size(), -1);
  const auto group_at = [&](int node) {
    int& group = group_of[Index(Root(&parent, node))];
    if (group < 0) {
      group = static_cast<int>(groups_.size());
      groups_.emplace_back();
    }
    return Index(group);
  };
  // Outermost first, so that a tree of points is eliminated without fill.
  for (int start = 0; start < plan_.num_nodes(); ++start) {
    if (!IsUnknown(start) || place_[Index(start)] >= 0) continue;
    std::vector<int>& points = groups_[group_at(start)].points;
    points = {start};
    place_[Index(start)] = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      for (int next : neighbours[Index(points[i])]) {
        if (place_[Index(next)] >= 0) continue;
        place_[Index(next)] = 0;
        points.push_back(next);
      }
    }
    std::reverse(points.begin(), points.end());
    for (std::size_t i = 0; i < points.size(); ++i) place_[Index(points[i])] = static_cast<int>(i);
  }
  for (int l : lumped) {
    const int from = plan_.from[Index(l)], to = plan_.to[Index(l)];
    if (IsUnknown(from) || IsUnknown(to)) {
      groups_[group_at(IsUnknown(from) ? from : to)].components.push_back(l);
    } else {
      groups_.emplace_back().components = {l};
    }
  }
  const auto& ends = pipes_->ends();
  for (std::size_t e = 0; e < ends.size(); ++e) {
    if (IsUnknown(ends[e].point)) {
      groups_[group_at(ends[e].point)].ends.push_back(e);
    } else {
      fixed_ends_.push_back(e);
    }
  }
  std::size_t largest = 0;
  for (const Group& group : groups_) largest = std::max(largest, group.points.size());
  matrix_.resize(largest * largest);
  right_.resize(largest);
  floats_.assign(largest, 0);
}

// --- What happens from outside -------------------------------------------------------------------

void PointSolver::Restart() {
  for (Group& group : groups_) group.without_history = 2;
}

void PointSolver::LawChanged(int component) {
  const auto l = Index(component);
  rests_[l] = IsOneWay(plan_.laws[l]) && flow_[l] <= 0.0;
  if (modes_[l] == ControlMode::kLifted) modes_[l] = ControlMode::kFree;
}

void PointSolver::SetPump(int component, const PumpMotion* motion) {
  pumps_[Index(component)] = motion;
}

void PointSolver::SetFlap(int component, FlapMotion* flap) {
  flaps_[Index(component)] = flap;
}

void PointSolver::HoldShut(int component) {
  rests_[Index(component)] = 1;
}

void PointSolver::AddGasHead(int point, double gained) {
  gas_gained_[Index(point)] += gained;
}

void PointSolver::SetHead(int point, double head) {
  head_[Index(point)] = head;
}

// --- A step --------------------------------------------------------------------------------------

void PointSolver::Step() {
  theta_ = next_theta_;
  worst_misfit_ = 0.0;
  worst_imbalance_ = 0.0;
  std::swap(inflow_before_, inflow_);
  SetFixedEnds();
  for (Group& group : groups_) Solve(&group);
  SumFixedInflows();
  ChooseTheta();
}

void PointSolver::SetFixedEnds() {
  for (std::size_t e : fixed_ends_) {
    ElasticPipes::End& end = pipes_->ends()[e];
    const double head = head_[Index(end.point)];
    for (int i = 0; i < 3 && pipes_->MoveTangent(&end, head, kTangentError); ++i) {
    }
    pipes_->SetEnd(&end, head);
  }
}

void PointSolver::Solve(Group* group) {
  for (int i : group->points) {
    head_before_[Index(i)] = head_[Index(i)];
    in_cavity_[Index(i)] = cavity_[Index(i)] > 0.0;
    closing_[Index(i)] = cavity_[Index(i)] < 0.0;
    cavity_flips_[Index(i)] = 0;
  }
  for (int l : group->components) {
    before_that_[Index(l)] = before_[Index(l)];
    before_[Index(l)] = flow_[Index(l)];
    flips_[Index(l)] = 0;
    rested_[Index(l)] = rests_[Index(l)];
  }
  use_history_ = group->without_history == 0;
  if (!use_history_) --group->without_history;
  constexpr int kMaxTangents = 4;
  for (int i = 0; i < kMaxTangents; ++i) {
    Gather(*group);
    Settle(group);
    if (i + 1 == kMaxTangents || !MoveTangents(*group)) break;
  }
  Finish(group);
}

void PointSolver::Gather(const Group& group) {
  for (int i : group.points) sum_[Index(i)] = pull_[Index(i)] = 0.0;
  for (std::size_t e : group.ends) {
    const ElasticPipes::End& end = pipes_->ends()[e];
    sum_[Index(end.point)] += 1.0 / end.b;
    pull_[Index(end.point)] += end.c / end.b;
  }
}

bool PointSolver::MoveTangents(const Group& group) {
  bool moved = false;
  for (std::size_t e : group.ends) {
    ElasticPipes::End& end = pipes_->ends()[e];
    moved |= pipes_->MoveTangent(&end, head_[Index(end.point)], kTangentError);
  }
  return moved;
}

void PointSolver::Settle(Group* group) {
  for (int round = 0; round < kMaxRounds; ++round) {
    bool settled = false;
    for (int i = 0; i < kMaxIterations && !settled; ++i) {
      settled = Iterate(*group, i);
    }
    if (!settled) {
      for (int l : group->components) {
        if (Flows(l)) worst_misfit_ = std::max(worst_misfit_, std::abs(lines_[Index(l)].misfit));
      }
      for (int i : group->points) {
        const auto node = Index(i);
        if (!in_cavity_[node]) worst_imbalance_ = std::max(worst_imbalance_, std::abs(net_[node]));
      }
    }
    if (!ChangeSides(*group, round)) return;
    group->without_history = std::max(group->without_history, 1);
  }
}

// --- Newton on one group -------------------------------------------------------------------------

DropSlope PointSolver::DropOf(int component, double q) const {
  const auto l = Index(component);
  if (pumps_[l] != nullptr) return pumps_[l]->DropAt(q);
  const Law& law = plan_.laws[l];
  const auto* one_way = std::get_if<OneWayLaw>(&law);
  if (one_way != nullptr && q < 0.0) {
    if (flaps_[l] == nullptr) {
      const double slope = one_way->At(0.0).slope;
      return {one_way->crack + slope * q, slope};
    }
    const DropSlope back = one_way->loss.At(q);
    return {one_way->crack + back.drop, back.slope};
  }
  DropSlope at = EvaluateLaw(law, q);
  if (inertance_[l] == 0.0) return at;
  const double per_step = inertance_[l] / time_step_;
  if (use_history_) {
    at.drop += per_step * (1.5 * (q - before_[l]) - 0.5 * (before_[l] - before_that_[l]));
    at.slope += 1.5 * per_step;
  } else {
    at.drop += per_step * (q - before_[l]);
    at.slope += per_step;
  }
  return at;
}

bool PointSolver::Flows(int component) const {
  const auto l = Index(component);
  if (pumps_[l] != nullptr) return true;
  return !rests_[l] && !IsShut(plan_.laws[l]) && modes_[l] != ControlMode::kShut &&
         modes_[l] != ControlMode::kAtLimit;
}

PointSolver::Linearised PointSolver::Linearise(int component) const {
  const auto l = Index(component);
  const double from = head_[Index(plan_.from[l])], to = head_[Index(plan_.to[l])];
  if (!IsGoverned(modes_[l])) {
    const DropSlope at = DropOf(component, flow_[l]);
    return {from - to - at.drop, 1.0 / std::max(at.slope, kLeastSlope), true, true};
  }
  const ControlJudge judge(plan_, *controls_[l]);
  const double ground = judge.GroundHead(modes_[l]);
  const DropSlope at = EvaluateLaw(judge.GovernedLaw(), flow_[l]);
  const bool by_from = modes_[l] == ControlMode::kByFrom;
  return {(by_from ? from - ground : ground - to) - at.drop, 1.0 / at.slope, by_from, !by_from};
}

void PointSolver::AddPoints(const Group& group) {
  const std::size_t count = group.points.size();
  for (std::size_t i = 0; i < count; ++i) {
    const auto node = Index(group.points[i]);
    const double head = head_[node];
    double net = pull_[node] - sum_[node] * head, slope = sum_[node];
    double scale = std::abs(pull_[node]) + std::abs(sum_[node] * head);
    if (!plan_.IsFixed(group.points[i])) {
      net -= plan_.net_draw[node];
      scale += std::abs(plan_.net_draw[node]);
    }
    if (area_[node] > 0.0) {
      const double stiffness = area_[node] / (theta_ * time_step_);
      net -= stiffness * (head - head_before_[node] - gas_gained_[node]) -
             (1.0 - theta_) / theta_ * inflow_before_[node];
      slope += stiffness;
      scale += stiffness * std::abs(head);
    }
    if (closing_[node]) net -= cavity_[node] / time_step_;
    net_[node] = net;
    scale_[node] = scale;
    matrix_[i * count + i] = slope;
    right_[i] = net;
  }
}

void PointSolver::AddComponents(const Group& group) {
  const std::size_t count = group.points.size();
  for (int component : group.components) {
    const auto l = Index(component);
    const int a = PlaceOf(plan_.from[l]), b = PlaceOf(plan_.to[l]);
    double stretch = 0.0;  // what the flow would change at these heads
    if (Flows(component)) {
      const Linearised line = lines_[l] = Linearise(component);
      stretch = line.conductance * line.misfit;
      const auto add = [&](int row, int column, double y) {
        if (row < 0 || column < 0) return;
        matrix_[Index(row) * count + Index(column)] += y;
      };
      if (line.sees_from) {
        add(a, a, line.conductance);
        add(b, a, -line.conductance);
      }
      if (line.sees_to) {
        add(b, b, line.conductance);
        add(a, b, -line.conductance);
      }
    } else {
      const bool limited = !rests_[l] && modes_[l] == ControlMode::kAtLimit;
      flow_[l] = limited ? ControlJudge(plan_, *controls_[l]).set_flow() : 0.0;
    }
    const auto pass = [&](int place, double flow, double then) {
      if (place < 0) return;
      const auto node = Index(group.points[Index(place)]);
      net_[node] += flow;
      scale_[node] += std::abs(flow);
      right_[Index(place)] += flow + then;
    };
    pass(a, -flow_[l], -stretch);
    pass(b, flow_[l], stretch);
  }
}

bool PointSolver::Balances(const Group& group) const {
  for (int l : group.components) {
    if (!Flows(l)) continue;
    const double heads =
        std::abs(head_[Index(plan_.from[Index(l)])]) + std::abs(head_[Index(plan_.to[Index(l)])]);
    if (!(std::abs(lines_[Index(l)].misfit) <= kHeadTolerance + 1e-14 * heads)) return false;
  }
  for (int i : group.points) {
    if (in_cavity_[Index(i)]) {
      if (head_[Index(i)] != vapour_head_[Index(i)]) return false;
    } else if (floats_[Index(PlaceOf(i))]) {
      continue;  // nothing can flow to or from it
    } else if (!(std::abs(net_[Index(i)]) <= 1e-16 + 4e-15 * scale_[Index(i)])) {
      return false;
    }
  }
  return true;
}

bool PointSolver::Iterate(const Group& group, int iteration) {
  const double step = iteration < kFullSteps ? 1.0 : 0.5;
  const std::size_t count = group.points.size();
  if (iteration == 0) std::fill_n(floats_.begin(), count, false);
  std::fill_n(matrix_.begin(), count * count, 0.0);
  AddPoints(group);
  AddComponents(group);
  if (Balances(group)) return true;
  for (std::size_t i = 0; i < count; ++i) {
    const auto node = Index(group.points[i]);
    if (!in_cavity_[node]) continue;
    std::fill_n(&matrix_[i * count], count, 0.0);
    matrix_[i * count + i] = 1.0;
    right_[i] = (vapour_head_[node] - head_[node]) / step;
  }
  Eliminate(count);
  Correct(group, step);
  if (iteration >= kPatience) MoveOntoLaws(group);
  return false;
}

// Rows and columns of an M-matrix, column by column dominant, need no pivoting. right_ becomes the
// corrections of the heads.
void PointSolver::Eliminate(std::size_t n) {
  double* const m = matrix_.data();
  for (std::size_t k = 0; k < n; ++k) {
    double* const row = m + k * n;
    for (std::size_t i = k + 1; i < n; ++i) {
      double* const below = m + i * n;
      if (below[k] == 0.0 || row[k] == 0.0) continue;
      const double factor = below[k] / row[k];
      below[k] = 0.0;
      const double whole = below[i];
      for (std::size_t j = k + 1; j < n; ++j) below[j] -= factor * row[j];
      if (below[i] <= kTiesDown * whole) below[i] = 0.0;  // nothing ties this point down
      right_[i] -= factor * right_[k];
    }
  }
  for (std::size_t k = n; k-- > 0;) {
    const double* const row = m + k * n;
    floats_[k] = row[k] == 0.0;
    if (floats_[k]) {
      right_[k] = 0.0;
      continue;
    }
    double sum = right_[k];
    for (std::size_t j = k + 1; j < n; ++j) sum -= row[j] * right_[j];
    right_[k] = sum / row[k];
  }
}

void PointSolver::Correct(const Group& group, double step) {
  for (int component : group.components) {
    if (!Flows(component)) continue;
    const auto l = Index(component);
    const int a = PlaceOf(plan_.from[l]), b = PlaceOf(plan_.to[l]);
    const Linearised& line = lines_[l];
    double push = line.misfit;
    if (line.sees_from && a >= 0) push += right_[Index(a)];
    if (line.sees_to && b >= 0) push -= right_[Index(b)];
    line_flow_[l] = flow_[l];
    flow_[l] += step * line.conductance * push;
  }
  for (std::size_t i = 0; i < group.points.size(); ++i) {
    const auto node = Index(group.points[i]);
    head_[node] += step * right_[i];
    if (in_cavity_[node]) head_[node] = vapour_head_[node];
  }
}

void PointSolver::MoveOntoLaws(const Group& group) {
  for (int component : group.components) {
    const auto l = Index(component);
    if (!Flows(component) || IsGoverned(modes_[l])) continue;
    const double found = flow_[l];
    const double drop = head_[Index(plan_.from[l])] - head_[Index(plan_.to[l])];
    const double misfit = drop - DropOf(component, found).drop;
    if (std::abs(misfit) <= 0.5 * std::abs(lines_[l].misfit)) continue;
    flow_[l] = FlowBetween(component, line_flow_[l], found);
  }
}

// The flow between two that has the present drop, by halving; b if it is not between them.
double PointSolver::FlowBetween(int component, double a, double b) const {
  const auto l = Index(component);
  const double drop = head_[Index(plan_.from[l])] - head_[Index(plan_.to[l])];
  const bool rising = a < b;
  if ((DropOf(component, a).drop <= drop) != rising) return b;
  if ((DropOf(component, b).drop >= drop) != rising) return b;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (a + b);
    ((DropOf(component, middle).drop <= drop) == rising ? a : b) = middle;
  }
  return 0.5 * (a + b);
}

// --- Parts that change sides ---------------------------------------------------------------------

bool PointSolver::ChangeSides(const Group& group, int round) {
  bool changed = false;
  const bool late = round + 1 >= kMaxRounds;
  if (late) return false;
  for (int l : group.components) {
    if (flips_[Index(l)] >= kMaxFlips) continue;
    if (!ChangeOneWay(l) && !ChangeControl(l)) continue;
    ++flips_[Index(l)];
    changed = true;
  }
  if (!cavities_) return changed;
  for (int i : group.points) changed |= ChangeCavity(i);
  return changed;
}

bool PointSolver::ChangeOneWay(int component) {
  const auto l = Index(component);
  const auto* law = std::get_if<OneWayLaw>(&plan_.laws[l]);
  if (law == nullptr || pumps_[l] != nullptr) return false;
  if (!LawGoverns(modes_[l])) return false;
  if (rests_[l]) {
    const double drop = head_[Index(plan_.from[l])] - head_[Index(plan_.to[l])];
    if (drop <= law->crack + kOpens) return false;
    rests_[l] = 0;
    flow_[l] = law->FlowNear(drop);
    if (flaps_[l] != nullptr) flaps_[l]->Open();
    return true;
  }
  if (flow_[l] >= -kReverses) return false;
  if (flaps_[l] != nullptr) {
    // One that opened in this very step, while others changed sides, has not opened.
    if (!flaps_[l]->follows_at_once() && !rested_[l]) return false;
    flaps_[l]->Shut();
  }
  rests_[l] = 1;
  flow_[l] = 0.0;
  return true;
}

bool PointSolver::ChangeControl(int component) {
  const auto l = Index(component);
  if (controls_[l] == nullptr || rests_[l] || pumps_[l] != nullptr || IsShut(plan_.laws[l])) {
    return false;
  }
  const ControlMode next = ControlJudge(plan_, *controls_[l])
                               .NextMode(modes_[l], flow_[l], head_[Index(plan_.from[l])],
                                         head_[Index(plan_.to[l])], kModeFlow, kModeHead);
  if (next == modes_[l]) return false;
  modes_[l] = next;
  return true;
}

// One that has changed its mind too often may only shut: that raises its head, and so lets no other
// open.
bool PointSolver::ChangeCavity(int point) {
  const auto i = Index(point);
  if (plan_.IsFixed(point)) return false;
  const bool may_open = cavity_flips_[i] < kMaxFlips;
  if (in_cavity_[i]) {
    if (cavity_[i] - time_step_ * net_[i] > 0.0) return false;
  } else if (closing_[i] && floats_[Index(PlaceOf(point))]) {  // nothing can fill it
    if (!may_open || cavity_[i] <= 0.0) return false;
  } else if (!may_open || head_[i] >= vapour_head_[i] - kOpens) {
    return false;
  }
  ++cavity_flips_[i];
  in_cavity_[i] = !in_cavity_[i];
  closing_[i] = !in_cavity_[i];
  return true;
}

// --- The end of a step ---------------------------------------------------------------------------

void PointSolver::Finish(Group* group) {
  for (int i : group->points) net_[Index(i)] = 0.0;
  for (std::size_t e : group->ends) {
    ElasticPipes::End& end = pipes_->ends()[e];
    pipes_->SetEnd(&end, head_[Index(end.point)]);
    net_[Index(end.point)] += end.at_to ? end.flow : -end.flow;
  }
  for (int l : group->components) {
    const int from = plan_.from[Index(l)], to = plan_.to[Index(l)];
    if (IsUnknown(from)) net_[Index(from)] -= flow_[Index(l)];
    if (IsUnknown(to)) net_[Index(to)] += flow_[Index(l)];
  }
  for (int i : group->points) FinishPoint(i, net_[Index(i)]);
}

void PointSolver::FinishPoint(int point, double net) {
  const auto i = Index(point);
  if (area_[i] > 0.0) {
    // The level from what flowed, not from Newton's head: the liquid balances to round-off.
    inflow_[i] = net;
    head_[i] = head_before_[i] + gas_gained_[i] +
               time_step_ / area_[i] * (theta_ * net + (1.0 - theta_) * inflow_before_[i]);
    gas_gained_[i] = 0.0;
    return;
  }
  net -= plan_.net_draw[i];
  cavity_shrinks_[i] = 0.0;
  if (!in_cavity_[i] && !closing_[i]) return;
  const double before = cavity_[i];
  cavity_[i] -= time_step_ * net;
  cavity_shrinks_[i] = net;
  constexpr double kRoundOff = 1e-9;  // of what was to be filled
  if (closing_[i] && std::abs(cavity_[i]) <= kRoundOff * std::abs(before)) cavity_[i] = 0.0;
  largest_cavity_[i] = std::max(largest_cavity_[i], cavity_[i]);
}

void PointSolver::SumFixedInflows() {
  for (int i = plan_.num_free; i < plan_.num_nodes(); ++i) {
    if (!IsUnknown(i)) inflow_[Index(i)] = 0.0;
  }
  for (std::size_t e : fixed_ends_) {
    const ElasticPipes::End& end = pipes_->ends()[e];
    inflow_[Index(end.point)] += end.at_to ? end.flow : -end.flow;
  }
  for (int l : lumped_) {
    const int from = plan_.from[Index(l)], to = plan_.to[Index(l)];
    if (!IsUnknown(from)) inflow_[Index(from)] -= flow_[Index(l)];
    if (!IsUnknown(to)) inflow_[Index(to)] += flow_[Index(l)];
  }
}

// Of vessels with an area, to begin with; later the groups see to it.
void PointSolver::SumVesselInflows() {
  for (const ElasticPipes::End& end : pipes_->ends()) {
    if (area_[Index(end.point)] > 0.0)
      inflow_[Index(end.point)] += end.at_to ? end.flow : -end.flow;
  }
  for (int l : lumped_) {
    const int from = plan_.from[Index(l)], to = plan_.to[Index(l)];
    if (area_[Index(from)] > 0.0) inflow_[Index(from)] -= flow_[Index(l)];
    if (area_[Index(to)] > 0.0) inflow_[Index(to)] += flow_[Index(l)];
  }
}

// The trapezoidal rule rings where levels meet and the flow between them comes to rest; then a step
// by Euler's backward rule damps it. With elastic pipes, whose balance is trapezoidal, nothing is
// that stiff.
void PointSolver::ChooseTheta() {
  next_theta_ = 0.5;
  if (pipes_->num_pipes() > 0) return;
  for (int i = plan_.num_free; i < plan_.num_nodes(); ++i) {
    if (area_[Index(i)] > 0.0 && inflow_[Index(i)] * inflow_before_[Index(i)] < 0.0) {
      next_theta_ = 1.0;
    }
  }
}

double PointSolver::CavityVolume() const {
  double volume = 0.0;
  for (int i = 0; i < plan_.num_free; ++i) {
    volume += cavity_[Index(i)] + 0.5 * time_step_ * cavity_shrinks_[Index(i)];
  }
  return volume;
}

}  // namespace handwheel
