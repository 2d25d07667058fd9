#include "handwheel/isolate.h"

#include <algorithm>
#include <optional>

#include "handwheel/errors.h"
#include "studies/isolate_cuts.h"
#include "studies/isolate_graph.h"
#include "studies/isolate_leaks.h"
#include "studies/isolate_words.h"
#include "studies/isolate_zone.h"
#include "text/cat.h"

namespace handwheel {
namespace {

// A set of valves with what it is ranked by.
struct Candidate {
  std::vector<std::size_t> valves;  // components, ascending
  Flags shut, zone;
  double volume = 0.0;        // of the pipes in the zone [m³]
  std::ptrdiff_t points = 0;  // in the zone

  bool operator<(const Candidate& other) const {
    if (valves.size() != other.valves.size()) return valves.size() < other.valves.size();
    if (volume != other.volume) return volume < other.volume;
    if (points != other.points) return points < other.points;
    return valves < other.valves;
  }
};

// The valves that count and are not worked on themselves.
Flags HoldingValves(const IsolateGraph& graph, const IsolateTarget& target) {
  Flags holds = graph.counts;
  for (std::size_t c = 0; c < holds.size(); ++c) {
    if (target.components[c]) holds[c] = 0;
  }
  return holds;
}

std::vector<OpenPath> OpenPaths(const IsolateGraph& graph, const IsolateTarget& target,
                                const Flags& zone, const Flags& holds) {
  std::vector<OpenPath> paths;
  for (std::size_t p = 0; p < zone.size(); ++p) {
    const bool worked_on = graph.IsVessel(p) && target.named[p];
    if (!zone[p] || worked_on || !graph.IsSource(p)) continue;
    OpenPath path{graph.point_names[p], graph.IsVessel(p) ? "vessel" : "feed", {}};
    for (std::size_t c : graph.ShortestPath(p, target.points, holds)) {
      path.through.push_back(graph.component_names[c]);
    }
    paths.push_back(std::move(path));
  }
  return paths;
}

// What does not count among `wanted`, pipes apart, nearest to the target first.
std::vector<NotCounted> Reasons(const IsolateGraph& graph, const IsolateTarget& target,
                                const Flags& wanted) {
  const std::vector<int> distance = graph.Distances(target.points);
  std::vector<std::pair<int, std::size_t>> found;
  for (std::size_t c = graph.first.valves; c < graph.num_components(); ++c) {
    if (!wanted[c] || graph.counts[c]) continue;
    found.emplace_back(distance[static_cast<std::size_t>(graph.from[c])], c);
  }
  std::sort(found.begin(), found.end());
  std::vector<NotCounted> reasons;
  for (const auto& [steps, c] : found) {
    reasons.push_back(
        {graph.component_names[c], KindNotCounted(graph, c), WhyNotCounted(graph, c)});
  }
  return reasons;
}

Candidate MakeCandidate(const IsolateGraph& graph, const IsolateTarget& target,
                        std::vector<std::size_t> valves) {
  Candidate candidate;
  candidate.shut.assign(graph.num_components(), 0);
  for (std::size_t c : valves) candidate.shut[c] = 1;
  candidate.valves = std::move(valves);
  candidate.zone = graph.Zone(target, candidate.shut);
  candidate.volume = PipeVolume(graph, candidate.zone);
  candidate.points = std::count(candidate.zone.begin(), candidate.zone.end(), 1);
  return candidate;
}

std::vector<Candidate> FindSets(const IsolateGraph& graph, const IsolateTarget& target,
                                const Flags& holds, const Flags& core,
                                const IsolateOptions& options, bool* complete) {
  const Flags none(graph.num_points(), 0);
  const ContractedPlant plant = Contract(graph, holds, core, none);
  const CutList list = MinimalCuts(plant.graph, plant.near_node, plant.source_node,
                                   options.max_sets, options.max_search_steps);
  std::vector<Candidate> candidates;
  for (const std::vector<int>& cut : list.cuts) {
    std::vector<std::size_t> valves;
    for (int edge : cut) valves.push_back(plant.component[static_cast<std::size_t>(edge)]);
    candidates.push_back(MakeCandidate(graph, target, std::move(valves)));
  }
  std::sort(candidates.begin(), candidates.end());
  const auto wanted = static_cast<std::size_t>(options.max_sets);
  *complete = list.complete && candidates.size() <= wanted;
  if (candidates.size() > wanted)
    candidates.erase(candidates.begin() + options.max_sets, candidates.end());
  return candidates;
}

IsolatingSet Described(const IsolateGraph& graph, const Candidate& candidate,
                       const PresentState& present) {
  IsolatingSet set;
  for (std::size_t c : candidate.valves) {
    (graph.counts[c] ? set.valves : set.blanks).push_back(graph.component_names[c]);
  }
  set.boundary = DescribeBoundary(graph, candidate.zone, candidate.shut, present);
  set.zone = DescribeZone(graph, candidate.zone, candidate.shut, present);
  return set;
}

// With blanks, as few as possible, at parts with flanges that are neither pipe nor pump; and as few
// valves as then possible.
std::optional<Candidate> FindBlanks(const IsolateGraph& graph, const IsolateTarget& target,
                                    const Flags& counted) {
  Flags holds = counted;
  for (std::size_t c = graph.first.valves; c < graph.num_components(); ++c) {
    const bool pump = graph.first.pumps <= c && c < graph.first.restrictions;
    const bool through = graph.to[c] != IsolateGraph::kOpenAir;
    if (!pump && through && !target.components[c]) holds[c] = 1;
  }
  const Flags core = graph.Zone(target, holds);
  if (!OpenPaths(graph, target, core, holds).empty()) return std::nullopt;
  const ContractedPlant plant = Contract(graph, holds, core, Flags(graph.num_points(), 0));
  const int dearer_than_any_valves = 1 + static_cast<int>(graph.network.valves.size());
  std::vector<int> weights;
  for (std::size_t c : plant.component) weights.push_back(counted[c] ? 1 : dearer_than_any_valves);
  std::vector<std::size_t> parts;
  for (int edge : NearestSmallestCut(plant.graph, plant.near_node, plant.source_node, weights)) {
    parts.push_back(plant.component[static_cast<std::size_t>(edge)]);
  }
  return MakeCandidate(graph, target, std::move(parts));
}

// Names of the list that are worked on, or do not count for another reason, then what stands on the
// ways left open.
std::vector<NotCounted> ReasonsOfCheck(const IsolateGraph& graph, const IsolateTarget& target,
                                       const std::vector<std::size_t>& shut,
                                       const std::vector<OpenPath>& paths) {
  std::vector<NotCounted> reasons;
  Flags wanted(graph.num_components(), 0);
  for (std::size_t c : shut) {
    wanted[c] = 1;
    if (!target.components[c] || !graph.counts[c]) continue;
    const std::string& name = graph.component_names[c];
    reasons.push_back({name, "valve", Cat(name, " is worked on itself.")});
  }
  std::vector<std::string> through;
  for (const OpenPath& path : paths) {
    through.insert(through.end(), path.through.begin(), path.through.end());
  }
  for (std::size_t c : graph.ResolveComponents(through))
    wanted[c] = wanted[c] || !target.components[c];
  for (NotCounted& reason : Reasons(graph, target, wanted)) reasons.push_back(std::move(reason));
  return reasons;
}

// Of the valves that hold, those that hold nothing back.
std::vector<std::string> Unneeded(const IsolateGraph& graph, const Flags& holds,
                                  const std::vector<BoundaryValve>& boundary) {
  Flags needed(graph.num_components(), 0);
  for (const BoundaryValve& valve : boundary) {
    if (valve.sources.empty()) continue;
    needed[graph.ResolveComponents({valve.valve}).front()] = 1;
    if (!valve.second_are_shut) continue;
    for (std::size_t c : graph.ResolveComponents(valve.second_valves)) needed[c] = 1;
  }
  std::vector<std::string> unneeded;
  for (std::size_t c = 0; c < holds.size(); ++c) {
    if (holds[c] && !needed[c]) unneeded.push_back(graph.component_names[c]);
  }
  return unneeded;
}

// The lowest of some points, vessels apart unless they are worked on.
std::optional<std::size_t> LowestPoint(const IsolateGraph& graph, const IsolateTarget& target,
                                       const Flags& points) {
  std::optional<std::size_t> lowest;
  for (std::size_t p = 0; p < points.size(); ++p) {
    if (!points[p] || (graph.IsVessel(p) && !target.named[p])) continue;
    if (!lowest || graph.Elevation(p) < graph.Elevation(*lowest)) lowest = p;
  }
  return lowest;
}

std::vector<LeakEstimate> EstimateLeaks(const LeakSetting& setting,
                                        const std::vector<std::size_t>& may_pass,
                                        const SteadyOptions& options) {
  std::vector<LeakEstimate> leaks = {EstimateLeak(setting, {}, options)};
  for (std::size_t c : may_pass) leaks.push_back(EstimateLeak(setting, {c}, options));
  if (may_pass.size() > 1) leaks.push_back(EstimateLeak(setting, may_pass, options));
  return leaks;
}

}  // namespace

bool IsolateOptions::IsValid(std::string* error) const {
  const auto positive = [&](const char* field, int value) {
    if (value >= 1) return true;
    *error = Cat(field, " is ", std::to_string(value), "; expected 1 or more");
    return false;
  };
  return positive("max_sets", max_sets) && positive("max_search_steps", max_search_steps) &&
         steady.IsValid(error);
}

Isolation Isolate(const Network& network, const std::vector<std::string>& target_names,
                  const IsolateOptions& options) {
  std::string error;
  if (!options.IsValid(&error)) throw SettingError("options: " + error);
  network.Validate();
  const IsolateGraph graph(network, options.exclude);
  const IsolateTarget target = graph.Resolve(target_names);
  const PresentState present = SolvePresent(network, options.steady);
  const Flags holds = HoldingValves(graph, target);
  const Flags core = graph.Zone(target, holds);

  Isolation isolation;
  isolation.target = target_names;
  isolation.open_paths = OpenPaths(graph, target, core, holds);
  isolation.possible = isolation.open_paths.empty();
  for (const Candidate& candidate :
       FindSets(graph, target, holds, core, options, &isolation.all_sets_listed)) {
    isolation.sets.push_back(Described(graph, candidate, present));
  }
  if (!isolation.possible) {
    if (const auto candidate = FindBlanks(graph, target, holds)) {
      isolation.with_blanks = Described(graph, *candidate, present);
    }
  }
  isolation.not_counted = Reasons(graph, target, graph.OnPathsTo(target));
  isolation.present_state = present.message;
  isolation.verdict = IsolationVerdict(isolation);
  isolation.steps = IsolationSteps(isolation, graph);
  isolation.cautions = IsolationCautions(isolation, graph, target);
  return isolation;
}

IsolationCheck VerifyIsolation(const Network& network, const std::vector<std::string>& target_names,
                               const std::vector<std::string>& shut_names,
                               const IsolateOptions& options) {
  std::string error;
  if (!options.IsValid(&error)) throw SettingError("options: " + error);
  network.Validate();
  const IsolateGraph graph(network, options.exclude);
  const IsolateTarget target = graph.Resolve(target_names);
  std::vector<std::size_t> shut, may_pass;
  for (std::size_t c : graph.ResolveComponents(shut_names)) {
    if (std::find(shut.begin(), shut.end(), c) == shut.end()) shut.push_back(c);
  }
  Flags holds(graph.num_components(), 0);
  for (std::size_t c : shut) {
    holds[c] = graph.counts[c] && !target.components[c];
    if (graph.IsValve(c)) may_pass.push_back(c);
  }
  const Flags zone = graph.Zone(target, holds);
  const PresentState present = SolvePresent(network, options.steady);

  IsolationCheck check;
  check.target = target_names;
  for (std::size_t c : shut) check.shut.push_back(graph.component_names[c]);
  check.open_paths = OpenPaths(graph, target, zone, holds);
  check.isolates = check.open_paths.empty();
  check.not_counted = ReasonsOfCheck(graph, target, shut, check.open_paths);
  if (check.isolates) {
    check.boundary = DescribeBoundary(graph, zone, holds, present);
    check.zone = DescribeZone(graph, zone, holds, present);
    check.unneeded = Unneeded(graph, holds, check.boundary);
  }
  const Flags& opened = check.isolates ? zone : target.points;
  if (const auto vent = LowestPoint(graph, target, opened)) {
    check.vent = graph.point_names[*vent];
    const LeakSetting setting{&graph, opened, *vent, shut, target.named};
    check.leaks = EstimateLeaks(setting, may_pass, options.steady);
  }
  check.present_state = present.message;
  check.verdict = CheckVerdict(check);
  check.cautions = CheckCautions(check, graph, target);
  return check;
}

}  // namespace handwheel
