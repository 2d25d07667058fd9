#include "steady/zones.h"

#include <numeric>

namespace handwheel {
namespace {

// Groups of nodes by joining pairs, with path halving.
class NodeGroups {
 public:
  explicit NodeGroups(int num_nodes) : parent_(static_cast<std::size_t>(num_nodes)) {
    std::iota(parent_.begin(), parent_.end(), 0);
  }
  int Find(int i) {
    while (parent(i) != i) {
      parent(i) = parent(parent(i));
      i = parent(i);
    }
    return i;
  }
  void Join(int a, int b) { parent(Find(a)) = Find(b); }

 private:
  int& parent(int i) { return parent_[static_cast<std::size_t>(i)]; }
  std::vector<int> parent_;
};

template <typename Joins>
NodeGroups GroupNodes(const Plan& plan, const Joins& joins) {
  NodeGroups groups(plan.num_nodes());
  for (std::size_t l = 0; l < plan.laws.size(); ++l) {
    if (joins(l)) groups.Join(plan.from[l], plan.to[l]);
  }
  // All fixed heads count as joined.
  for (int i = plan.num_free; i + 1 < plan.num_nodes(); ++i) groups.Join(i, i + 1);
  return groups;
}

}  // namespace

std::vector<int> FloatingZones(const Plan& plan) {
  NodeGroups groups = GroupNodes(plan, [](std::size_t) { return true; });
  const int grounded = plan.num_fixed > 0 ? groups.Find(plan.num_free) : -1;
  std::vector<int> zones;
  for (int i = 0; i < plan.num_free; ++i) {
    if (groups.Find(i) == i && i != grounded) zones.push_back(i);
  }
  // A group's root may be a fixed node only if it is the grounded group, so every other root is
  // free.
  return zones;
}

std::vector<int> ZonesOfOpenParts(const Plan& plan) {
  NodeGroups groups = GroupNodes(plan, [&](std::size_t l) { return !IsShut(plan.laws[l]); });
  std::vector<int> zone(static_cast<std::size_t>(plan.num_nodes()), 0);
  std::vector<int> number(zone.size(), 0);  // by root
  const int grounded = plan.num_fixed > 0 ? groups.Find(plan.num_free) : -1;
  int count = 0;
  for (int i = 0; i < plan.num_nodes(); ++i) {
    const int root = groups.Find(i);
    if (root == grounded) continue;
    int& known = number[static_cast<std::size_t>(root)];
    if (known == 0) known = ++count;
    zone[static_cast<std::size_t>(i)] = known;
  }
  return zone;
}

std::vector<bool> ShutInNodes(const Plan& plan, const std::vector<double>& flow) {
  constexpr double kNoFlow = 1e-15;  // [m³/s]: round-off of the methods
  NodeGroups groups = GroupNodes(plan, [&](std::size_t l) {
    if (IsShut(plan.laws[l])) return false;
    return !IsOneWay(plan.laws[l]) || flow[l] > kNoFlow;
  });
  const int grounded = groups.Find(plan.num_free);
  std::vector<bool> shut_in(static_cast<std::size_t>(plan.num_nodes()));
  for (int i = 0; i < plan.num_free; ++i) {
    shut_in[static_cast<std::size_t>(i)] = groups.Find(i) != grounded;
  }
  return shut_in;
}

}  // namespace handwheel
