#pragma once

#include <cstdint>
#include <vector>

#include "handwheel/diagram.h"

namespace handwheel::drawing {

// Level and upright tracks that lines may take, with what bars or burdens each step along them.
class TrackGrid {
 public:
  // `must_x`, `must_y`: tracks that shall exist; others keep a distance from each other and them.
  TrackGrid(const DiagramGraph& graph, const std::vector<DiagramPlace>& places,
            std::vector<double> must_x, std::vector<double> must_y);

  // A line that lies already; its pieces level or upright.
  void Occupy(const std::vector<DiagramPoint>& corners);

  // The cheapest corners from one crossing of tracks to another, that starts and ends level; empty
  // if there is no way.
  std::vector<DiagramPoint> FindWay(DiagramPoint from, DiagramPoint to);

 private:
  struct Step;

  std::size_t At(std::size_t ix, std::size_t iy) const { return iy * xs_.size() + ix; }
  void Bar(const DiagramBox& box, const DiagramPlace& place);
  std::vector<DiagramPoint> Trace(std::size_t last) const;

  std::vector<double> xs_, ys_;
  // By crossing: the step to the right of it, and the one down. Barred by a box; used by a line.
  std::vector<std::uint8_t> right_barred_, down_barred_, right_used_, down_used_;
  // Of the search, by state: twice the crossing, plus 1 if it was come to upright.
  std::vector<double> cost_;
  std::vector<std::uint32_t> previous_;
  std::vector<std::uint32_t> touched_;  // whose cost the last search has set
};

}  // namespace handwheel::drawing
