#include "steady/plan.h"

#include <cmath>
#include <limits>
#include <numeric>
#include <unordered_map>

#include "components/make_law.h"
#include "network/resolve.h"

namespace handwheel {
namespace {

class Compiler {
 public:
  explicit Compiler(const Network& network)
      : network_(network), context_{network.fluid.Resolve(), network.site.gravity, network.model} {}

  Plan Run() {
    plan_.liquid = context_.liquid;
    plan_.gravity = context_.gravity;
    AddPoints();
    const std::size_t count = network_.pipes.size() + network_.valves.size() +
                              network_.check_valves.size() + network_.pumps.size() +
                              network_.restrictions.size() + network_.nozzles.size();
    plan_.from.reserve(count);
    plan_.to.reserve(count);
    plan_.laws.reserve(count);
    AddAll(network_.pipes);
    AddAll(network_.valves);
    AddAll(network_.check_valves);
    AddAll(network_.pumps);
    AddAll(network_.restrictions);
    for (const Nozzle& nozzle : network_.nozzles) AddNozzle(nozzle);
    return std::move(plan_);
  }

 private:
  void AddPoints() {
    plan_.num_free = static_cast<int>(network_.junctions.size());
    node_.reserve(network_.junctions.size() + network_.vessels.size());
    for (const Junction& junction : network_.junctions) {
      node_.emplace(junction.name, static_cast<int>(plan_.net_draw.size()));
      plan_.net_draw.push_back(junction.draw - junction.feed);
    }
    const double weight = context_.liquid.density * context_.gravity;  // [Pa/m]
    for (const Vessel& vessel : network_.vessels) {
      node_.emplace(vessel.name,
                    AddFixed(vessel.elevation + vessel.level + vessel.gas_pressure / weight));
    }
  }

  int AddFixed(double head) {
    plan_.fixed_head.push_back(head);
    return plan_.num_free + plan_.num_fixed++;
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
    const double elevation = nozzle.elevation.value_or(ElevationOf(from));
    Add(from, AddFixed(elevation), MakeLaw(nozzle, context_));
  }

  double ElevationOf(int node) const {
    if (!plan_.IsFixed(node)) return network_.junctions[static_cast<std::size_t>(node)].elevation;
    return network_.vessels[static_cast<std::size_t>(node - plan_.num_free)].elevation;
  }

  void Add(int from, int to, ComponentLaw made) {
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
