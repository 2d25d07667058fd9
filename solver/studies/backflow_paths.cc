#include "studies/backflow_paths.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <limits>
#include <optional>

namespace handwheel {
namespace {

constexpr double kNothing = 1e-13;  // [m³/s]: round-off of what is left

class Splitter {
 public:
  Splitter(const BackflowGraph& graph, const std::vector<double>& flow, const WrongWay& wrong,
           double least_flow)
      : graph_(graph), flow_(flow), wrong_(wrong), least_flow_(least_flow), left_(flow) {
    for (double& left : left_) left = std::abs(left);
    surplus_ = graph.GainOfNodes(flow);
  }

  std::vector<FlowPath> Run() {
    TakeAllThrough([&](std::size_t c) { return wrong_.component[c] != 0; });
    TakeAllThrough([&](std::size_t c) { return EndsAtWrongVessel(c); });
    std::stable_sort(paths_.begin(), paths_.end(),
                     [](const FlowPath& a, const FlowPath& b) { return a.flow > b.flow; });
    return std::move(paths_);
  }

 private:
  // Nodes and the components between them, as the liquid runs.
  struct Trail {
    std::deque<std::size_t> nodes, components;
  };

  std::size_t Inlet(std::size_t c) const { return graph_.Inlet(c, flow_[c]); }
  std::size_t Outlet(std::size_t c) const { return graph_.Outlet(c, flow_[c]); }

  // A vessel that gives too much only concerns what leaves it, one that takes what enters it.
  bool EndsAtWrongVessel(std::size_t c) const {
    const auto is_wrong = [&](std::size_t node, bool takes) {
      return graph_.IsVessel(node) && wrong_.vessel[node] && (surplus_[node] > 0.0) == takes;
    };
    return is_wrong(Inlet(c), false) || is_wrong(Outlet(c), true);
  }

  template <typename Wanted>
  void TakeAllThrough(const Wanted& wanted) {
    std::vector<std::size_t> seeds;
    for (std::size_t c = 0; c < flow_.size(); ++c) {
      if (wanted(c) && left_[c] > least_flow_) seeds.push_back(c);
    }
    std::stable_sort(seeds.begin(), seeds.end(), [&](std::size_t a, std::size_t b) {
      return std::abs(flow_[a]) > std::abs(flow_[b]);
    });
    for (std::size_t seed : seeds) {
      while (left_[seed] > least_flow_) TakeOneThrough(seed);
    }
  }

  void TakeOneThrough(std::size_t seed) {
    Trail trail{.nodes = {Inlet(seed), Outlet(seed)}, .components = {seed}};
    if (trail.nodes.front() == trail.nodes.back()) return TakeRound(trail, 0, 1);
    std::vector<char> on_trail(graph_.num_nodes(), 0);
    on_trail[trail.nodes.front()] = on_trail[trail.nodes.back()] = 1;
    while (const auto next = NextUpstream(trail.nodes.front())) {
      const std::size_t node = Inlet(*next);
      trail.components.push_front(*next);
      trail.nodes.push_front(node);
      if (on_trail[node] && !graph_.IsEnd(node)) {
        return TakeRound(trail, 0, NextVisit(trail, 1, node));
      }
      on_trail[node] = 1;
    }
    while (const auto next = NextDownstream(trail.nodes.back())) {
      const std::size_t node = Outlet(*next);
      trail.components.push_back(*next);
      trail.nodes.push_back(node);
      if (on_trail[node] && !graph_.IsEnd(node)) {
        return TakeRound(trail, NextVisit(trail, 0, node), trail.nodes.size() - 1);
      }
      on_trail[node] = 1;
    }
    Take(trail, 0, trail.components.size(), false);
  }

  static std::size_t NextVisit(const Trail& trail, std::size_t first, std::size_t node) {
    while (trail.nodes[first] != node) ++first;
    return first;
  }

  // Empty where the liquid comes from: a vessel, or a feed larger than any flow towards the node.
  std::optional<std::size_t> NextUpstream(std::size_t node) const {
    const auto best = Largest(node, [&](std::size_t c) { return Outlet(c) == node; });
    return best && !wrong_.component[*best] && -surplus_[node] > left_[*best] ? std::nullopt : best;
  }

  std::optional<std::size_t> NextDownstream(std::size_t node) const {
    const auto best = Largest(node, [&](std::size_t c) { return Inlet(c) == node; });
    return best && !wrong_.component[*best] && surplus_[node] > left_[*best] ? std::nullopt : best;
  }

  template <typename Wanted>
  std::optional<std::size_t> Largest(std::size_t node, const Wanted& wanted) const {
    std::optional<std::size_t> best;
    if (graph_.IsEnd(node)) return best;
    for (const BackflowGraph::Link& link : graph_.links(node)) {
      const std::size_t c = link.component;
      if (left_[c] <= kNothing || !wanted(c)) continue;
      if (!best || wrong_.component[c] > wrong_.component[*best] ||
          (wrong_.component[c] == wrong_.component[*best] && left_[c] > left_[*best])) {
        best = c;
      }
    }
    return best;
  }

  void TakeRound(const Trail& trail, std::size_t first, std::size_t last) {
    Take(trail, first, last, true);
  }

  // The components first .. last - 1 of the trail.
  void Take(const Trail& trail, std::size_t first, std::size_t last, bool goes_round) {
    FlowPath path{.source = trail.nodes[first],
                  .sink = trail.nodes[last],
                  .flow = std::numeric_limits<double>::infinity(),
                  .components = {},
                  .goes_round = goes_round};
    for (std::size_t i = first; i < last; ++i) path.components.push_back(trail.components[i]);
    for (std::size_t c : path.components) path.flow = std::min(path.flow, left_[c]);
    // What a feed or draw has left bounds it too, unless round-off left none.
    const bool bounded = !goes_round;
    const auto bound = [&](std::size_t node, double amount) {
      if (bounded && !graph_.IsEnd(node) && amount > kNothing)
        path.flow = std::min(path.flow, amount);
    };
    bound(path.source, -surplus_[path.source]);
    bound(path.sink, surplus_[path.sink]);
    for (std::size_t c : path.components) left_[c] -= path.flow;
    if (bounded && !graph_.IsEnd(path.source)) surplus_[path.source] += path.flow;
    if (bounded && !graph_.IsEnd(path.sink)) surplus_[path.sink] -= path.flow;
    if (path.flow > least_flow_ && IsWrong(path)) paths_.push_back(std::move(path));
  }

  bool IsWrong(const FlowPath& path) const {
    return std::any_of(path.components.begin(), path.components.end(), [&](std::size_t c) {
      return wrong_.component[c] != 0 || EndsAtWrongVessel(c);
    });
  }

  const BackflowGraph& graph_;
  const std::vector<double>& flow_;
  const WrongWay& wrong_;
  double least_flow_;
  std::vector<double> left_;     // of each component's flow [m³/s]
  std::vector<double> surplus_;  // of each node: draw (> 0) or feed (< 0) that is left [m³/s]
  std::vector<FlowPath> paths_;
};

}  // namespace

std::vector<FlowPath> SplitBackflow(const BackflowGraph& graph, const std::vector<double>& flow,
                                    const WrongWay& wrong, double least_flow) {
  return Splitter(graph, flow, wrong, least_flow).Run();
}

}  // namespace handwheel
