#include "studies/backflow_held.h"

#include <algorithm>
#include <cmath>
#include <compare>
#include <optional>
#include <queue>
#include <utility>

#include "steady/plant_view.h"

namespace handwheel {
namespace {

struct Cost {
  int held = 0;
  int components = 0;
  auto operator<=>(const Cost&) const = default;
};

enum class Passage { kFree, kHeld, kNever };

// What can be passed which way, in one solution.
class Passages {
 public:
  Passages(const Solution& solution, double least_flow)
      : solution_(solution), first_(solution.network()), least_flow_(least_flow) {}

  bool Stands(std::size_t c) const { return std::abs(solution_.flow()[c]) <= least_flow_; }

  bool IsStoppedPump(std::size_t c) const { return solution_.state()[c] == FlowState::kStopped; }
  bool IsRunningPump(std::size_t c) const { return solution_.state()[c] == FlowState::kRunning; }
  bool IsCheckValve(std::size_t c) const { return first_.check_valves <= c && c < first_.pumps; }
  bool IsShut(std::size_t c) const { return solution_.state()[c] == FlowState::kShut; }

  // Of liquid that would pass a component in one direction.
  Passage Of(std::size_t c, bool forward) const {
    if (!Stands(c)) {
      return (solution_.flow()[c] > 0.0) == forward ? Passage::kFree : Passage::kNever;
    }
    if (first_.relief_valves <= c || (first_.nozzles <= c && c < first_.regulators)) {
      return forward && !IsShut(c) ? Passage::kFree : Passage::kNever;
    }
    if (IsRunningPump(c)) return forward ? Passage::kFree : Passage::kNever;
    if (IsCheckValve(c) || first_.regulators <= c) {
      return !forward && IsOneWay(c) ? Passage::kHeld : Passage::kFree;
    }
    return IsShut(c) ? Passage::kHeld : Passage::kFree;
  }

 private:
  bool IsOneWay(std::size_t c) const {
    if (!IsCheckValve(c)) return true;
    return solution_.network().check_valves[c - first_.check_valves].condition == "sound";
  }

  const Solution& solution_;
  KindOffsets first_;
  double least_flow_;
};

// The cheapest ways between one node and the ends around it.
class HalfWay {
 public:
  // Liquid would come to `start` if upstream, else leave it.
  HalfWay(const BackflowGraph& graph, const Passages& passages, std::size_t start, bool upstream,
          std::size_t without)
      : graph_(graph),
        cost_(graph.num_nodes()),
        via_(graph.num_nodes(), graph.num_components()),
        before_(graph.num_nodes(), start) {
    using Front = std::pair<Cost, std::size_t>;
    std::priority_queue<Front, std::vector<Front>, std::greater<>> front;
    cost_[start] = Cost{};
    front.push({Cost{}, start});
    while (!front.empty()) {
      const auto [cost, at] = front.top();
      front.pop();
      if (cost != *cost_[at]) continue;
      if (graph.IsEnd(at)) {
        ends_.push_back(at);
        continue;
      }
      for (const BackflowGraph::Link& link : graph.links(at)) {
        if (link.component == without) continue;
        const Passage passage = passages.Of(link.component, link.forward != upstream);
        if (passage == Passage::kNever) continue;
        const Cost next{cost.held + (passage == Passage::kHeld), cost.components + 1};
        if (cost_[link.other] && *cost_[link.other] <= next) continue;
        cost_[link.other] = next;
        via_[link.other] = link.component;
        before_[link.other] = at;
        front.push({next, link.other});
      }
    }
  }

  const std::vector<std::size_t>& ends() const { return ends_; }
  Cost CostOf(std::size_t end) const { return *cost_[end]; }

  // From `end` to the start.
  std::vector<std::size_t> ComponentsFrom(std::size_t end) const {
    std::vector<std::size_t> components;
    for (std::size_t at = end; via_[at] != graph_.num_components(); at = before_[at]) {
      components.push_back(via_[at]);
    }
    return components;
  }

 private:
  const BackflowGraph& graph_;
  std::vector<std::optional<Cost>> cost_;  // by node; empty: not reached
  std::vector<std::size_t> via_, before_;
  std::vector<std::size_t> ends_;
};

class HeldPathFinder {
 public:
  HeldPathFinder(const BackflowGraph& graph, const Solution& solution, double least_flow)
      : graph_(graph), passages_(solution, least_flow), head_(graph.HeadOfNodes(solution)) {}

  std::vector<HeldPath> Run() {
    for (std::size_t c = 0; c < graph_.num_components(); ++c) {
      const bool guards =
          passages_.IsStoppedPump(c) || (passages_.IsCheckValve(c) && passages_.IsShut(c));
      if (guards && passages_.Stands(c)) AddWayBackThrough(c);
    }
    std::stable_sort(found_.begin(), found_.end(), [](const HeldPath& a, const HeldPath& b) {
      return a.driving_head > b.driving_head;
    });
    return std::move(found_);
  }

 private:
  void AddWayBackThrough(std::size_t guard) {
    const HalfWay above(graph_, passages_, graph_.to(guard), /*upstream=*/true, guard);
    const HalfWay below(graph_, passages_, graph_.from(guard), /*upstream=*/false, guard);
    const bool guard_holds = passages_.Of(guard, /*forward=*/false) == Passage::kHeld;
    std::optional<HeldPath> best;
    Cost best_cost;
    for (std::size_t source : above.ends()) {
      if (!graph_.IsVessel(source)) continue;
      for (std::size_t sink : below.ends()) {
        const Cost a = above.CostOf(source), b = below.CostOf(sink);
        const Cost cost{a.held + b.held + guard_holds, a.components + b.components};
        const double head = head_[source] - head_[sink];
        if (cost.held == 0) continue;
        if (best && (cost.held > best_cost.held ||
                     (cost.held == best_cost.held && head <= best->driving_head))) {
          continue;
        }
        std::vector<std::size_t> components = above.ComponentsFrom(source);
        components.push_back(guard);
        std::vector<std::size_t> rest = below.ComponentsFrom(sink);
        components.insert(components.end(), rest.rbegin(), rest.rend());
        HeldPath path = Describe(source, sink, head, components);
        if (!(head > 0.0) && path.driven_by.empty()) continue;
        best = std::move(path);
        best_cost = cost;
      }
    }
    if (best && !HasOneHeldAlike(*best)) found_.push_back(*std::move(best));
  }

  HeldPath Describe(std::size_t source, std::size_t sink, double head,
                    const std::vector<std::size_t>& components) const {
    HeldPath path{.source = graph_.node_name(source),
                  .sink = graph_.node_name(sink),
                  .driving_head = head,
                  .components = {},
                  .held_by = {},
                  .through = {},
                  .driven_by = {}};
    std::size_t at = source;
    for (std::size_t c : components) {
      const bool forward = graph_.from(c) == at;
      at = forward ? graph_.to(c) : graph_.from(c);
      path.components.push_back(graph_.component_name(c));
      if (passages_.Of(c, forward) == Passage::kHeld)
        path.held_by.push_back(path.components.back());
      if (passages_.IsStoppedPump(c) && !forward) path.through.push_back(path.components.back());
      if (passages_.IsRunningPump(c)) path.driven_by.push_back(path.components.back());
    }
    return path;
  }

  bool HasOneHeldAlike(const HeldPath& path) const {
    return std::any_of(found_.begin(), found_.end(),
                       [&](const HeldPath& other) { return other.held_by == path.held_by; });
  }

  const BackflowGraph& graph_;
  Passages passages_;
  std::vector<double> head_;
  std::vector<HeldPath> found_;
};

}  // namespace

std::vector<HeldPath> FindHeldPaths(const BackflowGraph& graph, const Solution& solution,
                                    double least_flow) {
  return HeldPathFinder(graph, solution, least_flow).Run();
}

}  // namespace handwheel
