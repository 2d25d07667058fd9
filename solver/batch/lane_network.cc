#include "batch/lane_network.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "network/resolve.h"
#include "steady/part_step.h"
#include "steady/zones.h"

namespace handwheel {
namespace {

enum class Group { kPipe, kValve, kLoss, kOther };

// A law that the kernels know, as far as it stays what it is.
Group GroupOf(const Law& law, FrictionFormula friction) {
  if (std::holds_alternative<PipeLaw>(law)) {
    return friction == FrictionFormula::kColebrook ? Group::kPipe : Group::kOther;
  }
  if (std::holds_alternative<ViscousLossLaw>(law)) return Group::kValve;
  if (std::holds_alternative<LossLaw>(law)) return Group::kLoss;
  return Group::kOther;
}

template <typename Part>
ComponentLaw MakeLawOf(const void* part, const LawContext& context) {
  return MakeLaw(*static_cast<const Part*>(part), context);
}

struct ComponentList {
  std::string_view kind;
  std::size_t first;  // component
  ComponentLaw (*make)(const void* part, const LawContext& context);
};

// Of the kinds whose law may change without more.
std::optional<ComponentList> ListOf(const Network& network, std::string_view kind) {
  std::size_t first = 0;
  const auto list = [&]<typename Part>(
                        std::string_view name,
                        const std::vector<Part>& parts) -> std::optional<ComponentList> {
    if (name == kind) return ComponentList{name, first, &MakeLawOf<Part>};
    first += parts.size();
    return std::nullopt;
  };
  if (const auto found = list("pipe", network.pipes)) return found;
  if (const auto found = list("valve", network.valves)) return found;
  if (const auto found = list("check_valve", network.check_valves)) return found;
  if (const auto found = list("pump", network.pumps)) return found;
  if (const auto found = list("restriction", network.restrictions)) return found;
  if (const auto found = list("nozzle", network.nozzles)) return found;
  return std::nullopt;
}

}  // namespace

Touch TouchOf(const PartKind& kind, const Field& field) {
  const std::string_view key = field.key;
  if (kind.name == "vessel") {
    if (key == "level" || key == "gas_pressure") return Touch::kFixedHead;
    return key == "area" ? Touch::kNothing : Touch::kMore;
  }
  if (kind.name == "junction") {
    return key == "draw" || key == "feed" ? Touch::kDraw : Touch::kMore;
  }
  const bool is_plain = kind.name == "pipe" || kind.name == "valve" || kind.name == "check_valve" ||
                        kind.name == "pump" || kind.name == "restriction" || kind.name == "nozzle";
  if (!is_plain || key == "from" || key == "to" || key == "elevation") return Touch::kMore;
  return Touch::kLaw;
}

bool LaneNetwork::Fits(const CompiledNetwork::Data& compiled, const BatchColumns& columns) {
  if (compiled.plan.num_free == 0 || compiled.plan.num_fixed == 0) return false;
  if (!compiled.plan.controls.empty()) return false;
  return std::all_of(columns.columns().begin(), columns.columns().end(), [&](const auto& column) {
    return TouchOf(*columns.parts()[column.part].kind, *column.field) != Touch::kMore;
  });
}

LaneNetwork::LaneNetwork(const CompiledNetwork::Data& compiled, const BatchColumns& columns,
                         const SteadyState& start)
    : compiled_(compiled),
      context_{compiled.plan.liquid, compiled.plan.gravity, compiled.network.model} {
  FindVaried(columns);
  OrderComponents();
  PlaceComponents();
  FillGroups();
  FindSharers();
  FindZones();
  Linearise(start);
}

void LaneNetwork::FindVaried(const BatchColumns& columns) {
  for (std::size_t p = 0; p < columns.parts().size(); ++p) {
    const PartPlace& place = columns.parts()[p];
    Touch touch = Touch::kNothing;
    for (const auto& column : columns.columns()) {
      if (column.part == p) touch = std::max(touch, TouchOf(*place.kind, *column.field));
    }
    if (touch == Touch::kFixedHead) vessels_.push_back({p, place.index, 0});
    if (touch == Touch::kDraw) junctions_.push_back({p, place.index, 0});
    if (touch == Touch::kLaw) AddVariedComponent(columns, p);
  }
}

void LaneNetwork::AddVariedComponent(const BatchColumns& columns, std::size_t part) {
  const PartPlace& place = columns.parts()[part];
  const ComponentList list = *ListOf(network(), place.kind->name);
  VariedComponent varied{part, list.first + place.index, 0};
  varied.make = list.make;
  const bool only_opening = std::all_of(
      columns.columns().begin(), columns.columns().end(),
      [&](const auto& column) { return column.part != part || column.field->key == "opening"; });
  if (list.kind == "valve" && only_opening && context_.liquid.IsNewtonian()) {
    varied.throttle.emplace(network().valves[place.index], context_);
    varied.throttle->FindPlainRecovery();
  }
  components_.push_back(std::move(varied));
}

bool LaneNetwork::IsVaried(std::size_t component) const {
  return std::any_of(components_.begin(), components_.end(),
                     [&](const VariedComponent& varied) { return varied.component == component; });
}

// Pipes, valves, losses, others; among themselves as in the plan.
void LaneNetwork::OrderComponents() {
  std::vector<Group> group(plan().laws.size());
  for (std::size_t l = 0; l < group.size(); ++l) {
    group[l] = GroupOf(plan().laws[l], network().model.friction);
  }
  for (const VariedComponent& varied : components_) {
    group[varied.component] = varied.throttle ? Group::kValve : Group::kOther;
  }
  for (const Group wanted : {Group::kPipe, Group::kValve, Group::kLoss, Group::kOther}) {
    for (std::size_t l = 0; l < group.size(); ++l) {
      if (group[l] == wanted) component_.push_back(l);
    }
  }
  const auto count = [&](Group wanted) {
    return static_cast<std::size_t>(std::count(group.begin(), group.end(), wanted));
  };
  lanes_.num_pipes = count(Group::kPipe);
  lanes_.num_valves = count(Group::kValve);
  lanes_.num_losses = count(Group::kLoss);
  lanes_.num_others = count(Group::kOther);
  lane_index_.resize(group.size());
  varied_.assign(group.size(), -1);
  for (std::size_t i = 0; i < component_.size(); ++i) lane_index_[component_[i]] = i;
  for (std::size_t v = 0; v < components_.size(); ++v) {
    components_[v].lane_index = lane_index_[components_[v].component];
    varied_[components_[v].lane_index] = static_cast<int>(v);
  }
}

void LaneNetwork::PlaceComponents() {
  const auto node = [&](int i) { return plan().IsFixed(i) ? LaplacianSymbolic::kGround : i; };
  std::vector<int> from, to;
  for (std::size_t l = 0; l < plan().laws.size(); ++l) {
    from.push_back(node(plan().from[l]));
    to.push_back(node(plan().to[l]));
  }
  for (const int i : FloatingZones(plan())) {
    from.push_back(i);
    to.push_back(LaplacianSymbolic::kGround);
  }
  symbolic_.emplace(plan().num_free, from, to);
  lanes_.program = &symbolic_->program();
  lanes_.num_free = Index(plan().num_free);
  lanes_.num_nodes = Index(plan().num_nodes());
  lane_node_.resize(lanes_.num_nodes);
  std::iota(lane_node_.begin(), lane_node_.end(), std::size_t{0});
  std::copy(symbolic_->columns().begin(), symbolic_->columns().end(), lane_node_.begin());
  for (const std::size_t l : component_) {
    lanes_.places.push_back({static_cast<std::uint32_t>(LaneNode(plan().from[l])),
                             static_cast<std::uint32_t>(LaneNode(plan().to[l])),
                             symbolic_->link_positions()[l]});
  }
  for (std::size_t l = plan().laws.size(); l < from.size(); ++l) {
    lanes_.pins.push_back(symbolic_->link_positions()[l]);
  }
  for (VariedPoint& junction : junctions_)
    junction.node = LaneNode(static_cast<int>(junction.point));
  for (VariedPoint& vessel : vessels_) {
    const int fixed = plan().num_free + static_cast<int>(vessel.point);
    vessel.node = LaneNode(fixed);
    for (std::size_t i = 0; i < component_.size(); ++i) {
      const std::size_t l = component_[i];
      if (plan().from[l] == fixed || plan().to[l] == fixed) vessel.neighbours.push_back(i);
    }
  }
}

void LaneNetwork::FillGroups() {
  for (std::size_t i = 0; i < lanes_.num_pipes; ++i) {
    const Pipe& pipe = network().pipes[component_[i]];
    const auto& law = std::get<PipeLaw>(LawOf(i));
    lanes_.pipes.push_back({law.re_per_flow, law.laminar, law.turbulent, law.minor_linear,
                            law.minor_quadratic, RoughnessOf(pipe) / BoreOf(pipe) / kRoughnessScale,
                            law.friction.square(), law.friction.cube()});
  }
  for (std::size_t k = 0; k < lanes_.num_losses; ++k) {
    const auto& law = std::get<LossLaw>(LawOf(lanes_.first_loss() + k));
    lanes_.losses.push_back({law.r, law.q_linear * law.q_linear,
                             law.linear == 0.0 ? 0.0 : LossLaw::kFadeRange * law.fade});
  }
  chokes_.assign(network().valves.size(), nullptr);
  for (const PlanControl& control : plan().chokes) {
    chokes_[Index(control.component) - first_valve()] = &std::get<Choke>(control.control);
  }
}

void LaneNetwork::FindSharers() {
  for (const VariedComponent& varied : components_) {
    const std::uint32_t place = lanes_.places[varied.lane_index].conductance;
    std::vector<std::uint32_t> sharers;
    for (std::size_t i = 0; i < component_.size(); ++i) {
      if (lanes_.places[i].conductance == place) sharers.push_back(static_cast<std::uint32_t>(i));
    }
    sharers_.push_back(std::move(sharers));
  }
}

// What the columns change counts as shut, and so does what lets flow pass one way: that is seen
// when flows are known.
void LaneNetwork::FindZones() {
  Plan joined = plan();
  std::vector<std::size_t> perhaps;
  for (std::size_t l = 0; l < joined.laws.size(); ++l) {
    if (IsShut(joined.laws[l]) && !IsVaried(l)) continue;
    if (IsVaried(l) || IsOneWay(joined.laws[l])) {
      joined.laws[l] = ShutLaw{};
      perhaps.push_back(l);
    }
  }
  zone_ = ZonesOfOpenParts(joined);
  num_zones_ = 1 + *std::max_element(zone_.begin(), zone_.end());
  for (const std::size_t l : perhaps) {
    const int from = ZoneOf(plan().from[l]), to = ZoneOf(plan().to[l]);
    if (from != to) links_.push_back({from, to, lane_index_[l]});
  }
}

void LaneNetwork::Linearise(const SteadyState& state) {
  Start& at = start_;
  at.head.resize(lanes_.num_nodes);
  at.feed.assign(lanes_.num_nodes, 0.0);
  for (int i = 0; i < plan().num_nodes(); ++i) at.head[LaneNode(i)] = state.head[Index(i)];
  for (int i = 0; i < plan().num_free; ++i) at.feed[LaneNode(i)] = -plan().net_draw[Index(i)];
  at.right_side = at.feed;
  at.values.assign(lanes_.program->num_values + 1, 0.0);
  for (const std::uint32_t pin : lanes_.pins) at.values[pin] += 1.0;
  for (std::size_t i = 0; i < component_.size(); ++i) {
    const Law& law = LawOf(i);
    const LanePlace& place = lanes_.places[i];
    double flow = state.flow[component_[i]];
    const bool resting = IsShut(law) || (IsOneWay(law) && flow <= 0.0);
    double conductance = kTokenConductance, misfit = 0.0;
    if (resting) {
      flow = 0.0;
    } else {
      const DropSlope drop = EvaluateLaw(law, flow);
      conductance = 1.0 / std::max(drop.slope, kLeastSlope);
      misfit = at.head[place.from] - at.head[place.to] - drop.drop;
    }
    at.flow.push_back(flow);
    at.conductance.push_back(conductance);
    at.misfit.push_back(misfit);
    at.resting.push_back(resting);
    at.values[place.conductance] += conductance;
    at.right_side[place.from] -= flow + conductance * misfit;
    at.right_side[place.to] += flow + conductance * misfit;
  }
  for (std::size_t i = 0; i < lanes_.num_pipes; ++i) {
    const double re = std::max(lanes_.pipes[i].re_per_flow * std::abs(at.flow[i]), kTurbulentLimit);
    at.root.push_back(SolveLogLaw(lanes_.pipes[i].wall, kColebrookScale / re).y);
  }
  for (std::size_t v = 0; v < lanes_.num_valves; ++v) {
    const auto* law = std::get_if<ViscousLossLaw>(&LawOf(lanes_.first_valve() + v));
    at.valve_r.push_back(law ? law->r : std::numeric_limits<double>::infinity());
    at.valve_rev_per_flow.push_back(law ? law->rev_per_flow : 0.0);
    at.valve_turbulent_from.push_back(law ? law->factor.turbulent_from : 0.0);
  }
}

}  // namespace handwheel
