#include "steady/loops.h"

#include <algorithm>
#include <functional>
#include <limits>
#include <queue>

#include "units/numbers.h"

namespace handwheel {
namespace {

template <typename T>
using MinQueue = std::priority_queue<T, std::vector<T>, std::greater<>>;

}  // namespace

LoopFinder::LoopFinder(const Plan& plan, std::vector<char> in_use, std::vector<PartCost> cost)
    : plan_(plan),
      in_use_(std::move(in_use)),
      cost_(std::move(cost)),
      arcs_(Index(plan.num_free) + 1) {
  for (int l = 0; l < plan.num_components(); ++l) {
    const int from = plan.from[Index(l)], to = plan.to[Index(l)];
    if (!in_use_[Index(l)] || Merged(from) == Merged(to)) continue;
    arcs_[Index(Merged(from))].push_back({to, l, +1});
    arcs_[Index(Merged(to))].push_back({from, l, -1});
  }
}

Forest LoopFinder::GrowForest() const {
  const std::size_t num_nodes = Index(plan_.num_nodes());
  Forest forest{.order = {},
                .parent = std::vector<int>(num_nodes, -1),
                .link = std::vector<int>(num_nodes, -1),
                .grounded = std::vector<char>(num_nodes, 0)};
  std::vector<char> reached(num_nodes, 0);

  struct Branch {
    PartCost cost;
    int component;
    int parent, node;
    auto operator<=>(const Branch&) const = default;
  };
  MinQueue<Branch> candidates;
  const auto add = [&](int node, bool grounded) {
    reached[Index(node)] = 1;
    forest.grounded[Index(node)] = grounded;
    forest.order.push_back(node);
    if (plan_.IsFixed(node)) return;  // their arcs are offered once, below
    for (const Arc& arc : arcs_[Index(node)]) {
      if (reached[Index(arc.to)]) continue;
      candidates.push({cost_[Index(arc.component)], arc.component, node, arc.to});
    }
  };
  const auto grow = [&](bool grounded) {
    while (!candidates.empty()) {
      const Branch branch = candidates.top();
      candidates.pop();
      if (reached[Index(branch.node)]) continue;
      forest.parent[Index(branch.node)] = branch.parent;
      forest.link[Index(branch.node)] = branch.component;
      add(branch.node, grounded);
    }
  };

  for (int i = plan_.num_free; i < plan_.num_nodes(); ++i) add(i, true);
  for (const Arc& arc : arcs_[Index(plan_.num_free)]) {
    const std::size_t l = Index(arc.component);
    const int root = arc.sign > 0 ? plan_.from[l] : plan_.to[l];
    candidates.push({cost_[l], arc.component, root, arc.to});
  }
  grow(true);
  for (int i = 0; i < plan_.num_free; ++i) {
    if (reached[Index(i)]) continue;
    add(i, false);
    grow(false);
  }
  return forest;
}

std::vector<ClosedLoop> LoopFinder::FindLoops(const Forest& forest) const {
  std::vector<char> allowed = BranchesOf(forest);
  std::vector<int> closing;
  for (int l = 0; l < plan_.num_components(); ++l) {
    if (in_use_[Index(l)] && !allowed[Index(l)]) closing.push_back(l);
  }
  std::stable_sort(closing.begin(), closing.end(),
                   [&](int a, int b) { return cost_[Index(a)] < cost_[Index(b)]; });
  std::vector<ClosedLoop> loops;
  loops.reserve(closing.size());
  for (int l : closing) {
    loops.push_back(Close({l}, allowed));
    // Barred from the paths of one-way parts as long as two-way parts will do.
    allowed[Index(l)] = !cost_[Index(l)].one_way;
  }
  return loops;
}

ClosedLoop LoopFinder::CloseThrough(const std::vector<int>& parts, const Forest& forest) const {
  return Close(parts, BranchesOf(forest));
}

std::vector<char> LoopFinder::BranchesOf(const Forest& forest) const {
  std::vector<char> branches(in_use_.size(), 0);
  for (int l : forest.link) {
    if (l >= 0) branches[Index(l)] = 1;
  }
  return branches;
}

ClosedLoop LoopFinder::Close(const std::vector<int>& parts,
                             const std::vector<char>& allowed) const {
  ClosedLoop loop;
  const auto add = [&](int component, int sign) {
    loop.parts.components.push_back(component);
    loop.parts.signs.push_back(sign);
  };
  int here = 0;
  // From one fixed head to another: the way round leaves the network at `here`, enters it at
  // `node`.
  const auto hop = [&](int node) {
    if (node == here) return;
    loop.head_gain += plan_.fixed_head[Index(node - plan_.num_free)] -
                      plan_.fixed_head[Index(here - plan_.num_free)];
    loop.parts.between_vessels = true;
    here = node;
  };
  std::vector<Arc> path;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const int next = parts[(i + 1) % parts.size()];
    add(parts[i], +1);
    here = plan_.to[Index(parts[i])];
    FindPath(here, plan_.from[Index(next)], allowed, &path);
    for (const Arc& arc : path) {
      const std::size_t l = Index(arc.component);
      hop(arc.sign > 0 ? plan_.from[l] : plan_.to[l]);
      add(arc.component, arc.sign);
      here = arc.to;
    }
    hop(plan_.from[Index(next)]);
  }
  return loop;
}

// Dijkstra's shortest path.
void LoopFinder::FindPath(int from, int to, const std::vector<char>& allowed,
                          std::vector<Arc>* path) const {
  path->clear();
  const int start = Merged(from), end = Merged(to);
  if (start == end) return;
  std::vector<double> distance(arcs_.size(), std::numeric_limits<double>::infinity());
  std::vector<const Arc*> via(arcs_.size(), nullptr);
  std::vector<int> before(arcs_.size(), -1);
  MinQueue<std::pair<double, int>> queue;
  distance[Index(start)] = 0.0;
  queue.push({0.0, start});
  while (!queue.empty()) {
    const auto [reached, node] = queue.top();
    queue.pop();
    if (node == end) break;
    if (reached > distance[Index(node)]) continue;
    for (const Arc& arc : arcs_[Index(node)]) {
      if (!allowed[Index(arc.component)]) continue;
      const int next = Merged(arc.to);
      const double length = reached + cost_[Index(arc.component)].slope;
      if (!(length < distance[Index(next)])) continue;
      distance[Index(next)] = length;
      via[Index(next)] = &arc;
      before[Index(next)] = node;
      queue.push({length, next});
    }
  }
  for (int node = end; node != start; node = before[Index(node)])
    path->push_back(*via[Index(node)]);
  std::reverse(path->begin(), path->end());
}

}  // namespace handwheel
