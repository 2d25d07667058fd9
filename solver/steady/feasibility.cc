#include "steady/feasibility.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "handwheel/errors.h"
#include "steady/flow_graph.h"
#include "text/suggest.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

// Lists up to three names, then how many more: "mixer", "rinse" (+12).
std::string NameList(const std::vector<std::string>& names) {
  constexpr std::size_t kShown = 3;
  std::string text;
  for (std::size_t i = 0; i < std::min(names.size(), kShown); ++i) {
    text += (i ? ", \"" : "\"") + names[i] + "\"";
  }
  if (names.size() > kShown) text += " (+" + std::to_string(names.size() - kShown) + ")";
  return text;
}

class FeasibilityCheck {
 public:
  FeasibilityCheck(const Network& network, const Plan& plan)
      : network_(network), plan_(plan), graph_(plan), names_(network.ComponentNames()) {}

  void Run() const {
    if (plan_.num_fixed == 0) {
      throw NetworkError(
          "the network has no vessel and no nozzle, so nothing sets a pressure; add a vessel");
    }
    CheckZonesWithoutPressure();
    CheckEverySignOfDraw();
  }

 private:
  bool Draws(int node) const { return plan_.net_draw[Index(node)] > 0.0; }
  bool Feeds(int node) const { return plan_.net_draw[Index(node)] < 0.0; }

  std::vector<std::string> JunctionNames(const std::function<bool(int)>& wanted) const {
    std::vector<std::string> names;
    for (int i = 0; i < plan_.num_free; ++i) {
      if (wanted(i)) names.push_back(network_.junctions[Index(i)].name);
    }
    return names;
  }

  // A zone that no open path joins to a vessel or nozzle may hold no draw or feed.
  void CheckZonesWithoutPressure() const {
    std::vector<char> joined = graph_.Reach(graph_.FixedNodes(), FlowGraph::Along::kEither);
    const auto cut_off = [&](int i) {
      return !joined[Index(i)] && plan_.net_draw[Index(i)] != 0.0;
    };
    const auto draws = JunctionNames([&](int i) { return cut_off(i) && Draws(i); });
    const auto feeds = JunctionNames([&](int i) { return cut_off(i) && Feeds(i); });
    if (draws.empty() && feeds.empty()) return;
    const auto& names = draws.empty() ? feeds : draws;
    throw NetworkError(std::string(draws.empty() ? "feeds into " : "draws at ") + NameList(names) +
                           " can reach no vessel; " + Remedy(joined),
                       names.front());
  }

  // "open valve "HV-3" or give one of them a pressure".
  std::string Remedy(const std::vector<char>& joined) const {
    std::vector<std::string> shut;
    for (std::size_t l = 0; l < Index(plan_.num_listed); ++l) {
      if (IsShut(plan_.laws[l]) && joined[Index(plan_.from[l])] != joined[Index(plan_.to[l])]) {
        shut.push_back(names_[l]);
      }
    }
    if (shut.empty()) return "join them to a vessel";
    return "open " + NameList(shut) + " or join them to a vessel";
  }

  // Every draw must be fed along one-way parts' directions, and every feed must get away.
  void CheckEverySignOfDraw() const {
    const std::vector<char> fed = graph_.Reach(graph_.FixedNodes(), FlowGraph::Along::kFlow);
    const std::vector<char> drained = graph_.Reach(graph_.FixedNodes(), FlowGraph::Along::kAgainst);
    const auto starved = JunctionNames([&](int i) { return Draws(i) && !fed[Index(i)]; });
    const auto stuffed = JunctionNames([&](int i) { return Feeds(i) && !drained[Index(i)]; });
    // Feeds may still serve draws that no vessel reaches, so ask for the largest flow before
    // refusing.
    if (!starved.empty() && !graph_.DrawsCanBeMet()) {
      throw NetworkError("draws at " + NameList(starved) + " can be fed by no vessel: " +
                             Holders(fed, /*into=*/true) + " may only pass the other way",
                         starved.front());
    }
    if (!stuffed.empty() && !graph_.FeedsCanLeave()) {
      throw NetworkError("feeds into " + NameList(stuffed) + " can leave to no vessel or nozzle: " +
                             Holders(drained, /*into=*/false) + " may only pass the other way",
                         stuffed.front());
    }
  }

  // The one-way parts on the border of the reached set.
  std::string Holders(const std::vector<char>& reached, bool into) const {
    std::vector<std::string> holders;
    for (std::size_t l = 0; l < Index(plan_.num_listed); ++l) {
      const bool from = reached[Index(plan_.from[l])], to = reached[Index(plan_.to[l])];
      if (IsOneWay(plan_.laws[l]) && from != to && to == into) holders.push_back(names_[l]);
    }
    return NameList(holders);
  }

  const Network& network_;
  const Plan& plan_;
  FlowGraph graph_;
  std::vector<std::string> names_;
};

}  // namespace

void CheckFeasible(const Network& network, const Plan& plan) {
  FeasibilityCheck(network, plan).Run();
}

}  // namespace handwheel
