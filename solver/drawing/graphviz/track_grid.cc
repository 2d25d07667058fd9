#include "drawing/graphviz/track_grid.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>

namespace handwheel::drawing {
namespace {

constexpr double kTrackPitch = 2.0;                  // of tracks at least [mm]
constexpr double kTracksBeside[] = {2.5, 5.0, 7.5};  // from a box [mm]
constexpr double kBoxMargin = 0.8;                   // that lines keep from boxes [mm]
constexpr double kBendCost = 12.0;                   // as much as a detour of this length [mm]
constexpr double kCrossingCost = 6.0;                // the same of crossing another line [mm]
constexpr double kSharingCost = 50.0;                // the same of a millimetre on another's track
constexpr double kSame = 1e-6;                       // of round-off [mm]
constexpr double kInfinity = std::numeric_limits<double>::infinity();

// Sorted; wishes too near to a track that must be, or to an earlier wish, are dropped.
std::vector<double> Tracks(std::vector<double> must, std::vector<double> wishes) {
  std::sort(must.begin(), must.end());
  const auto same = [](double a, double b) { return std::abs(a - b) < kSame; };
  must.erase(std::unique(must.begin(), must.end(), same), must.end());
  std::sort(wishes.begin(), wishes.end());
  std::vector<double> tracks = must;
  double last = -kInfinity;
  for (const double wish : wishes) {
    const auto next = std::lower_bound(must.begin(), must.end(), wish);
    const bool near_must = (next != must.end() && *next - wish < kTrackPitch) ||
                           (next != must.begin() && wish - *(next - 1) < kTrackPitch);
    if (near_must || wish - last < kTrackPitch) continue;
    tracks.push_back(last = wish);
  }
  std::sort(tracks.begin(), tracks.end());
  return tracks;
}

// The index range of tracks strictly between two coordinates.
std::pair<std::size_t, std::size_t> Between(const std::vector<double>& tracks, double low,
                                            double high) {
  return {std::upper_bound(tracks.begin(), tracks.end(), low) - tracks.begin(),
          std::lower_bound(tracks.begin(), tracks.end(), high) - tracks.begin()};
}

std::size_t IndexOf(const std::vector<double>& tracks, double value) {
  const auto found = std::lower_bound(tracks.begin(), tracks.end(), value - kSame);
  const auto index = static_cast<std::size_t>(found - tracks.begin());
  return std::min(index, tracks.size() - 1);
}

}  // namespace

TrackGrid::TrackGrid(const DiagramGraph& graph, const std::vector<DiagramPlace>& places,
                     std::vector<double> must_x, std::vector<double> must_y) {
  std::vector<double> wish_x, wish_y;
  for (std::size_t b = 0; b < places.size(); ++b) {
    for (const double beside : kTracksBeside) {
      wish_x.push_back(places[b].x - beside);
      wish_x.push_back(places[b].x + graph.boxes[b].width + beside);
      wish_y.push_back(places[b].y - beside);
      wish_y.push_back(places[b].y + places[b].height + beside);
    }
  }
  xs_ = Tracks(std::move(must_x), std::move(wish_x));
  ys_ = Tracks(std::move(must_y), std::move(wish_y));
  for (auto* marks : {&right_barred_, &down_barred_, &right_used_, &down_used_}) {
    marks->assign(xs_.size() * ys_.size(), 0);
  }
  cost_.assign(2 * xs_.size() * ys_.size(), kInfinity);
  previous_.assign(cost_.size(), 0);
  for (std::size_t b = 0; b < places.size(); ++b) Bar(graph.boxes[b], places[b]);
}

void TrackGrid::Bar(const DiagramBox& box, const DiagramPlace& place) {
  const auto [x0, x1] = Between(xs_, place.x - kBoxMargin, place.x + box.width + kBoxMargin);
  const auto [y0, y1] = Between(ys_, place.y - kBoxMargin, place.y + place.height + kBoxMargin);
  // A step also meets the box where its far end, or both ends, lie beyond it.
  const std::size_t left = x0 == 0 ? 0 : x0 - 1, top = y0 == 0 ? 0 : y0 - 1;
  for (std::size_t iy = y0; iy < y1; ++iy) {
    for (std::size_t ix = left; ix < x1; ++ix) right_barred_[At(ix, iy)] = 1;
  }
  for (std::size_t iy = top; iy < y1; ++iy) {
    for (std::size_t ix = x0; ix < x1; ++ix) down_barred_[At(ix, iy)] = 1;
  }
}

void TrackGrid::Occupy(const std::vector<DiagramPoint>& corners) {
  for (std::size_t i = 0; i + 1 < corners.size(); ++i) {
    const DiagramPoint &a = corners[i], &b = corners[i + 1];
    const bool level = a.y == b.y;
    const auto& along = level ? xs_ : ys_;
    const auto& across = level ? ys_ : xs_;
    const double place = level ? a.y : a.x;
    const std::size_t track = IndexOf(across, place);
    if (std::abs(across[track] - place) > kSame) continue;
    const double low = level ? std::min(a.x, b.x) : std::min(a.y, b.y);
    const double high = level ? std::max(a.x, b.x) : std::max(a.y, b.y);
    const auto [first, last] = Between(along, low - kSame, high + kSame);
    for (std::size_t i_along = first == 0 ? 0 : first - 1; i_along < last; ++i_along) {
      auto& used = level ? right_used_ : down_used_;
      used[level ? At(i_along, track) : At(track, i_along)] = 1;
    }
  }
}

struct TrackGrid::Step {
  double total;  // cost so far and the least still to come
  std::uint32_t state;
  bool operator>(const Step& other) const {
    return total != other.total ? total > other.total : state > other.state;
  }
};

std::vector<DiagramPoint> TrackGrid::FindWay(DiagramPoint from, DiagramPoint to) {
  const std::size_t width = xs_.size();
  const std::size_t start = At(IndexOf(xs_, from.x), IndexOf(ys_, from.y));
  const std::size_t goal = At(IndexOf(xs_, to.x), IndexOf(ys_, to.y));
  for (const std::uint32_t state : touched_) cost_[state] = kInfinity;
  touched_.clear();
  std::priority_queue<Step, std::vector<Step>, std::greater<>> open;
  cost_[2 * start] = 0.0;
  touched_.push_back(static_cast<std::uint32_t>(2 * start));
  open.push({0.0, static_cast<std::uint32_t>(2 * start)});

  while (!open.empty()) {
    const Step step = open.top();
    open.pop();
    const std::size_t crossing = step.state / 2, ix = crossing % width, iy = crossing / width;
    const bool upright = step.state % 2 == 1;
    // The least still to come: the way there, and a bend or two unless it lies level ahead.
    const auto left = [&](std::size_t x, std::size_t y, bool is_upright) {
      const double bends = is_upright ? 1.0 : (y == goal / width ? 0.0 : 2.0);
      return std::abs(xs_[x] - xs_[goal % width]) + std::abs(ys_[y] - ys_[goal / width]) +
             bends * kBendCost;
    };
    if (crossing == goal && !upright) return Trace(step.state);
    if (step.total > cost_[step.state] + left(ix, iy, upright) + 1e-9)
      continue;  // since found cheaper

    // To a neighbour, over a step that is kept at `edge`.
    const auto go = [&](std::size_t nx, std::size_t ny, std::size_t edge, bool go_upright) {
      if ((go_upright ? down_barred_ : right_barred_)[edge] != 0) return;
      const double length = std::abs(xs_[nx] - xs_[ix]) + std::abs(ys_[ny] - ys_[iy]);
      const bool shares = (go_upright ? down_used_ : right_used_)[edge] != 0;
      const std::size_t there = At(nx, ny);
      const bool crosses = (go_upright ? right_used_ : down_used_)[there] != 0;
      const double cost = cost_[step.state] + length * (shares ? 1.0 + kSharingCost : 1.0) +
                          (crosses ? kCrossingCost : 0.0) +
                          (go_upright != upright ? kBendCost : 0.0);
      const std::size_t state = 2 * there + (go_upright ? 1 : 0);
      if (!(cost < cost_[state])) return;
      cost_[state] = cost;
      previous_[state] = step.state;
      touched_.push_back(static_cast<std::uint32_t>(state));
      open.push({cost + left(nx, ny, go_upright), static_cast<std::uint32_t>(state)});
    };
    // A turn at the goal, so that it ends level.
    if (crossing == goal) {
      const std::size_t level = step.state - 1;
      if (cost_[step.state] + kBendCost < cost_[level]) {
        cost_[level] = cost_[step.state] + kBendCost;
        previous_[level] = step.state;
        touched_.push_back(static_cast<std::uint32_t>(level));
        open.push({cost_[level], static_cast<std::uint32_t>(level)});
      }
    }
    if (ix + 1 < width) go(ix + 1, iy, At(ix, iy), false);
    if (ix > 0) go(ix - 1, iy, At(ix - 1, iy), false);
    if (iy + 1 < ys_.size()) go(ix, iy + 1, At(ix, iy), true);
    if (iy > 0) go(ix, iy - 1, At(ix, iy - 1), true);
  }
  return {};
}

std::vector<DiagramPoint> TrackGrid::Trace(std::size_t last) const {
  std::vector<DiagramPoint> corners;
  std::size_t state = last;
  while (true) {
    const std::size_t crossing = state / 2;
    corners.push_back({xs_[crossing % xs_.size()], ys_[crossing / xs_.size()]});
    if (cost_[state] == 0.0) break;
    state = previous_[state];
  }
  std::reverse(corners.begin(), corners.end());
  return corners;
}

}  // namespace handwheel::drawing
