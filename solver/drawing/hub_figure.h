#pragma once

#include <vector>

#include "drawing/drawn_parts.h"
#include "drawing/label.h"

namespace handwheel {

// A point where runs end: a vessel as a tank, a junction as an upright header, its label above it.
class HubFigure {
 public:
  // `wires`: how many meet its busier side.
  HubFigure(int point, const DrawnParts& parts, int wires);

  int point() const { return point_; }
  const DiagramBox& box() const { return box_; }
  // `ends`: where wires meet the box.
  void Draw(Canvas& canvas, const DiagramPlace& place, const std::vector<DiagramPoint>& ends,
            const std::vector<Pen>& pens) const;

 private:
  const DrawnPoint& Point() const { return parts_.points[static_cast<std::size_t>(point_)]; }
  void DrawTank(Canvas& canvas, DiagramPoint top) const;
  void DrawHeader(Canvas& canvas, const std::vector<DiagramPoint>& ends,
                  const std::vector<Pen>& pens) const;

  int point_;
  const DrawnParts& parts_;
  Label name_label_, value_label_;  // of a junction all is in the first
  double tank_height_ = 0.0;
  DiagramBox box_;
};

}  // namespace handwheel
