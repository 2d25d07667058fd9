#include "studies/isolate_cuts.h"

#include <algorithm>
#include <cstddef>
#include <optional>
#include <queue>

#include "units/numbers.h"

namespace handwheel {
namespace {

// Where a node is to stand.
enum Side : char { kFree, kNear, kFar };
using Sides = std::vector<char>;

class CutFinder {
 public:
  CutFinder(const CutGraph& graph, int to, std::vector<int> weights = {})
      : graph_(graph), to_(to), weights_(std::move(weights)), links_(Index(graph.num_nodes)) {
    weights_.resize(graph.edges.size(), 1);
    for (std::size_t e = 0; e < graph.edges.size(); ++e) {
      const auto [a, b] = graph.edges[e];
      links_[Index(a)].push_back({static_cast<int>(e), b});
      links_[Index(b)].push_back({static_cast<int>(e), a});
    }
  }

  // Adds to the near side what the near side cuts off from `to`. False if that takes in a node that
  // has to stand on the far side.
  bool Close(Sides* sides) const {
    Sides reached(sides->size(), 0);
    std::vector<int> todo = {to_};
    reached[Index(to_)] = 1;
    while (!todo.empty()) {
      const int node = todo.back();
      todo.pop_back();
      for (const Link& link : links_[Index(node)]) {
        if (reached[Index(link.node)] || (*sides)[Index(link.node)] == kNear) continue;
        reached[Index(link.node)] = 1;
        todo.push_back(link.node);
      }
    }
    for (std::size_t i = 0; i < sides->size(); ++i) {
      if (reached[i]) continue;
      if ((*sides)[i] == kFar) return false;
      (*sides)[i] = kNear;
    }
    return true;
  }

  // The first free node next to the near side; -1: none.
  int FreeNeighbour(const Sides& sides) const {
    for (std::size_t i = 0; i < sides.size(); ++i) {
      if (sides[i] != kFree) continue;
      for (const Link& link : links_[i]) {
        if (sides[Index(link.node)] == kNear) return static_cast<int>(i);
      }
    }
    return -1;
  }

  std::vector<int> EdgesOut(const Sides& sides) const {
    std::vector<int> edges;
    for (std::size_t e = 0; e < graph_.edges.size(); ++e) {
      const auto [a, b] = graph_.edges[e];
      if ((sides[Index(a)] == kNear) != (sides[Index(b)] == kNear)) {
        edges.push_back(static_cast<int>(e));
      }
    }
    return edges;
  }

  // Weight of the smallest cut between near and far side, by augmenting paths (Ford & Fulkerson);
  // *nearest, if asked for, becomes the side of the one nearest to the near side.
  int SmallestSize(const Sides& sides, Sides* nearest = nullptr) const {
    std::vector<int> flow(graph_.edges.size(),
                          0);  // above 0 along the edge's order
    int size = 0;
    while (Augment(sides, &flow, nearest)) ++size;
    return size;
  }

 private:
  struct Link {
    int edge;
    int node;  // its other end
  };

  bool MayPass(int node, const Link& link, const std::vector<int>& flow) const {
    const bool along = graph_.edges[Index(link.edge)][0] == node;
    const int weight = weights_[Index(link.edge)];
    return along ? flow[Index(link.edge)] < weight : flow[Index(link.edge)] > -weight;
  }

  // One more path from near to far; false, with *reached what is still reached, if there is none.
  bool Augment(const Sides& sides, std::vector<int>* flow, Sides* reached) const {
    constexpr int kNone = -1, kStart = -2;
    std::vector<int> via(sides.size(), kNone);  // edge by which a node was reached
    std::vector<int> queue;
    for (std::size_t i = 0; i < sides.size(); ++i) {
      if (sides[i] != kNear) continue;
      via[i] = kStart;
      queue.push_back(static_cast<int>(i));
    }
    for (std::size_t q = 0; q < queue.size(); ++q) {
      const int node = queue[q];
      for (const Link& link : links_[Index(node)]) {
        if (via[Index(link.node)] != kNone || !MayPass(node, link, *flow)) continue;
        via[Index(link.node)] = link.edge;
        if (sides[Index(link.node)] == kFar) {
          Push(link.node, via, flow);
          return true;
        }
        queue.push_back(link.node);
      }
    }
    if (reached != nullptr) {
      for (std::size_t i = 0; i < sides.size(); ++i)
        (*reached)[i] = via[i] == kNone ? kFree : kNear;
    }
    return false;
  }

  void Push(int node, const std::vector<int>& via, std::vector<int>* flow) const {
    while (via[Index(node)] >= 0) {
      const auto [a, b] = graph_.edges[Index(via[Index(node)])];
      int& along = (*flow)[Index(via[Index(node)])];
      along += node == b ? 1 : -1;
      node = node == b ? a : b;
    }
  }

  const CutGraph& graph_;
  int to_;
  std::vector<int> weights_;  // by edge
  std::vector<std::vector<Link>> links_;
};

// All minimal cuts whose near side takes in the near nodes and leaves out the far ones.
struct Family {
  int least_size;  // of any of them, at least
  int number;      // in order of making
  Sides sides;
  bool operator<(const Family& other) const {  // the queue serves the largest
    return least_size != other.least_size ? least_size > other.least_size : number > other.number;
  }
};

// A minimal cut is the border of a near side that is connected and leaves a connected far side.
// Every family is split at a node next to its near side: in, with all that this cuts off, or out.
// Each near side on the way is itself that of a minimal cut of its family, so that no split is in
// vain and no cut comes twice.
class Search {
 public:
  Search(const CutGraph& graph, int from, int to) : finder_(graph, to) {
    Sides sides(Index(graph.num_nodes), kFree);
    sides[Index(from)] = kNear;
    sides[Index(to)] = kFar;
    joined_ = finder_.SmallestSize(sides) > 0;
    if (joined_ && finder_.Close(&sides)) Add(std::move(sides));
  }

  CutList Run(int enough, int max_steps) {
    CutList list;
    if (!joined_) {
      list.cuts.emplace_back();
      list.complete = true;
      return list;
    }
    int steps = 0;
    while (!families_.empty() && !IsEnough(list, enough) && steps++ < max_steps) {
      Family family = families_.top();
      families_.pop();
      Split(std::move(family), &list);
    }
    list.complete = families_.empty();
    if (!list.complete && !IsEnough(list, enough)) TakeBordersOfFamilies(enough, &list);
    return list;
  }

 private:
  void Add(Sides sides) {
    const int least = finder_.SmallestSize(sides);
    families_.push({least, made_++, std::move(sides)});
  }

  // The smallest are found, and no family left has another one as small.
  bool IsEnough(const CutList& list, int enough) const {
    if (list.cuts.size() < Index(enough)) return false;
    return families_.empty() ||
           Index(families_.top().least_size) > list.cuts[Index(enough) - 1].size();
  }

  void Split(Family family, CutList* list) {
    const int node = finder_.FreeNeighbour(family.sides);
    if (node < 0) {
      list->cuts.push_back(finder_.EdgesOut(family.sides));
      return;
    }
    Sides with = family.sides;
    with[Index(node)] = kNear;
    if (finder_.Close(&with)) Add(std::move(with));
    family.sides[Index(node)] = kFar;
    Add(std::move(family.sides));
  }

  // Given up: the border of every near side is a minimal cut too. Several families may share one.
  void TakeBordersOfFamilies(int enough, CutList* list) {
    while (!families_.empty() && list->cuts.size() < Index(enough) + Index(enough)) {
      list->cuts.push_back(finder_.EdgesOut(families_.top().sides));
      families_.pop();
    }
  }

  CutFinder finder_;
  bool joined_ = false;
  int made_ = 0;
  std::priority_queue<Family> families_;
};

}  // namespace

std::vector<int> NearestSmallestCut(const CutGraph& graph, int from, int to,
                                    const std::vector<int>& weights) {
  const CutFinder finder(graph, to, weights);
  Sides sides(Index(graph.num_nodes), kFree);
  sides[Index(from)] = kNear;
  sides[Index(to)] = kFar;
  Sides nearest(sides.size(), kFree);
  if (finder.SmallestSize(sides, &nearest) == 0) return {};
  return finder.EdgesOut(nearest);
}

CutList MinimalCuts(const CutGraph& graph, int from, int to, int enough, int max_steps) {
  CutList list = Search(graph, from, to).Run(enough, max_steps);
  if (!list.complete) list.cuts.push_back(NearestSmallestCut(graph, from, to));
  std::sort(list.cuts.begin(), list.cuts.end(), [](const auto& a, const auto& b) {
    return a.size() != b.size() ? a.size() < b.size() : a < b;
  });
  list.cuts.erase(std::unique(list.cuts.begin(), list.cuts.end()), list.cuts.end());
  return list;
}

}  // namespace handwheel
