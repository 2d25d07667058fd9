#include "studies/isolate_zone.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <limits>
#include <numbers>

#include "handwheel/errors.h"
#include "network/resolve.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

bool Any(const Flags& flags) {
  return std::find(flags.begin(), flags.end(), 1) != flags.end();
}

bool IsWithin(const IsolateGraph& graph, const Flags& zone, std::size_t component) {
  const int to = graph.to[component];
  return zone[Index(graph.from[component])] && (to == IsolateGraph::kOpenAir || zone[Index(to)]);
}

double VolumeOf(const Pipe& pipe) {
  const double bore = BoreOf(pipe);
  return std::numbers::pi / 4.0 * bore * bore * pipe.length;
}

// --- Pockets and drains --------------------------------------------------------------------------

class PocketSurvey {
 public:
  PocketSurvey(const IsolateGraph& graph, const Flags& zone, const Flags& shut,
               const PresentState& present)
      : graph_(graph), zone_(zone), shut_(shut), present_(present) {}

  std::vector<Pocket> Run() {
    Flags done(zone_.size(), 0);
    std::vector<Pocket> pockets;
    for (std::size_t p = 0; p < zone_.size(); ++p) {
      if (!zone_[p] || done[p]) continue;
      const std::vector<std::size_t> points = PointsAround(p, &done);
      pockets.push_back(Describe(points));
    }
    return pockets;
  }

 private:
  enum class Way { kBoth, kForward, kOnceOpened, kNone };

  // How liquid drains through a part of the zone.
  Way WayThrough(std::size_t c) const {
    const KindOffsets& first = graph_.first;
    const Network& network = graph_.network;
    if (shut_[c]) return Way::kNone;
    if (graph_.IsValve(c)) {
      return graph_.ValveAt(c).opening > 0.0 ? Way::kBoth : Way::kOnceOpened;
    }
    if (c < first.check_valves) return Way::kBoth;
    if (c < first.pumps) {
      const CheckValve& valve = network.check_valves[c - first.check_valves];
      return valve.condition == "stuck open" ? Way::kBoth : Way::kForward;
    }
    if (c < first.restrictions) {
      const Pump& pump = network.pumps[c - first.pumps];
      return pump.kind == "positive displacement" ? Way::kNone : Way::kBoth;
    }
    if (c < first.nozzles) return Way::kBoth;
    return c < first.relief_valves ? Way::kForward : Way::kNone;
  }

  std::vector<std::size_t> PointsAround(std::size_t start, Flags* done) const {
    std::vector<std::size_t> points = {start};
    (*done)[start] = 1;
    for (std::size_t i = 0; i < points.size(); ++i) {
      for (const IsolateGraph::Link& link : graph_.links[points[i]]) {
        if (!zone_[link.other] || (*done)[link.other]) continue;
        if (WayThrough(link.component) != Way::kBoth) continue;
        (*done)[link.other] = 1;
        points.push_back(link.other);
      }
    }
    std::sort(points.begin(), points.end());
    return points;
  }

  Pocket Describe(const std::vector<std::size_t>& points) const {
    Pocket pocket;
    pocket.lowest_elevation = std::numeric_limits<double>::infinity();
    pocket.highest_elevation = -pocket.lowest_elevation;
    for (std::size_t p : points) {
      pocket.points.push_back(graph_.point_names[p]);
      AddHeight(graph_.point_names[p], graph_.Elevation(p), &pocket);
      if (graph_.IsVessel(p)) {
        const Vessel& vessel = graph_.network.vessels[p];
        AddHeight(vessel.name, vessel.elevation + vessel.level, &pocket);
      }
      const double head = present_.Head(p);
      if (std::isfinite(head)) pocket.trapped_head = std::fmax(pocket.trapped_head, head);
    }
    AddPipes(points, &pocket);
    pocket.trapped_pressure = (pocket.trapped_head - pocket.lowest_elevation) * Weight();
    pocket.drains = DrainsOf(points);
    return pocket;
  }

  double Weight() const {  // [Pa/m]
    return present_.solution ? present_.solution->liquid().density * graph_.network.site.gravity
                             : kNaN;
  }

  static void AddHeight(const std::string& name, double elevation, Pocket* pocket) {
    if (elevation < pocket->lowest_elevation) {
      pocket->lowest = name;
      pocket->lowest_elevation = elevation;
    }
    if (elevation > pocket->highest_elevation) {
      pocket->highest = name;
      pocket->highest_elevation = elevation;
    }
  }

  void AddPipes(const std::vector<std::size_t>& points, Pocket* pocket) const {
    for (std::size_t p : points) {
      for (const IsolateGraph::Link& link : graph_.links[p]) {
        if (!link.forward || link.component >= graph_.first.valves || !zone_[link.other]) continue;
        const Pipe& pipe = graph_.network.pipes[link.component];
        pocket->volume += VolumeOf(pipe);
        if (pipe.high_point) AddHeight(pipe.name, *pipe.high_point, pocket);
      }
    }
  }

  // The ways out along which the fewest valves have to be opened.
  std::vector<Drain> DrainsOf(const std::vector<std::size_t>& points) const {
    constexpr int kUnreached = std::numeric_limits<int>::max();
    struct Step {
      int opened = kUnreached;  // valves
      std::size_t component = 0, back = 0;
      bool first = true;
    };
    std::vector<Step> steps(zone_.size());
    std::deque<std::size_t> queue;
    for (std::size_t p : points) {
      steps[p].opened = 0;
      queue.push_back(p);
    }
    while (!queue.empty()) {
      const std::size_t p = queue.front();
      queue.pop_front();
      for (const IsolateGraph::Link& link : graph_.links[p]) {
        const Way way = WayThrough(link.component);
        if (!zone_[link.other] || way == Way::kNone) continue;
        if (way == Way::kForward && !link.forward) continue;
        const int cost = way == Way::kOnceOpened ? 1 : 0;
        if (steps[p].opened + cost >= steps[link.other].opened) continue;
        steps[link.other] = {steps[p].opened + cost, link.component, p, false};
        cost == 0 ? queue.push_front(link.other) : queue.push_back(link.other);
      }
    }
    std::vector<Drain> drains;
    for (const Nozzle& nozzle : graph_.network.nozzles) {
      std::size_t p = graph_.PointOf(nozzle.from);
      if (steps[p].opened == kUnreached) continue;
      Drain drain{nozzle.name, nozzle.elevation.value_or(graph_.Elevation(p)), {}};
      for (; !steps[p].first; p = steps[p].back) {
        if (WayThrough(steps[p].component) == Way::kOnceOpened) {
          drain.opened_by.push_back(graph_.component_names[steps[p].component]);
        }
      }
      std::reverse(drain.opened_by.begin(), drain.opened_by.end());
      drains.push_back(std::move(drain));
    }
    std::stable_sort(drains.begin(), drains.end(),
                     [](const Drain& a, const Drain& b) { return a.elevation < b.elevation; });
    return drains;
  }

  const IsolateGraph& graph_;
  const Flags& zone_;
  const Flags& shut_;
  const PresentState& present_;
};

// --- The boundary --------------------------------------------------------------------------------

class BoundarySurvey {
 public:
  BoundarySurvey(const IsolateGraph& graph, const Flags& zone, const Flags& shut,
                 const PresentState& present)
      : graph_(graph),
        zone_(zone),
        shut_(shut),
        present_(present),
        outside_(Contract(graph, graph.counts, Flags(zone.size(), 0), zone)),
        weight_(graph.network.fluid.Resolve().density * graph.network.site.gravity) {
    shut_now_ = shut;
    for (std::size_t c = graph.first.valves; c < graph.first.check_valves; ++c) {
      if (graph.ValveAt(c).opening <= 0.0) shut_now_[c] = 1;
    }
  }

  std::vector<BoundaryValve> Run() const {
    std::vector<BoundaryValve> boundary;
    for (std::size_t c = 0; c < shut_.size(); ++c) {
      if (!shut_[c] || !graph_.counts[c]) continue;
      const std::size_t from = Index(graph_.from[c]), to = Index(graph_.to[c]);
      if (zone_[from] == zone_[to]) continue;
      boundary.push_back(Describe(c, zone_[from] ? to : from));
    }
    return boundary;
  }

 private:
  BoundaryValve Describe(std::size_t c, std::size_t outer) const {
    BoundaryValve valve;
    valve.valve = graph_.component_names[c];
    valve.outer_point = graph_.point_names[outer];
    valve.opening = graph_.ValveAt(c).opening;
    valve.pressure = present_.Pressure(outer);
    valve.sources = SourcesBehind(outer);
    valve.single = outside_.node[outer] == outside_.source_node;
    if (valve.single) return valve;
    const Flags second = SecondValves(outer, &valve.second_are_shut);
    if (!Any(second)) return valve;
    valve.second_valves = NamesOf(second);
    Flags holds = shut_;
    for (std::size_t l = 0; l < holds.size(); ++l) holds[l] = holds[l] || second[l];
    const Flags between = graph_.Reach(Only(outer), holds);
    for (const Nozzle& nozzle : graph_.network.nozzles) {
      if (between[graph_.PointOf(nozzle.from)]) valve.bleeds.push_back(nozzle.name);
    }
    return valve;
  }

  Flags Only(std::size_t point) const {
    Flags flags(zone_.size(), 0);
    flags[point] = 1;
    return flags;
  }

  std::vector<std::string> NamesOf(const Flags& components) const {
    std::vector<std::string> names;
    for (std::size_t c = 0; c < components.size(); ++c) {
      if (components[c]) names.push_back(graph_.component_names[c]);
    }
    return names;
  }

  std::vector<PressureSource> SourcesBehind(std::size_t outer) const {
    // Behind a second valve of the list, too: it is the boundary that is looked at.
    Flags holds(shut_.size(), 0);
    for (std::size_t c = 0; c < shut_.size(); ++c) {
      const int to = graph_.to[c];
      holds[c] = shut_[c] && zone_[Index(graph_.from[c])] != zone_[Index(to)];
    }
    const Flags reached = graph_.Reach(Only(outer), holds);
    const Flags open = graph_.Reach(Only(outer), shut_now_);
    const Flags direct = graph_.Reach(Only(outer), graph_.counts);
    std::vector<PressureSource> sources;
    for (std::size_t p = 0; p < reached.size(); ++p) {
      if (!reached[p] || !graph_.IsSource(p)) continue;
      PressureSource source{.name = graph_.point_names[p],
                            .kind = graph_.IsVessel(p) ? "vessel" : "feed",
                            .direct = direct[p] != 0,
                            .open_now = open[p] != 0};
      if (graph_.IsVessel(p)) {
        const Vessel& vessel = graph_.network.vessels[p];
        source.head = vessel.elevation + vessel.level + vessel.gas_pressure / weight_;
        source.pressure = (source.head - graph_.Elevation(outer)) * weight_;
      }
      sources.push_back(std::move(source));
    }
    for (std::size_t i = 0; i < graph_.network.pumps.size(); ++i) {
      const Pump& pump = graph_.network.pumps[i];
      const std::size_t p = graph_.PointOf(pump.from);
      if (!reached[p]) continue;
      sources.push_back({.name = pump.name,
                         .kind = "pump",
                         .running = pump.running && pump.speed > 0.0,
                         .direct = direct[p] != 0,
                         .open_now = open[p] != 0});
    }
    return sources;
  }

  // Components; none if no source lies behind. Those of the list, if they hold; else the fewest.
  Flags SecondValves(std::size_t outer, bool* are_shut) const {
    const Flags held = graph_.Reach(Only(outer), shut_);
    Flags second(shut_.size(), 0);
    *are_shut = !ReachesSource(held);
    if (*are_shut) {
      const Flags border = BorderOf(held);
      for (std::size_t c = 0; c < border.size(); ++c) {
        if (border[c] && ReachesSource(graph_.Reach(Only(FarEnd(c, held)), border))) second[c] = 1;
      }
      *are_shut = Any(second);
      return second;
    }
    for (int edge :
         NearestSmallestCut(outside_.graph, outside_.node[outer], outside_.source_node)) {
      second[outside_.component[Index(edge)]] = 1;
    }
    return second;
  }

  // Shut valves with one end in `held` and none in the zone.
  Flags BorderOf(const Flags& held) const {
    Flags border(shut_.size(), 0);
    for (std::size_t c = 0; c < shut_.size(); ++c) {
      if (!shut_[c]) continue;
      const std::size_t a = Index(graph_.from[c]), b = Index(graph_.to[c]);
      border[c] = graph_.counts[c] && held[a] != held[b] && !zone_[a] && !zone_[b];
    }
    return border;
  }

  std::size_t FarEnd(std::size_t c, const Flags& held) const {
    return Index(held[Index(graph_.from[c])] ? graph_.to[c] : graph_.from[c]);
  }

  bool ReachesSource(const Flags& reached) const {
    for (std::size_t p = 0; p < reached.size(); ++p) {
      if (reached[p] && !zone_[p] && graph_.IsSource(p)) return true;
    }
    return false;
  }

  const IsolateGraph& graph_;
  const Flags& zone_;
  const Flags& shut_;
  const PresentState& present_;
  ContractedPlant outside_;
  double weight_;  // [Pa/m]
  Flags shut_now_;
};

}  // namespace

// --- The present state ---------------------------------------------------------------------------

PresentState SolvePresent(const Network& network, const SteadyOptions& options) {
  PresentState present;
  try {
    Solution solution = Solve(network, options);
    present.message = solution.summary().message;
    if (solution.converged()) present.solution = std::move(solution);
  } catch (const NetworkError& error) {
    present.message = error.what();
  }
  return present;
}

double PresentState::Head(std::size_t point) const {
  return solution ? solution->head()[point] : kNaN;
}
double PresentState::Pressure(std::size_t point) const {
  return solution ? solution->pressure()[point] : kNaN;
}

// --- Contraction ---------------------------------------------------------------------------------

ContractedPlant Contract(const IsolateGraph& graph, const Flags& holds, const Flags& near,
                         const Flags& left_out) {
  ContractedPlant plant;
  plant.node.assign(graph.num_points(), -1);
  int count = 2;
  Flags done = left_out;
  for (std::size_t start = 0; start < graph.num_points(); ++start) {
    if (done[start]) continue;
    std::vector<std::size_t> points = {start};
    done[start] = 1;
    bool is_near = false, has_source = false;
    for (std::size_t i = 0; i < points.size(); ++i) {
      is_near = is_near || near[points[i]];
      has_source = has_source || graph.IsSource(points[i]);
      for (const IsolateGraph::Link& link : graph.links[points[i]]) {
        if (holds[link.component] || done[link.other]) continue;
        done[link.other] = 1;
        points.push_back(link.other);
      }
    }
    const int node = is_near ? plant.near_node : has_source ? plant.source_node : count++;
    for (std::size_t p : points) plant.node[p] = node;
  }
  plant.graph.num_nodes = count;
  for (std::size_t c = 0; c < graph.num_components(); ++c) {
    if (!holds[c]) continue;
    const int a = plant.node[Index(graph.from[c])], b = plant.node[Index(graph.to[c])];
    if (a < 0 || b < 0 || a == b) continue;
    plant.graph.edges.push_back({a, b});
    plant.component.push_back(c);
  }
  return plant;
}

// --- The zone ------------------------------------------------------------------------------------

double PipeVolume(const IsolateGraph& graph, const Flags& zone) {
  double volume = 0.0;
  for (std::size_t c = 0; c < graph.first.valves; ++c) {
    if (IsWithin(graph, zone, c)) volume += VolumeOf(graph.network.pipes[c]);
  }
  return volume;
}

IsolatedZone DescribeZone(const IsolateGraph& graph, const Flags& zone, const Flags& shut,
                          const PresentState& present) {
  IsolatedZone described;
  for (std::size_t p = 0; p < zone.size(); ++p) {
    if (!zone[p]) continue;
    described.points.push_back(graph.point_names[p]);
    if (graph.IsVessel(p)) described.vessels.push_back(graph.point_names[p]);
    if (graph.DrawAt(p) > 0.0) described.draws.push_back(graph.point_names[p]);
  }
  for (std::size_t c = 0; c < graph.num_components(); ++c) {
    if (!IsWithin(graph, zone, c)) continue;
    described.components.push_back(graph.component_names[c]);
    if (graph.first.pumps <= c && c < graph.first.restrictions) {
      described.pumps.push_back(graph.component_names[c]);
    }
  }
  described.volume = PipeVolume(graph, zone);
  described.pockets = PocketSurvey(graph, zone, shut, present).Run();
  return described;
}

std::vector<BoundaryValve> DescribeBoundary(const IsolateGraph& graph, const Flags& zone,
                                            const Flags& shut, const PresentState& present) {
  return BoundarySurvey(graph, zone, shut, present).Run();
}

}  // namespace handwheel
