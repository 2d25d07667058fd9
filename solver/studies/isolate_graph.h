#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "handwheel/network.h"
#include "steady/plant_view.h"

namespace handwheel {

// A set of points, or of components, by flags in network order.
using Flags = std::vector<char>;

// What a target names: its components, its points with those at the ends of the components, and the
// points named themselves. A vessel among the last is worked on, at an end it is a source.
struct IsolateTarget {
  Flags points, named;
  Flags components;
};

// A plant as isolation sees it: every component an open way both ways, but for the valves that
// count, which hold where they are shut. Keeps a reference to the network, which must be valid.
class IsolateGraph {
 public:
  static constexpr int kOpenAir = -1;

  struct Link {
    std::size_t component;
    std::size_t other;  // point at its other end
    bool forward;       // walking it is walking from -> to
  };

  // `exclude` names valves that are not to be counted. Throws NetworkError for what is no valve.
  IsolateGraph(const Network& network, const std::vector<std::string>& exclude);

  // Throw NetworkError for an unknown name, with a suggestion; the first also for an empty list.
  IsolateTarget Resolve(const std::vector<std::string>& names) const;
  std::vector<std::size_t> ResolveComponents(const std::vector<std::string>& names) const;

  std::size_t num_points() const { return point_names.size(); }
  std::size_t num_components() const { return component_names.size(); }

  // Points reached from `start` past no component that holds.
  Flags Reach(const Flags& start, const Flags& holds) const;
  // The zone around a target; as Reach, but the target's own components never hold.
  Flags Zone(const IsolateTarget& target, const Flags& holds) const;

  // Steps from `start` to each point; -1: not reached.
  std::vector<int> Distances(const Flags& start) const;
  // Components from the first point of `start` that a walk from `goal` meets past nothing that
  // holds, as few as possible.
  std::vector<std::size_t> ShortestPath(std::size_t goal, const Flags& start,
                                        const Flags& holds) const;

  // Components, but for the target's, on a simple path from the target to a source outside it.
  Flags OnPathsTo(const IsolateTarget& target) const;

  bool IsValve(std::size_t component) const {
    return first.valves <= component && component < first.check_valves;
  }
  const Valve& ValveAt(std::size_t component) const {
    return network.valves[component - first.valves];
  }
  bool IsVessel(std::size_t point) const { return point < network.vessels.size(); }
  double FeedAt(std::size_t point) const { return JunctionValue(point, &Junction::feed); }
  double DrawAt(std::size_t point) const { return JunctionValue(point, &Junction::draw); }
  bool IsSource(std::size_t point) const { return IsVessel(point) || FeedAt(point) > 0.0; }
  double Elevation(std::size_t point) const;
  std::size_t PointOf(const std::string& name) const { return point_of_.at(name); }

  const Network& network;
  KindOffsets first;
  std::vector<std::string> point_names, component_names;
  std::vector<int> from, to;             // points of each component; to may be kOpenAir
  std::vector<std::vector<Link>> links;  // by point
  Flags counts;                          // components: a hand valve in order, not excluded
  Flags excluded;                        // components: of the caller's list

 private:
  template <typename Part>
  void Add(const std::vector<Part>& parts);
  double JunctionValue(std::size_t point, double Junction::*value) const {
    return IsVessel(point) ? 0.0 : network.junctions[point - network.vessels.size()].*value;
  }
  [[noreturn]] void ThrowUnknown(const std::string& name) const;

  std::unordered_map<std::string, std::size_t> point_of_, component_of_;
};

// Why a component never counts as isolation, one sentence with its source; empty if it does.
std::string WhyNotCounted(const IsolateGraph& graph, std::size_t component);

// What kind of a part that is not counted: "check valve", "damaged valve", ...
std::string KindNotCounted(const IsolateGraph& graph, std::size_t component);

}  // namespace handwheel
