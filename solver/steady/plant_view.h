#pragma once

#include <cstddef>
#include <string_view>
#include <unordered_map>

#include "components/make_law.h"
#include "handwheel/steady.h"

namespace handwheel {

// Where each kind starts in network order.
struct KindOffsets {
  explicit KindOffsets(const Network& n)
      : valves(n.pipes.size()),
        check_valves(valves + n.valves.size()),
        pumps(check_valves + n.check_valves.size()),
        restrictions(pumps + n.pumps.size()),
        nozzles(restrictions + n.restrictions.size()),
        regulators(nozzles + n.nozzles.size()),
        relief_valves(regulators + n.regulators.size()) {}
  std::size_t pipes = 0;
  std::size_t valves, check_valves, pumps, restrictions, nozzles, regulators, relief_valves;
};

// A solution with its points found by name. Keeps a reference to it.
class PlantView {
 public:
  explicit PlantView(const Solution& viewed)
      : solution(viewed),
        network(viewed.network()),
        liquid(viewed.liquid()),
        first(network),
        context{liquid, network.site.gravity, network.model} {
    const auto& names = viewed.point_names();
    point_of_.reserve(names.size());
    for (std::size_t i = 0; i < names.size(); ++i) point_of_.emplace(names[i], i);
  }

  std::size_t PointOf(std::string_view name) const { return point_of_.at(name); }
  double Head(std::string_view point) const { return solution.head()[PointOf(point)]; }
  double Gauge(std::string_view point) const { return solution.pressure()[PointOf(point)]; }
  double Absolute(std::string_view point) const {
    return Gauge(point) + network.site.atmospheric_pressure;
  }
  double Elevation(std::size_t point) const {
    const std::size_t vessels = network.vessels.size();
    return point < vessels ? network.vessels[point].elevation
                           : network.junctions[point - vessels].elevation;
  }
  double Weight() const { return context.Weight(); }  // [Pa/m]

  const Solution& solution;
  const Network& network;
  const Liquid& liquid;
  KindOffsets first;
  LawContext context;

 private:
  std::unordered_map<std::string_view, std::size_t> point_of_;
};

}  // namespace handwheel
