#include "drawing/graphviz/route.h"

#include <algorithm>
#include <cmath>

#include "drawing/graphviz/track_grid.h"

namespace handwheel::drawing {
namespace {

constexpr double kStub = 2.5;  // that a line leads straight out of a box [mm]

constexpr double kRoundOff = 1e-5;  // [mm]

using Corners = std::vector<DiagramPoint>;

DiagramPoint BesideBox(DiagramPoint port, DiagramSide side) {
  return {port.x + (side == DiagramSide::kLeft ? -kStub : kStub), port.y};
}

bool InLine(const DiagramPoint& a, const DiagramPoint& b, const DiagramPoint& c) {
  return (a.x == b.x && b.x == c.x) || (a.y == b.y && b.y == c.y);
}

// Without corners that are none.
Corners Bare(const Corners& corners) {
  Corners bare;
  for (const DiagramPoint& point : corners) {
    if (!bare.empty() && bare.back().x == point.x && bare.back().y == point.y) continue;
    while (bare.size() >= 2 && InLine(bare[bare.size() - 2], bare.back(), point)) bare.pop_back();
    bare.push_back(point);
  }
  return bare;
}

class Router {
 public:
  Router(const DiagramGraph& graph, const std::vector<DiagramPlace>& places, const Ports& ports)
      : graph_(graph), ports_(ports), routes_(graph.wires.size()) {
    std::vector<double> xs, ys;
    for (std::size_t w = 0; w < routes_.size(); ++w) {
      if (ports.IsStraight(w)) {
        routes_[w] = {ports.From(w), {ports.To(w).x, ports.From(w).y}};
        ys.push_back(ports.From(w).y);
        continue;
      }
      bent_.push_back(w);
      for (const DiagramPoint& point : {FromBeside(w), ToBeside(w)}) {
        xs.push_back(point.x);
        ys.push_back(point.y);
      }
    }
    if (!bent_.empty()) RouteBent(places, std::move(xs), std::move(ys));
  }

  std::vector<Corners> Take() { return std::move(routes_); }

 private:
  DiagramPoint FromBeside(std::size_t w) const {
    return BesideBox(ports_.From(w), graph_.wires[w].from.side);
  }
  DiagramPoint ToBeside(std::size_t w) const {
    return BesideBox(ports_.To(w), graph_.wires[w].to.side);
  }
  double Distance(std::size_t w) const {
    const DiagramPoint a = ports_.From(w), b = ports_.To(w);
    return std::abs(a.x - b.x) + std::abs(a.y - b.y);
  }

  void RouteBent(const std::vector<DiagramPlace>& places, std::vector<double> xs,
                 std::vector<double> ys) {
    TrackGrid grid(graph_, places, std::move(xs), std::move(ys));
    for (const Corners& route : routes_) {
      if (!route.empty()) grid.Occupy(route);
    }
    std::stable_sort(bent_.begin(), bent_.end(),
                     [this](std::size_t a, std::size_t b) { return Distance(a) < Distance(b); });
    for (const std::size_t w : bent_) {
      const Corners way = grid.FindWay(FromBeside(w), ToBeside(w));
      routes_[w] = WithEnds(w, way.empty() ? Elbow(w) : way);
      grid.Occupy(routes_[w]);
    }
  }

  // Where there is no way, because parts are pinned too near: across them.
  Corners Elbow(std::size_t w) const {
    const DiagramPoint a = FromBeside(w), b = ToBeside(w);
    const double middle = (a.x + b.x) / 2;
    return {a, {middle, a.y}, {middle, b.y}, b};
  }

  Corners WithEnds(std::size_t w, Corners way) const {
    way.insert(way.begin(), ports_.From(w));
    way.push_back(ports_.To(w));
    // Tracks and ports that differ by round-off are one.
    for (std::size_t i = 1; i < way.size(); ++i) {
      if (std::abs(way[i].x - way[i - 1].x) < kRoundOff) way[i].x = way[i - 1].x;
      if (std::abs(way[i].y - way[i - 1].y) < kRoundOff) way[i].y = way[i - 1].y;
    }
    return Bare(way);
  }

  const DiagramGraph& graph_;
  const Ports& ports_;
  std::vector<Corners> routes_;
  std::vector<std::size_t> bent_;
};

}  // namespace

std::vector<Corners> RouteWires(const DiagramGraph& graph, const std::vector<DiagramPlace>& places,
                                const Ports& ports) {
  return Router(graph, places, ports).Take();
}

}  // namespace handwheel::drawing
