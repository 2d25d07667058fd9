#pragma once

#include <vector>

#include "drawing/drawn_parts.h"
#include "drawing/label.h"

namespace handwheel {

// Lines of pipes [mm]: thick where something flows or no flow is known, thin where nothing does.
Pen LinePen(FlowSense sense);

// A run of parts in line: symbols on one level axis with their labels above, the points between
// them as dots with theirs below.
class RunFigure {
 public:
  RunFigure(const Run& run, const DrawnParts& parts);

  const Run& run() const { return run_; }
  const DiagramBox& box() const { return box_; }
  double axis() const { return axis_; }  // below the top of the box [mm]
  void Draw(Canvas& canvas, DiagramPoint corner) const;

 private:
  const DrawnComponent& Part(std::size_t i) const;
  bool ShowsFlow(std::size_t i) const;
  double PitchAfter(std::size_t i) const;
  void PlaceAlong();
  void PlaceAcross();
  void SetPin();
  void DrawLine(Canvas& canvas, DiagramPoint corner) const;
  void DrawArrow(Canvas& canvas, DiagramPoint at, std::size_t part) const;
  void DrawPart(Canvas& canvas, DiagramPoint corner, std::size_t i) const;
  void DrawPoint(Canvas& canvas, DiagramPoint corner, std::size_t i) const;

  Run run_;
  const DrawnParts& parts_;
  std::vector<Label> part_labels_, point_labels_;
  std::vector<double> part_x_, point_x_;  // from the left end of the box [mm]
  bool has_pipe_ = false;
  double axis_ = 0.0;
  DiagramBox box_;
};

// An arrow that takes liquid out of a point downwards, or puts it in from below, `length` long.
void DrawSideFlow(Canvas& canvas, DiagramPoint point, bool draws);
inline constexpr double kSideFlowLength = 6.0;  // [mm]

}  // namespace handwheel
