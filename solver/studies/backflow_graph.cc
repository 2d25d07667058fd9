#include "studies/backflow_graph.h"

#include <algorithm>

#include "steady/plant_view.h"

namespace handwheel {

BackflowGraph::BackflowGraph(const Network& network)
    : num_vessels_(network.vessels.size()), node_names_(network.PointNames()) {
  num_points_ = node_names_.size();
  for (const Vessel& vessel : network.vessels) elevation_.push_back(vessel.elevation);
  for (const Junction& junction : network.junctions) elevation_.push_back(junction.elevation);
  for (std::size_t i = 0; i < num_points_; ++i) point_index_.emplace_back(node_names_[i], i);
  std::sort(point_index_.begin(), point_index_.end());
  links_.resize(num_points_);

  const KindOffsets first(network);
  first_directed_[0] = first.check_valves;
  first_directed_[1] = first.restrictions;
  first_directed_[2] = first.nozzles;
  AddAll(network.pipes);
  AddAll(network.valves);
  AddAll(network.check_valves);
  AddAll(network.pumps);
  AddAll(network.restrictions);
  for (const Nozzle& nozzle : network.nozzles) {
    const std::size_t from = NodeOf(nozzle.from);
    Add(nozzle.name, from, AddOutlet(nozzle.name, nozzle.elevation.value_or(elevation_[from])));
  }
  AddAll(network.regulators);
  for (const ReliefValve& valve : network.relief_valves) {
    const std::size_t from = NodeOf(valve.from);
    Add(valve.name, from,
        valve.to.empty() ? AddOutlet(valve.name, elevation_[from]) : NodeOf(valve.to));
  }
}

template <typename Part>
void BackflowGraph::AddAll(const std::vector<Part>& parts) {
  for (const Part& part : parts) Add(part.name, NodeOf(part.from), NodeOf(part.to));
}

void BackflowGraph::Add(const std::string& name, std::size_t from, std::size_t to) {
  const std::size_t component = component_names_.size();
  component_names_.push_back(name);
  from_.push_back(from);
  to_.push_back(to);
  links_[from].push_back({component, to, true});
  links_[to].push_back({component, from, false});
}

std::size_t BackflowGraph::AddOutlet(const std::string& name, double elevation) {
  node_names_.push_back(name);
  elevation_.push_back(elevation);
  links_.emplace_back();
  return node_names_.size() - 1;
}

std::size_t BackflowGraph::NodeOf(const std::string& point) const {
  const auto found =
      std::lower_bound(point_index_.begin(), point_index_.end(), std::pair(point, std::size_t{0}));
  return found->second;
}

std::vector<double> BackflowGraph::GainOfNodes(const std::vector<double>& flow) const {
  std::vector<double> gain(num_nodes(), 0.0);
  for (std::size_t c = 0; c < flow.size(); ++c) {
    gain[from_[c]] -= flow[c];
    gain[to_[c]] += flow[c];
  }
  return gain;
}

std::vector<double> BackflowGraph::HeadOfNodes(const Solution& solution) const {
  std::vector<double> head = solution.head();
  head.insert(head.end(), elevation_.begin() + static_cast<std::ptrdiff_t>(num_points_),
              elevation_.end());
  return head;
}

}  // namespace handwheel
