#include "studies/isolate_graph.h"

#include <algorithm>
#include <array>

#include "handwheel/errors.h"
#include "text/cat.h"
#include "text/suggest.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

std::string EndOf(const ReliefValve& valve) {
  return valve.to;
}
std::string EndOf(const Nozzle&) {
  return {};
}
template <typename Part>
std::string EndOf(const Part& part) {
  return part.to;
}

// The edges on simple paths between two nodes: those of the biconnected component that an edge
// between the two would lie in (Hopcroft & Tarjan, Comm. ACM 16, 1973).
class PathEdges {
 public:
  PathEdges(std::size_t num_nodes, std::size_t num_edges)
      : ends_(num_edges, {0, 0}), links_(num_nodes), on_path_(num_edges, 0) {}

  void Add(std::size_t edge, std::size_t a, std::size_t b) {
    if (a == b) return;
    ends_[edge] = {a, b};
    links_[a].push_back(edge);
    links_[b].push_back(edge);
  }

  Flags Between(std::size_t a, std::size_t b) {
    const std::size_t bridge = ends_.size();  // the edge between the two
    ends_.push_back({a, b});
    found_.assign(links_.size(), 0);
    lowest_.assign(links_.size(), 0);
    found_[a] = lowest_[a] = ++count_;
    Walk(b, bridge);
    // What is still stacked when the walk is back at `a` is the component of the bridge.
    for (std::size_t edge : edges_) on_path_[edge] = 1;
    return on_path_;
  }

 private:
  struct Frame {
    std::size_t node, by;  // by: the edge it was reached by
    std::size_t next;      // link to look at
  };

  void Enter(std::size_t node, std::size_t by) {
    found_[node] = lowest_[node] = ++count_;
    stack_.push_back({node, by, 0});
  }

  void Walk(std::size_t start, std::size_t bridge) {
    Enter(start, bridge);
    while (!stack_.empty()) {
      Frame& frame = stack_.back();
      if (frame.next == links_[frame.node].size()) {
        Leave();
        continue;
      }
      const std::size_t edge = links_[frame.node][frame.next++];
      if (edge == frame.by) continue;
      const std::size_t node = frame.node;
      const std::size_t other = ends_[edge][0] == node ? ends_[edge][1] : ends_[edge][0];
      if (found_[other] == 0) {
        edges_.push_back(edge);
        Enter(other, edge);
      } else if (found_[other] < found_[node]) {
        edges_.push_back(edge);
        lowest_[node] = std::min(lowest_[node], found_[other]);
      }
    }
  }

  void Leave() {
    const Frame done = stack_.back();
    stack_.pop_back();
    if (stack_.empty()) return;
    const std::size_t parent = stack_.back().node;
    lowest_[parent] = std::min(lowest_[parent], lowest_[done.node]);
    if (lowest_[done.node] < found_[parent]) return;
    std::size_t edge;  // a component hangs on `parent` alone: not on the way
    do {
      edge = edges_.back();
      edges_.pop_back();
    } while (edge != done.by);
  }

  std::vector<std::array<std::size_t, 2>> ends_;
  std::vector<std::vector<std::size_t>> links_;
  std::vector<int> found_, lowest_;
  std::vector<Frame> stack_;
  std::vector<std::size_t> edges_;
  Flags on_path_;
  int count_ = 0;
};

}  // namespace

IsolateGraph::IsolateGraph(const Network& plant, const std::vector<std::string>& exclude)
    : network(plant),
      first(plant),
      point_names(plant.PointNames()),
      component_names(plant.ComponentNames()),
      links(point_names.size()) {
  for (std::size_t i = 0; i < point_names.size(); ++i) point_of_.emplace(point_names[i], i);
  for (std::size_t i = 0; i < component_names.size(); ++i) {
    component_of_.emplace(component_names[i], i);
  }
  Add(network.pipes);
  Add(network.valves);
  Add(network.check_valves);
  Add(network.pumps);
  Add(network.restrictions);
  Add(network.nozzles);
  Add(network.regulators);
  Add(network.relief_valves);
  excluded.assign(num_components(), 0);
  for (std::size_t c : ResolveComponents(exclude)) {
    if (!IsValve(c)) {
      throw NetworkError(Cat("exclude: ", Quoted(component_names[c]),
                             " is no valve; only hand valves are counted to begin with."),
                         component_names[c]);
    }
    excluded[c] = 1;
  }
  counts.assign(num_components(), 0);
  for (std::size_t c = first.valves; c < first.check_valves; ++c) {
    counts[c] = WhyNotCounted(*this, c).empty();
  }
}

template <typename Part>
void IsolateGraph::Add(const std::vector<Part>& parts) {
  for (const Part& part : parts) {
    const std::size_t component = from.size(), a = point_of_.at(part.from);
    const std::string end = EndOf(part);
    from.push_back(static_cast<int>(a));
    to.push_back(end.empty() ? kOpenAir : static_cast<int>(point_of_.at(end)));
    if (end.empty()) continue;
    const std::size_t b = Index(to.back());
    links[a].push_back({component, b, true});
    links[b].push_back({component, a, false});
  }
}

void IsolateGraph::ThrowUnknown(const std::string& name) const {
  std::vector<std::string> names = component_names;
  names.insert(names.end(), point_names.begin(), point_names.end());
  throw NetworkError(
      Cat("no component or point is named ", Quoted(name), ";", Suggest(name, names)), name);
}

IsolateTarget IsolateGraph::Resolve(const std::vector<std::string>& names) const {
  if (names.empty()) {
    throw NetworkError("the target is empty; name the component, point or area to be worked on.");
  }
  IsolateTarget target{Flags(num_points(), 0), Flags(num_points(), 0), Flags(num_components(), 0)};
  for (const std::string& name : names) {
    if (const auto point = point_of_.find(name); point != point_of_.end()) {
      target.points[point->second] = target.named[point->second] = 1;
      continue;
    }
    const auto component = component_of_.find(name);
    if (component == component_of_.end()) ThrowUnknown(name);
    const std::size_t c = component->second;
    target.components[c] = 1;
    target.points[Index(from[c])] = 1;
    if (to[c] != kOpenAir) target.points[Index(to[c])] = 1;
  }
  return target;
}

std::vector<std::size_t> IsolateGraph::ResolveComponents(
    const std::vector<std::string>& names) const {
  std::vector<std::size_t> components;
  for (const std::string& name : names) {
    const auto found = component_of_.find(name);
    if (found != component_of_.end()) {
      components.push_back(found->second);
      continue;
    }
    if (!point_of_.contains(name)) ThrowUnknown(name);
    throw NetworkError(Cat(Quoted(name), " is a point, which cannot be shut; name a valve."), name);
  }
  return components;
}

Flags IsolateGraph::Reach(const Flags& start, const Flags& holds) const {
  Flags reached = start;
  std::vector<std::size_t> todo;
  for (std::size_t p = 0; p < start.size(); ++p) {
    if (start[p]) todo.push_back(p);
  }
  while (!todo.empty()) {
    const std::size_t point = todo.back();
    todo.pop_back();
    for (const Link& link : links[point]) {
      if (holds[link.component] || reached[link.other]) continue;
      reached[link.other] = 1;
      todo.push_back(link.other);
    }
  }
  return reached;
}

Flags IsolateGraph::Zone(const IsolateTarget& target, const Flags& holds) const {
  Flags left = holds;
  for (std::size_t c = 0; c < left.size(); ++c) {
    if (target.components[c]) left[c] = 0;
  }
  return Reach(target.points, left);
}

std::vector<int> IsolateGraph::Distances(const Flags& start) const {
  std::vector<int> distance(num_points(), -1);
  std::vector<std::size_t> queue;
  for (std::size_t p = 0; p < start.size(); ++p) {
    if (!start[p]) continue;
    distance[p] = 0;
    queue.push_back(p);
  }
  for (std::size_t q = 0; q < queue.size(); ++q) {
    for (const Link& link : links[queue[q]]) {
      if (distance[link.other] >= 0) continue;
      distance[link.other] = distance[queue[q]] + 1;
      queue.push_back(link.other);
    }
  }
  return distance;
}

std::vector<std::size_t> IsolateGraph::ShortestPath(std::size_t goal, const Flags& start,
                                                    const Flags& holds) const {
  struct Step {
    std::size_t component, back;
  };
  std::vector<std::optional<Step>> by(num_points());
  Flags seen(num_points(), 0);
  std::vector<std::size_t> queue = {goal};
  seen[goal] = 1;
  for (std::size_t q = 0; q < queue.size(); ++q) {
    std::size_t point = queue[q];
    if (start[point]) {
      std::vector<std::size_t> path;
      for (; by[point]; point = by[point]->back) path.push_back(by[point]->component);
      std::reverse(path.begin(), path.end());
      return path;
    }
    for (const Link& link : links[point]) {
      if (holds[link.component] || seen[link.other]) continue;
      seen[link.other] = 1;
      by[link.other] = Step{link.component, point};
      queue.push_back(link.other);
    }
  }
  return {};
}

Flags IsolateGraph::OnPathsTo(const IsolateTarget& target) const {
  const std::size_t work = num_points(), source = work + 1;  // all of each, taken as one node
  const auto node_of = [&](int point) {
    const std::size_t p = Index(point);
    return target.points[p] ? work : IsSource(p) ? source : p;
  };
  PathEdges paths(num_points() + 2, num_components());
  for (std::size_t c = 0; c < num_components(); ++c) {
    if (target.components[c] || to[c] == kOpenAir) continue;
    paths.Add(c, node_of(from[c]), node_of(to[c]));
  }
  return paths.Between(work, source);
}

double IsolateGraph::Elevation(std::size_t point) const {
  return IsVessel(point) ? network.vessels[point].elevation
                         : network.junctions[point - network.vessels.size()].elevation;
}

}  // namespace handwheel
