#include "advice/paths.h"

#include <algorithm>
#include <numbers>
#include <queue>
#include <unordered_map>
#include <unordered_set>
#include <utility>

#include "network/resolve.h"

namespace handwheel {

Paths::Paths(const PlantView& plant) : plant_(plant) {
  links_.resize(plant.solution.point_names().size());
  const Network& network = plant.network;
  Add(network.pipes, plant.first.pipes);
  Add(network.valves, plant.first.valves);
  Add(network.check_valves, plant.first.check_valves);
  Add(network.pumps, plant.first.pumps);
  Add(network.restrictions, plant.first.restrictions);
  Add(network.regulators, plant.first.regulators);
}

template <typename Part>
void Paths::Add(const std::vector<Part>& parts, std::size_t first) {
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const std::size_t from = plant_.PointOf(parts[i].from), to = plant_.PointOf(parts[i].to);
    links_[from].push_back({first + i, to, true});
    links_[to].push_back({first + i, from, false});
  }
}

bool Paths::CarriesAway(const Link& link) const {
  const double flow = plant_.solution.flow()[link.component];
  return link.forward ? flow > 0.0 : flow < 0.0;
}

bool Paths::IsFollowed(std::size_t component, bool past_check_valves) const {
  const KindOffsets& first = plant_.first;
  if (component < first.check_valves) return true;
  if (component < first.pumps) {
    const CheckValve& valve = plant_.network.check_valves[component - first.check_valves];
    return past_check_valves || valve.condition == "stuck open";
  }
  if (component < first.restrictions) {
    return plant_.solution.state()[component] != FlowState::kRunning;
  }
  return component < first.nozzles;
}

double Paths::InertiaOf(std::size_t component) const {
  if (component >= plant_.first.valves) return 0.0;
  const Pipe& pipe = plant_.network.pipes[component];
  const double bore = BoreOf(pipe);
  return pipe.length / (std::numbers::pi / 4.0 * bore * bore);
}

std::vector<Paths::Delivery> Paths::DeliveriesFrom(std::size_t point,
                                                   bool past_check_valves) const {
  using Front = std::pair<double, std::size_t>;  // inertia so far, point
  std::priority_queue<Front, std::vector<Front>, std::greater<>> front;
  std::unordered_set<std::size_t> visited;
  std::vector<Delivery> deliveries;
  front.push({0.0, point});
  while (!front.empty() && visited.size() < kMaxVisited) {
    const auto [inertia, at] = front.top();
    front.pop();
    if (!visited.insert(at).second) continue;
    if (at < plant_.network.vessels.size()) {
      deliveries.push_back({at, inertia});
      continue;
    }
    for (const Link& link : links_[at]) {
      if (!CarriesAway(link) || !IsFollowed(link.component, past_check_valves)) continue;
      front.push({inertia + InertiaOf(link.component), link.other});
    }
  }
  return deliveries;
}

// The component that all flow into a point comes through.
std::optional<std::size_t> Paths::OnlyFeed(std::size_t point) const {
  std::optional<std::size_t> feed;
  for (std::size_t i = 0; i < links_[point].size(); ++i) {
    const Link& link = links_[point][i];
    if (plant_.solution.flow()[link.component] == 0.0 || CarriesAway(link)) continue;
    if (feed) return std::nullopt;
    feed = i;
  }
  return feed;
}

std::optional<std::size_t> Paths::PumpFeeding(std::size_t point) const {
  for (int step = 0; step < kMaxVisited; ++step) {
    const auto feed = OnlyFeed(point);
    if (!feed) return std::nullopt;
    const Link& link = links_[point][*feed];
    const std::size_t c = link.component;
    const KindOffsets& first = plant_.first;
    if (first.pumps <= c && c < first.restrictions) {
      const bool runs = plant_.solution.state()[c] == FlowState::kRunning;
      return runs ? std::optional(c - first.pumps) : std::nullopt;
    }
    const bool plain = c < first.check_valves || (first.restrictions <= c && c < first.nozzles);
    if (!plain) return std::nullopt;
    point = link.other;
  }
  return std::nullopt;
}

Paths::Guard Paths::GuardOf(std::size_t point) const {
  std::unordered_set<std::size_t> reached = {point};
  std::vector<std::size_t> todo = {point};
  Guard guard;
  while (!todo.empty() && reached.size() < kMaxVisited) {
    const std::size_t at = todo.back();
    todo.pop_back();
    if (at < plant_.network.vessels.size()) {
      guard.open_way = true;
      continue;
    }
    for (const Link& link : links_[at]) {
      const std::size_t c = link.component;
      const KindOffsets& first = plant_.first;
      const bool check_valve = first.check_valves <= c && c < first.pumps;
      const bool passes = c < first.valves || (check_valve && link.forward) ||
                          (first.restrictions <= c && c < first.nozzles);
      if (passes && reached.insert(link.other).second) todo.push_back(link.other);
    }
  }
  const auto reaches = [&](const auto& part) {
    return reached.contains(plant_.PointOf(part.from));
  };
  const Network& network = plant_.network;
  guard.relief_valve =
      std::any_of(network.relief_valves.begin(), network.relief_valves.end(), reaches);
  guard.open_way =
      guard.open_way || std::any_of(network.nozzles.begin(), network.nozzles.end(), reaches);
  return guard;
}

}  // namespace handwheel
