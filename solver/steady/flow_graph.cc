#include "steady/flow_graph.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "units/numbers.h"

namespace handwheel {
namespace {

// Largest flow by shortest augmenting paths (Edmonds & Karp, J. ACM 19, 1972). Runs only on
// networks that the quick reachability test could not clear.
class LargestFlow {
 public:
  explicit LargestFlow(int num_nodes) : head_(Index(num_nodes), -1) {}

  void AddArc(int from, int to, double capacity, double back_capacity) {
    Push(from, to, capacity);
    Push(to, from, back_capacity);
  }

  double Run(int source, int sink) {
    double total = 0.0;
    while (FindPath(source, sink)) {
      double least = std::numeric_limits<double>::infinity();
      for (int v = sink; v != source; v = arcs_[Index(via_[Index(v)] ^ 1)].to) {
        least = std::min(least, arcs_[Index(via_[Index(v)])].capacity);
      }
      if (!std::isfinite(least)) return least;
      for (int v = sink; v != source; v = arcs_[Index(via_[Index(v)] ^ 1)].to) {
        arcs_[Index(via_[Index(v)])].capacity -= least;
        arcs_[Index(via_[Index(v)] ^ 1)].capacity += least;
      }
      total += least;
    }
    return total;
  }

 private:
  struct Arc {
    int to;
    int next;
    double capacity;
  };

  void Push(int from, int to, double capacity) {
    arcs_.push_back({to, head_[Index(from)], capacity});
    head_[Index(from)] = static_cast<int>(arcs_.size()) - 1;
  }

  bool FindPath(int source, int sink) {
    via_.assign(head_.size(), -1);
    std::vector<char> seen(head_.size(), 0);
    std::vector<int> queue{source};
    seen[Index(source)] = 1;
    for (std::size_t i = 0; i < queue.size() && !seen[Index(sink)]; ++i) {
      for (int a = head_[Index(queue[i])]; a >= 0; a = arcs_[Index(a)].next) {
        const Arc& arc = arcs_[Index(a)];
        if (arc.capacity <= 0.0 || seen[Index(arc.to)]) continue;
        seen[Index(arc.to)] = 1;
        via_[Index(arc.to)] = a;
        queue.push_back(arc.to);
      }
    }
    return seen[Index(sink)];
  }

  std::vector<int> head_, via_;
  std::vector<Arc> arcs_;
};

}  // namespace

FlowGraph::FlowGraph(const Plan& plan) : plan_(plan), first_(Index(plan.num_nodes()) + 1, 0) {
  const auto is_edge = [&](std::size_t l) { return !IsShut(plan.laws[l]); };
  for (std::size_t l = 0; l < plan.laws.size(); ++l) {
    if (!is_edge(l)) continue;
    ++first_[Index(plan.from[l]) + 1];
    ++first_[Index(plan.to[l]) + 1];
  }
  for (std::size_t i = 1; i < first_.size(); ++i) first_[i] += first_[i - 1];
  edges_.resize(Index(first_.back()));
  std::vector<int> next(first_.begin(), first_.end() - 1);
  for (std::size_t l = 0; l < plan.laws.size(); ++l) {
    if (!is_edge(l)) continue;
    const int component = static_cast<int>(l);
    edges_[Index(next[Index(plan.from[l])]++)] = {plan.to[l], component, true};
    edges_[Index(next[Index(plan.to[l])]++)] = {plan.from[l], component, false};
  }
}

bool FlowGraph::MayWalk(const Edge& edge, Along along) const {
  if (along == Along::kEither || !IsOneWay(plan_.laws[Index(edge.component)])) return true;
  return edge.forward == (along == Along::kFlow);
}

std::vector<char> FlowGraph::Reach(const std::vector<int>& start, Along along) const {
  std::vector<char> reached(Index(plan_.num_nodes()), 0);
  std::vector<int> stack = start;
  for (int node : start) reached[Index(node)] = 1;
  while (!stack.empty()) {
    const int node = stack.back();
    stack.pop_back();
    for (int e = first_[Index(node)]; e < first_[Index(node) + 1]; ++e) {
      const Edge& edge = edges_[Index(e)];
      if (reached[Index(edge.node)] || !MayWalk(edge, along)) continue;
      reached[Index(edge.node)] = 1;
      stack.push_back(edge.node);
    }
  }
  return reached;
}

std::vector<int> FlowGraph::FixedNodes() const {
  std::vector<int> nodes;
  for (int i = plan_.num_free; i < plan_.num_nodes(); ++i) nodes.push_back(i);
  return nodes;
}

bool FlowGraph::CanSaturate(bool draws) const {
  constexpr double kNoLimit = std::numeric_limits<double>::infinity();
  const int source = plan_.num_nodes(), sink = source + 1;
  LargestFlow flow(sink + 1);
  for (std::size_t l = 0; l < plan_.laws.size(); ++l) {
    if (IsShut(plan_.laws[l])) continue;
    flow.AddArc(plan_.from[l], plan_.to[l], kNoLimit, IsOneWay(plan_.laws[l]) ? 0.0 : kNoLimit);
  }
  double wanted = 0.0;
  for (int i = 0; i < plan_.num_free; ++i) {
    const double draw = plan_.net_draw[Index(i)];
    if (draw > 0.0) flow.AddArc(i, sink, draw, 0.0);
    if (draw < 0.0) flow.AddArc(source, i, -draw, 0.0);
    if ((draw > 0.0) == draws) wanted += std::abs(draw);
  }
  for (int node : FixedNodes()) {
    if (draws) flow.AddArc(source, node, kNoLimit, 0.0);
    if (!draws) flow.AddArc(node, sink, kNoLimit, 0.0);
  }
  constexpr double kRoundOff = 1e-12;
  return flow.Run(source, sink) >= wanted * (1.0 - kRoundOff);
}

bool FlowGraph::DrawsCanBeMet() const {
  return CanSaturate(/*draws=*/true);
}
bool FlowGraph::FeedsCanLeave() const {
  return CanSaturate(/*draws=*/false);
}

}  // namespace handwheel
