#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "handwheel/network.h"
#include "handwheel/steady.h"

namespace handwheel {

// A plant as nodes and components in network order, for following liquid through it. Nodes are the
// vessels, the junctions, and an outlet behind each nozzle and open relief valve.
class BackflowGraph {
 public:
  struct Link {
    std::size_t component;
    std::size_t other;  // node at its other end
    bool forward;       // the node at hand is its `from`
  };

  explicit BackflowGraph(const Network& network);

  std::size_t num_nodes() const { return node_names_.size(); }
  std::size_t num_vessels() const { return num_vessels_; }
  std::size_t num_components() const { return component_names_.size(); }
  std::size_t from(std::size_t component) const { return from_[component]; }
  std::size_t to(std::size_t component) const { return to_[component]; }
  // Where liquid enters a component that passes `flow`.
  std::size_t Inlet(std::size_t component, double flow) const {
    return flow >= 0.0 ? from_[component] : to_[component];
  }
  std::size_t Outlet(std::size_t component, double flow) const {
    return flow >= 0.0 ? to_[component] : from_[component];
  }
  const std::vector<Link>& links(std::size_t node) const { return links_[node]; }
  bool IsVessel(std::size_t node) const { return node < num_vessels_; }
  bool IsOutlet(std::size_t node) const { return node >= num_points_; }
  // Liquid that gets there stays there.
  bool IsEnd(std::size_t node) const { return IsVessel(node) || IsOutlet(node); }
  const std::string& node_name(std::size_t node) const { return node_names_[node]; }
  const std::string& component_name(std::size_t c) const { return component_names_[c]; }
  // Pumps and one-way parts: liquid is to pass them from -> to.
  bool HasDirection(std::size_t component) const {
    return component >= first_directed_[0] &&
           (component < first_directed_[1] || component >= first_directed_[2]);
  }

  // What each node gains at these component flows [m³/s].
  std::vector<double> GainOfNodes(const std::vector<double>& flow) const;
  // By node [m]; of an outlet its elevation.
  std::vector<double> HeadOfNodes(const Solution& solution) const;

 private:
  template <typename Part>
  void AddAll(const std::vector<Part>& parts);
  void Add(const std::string& name, std::size_t from, std::size_t to);
  std::size_t AddOutlet(const std::string& name, double elevation);
  std::size_t NodeOf(const std::string& point) const;

  std::size_t num_vessels_ = 0, num_points_ = 0;
  std::size_t first_directed_[3] = {0, 0, 0};  // check valves and pumps; then nozzles and the rest
  std::vector<std::string> node_names_, component_names_;
  std::vector<double> elevation_;  // by node [m]
  std::vector<std::size_t> from_, to_;
  std::vector<std::vector<Link>> links_;
  std::vector<std::pair<std::string, std::size_t>> point_index_;  // sorted by name
};

}  // namespace handwheel
