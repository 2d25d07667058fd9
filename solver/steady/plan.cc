#include "steady/plan.h"

#include <cmath>
#include <limits>
#include <numeric>
#include <unordered_map>

#include "components/make_law.h"

namespace handwheel {
namespace {

class Compiler {
 public:
  explicit Compiler(const Network& network)
      : network_(network), context_{network.fluid.Resolve(), network.site.gravity, network.model} {}

  Plan Run() {
    plan_.liquid = context_.liquid;
    plan_.gravity = context_.gravity;
    plan_.atmospheric_pressure = network_.site.atmospheric_pressure;
    AddPoints();
    Reserve();
    AddAll(network_.pipes);
    AddAll(network_.valves);
    AddAll(network_.check_valves);
    AddAll(network_.pumps);
    AddAll(network_.restrictions);
    for (const Nozzle& nozzle : network_.nozzles) AddNozzle(nozzle);
    AddAll(network_.regulators);
    for (const ReliefValve& relief_valve : network_.relief_valves) AddReliefValve(relief_valve);
    plan_.num_listed = plan_.num_components();
    AddLeaks();
    return std::move(plan_);
  }

 private:
  void AddPoints() {
    plan_.num_free = static_cast<int>(network_.junctions.size());
    node_.reserve(network_.junctions.size() + network_.vessels.size());
    for (const Junction& junction : network_.junctions) {
      node_.emplace(junction.name, static_cast<int>(plan_.net_draw.size()));
      plan_.net_draw.push_back(junction.draw - junction.feed);
      plan_.elevation.push_back(junction.elevation);
    }
    for (const Vessel& vessel : network_.vessels) {
      const double head = vessel.elevation + vessel.level + vessel.gas_pressure / plan_.Weight();
      node_.emplace(vessel.name, plan_.AddFixed(head, vessel.elevation));
    }
  }

  void Reserve() {
    const std::size_t count = network_.pipes.size() + network_.valves.size() +
                              network_.check_valves.size() + network_.pumps.size() +
                              network_.restrictions.size() + network_.nozzles.size() +
                              network_.regulators.size() + network_.relief_valves.size();
    plan_.from.reserve(count);
    plan_.to.reserve(count);
    plan_.laws.reserve(count);
  }

  template <typename Part>
  void AddAll(const std::vector<Part>& parts) {
    for (const Part& part : parts) {
      Add(node_.at(part.from), node_.at(part.to), MakeLaw(part, context_));
    }
  }

  // The atmosphere pushes with zero gauge pressure at the nozzle's elevation.
  void AddNozzle(const Nozzle& nozzle) {
    const int from = node_.at(nozzle.from);
    Add(from, AddAtmosphere(nozzle.elevation.value_or(ElevationOf(from))),
        MakeLaw(nozzle, context_));
  }

  void AddReliefValve(const ReliefValve& relief_valve) {
    const int from = node_.at(relief_valve.from);
    const int to =
        relief_valve.to.empty() ? AddAtmosphere(ElevationOf(from)) : node_.at(relief_valve.to);
    Add(from, to, MakeLaw(relief_valve, context_));
  }

  // A cut diaphragm leaks from both sides of the valve, to each half of the way out.
  void AddLeaks() {
    const std::size_t first = network_.pipes.size();
    for (std::size_t i = 0; i < network_.valves.size(); ++i) {
      const Valve& valve = network_.valves[i];
      const auto leak = MakeVentLaw(valve, context_);
      if (!leak) continue;
      for (const std::string* end : {&valve.from, &valve.to}) {
        const int from = node_.at(*end);
        Add(from, AddAtmosphere(ElevationOf(from)), *leak);
        plan_.leaks_from.push_back(static_cast<int>(first + i));
      }
    }
  }

  int AddAtmosphere(double elevation) { return plan_.AddFixed(elevation, elevation); }
  double ElevationOf(int node) const { return plan_.elevation[static_cast<std::size_t>(node)]; }

  void Add(int from, int to, ComponentLaw made) {
    const int component = plan_.num_components();
    if (made.control) {
      auto& list = std::holds_alternative<Choke>(*made.control) ? plan_.chokes : plan_.controls;
      list.push_back({component, *made.control});
    }
    plan_.from.push_back(from);
    plan_.to.push_back(to);
    plan_.laws.push_back(std::move(made.law));
    plan_.start_flow.push_back(made.start_flow);
    plan_.area.push_back(made.area.value_or(std::numeric_limits<double>::quiet_NaN()));
  }

  const Network& network_;
  LawContext context_;
  Plan plan_;
  std::unordered_map<std::string_view, int> node_;
};

}  // namespace

Plan CompilePlan(const Network& network) {
  return Compiler(network).Run();
}

std::vector<double> StartHeads(const Plan& plan) {
  double mean = 0.0;
  for (double head : plan.fixed_head) mean += head / plan.num_fixed;
  std::vector<double> heads(static_cast<std::size_t>(plan.num_free), mean);
  heads.insert(heads.end(), plan.fixed_head.begin(), plan.fixed_head.end());
  return heads;
}

void FlowImbalance(const Plan& plan, const std::vector<double>& flow,
                   std::vector<double>* imbalance) {
  imbalance->resize(plan.net_draw.size());
  for (std::size_t i = 0; i < plan.net_draw.size(); ++i) (*imbalance)[i] = -plan.net_draw[i];
  for (std::size_t l = 0; l < flow.size(); ++l) {
    if (!plan.IsFixed(plan.from[l]))
      (*imbalance)[static_cast<std::size_t>(plan.from[l])] -= flow[l];
    if (!plan.IsFixed(plan.to[l])) (*imbalance)[static_cast<std::size_t>(plan.to[l])] += flow[l];
  }
}

}  // namespace handwheel
