#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "steady/plant_view.h"

namespace handwheel {

// Which parts lie on the way between points, as the solution has them. Every search visits at most
// kMaxVisited points, so that advice stays in proportion to the size of the network; what lies
// further off goes unseen.
class Paths {
 public:
  static constexpr int kMaxVisited = 200;

  explicit Paths(const PlantView& plant);

  // A vessel that liquid leaving a point runs into.
  struct Delivery {
    std::size_t vessel;  // its point
    double inertia;      // length over area, summed along the way: least of all ways [1/m]
  };
  // Follows the flow from a point; not past running pumps, nozzles, regulators and relief valves,
  // and past sound check valves only if told.
  std::vector<Delivery> DeliveriesFrom(std::size_t point, bool past_check_valves) const;

  // Index of the running pump whose whole flow passes a point, with nothing between but pipes,
  // restrictions and valves.
  std::optional<std::size_t> PumpFeeding(std::size_t point) const;

  // How the discharge of a positive displacement pump is guarded: what is reached from a point
  // through parts that nobody can shut (pipes, restrictions, check valves that point away).
  struct Guard {
    bool relief_valve = false;
    bool open_way = false;  // to a vessel or the open air
  };
  Guard GuardOf(std::size_t point) const;

 private:
  struct Link {
    std::size_t component;
    std::size_t other;  // point at its other end
    bool forward;       // the point at hand is its `from`
  };

  template <typename Part>
  void Add(const std::vector<Part>& parts, std::size_t first);
  bool CarriesAway(const Link& link) const;
  bool IsFollowed(std::size_t component, bool past_check_valves) const;
  double InertiaOf(std::size_t component) const;
  std::optional<std::size_t> OnlyFeed(std::size_t point) const;

  const PlantView& plant_;
  std::vector<std::vector<Link>> links_;  // by point
};

}  // namespace handwheel
