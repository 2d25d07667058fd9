#pragma once

#include <optional>
#include <vector>

#include "batch/columns.h"
#include "batch/compiled_network.h"
#include "batch/lane_plan.h"
#include "components/valve_throttle.h"
#include "steady/newton.h"
#include "units/numbers.h"

namespace handwheel {

// What a column of a batch changes of a plan.
enum class Touch { kNothing, kFixedHead, kDraw, kLaw, kMore };
Touch TouchOf(const PartKind& kind, const Field& field);

// A component whose law the columns change.
struct VariedComponent {
  std::size_t part;       // into BatchColumns::parts()
  std::size_t component;  // of the plan
  std::size_t lane_index;
  // A hand valve of which only the opening changes; else the law is made from the part.
  std::optional<ValveThrottle> throttle{};
  ComponentLaw (*make)(const void* part, const LawContext& context) = nullptr;
};

// A vessel whose head, or junction whose draw, the columns change.
struct VariedPoint {
  std::size_t part;
  std::size_t point;                      // of its kind
  std::size_t node;                       // of the lanes
  std::vector<std::size_t> neighbours{};  // components at a vessel, in the order of the lanes
};

// A plan, and what a batch changes of it, arranged for lanes; and the state that every scenario
// starts from. Shared by the workers.
class LaneNetwork {
 public:
  // Whether the scenarios can go in lanes at all: no component has a control but choking, and no
  // column changes more than fixed heads, draws and laws.
  static bool Fits(const CompiledNetwork::Data& compiled, const BatchColumns& columns);

  // `start`: by component and node of the plan, where iterations begin.
  LaneNetwork(const CompiledNetwork::Data& compiled, const BatchColumns& columns,
              const SteadyState& start);

  const Network& network() const { return compiled_.network; }
  const Plan& plan() const { return compiled_.plan; }
  const LawContext& context() const { return context_; }
  const LanePlan& lanes() const { return lanes_; }

  std::size_t LaneIndex(std::size_t component) const { return lane_index_[component]; }
  std::size_t ComponentOf(std::size_t lane_index) const { return component_[lane_index]; }
  std::size_t LaneNode(int node) const { return lane_node_[static_cast<std::size_t>(node)]; }

  const std::vector<VariedComponent>& components() const { return components_; }
  const std::vector<VariedPoint>& vessels() const { return vessels_; }
  const std::vector<VariedPoint>& junctions() const { return junctions_; }
  // By component of the lanes: which of components(), or -1.
  int VariedIndex(std::size_t lane_index) const { return varied_[lane_index]; }
  // The components that share the place in the matrix of a component.
  std::span<const std::uint32_t> SharersOf(std::size_t varied) const { return sharers_[varied]; }
  // Of a component whose law nothing changes.
  const Law& LawOf(std::size_t lane_index) const { return plan().laws[component_[lane_index]]; }
  // By hand valve of the network: what chokes it as it stands; nullptr: nothing.
  const Choke* ChokeOf(std::size_t valve) const { return chokes_[valve]; }
  std::size_t first_valve() const { return compiled_.network.pipes.size(); }

  // The linearisation at the start, in the order of the lanes.
  struct Start {
    std::vector<double> flow, conductance, misfit;  // by component
    std::vector<bool> resting;
    std::vector<double> head, feed, right_side;  // by node
    std::vector<double> values;                  // of the matrix
    std::vector<double> root;                    // by pipe: see LaneArrays
    // By valve of the lanes.
    std::vector<double> valve_r, valve_rev_per_flow, valve_turbulent_from;
  };
  const Start& start() const { return start_; }

  // Zones of nodes that open parts join whatever the scenario, and what may join them further.
  struct Link {
    int zone_from, zone_to;
    std::size_t lane_index;
  };
  int num_zones() const { return num_zones_; }
  int ZoneOf(int node) const { return zone_[static_cast<std::size_t>(node)]; }  // of the plan
  int grounded_zone() const { return ZoneOf(plan().num_free); }
  const std::vector<Link>& links() const { return links_; }

 private:
  void FindVaried(const BatchColumns& columns);
  void AddVariedComponent(const BatchColumns& columns, std::size_t part);
  void OrderComponents();
  void PlaceComponents();
  void FillGroups();
  void FindSharers();
  void FindZones();
  void Linearise(const SteadyState& start);
  bool IsVaried(std::size_t component) const;

  const CompiledNetwork::Data& compiled_;
  LawContext context_;
  std::optional<LaplacianSymbolic> symbolic_;
  LanePlan lanes_;
  std::vector<std::size_t> lane_index_, component_, lane_node_;
  std::vector<VariedComponent> components_;
  std::vector<VariedPoint> vessels_, junctions_;
  std::vector<int> varied_;
  std::vector<std::vector<std::uint32_t>> sharers_;
  std::vector<const Choke*> chokes_;
  Start start_;
  std::vector<int> zone_;
  int num_zones_ = 0;
  std::vector<Link> links_;
};

}  // namespace handwheel
