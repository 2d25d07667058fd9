#include "batch/lane_engine.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "steady/controls.h"
#include "steady/flow_graph.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr int kMostPasses = 40;
// Beyond the caller's tolerances a pass or two more bring the mass balance to round-off.
constexpr double kRoundOff = 1e-12;  // of the largest flow
constexpr int kPolishPasses = 4;
constexpr double kWorstImbalance = 1e-11;  // of the largest flow

double HeadOf(const Vessel& vessel, double weight) {
  return vessel.elevation + vessel.level + vessel.gas_pressure / weight;
}

}  // namespace

LaneEngine::LaneEngine(const LaneNetwork& network, const LaneKernels& kernels,
                       const SteadyOptions& options)
    : network_(network), kernels_(kernels), options_(options), pattern_plan_(network.plan()) {
  const LanePlan& plan = network.lanes();
  const std::size_t lanes = kernels.lanes;
  const auto array = [&](std::size_t count) { return LaneArray(count, lanes); };
  arrays_.flow = array(plan.num_components());
  arrays_.conductance = array(plan.num_components());
  arrays_.misfit = array(plan.num_components());
  arrays_.head = array(plan.num_nodes);
  arrays_.correction = array(plan.num_nodes);
  arrays_.right_side = array(plan.num_nodes);
  arrays_.feed = array(plan.num_nodes);
  arrays_.valve_r = array(plan.num_valves);
  arrays_.valve_rev_per_flow = array(plan.num_valves);
  arrays_.valve_turbulent_from = array(plan.num_valves);
  arrays_.root = array(plan.num_pipes);
  arrays_.values = array(plan.program->num_values + 1);
  arrays_.scratch = array(plan.program->scratch_size());
  lanes_.resize(lanes);
  own_.resize(network.components().size() * lanes);
  memory_.resize(plan.num_others * lanes);
  left_.reserve(lanes);
  flow_.resize(plan.num_components());
  head_.resize(plan.num_nodes);
  balance_.resize(plan.num_nodes);
  zone_parent_.resize(Index(network.num_zones()));
  zone_is_shut_in_.resize(zone_parent_.size());
  const auto listed = Index(network.plan().num_listed);
  velocity_.resize(listed);
  drop_.resize(listed);
  point_head_.resize(network.network().vessels.size() + network.network().junctions.size());
  pressure_.resize(point_head_.size());
  // An empty lane computes along with the others; let it be a harmless scenario.
  for (std::size_t lane = 0; lane < lanes; ++lane) {
    PutStart(lane);
    for (std::size_t v = 0; v < network.components().size(); ++v) {
      PutLaw(v, lane);
      SumConductance(v, lane);
    }
  }
}

// --- Laws in vectors, one lane of them ----------------------------------------------------------

DropSlope LaneEngine::Valve(std::size_t valve, std::size_t lane, double flow) {
  return EvaluateNow(network_.lanes().first_valve() + valve, lane, flow);
}

DropSlope LaneEngine::Loss(std::size_t loss, double flow) {
  return EvaluateLaw(network_.LawOf(network_.lanes().first_loss() + loss), flow);
}

DropSlope LaneEngine::EvaluateNow(std::size_t i, std::size_t lane, double flow) {
  const int varied = network_.VariedIndex(i);
  if (varied < 0) return EvaluateLaw(network_.LawOf(i), flow);
  Own& own = OwnOf(Index(varied), lane);
  const auto& throttle = network_.components()[Index(varied)].throttle;
  if (!throttle) return EvaluateLaw(own.law, flow);
  const double size = std::abs(flow), rev = own.plain.rev_per_flow * size;
  if (rev >= throttle->turbulent_from()) {
    const double ratio = own.plain.r * size;
    return {ratio * flow, ratio + ratio};
  }
  if (rev >= ViscousFactor::kAboveLaminar) {
    if (!own.above_laminar) own.above_laminar = throttle->LawAboveLaminar(own.plain);
    return own.above_laminar->At(flow);
  }
  if (!own.viscous) own.viscous = throttle->ViscousLawAt(own.plain);
  return own.viscous->At(flow);
}

// --- A scenario gets a lane ---------------------------------------------------------------------

bool LaneEngine::Admit(const ScenarioNetwork& scenario, std::size_t row) {
  const auto free =
      std::find_if(lanes_.begin(), lanes_.end(), [](const Lane& lane) { return !lane.busy; });
  const auto lane = static_cast<std::size_t>(free - lanes_.begin());
  if (!TakeLaws(scenario, lane) || !SurelyFeasible(scenario, lane)) return false;
  PutStart(lane);
  PutHeads(scenario, lane);
  PutDraws(scenario, lane);
  for (std::size_t v = 0; v < network_.components().size(); ++v) PutLaw(v, lane);
  for (const VariedPoint& vessel : network_.vessels()) {
    for (const std::size_t i : vessel.neighbours) {
      if (network_.VariedIndex(i) >= 0) continue;
      Replace(i, lane, network_.start().flow[i], network_.start().resting[i]);
    }
  }
  for (std::size_t v = 0; v < network_.components().size(); ++v) SumConductance(v, lane);
  *free = {.busy = true, .row = row};
  ++num_busy_;
  return true;
}

bool LaneEngine::TakeLaws(const ScenarioNetwork& scenario, std::size_t lane) {
  const Plan& plan = network_.plan();
  for (std::size_t v = 0; v < network_.components().size(); ++v) {
    const VariedComponent& varied = network_.components()[v];
    Own& own = OwnOf(v, lane);
    const void* part = scenario.Part(varied.part);
    if (varied.throttle) {
      own.opening = static_cast<const handwheel::Valve*>(part)->opening;
      own.plain = varied.throttle->PlainAt(own.opening);
      own.viscous.reset();
      own.above_laminar.reset();
      own.start_flow = plan.area[varied.component];  // at 1 m/s
      own.area = plan.area[varied.component];
      continue;
    }
    if (scenario.IsHandValve(varied.part)) {
      // What leaks to the open air would be one component more, or less.
      const auto& valve = *static_cast<const handwheel::Valve*>(part);
      if (valve.condition == "diaphragm cut") return false;
      if (std::find(plan.leaks_from.begin(), plan.leaks_from.end(),
                    static_cast<int>(varied.component)) != plan.leaks_from.end()) {
        return false;
      }
    }
    ComponentLaw made = varied.make(part, network_.context());
    own.law = std::move(made.law);
    own.start_flow = made.start_flow;
    own.area = made.area.value_or(kNaN);
    own.choke.reset();
    if (made.control) {
      const auto* choke = std::get_if<Choke>(&*made.control);
      if (!choke) return false;
      own.choke = *choke;
    }
  }
  return true;
}

bool LaneEngine::IsShutNow(std::size_t varied, std::size_t lane) const {
  const Own& own = OwnOf(varied, lane);
  return network_.components()[varied].throttle ? std::isinf(own.plain.k) : IsShut(own.law);
}

bool LaneEngine::IsOneWayNow(std::size_t lane_index, std::size_t lane) const {
  const int varied = network_.VariedIndex(lane_index);
  if (varied < 0) return IsOneWay(network_.LawOf(lane_index));
  return !network_.components()[Index(varied)].throttle && IsOneWay(OwnOf(Index(varied), lane).law);
}

// Whether solutions exist follows from what the varied parts let through, and from which points
// draw and feed: judged once for each pattern. Where amounts matter, the answer is no.
bool LaneEngine::SurelyFeasible(const ScenarioNetwork& scenario, std::size_t lane) {
  pattern_.clear();
  for (std::size_t v = 0; v < network_.components().size(); ++v) {
    const std::size_t i = network_.components()[v].lane_index;
    pattern_ += IsShutNow(v, lane) ? 's' : IsOneWayNow(i, lane) ? 'o' : 'b';
  }
  for (const VariedPoint& point : network_.junctions()) {
    const auto& junction = *static_cast<const Junction*>(scenario.Part(point.part));
    const double draw = junction.draw - junction.feed;
    pattern_ += draw > 0.0 ? 'd' : draw < 0.0 ? 'f' : '0';
  }
  const auto known = known_patterns_.find(pattern_);
  if (known != known_patterns_.end()) return known->second;
  return known_patterns_.emplace(pattern_, JudgeFeasibility()).first->second;
}

bool LaneEngine::JudgeFeasibility() {
  std::size_t at = 0;
  for (const VariedComponent& varied : network_.components()) {
    const char through = pattern_[at++];
    Law& law = pattern_plan_.laws[varied.component];
    if (through == 's') law = ShutLaw{};
    if (through == 'o') law = OneWayLaw{};
    if (through == 'b') law = LinearLaw{1.0, 0.0};
  }
  for (const VariedPoint& point : network_.junctions()) {
    const char draws = pattern_[at++];
    pattern_plan_.net_draw[point.point] = draws == 'd' ? 1.0 : draws == 'f' ? -1.0 : 0.0;
  }
  const FlowGraph graph(pattern_plan_);
  const auto fed = graph.Reach(graph.FixedNodes(), FlowGraph::Along::kFlow);
  const auto drained = graph.Reach(graph.FixedNodes(), FlowGraph::Along::kAgainst);
  for (std::size_t i = 0; i < pattern_plan_.net_draw.size(); ++i) {
    const double draw = pattern_plan_.net_draw[i];
    if ((draw > 0.0 && !fed[i]) || (draw < 0.0 && !drained[i])) return false;
  }
  return true;
}

void LaneEngine::PutStart(std::size_t lane) {
  const LaneNetwork::Start& start = network_.start();
  const auto put = [&](const std::vector<double>& from, LaneArray* into) {
    double* to = into->data() + lane;
    for (const double value : from) {
      *to = value;
      to += kernels_.lanes;
    }
  };
  put(start.flow, &arrays_.flow);
  put(start.conductance, &arrays_.conductance);
  put(start.misfit, &arrays_.misfit);
  put(start.head, &arrays_.head);
  put(start.feed, &arrays_.feed);
  put(start.right_side, &arrays_.right_side);
  put(start.root, &arrays_.root);
  put(start.values, &arrays_.values);
  put(start.valve_r, &arrays_.valve_r);
  put(start.valve_rev_per_flow, &arrays_.valve_rev_per_flow);
  put(start.valve_turbulent_from, &arrays_.valve_turbulent_from);
  const std::size_t first = network_.lanes().first_other();
  for (std::size_t k = 0; k < network_.lanes().num_others; ++k) {
    memory_[At(k, lane)] = {.resting = start.resting[first + k]};
  }
}

void LaneEngine::PutHeads(const ScenarioNetwork& scenario, std::size_t lane) {
  for (const VariedPoint& point : network_.vessels()) {
    const auto& vessel = *static_cast<const Vessel*>(scenario.Part(point.part));
    arrays_.head.data()[At(point.node, lane)] = HeadOf(vessel, network_.plan().Weight());
  }
}

void LaneEngine::PutDraws(const ScenarioNetwork& scenario, std::size_t lane) {
  for (const VariedPoint& point : network_.junctions()) {
    const auto& junction = *static_cast<const Junction*>(scenario.Part(point.part));
    double& feed = arrays_.feed.data()[At(point.node, lane)];
    const double was = feed;
    feed = -(junction.draw - junction.feed);
    arrays_.right_side.data()[At(point.node, lane)] += feed - was;
  }
}

// The point of its curve where a varied component starts: the flow at the start of all, or, where
// that is none, about 1 m/s down the head across it.
void LaneEngine::PutLaw(std::size_t varied, std::size_t lane) {
  const VariedComponent& component = network_.components()[varied];
  const std::size_t i = component.lane_index;
  const Own& own = OwnOf(varied, lane);
  if (component.throttle) {
    const std::size_t valve = At(i - network_.lanes().first_valve(), lane);
    arrays_.valve_r.data()[valve] = own.plain.r;
    arrays_.valve_rev_per_flow.data()[valve] = own.plain.rev_per_flow;
    arrays_.valve_turbulent_from.data()[valve] = component.throttle->turbulent_from();
  }
  double flow = network_.start().flow[i];
  bool resting = IsShutNow(varied, lane);
  if (!resting && IsOneWayNow(i, lane)) {
    resting = flow <= 0.0;
  } else if (!resting && flow == 0.0) {
    const LanePlace& place = network_.lanes().places[i];
    const double* head = arrays_.head.data();
    flow = std::copysign(own.start_flow, head[At(place.from, lane)] - head[At(place.to, lane)]);
  }
  Replace(i, lane, flow, resting);
}

// Sets a component's point and linearisation, and mends the right-hand side.
void LaneEngine::Replace(std::size_t i, std::size_t lane, double flow, bool resting) {
  const LanePlace& place = network_.lanes().places[i];
  const std::size_t at = At(i, lane), from = At(place.from, lane), to = At(place.to, lane);
  double& conductance = arrays_.conductance.data()[at];
  double& misfit = arrays_.misfit.data()[at];
  double& old_flow = arrays_.flow.data()[at];
  const double wanted = old_flow + conductance * misfit;
  old_flow = resting ? 0.0 : flow;
  conductance = kTokenConductance;
  misfit = 0.0;
  if (!resting) {
    const DropSlope drop = EvaluateNow(i, lane, flow);
    conductance = 1.0 / std::max(drop.slope, kLeastSlope);
    misfit = arrays_.head.data()[from] - arrays_.head.data()[to] - drop.drop;
  }
  const std::size_t first_other = network_.lanes().first_other();
  if (i >= first_other) memory_[At(i - first_other, lane)] = {.resting = resting};
  const double change = old_flow + conductance * misfit - wanted;
  arrays_.right_side.data()[from] -= change;
  arrays_.right_side.data()[to] += change;
}

// Anew, not by a difference: that would lose the digits of a small conductance after a large one.
void LaneEngine::SumConductance(std::size_t varied, std::size_t lane) {
  double sum = 0.0;
  for (const std::uint32_t i : network_.SharersOf(varied)) {
    sum += arrays_.conductance.data()[At(i, lane)];
  }
  const std::size_t i = network_.components()[varied].lane_index;
  arrays_.values.data()[At(network_.lanes().places[i].conductance, lane)] = sum;
}

// --- A pass -------------------------------------------------------------------------------------

void LaneEngine::Pass() {
  left_.clear();
  kernels_.solve(network_.lanes(), arrays_);
  kernels_.sweep(network_.lanes(), arrays_, *this);
  SweepOthers();
  for (std::size_t lane = 0; lane < lanes_.size(); ++lane) {
    if (lanes_[lane].busy) Visit(lane);
  }
}

void LaneEngine::SweepOthers() {
  for (std::size_t k = 0; k < network_.lanes().num_others; ++k) {
    for (std::size_t lane = 0; lane < lanes_.size(); ++lane) SweepOther(k, lane);
  }
}

void LaneEngine::SweepOther(std::size_t k, std::size_t lane) {
  const std::size_t i = network_.lanes().first_other() + k;
  const LanePlace& place = network_.lanes().places[i];
  const std::size_t at = At(i, lane), from = At(place.from, lane), to = At(place.to, lane);
  const int varied = network_.VariedIndex(i);
  const Law& law = varied < 0 ? network_.LawOf(i) : OwnOf(Index(varied), lane).law;
  double& flow = arrays_.flow.data()[at];
  double& conductance = arrays_.conductance.data()[at];
  double& misfit = arrays_.misfit.data()[at];
  const double head_from = arrays_.head.data()[from], head_to = arrays_.head.data()[to];
  PartMemory& memory = memory_[At(k, lane)];
  if (!IsShut(law)) {
    const double rise = arrays_.correction.data()[from] - arrays_.correction.data()[to];
    const double start_flow = varied < 0 ? network_.plan().start_flow[network_.ComponentOf(i)]
                                         : OwnOf(Index(varied), lane).start_flow;
    const double before = flow;
    flow = NextFlow(law,
                    {.flow = flow,
                     .predicted = flow + conductance * (misfit + rise),
                     .head_difference = head_from - head_to,
                     .head_round_off = HeadRoundOff(head_from, head_to),
                     .start_flow = start_flow},
                    &memory);
    arrays_.change[lane] = std::max(arrays_.change[lane], std::abs(flow - before));
  }
  if (memory.resting) {
    flow = 0.0;
    conductance = kTokenConductance;
    misfit = 0.0;
    const double excess = ExcessOverHold(law, head_from - head_to);
    arrays_.head_misfit[lane] = std::max(arrays_.head_misfit[lane], excess);
    if (excess > HeadRoundOff(head_from, head_to)) arrays_.step[lane] = kInfinity;
  } else {
    const DropSlope drop = EvaluateLaw(law, flow);
    conductance = 1.0 / std::max(drop.slope, kLeastSlope);
    misfit = head_from - head_to - drop.drop;
    arrays_.head_misfit[lane] = std::max(arrays_.head_misfit[lane], std::abs(misfit));
    arrays_.step[lane] = std::max(arrays_.step[lane], std::abs(conductance * misfit));
    arrays_.largest_flow[lane] = std::max(arrays_.largest_flow[lane], std::abs(flow));
  }
  arrays_.values.data()[At(place.conductance, lane)] += conductance;
  const double wanted = flow + conductance * misfit;
  arrays_.right_side.data()[from] -= wanted;
  arrays_.right_side.data()[to] += wanted;
}

// As NewtonSolver, where heads have digits enough.
bool LaneEngine::WithinTolerances(std::size_t lane) const {
  const double allowed =
      options_.step_tolerance * std::max(arrays_.largest_flow[lane], kSmallestFlowScale);
  return arrays_.head_misfit[lane] <= options_.head_tolerance &&
         (arrays_.step[lane] <= allowed ||
          (arrays_.step[lane] < kInfinity && arrays_.change[lane] <= allowed));
}

void LaneEngine::Visit(std::size_t lane) {
  Lane& state = lanes_[lane];
  const int limit = options_.max_num_iterations > 0
                        ? std::min(options_.max_num_iterations, kMostPasses)
                        : kMostPasses;
  const bool last = ++state.passes >= std::min(limit, options_.max_full_steps);
  if (!WithinTolerances(lane)) {
    if (last) Leave(lane, false);
    return;
  }
  if (!Gather(lane)) return Leave(lane, false);
  MeasureImbalance();
  const bool to_round_off = imbalance_ <= kRoundOff * largest_flow_;
  if (!to_round_off && !last && state.polish_passes++ < kPolishPasses) return;
  const bool balanced = imbalance_ <= options_.flow_tolerance &&
                        imbalance_ <= std::max(kWorstImbalance * largest_flow_, 1e-20);
  if (!balanced || AnyValveChokes(lane)) return Leave(lane, false);
  Write(lane);
  Leave(lane, true);
}

void LaneEngine::Leave(std::size_t lane, bool solved) {
  lanes_[lane].busy = false;
  --num_busy_;
  left_.push_back({lanes_[lane].row, solved, ShareOfFlow(imbalance_, largest_flow_)});
}

void LaneEngine::Abandon() {
  for (Lane& lane : lanes_) lane.busy = false;
  num_busy_ = 0;
  left_.clear();
}

// --- A scenario that has converged --------------------------------------------------------------

bool LaneEngine::Gather(std::size_t lane) {
  bool finite = true;
  const double* flow = arrays_.flow.data();
  for (std::size_t i = 0; i < flow_.size(); ++i) {
    flow_[network_.ComponentOf(i)] = flow[At(i, lane)];
    finite = finite && std::isfinite(flow[At(i, lane)]);
  }
  const double* head = arrays_.head.data();
  for (std::size_t i = 0; i < head_.size(); ++i) {
    head_[i] = head[At(network_.LaneNode(static_cast<int>(i)), lane)];
    finite = finite && std::isfinite(head_[i]);
  }
  if (!finite) return false;
  const double* feed = arrays_.feed.data();
  for (std::size_t i = 0; i < balance_.size(); ++i) {
    balance_[i] = feed[At(network_.LaneNode(static_cast<int>(i)), lane)];
  }
  return true;
}

void LaneEngine::MeasureImbalance() {
  const Plan& plan = network_.plan();
  largest_flow_ = 0.0;
  for (int i = 0; i < plan.num_free; ++i) {
    largest_flow_ = std::max(largest_flow_, std::abs(balance_[Index(i)]));
  }
  for (std::size_t l = 0; l < flow_.size(); ++l) {
    balance_[Index(plan.from[l])] -= flow_[l];
    balance_[Index(plan.to[l])] += flow_[l];
    largest_flow_ = std::max(largest_flow_, std::abs(flow_[l]));
  }
  imbalance_ = 0.0;
  for (int i = 0; i < plan.num_free; ++i) {
    imbalance_ = std::max(imbalance_, std::abs(balance_[Index(i)]));
  }
}

bool LaneEngine::AnyValveChokes(std::size_t lane) const {
  const Plan& plan = network_.plan();
  const std::size_t first = network_.first_valve();
  for (std::size_t valve = 0; valve < network_.network().valves.size(); ++valve) {
    const std::size_t l = first + valve;
    const int varied = network_.VariedIndex(network_.LaneIndex(l));
    Choke choke{};
    if (varied < 0) {
      if (!network_.ChokeOf(valve)) continue;
      choke = *network_.ChokeOf(valve);
    } else if (const auto& throttle = network_.components()[Index(varied)].throttle) {
      if (IsShutNow(Index(varied), lane)) continue;
      choke = Choke{throttle->ChokingLossAt(OwnOf(Index(varied), lane).plain)};
    } else {
      const Own& own = OwnOf(Index(varied), lane);
      if (!own.choke) continue;
      choke = *own.choke;
    }
    const PlanControl control{static_cast<int>(l), choke};
    const ControlMode mode =
        ControlJudge(plan, control).NextMode(ControlMode::kFree, flow_[l], head_, options_);
    if (mode != ControlMode::kFree) return true;
  }
  return false;
}

int LaneEngine::FindZone(int zone) {
  while (zone_parent_[Index(zone)] != zone) zone = zone_parent_[Index(zone)];
  return zone;
}

// Joins the zones that open varied parts and one-way parts in flow join.
void LaneEngine::FindShutIn(std::size_t lane) {
  constexpr double kNoFlow = 1e-15;  // [m³/s]: as ShutInNodes()
  for (std::size_t z = 0; z < zone_parent_.size(); ++z) zone_parent_[z] = static_cast<int>(z);
  for (const LaneNetwork::Link& link : network_.links()) {
    const int varied = network_.VariedIndex(link.lane_index);
    if (varied >= 0 && IsShutNow(Index(varied), lane)) continue;
    if (IsOneWayNow(link.lane_index, lane) &&
        !(flow_[network_.ComponentOf(link.lane_index)] > kNoFlow)) {
      continue;
    }
    const int from = FindZone(link.zone_from), to = FindZone(link.zone_to);
    // The smaller number leads: 0 is joined to a fixed head.
    zone_parent_[Index(std::max(from, to))] = std::min(from, to);
  }
  for (std::size_t z = 0; z < zone_parent_.size(); ++z) {
    zone_is_shut_in_[z] = FindZone(static_cast<int>(z)) != 0;
  }
}

void LaneEngine::Write(std::size_t lane) {
  const Plan& plan = network_.plan();
  FindShutIn(lane);
  const bool any_shut_in =
      std::any_of(zone_is_shut_in_.begin(), zone_is_shut_in_.end(), [](char is) { return is; });
  const auto is_shut_in = [&](int node) {
    return zone_is_shut_in_[Index(network_.ZoneOf(node))] != 0;
  };
  if (any_shut_in) {
    for (std::size_t l = 0; l < flow_.size(); ++l) {
      const bool inside = is_shut_in(plan.from[l]) || is_shut_in(plan.to[l]);
      if (inside && std::abs(flow_[l]) <= options_.flow_tolerance) flow_[l] = 0.0;
    }
    for (int i = 0; i < plan.num_free; ++i) {
      if (is_shut_in(i)) head_[Index(i)] = kNaN;
    }
  }
  const std::size_t listed = velocity_.size();
  if (outputs_->Wants(BatchReading::kVelocity)) {
    for (std::size_t l = 0; l < listed; ++l) {
      const int varied = network_.VariedIndex(network_.LaneIndex(l));
      velocity_[l] = flow_[l] / (varied < 0 ? plan.area[l] : OwnOf(Index(varied), lane).area);
    }
  }
  if (outputs_->Wants(BatchReading::kDrop)) {
    for (std::size_t l = 0; l < listed; ++l) {
      drop_[l] = head_[Index(plan.from[l])] - head_[Index(plan.to[l])];
    }
  }
  if (outputs_->Wants(BatchReading::kHead) || outputs_->Wants(BatchReading::kPressure)) {
    const std::size_t vessels = network_.network().vessels.size();
    for (std::size_t p = 0; p < point_head_.size(); ++p) {
      const std::size_t node = p < vessels ? Index(plan.num_free) + p : p - vessels;
      point_head_[p] = head_[node];
      pressure_[p] = (head_[node] - plan.elevation[node]) * plan.Weight();
    }
  }
  // What may be listed comes first, as in the plan.
  outputs_->Write(lanes_[lane].row, {.flow = std::span(flow_).first(listed),
                                     .velocity = velocity_,
                                     .drop = drop_,
                                     .head = point_head_,
                                     .pressure = pressure_});
}

}  // namespace handwheel
