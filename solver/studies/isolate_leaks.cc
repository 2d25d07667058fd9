#include "studies/isolate_leaks.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "handwheel/errors.h"
#include "steady/flow_graph.h"

namespace handwheel {
namespace {

constexpr double kWideVent = 1.0;  // bore [m]: loses nothing to speak of

// Draws that nothing can feed any more, and feeds that cannot leave, would leave no solution.
void DropDrawsCutOff(Network* network) {
  const Plan plan = CompilePlan(*network);
  if (plan.num_fixed == 0) return;
  const FlowGraph open(plan);
  const auto fed = open.Reach(open.FixedNodes(), FlowGraph::Along::kFlow);
  const auto drained = open.Reach(open.FixedNodes(), FlowGraph::Along::kAgainst);
  for (std::size_t i = 0; i < network->junctions.size(); ++i) {
    if (!fed[i]) network->junctions[i].draw = 0.0;
    if (!drained[i]) network->junctions[i].feed = 0.0;
  }
}

// A regulator as what it is when it fails open: a resistance both ways.
Restriction WideOpen(const Regulator& regulator) {
  constexpr double kOpenK = 6.0;  // as make_valve_law.cc has it where none is given
  Restriction open;
  open.name = regulator.name;
  open.from = regulator.from;
  open.to = regulator.to;
  open.bore = regulator.bore;
  open.size = regulator.size;
  open.kv = regulator.kv;
  open.cv = regulator.cv;
  open.k = regulator.k;
  if (!open.kv && !open.cv && !open.k) open.k = kOpenK;
  return open;
}

class LeakModel {
 public:
  LeakModel(const LeakSetting& setting, const std::vector<std::size_t>& passing)
      : setting_(setting), graph_(*setting.graph) {
    const Network& network = graph_.network;
    for (std::size_t c : passing) passing_.insert(graph_.component_names[c]);
    for (std::size_t c : setting.shut) shut_.insert(graph_.component_names[c]);
    const std::vector<int> distance = DistancesOutwards(passing);
    const auto fail = [&](const auto& part) {
      const int from = distance[graph_.PointOf(part.from)], to = distance[graph_.PointOf(part.to)];
      if (Within(part) || (from >= 0 && (from < to || to < 0))) failed_open_.insert(part.name);
    };
    for (const CheckValve& valve : network.check_valves) fail(valve);
    for (const Regulator& regulator : network.regulators) fail(regulator);
  }

  LeakEstimate Run(const SteadyOptions& options) {
    LeakEstimate estimate;
    try {
      const Solution vented = SolvePlant(/*vent=*/true, options, &estimate);
      if (!estimate.solved) return estimate;
      estimate.flow = vented.flow()[vented.flow().size() - 1 - Behind(vented.network())];
      if (vented.network().vessels.empty()) return estimate;  // nothing to set a pressure
      const Solution tight = SolvePlant(/*vent=*/false, options, &estimate);
      if (estimate.solved) TakePressure(tight, &estimate);
    } catch (const NetworkError& error) {
      estimate.solved = false;
      estimate.message = error.what();
    }
    return estimate;
  }

 private:
  bool InZone(const std::string& point) const { return setting_.zone[graph_.PointOf(point)]; }
  template <typename Part>
  bool Within(const Part& part) const {
    return InZone(part.from) && InZone(part.to);
  }

  // Steps from the zone to each point, past no shut valve and no vessel; -1: not reached.
  std::vector<int> DistancesOutwards(const std::vector<std::size_t>& passing) const {
    Flags holds(graph_.num_components(), 0);
    for (std::size_t c = graph_.first.valves; c < graph_.first.check_valves; ++c) {
      const Valve& valve = graph_.ValveAt(c);
      holds[c] = valve.opening <= 0.0 && valve.condition == "sound";
    }
    for (std::size_t c : setting_.shut) holds[c] = graph_.counts[c];
    for (std::size_t c : passing) holds[c] = 0;
    std::vector<int> distance(graph_.num_points(), -1);
    std::vector<std::size_t> queue;
    for (std::size_t p = 0; p < distance.size(); ++p) {
      if (!setting_.zone[p]) continue;
      distance[p] = 0;
      queue.push_back(p);
    }
    for (std::size_t q = 0; q < queue.size(); ++q) {
      if (graph_.IsVessel(queue[q]) && !setting_.emptied[queue[q]]) continue;
      for (const IsolateGraph::Link& link : graph_.links[queue[q]]) {
        if (holds[link.component] || distance[link.other] >= 0) continue;
        distance[link.other] = distance[queue[q]] + 1;
        queue.push_back(link.other);
      }
    }
    return distance;
  }

  // Components behind the last nozzle in network order.
  static std::size_t Behind(const Network& network) {
    return network.regulators.size() + network.relief_valves.size();
  }

  Network Build(bool vent) const {
    Network network = graph_.network;
    network.cases.clear();
    ShutAndPass(&network);
    StopPumps(&network);
    EmptyVessels(&network);
    OpenUp(&network);
    std::erase_if(network.nozzles, [&](const Nozzle& nozzle) { return InZone(nozzle.from); });
    for (Junction& junction : network.junctions) {
      if (!InZone(junction.name)) continue;
      junction.draw = 0.0;
    }
    if (vent) AddVent(&network);
    DropDrawsCutOff(&network);
    return network;
  }

  void ShutAndPass(Network* network) const {
    for (Valve& valve : network->valves) {
      if (!shut_.contains(valve.name)) continue;
      valve.opening = 0.0;
      if (passing_.contains(valve.name) && valve.condition != "diaphragm cut") {
        valve.condition = "passing";
      }
    }
  }

  void StopPumps(Network* network) const {
    for (Pump& pump : network->pumps) {
      if (Within(pump) || shut_.contains(pump.name)) pump.running = false;
    }
  }

  // A vessel to be worked on becomes a point at its bottom.
  void EmptyVessels(Network* network) const {
    std::vector<Vessel> kept;
    for (const Vessel& vessel : network->vessels) {
      if (setting_.emptied[graph_.PointOf(vessel.name)]) {
        network->junctions.push_back({.name = vessel.name, .elevation = vessel.elevation});
      } else {
        kept.push_back(vessel);
      }
    }
    network->vessels = std::move(kept);
  }

  void OpenUp(Network* network) const {
    for (CheckValve& valve : network->check_valves) {
      if (!failed_open_.contains(valve.name)) continue;
      valve.condition = "stuck open";
      valve.stuck_opening = 1.0;
    }
    for (const Regulator& regulator : network->regulators) {
      if (failed_open_.contains(regulator.name)) {
        network->restrictions.push_back(WideOpen(regulator));
      }
    }
    std::erase_if(network->regulators, [&](const Regulator& regulator) {
      return failed_open_.contains(regulator.name);
    });
  }

  void AddVent(Network* network) const {
    Nozzle vent;
    vent.name = "vent to the air";
    const auto taken = [&](const std::vector<std::string>& names) {
      return std::find(names.begin(), names.end(), vent.name) != names.end();
    };
    while (taken(graph_.component_names) || taken(graph_.point_names)) vent.name += "'";
    vent.from = graph_.point_names[setting_.vent];
    vent.bore = kWideVent;
    network->nozzles.push_back(std::move(vent));
  }

  Solution SolvePlant(bool vent, const SteadyOptions& options, LeakEstimate* estimate) const {
    Solution solution = Solve(Build(vent), options);
    estimate->solved = solution.converged();
    if (!estimate->solved) estimate->message = solution.summary().message;
    return solution;
  }

  void TakePressure(const Solution& solution, LeakEstimate* estimate) const {
    for (std::size_t p = 0; p < solution.point_names().size(); ++p) {
      const std::string& name = solution.point_names()[p];
      const double pressure = solution.pressure()[p];
      if (!InZone(name) || !std::isfinite(pressure)) continue;
      if (estimate->pressure >= pressure) continue;
      estimate->pressure = pressure;
      estimate->at = name;
    }
  }

  const LeakSetting& setting_;
  const IsolateGraph& graph_;
  // By name, because what is built has another order.
  std::set<std::string> passing_, shut_, failed_open_;
};

}  // namespace

LeakEstimate EstimateLeak(const LeakSetting& setting, const std::vector<std::size_t>& passing,
                          const SteadyOptions& options) {
  LeakEstimate estimate = LeakModel(setting, passing).Run(options);
  for (std::size_t c : passing) estimate.passing.push_back(setting.graph->component_names[c]);
  return estimate;
}

}  // namespace handwheel
