#include "drawing/hub_figure.h"

#include <algorithm>

#include "drawing/run_figure.h"

namespace handwheel {
namespace {

constexpr double kTankWidth = 18.0;    // [mm]
constexpr double kTankHeight = 20.0;   // at least [mm]
constexpr double kTankEdge = 3.0;      // of its height that no line meets, above and below [mm]
constexpr double kWirePitch = 4.0;     // of lines that meet a tank [mm]
constexpr double kHeaderHeight = 6.0;  // before it stretches [mm]
constexpr double kHeaderWidth = 5.0;   // of the box at least [mm]
constexpr double kFullTank = 0.8;      // of the height: the highest level of all

DrawnWords NameOnly(const DrawnWords& words) {
  DrawnWords only = words;
  only.values.clear();
  return only;
}

DrawnWords UpperWords(const DrawnPoint& point) {
  return point.is_vessel ? NameOnly(point.words) : point.words;
}

// A vessel's values stand below it, one size with the rest.
DrawnWords LowerWords(const DrawnPoint& point) {
  DrawnWords words;
  if (point.is_vessel) words.values = point.words.values;
  return words;
}

}  // namespace

HubFigure::HubFigure(int point, const DrawnParts& parts, int wires)
    : point_(point),
      parts_(parts),
      name_label_(UpperWords(parts.points[static_cast<std::size_t>(point)])),
      value_label_(LowerWords(parts.points[static_cast<std::size_t>(point)])) {
  box_.name = Point().words.name;
  box_.width = std::max(name_label_.width(), value_label_.width()) + 2.0;
  const double top = name_label_.height() + 0.8;
  if (Point().is_vessel) {
    tank_height_ = std::max(kTankHeight, 2 * kTankEdge + kWirePitch * wires);
    box_.width = std::max(box_.width, kTankWidth);
    box_.ports_from = top + kTankEdge;
    box_.ports_to = top + tank_height_ - kTankEdge;
    box_.height = top + tank_height_ + 1.0 + value_label_.height();
  } else {
    box_.width = std::max(box_.width, kHeaderWidth);
    box_.ports_from = top + 1.0;
    box_.ports_to = box_.ports_from + kHeaderHeight;
    box_.stretches = true;
    const bool side_flow = Point().draws || Point().feeds;
    box_.height = box_.ports_to + (side_flow ? kSideFlowLength : 1.0);
  }
  if (Point().pin) {
    box_.pin = DiagramPoint{Point().pin->x - box_.width / 2,
                            Point().pin->y - (box_.ports_from + box_.ports_to) / 2};
  }
}

void HubFigure::Draw(Canvas& canvas, const DiagramPlace& place,
                     const std::vector<DiagramPoint>& ends, const std::vector<Pen>& pens) const {
  const DiagramPoint top_middle = {place.x + box_.width / 2, place.y};
  canvas.BeginPart(Point().words.name, Point().words.description);
  canvas.MoveTo({0.0, 0.0});
  name_label_.Draw(canvas, top_middle, parts_.findings);
  const double half = Point().is_vessel ? kTankWidth / 2 : 0.0;
  for (std::size_t i = 0; i < ends.size(); ++i) {
    const double edge = top_middle.x + (ends[i].x < top_middle.x ? -half : half);
    if (ends[i].x != edge) canvas.Line(ends[i], {edge, ends[i].y}, pens[i]);
  }
  if (Point().is_vessel) {
    DrawTank(canvas, {top_middle.x, place.y + name_label_.height() + 0.8});
  } else {
    const double middle = place.y + (box_.ports_from + box_.ports_to) / 2;
    std::vector<DiagramPoint> tees;
    for (const DiagramPoint& end : ends) tees.push_back({top_middle.x, end.y});
    if (tees.empty()) tees.push_back({top_middle.x, middle});
    DrawHeader(canvas, tees, pens);
  }
  canvas.EndPart();
}

void HubFigure::DrawTank(Canvas& canvas, DiagramPoint top) const {
  const double left = top.x - kTankWidth / 2, right = top.x + kTankWidth / 2;
  const double bottom = top.y + tank_height_;
  const double surface = bottom - kFullTank * tank_height_ * Point().level;
  if (Point().level > 0.0) {
    canvas.Rectangle({left, surface}, kTankWidth, bottom - surface,
                     {.width = 0.0, .fill = Fill::kTint});
  }
  canvas.Rectangle({left, top.y}, kTankWidth, tank_height_, {.width = 0.5},
                   Point().is_closed ? 3.0 : 0.0);
  if (Point().level > 0.0) {
    canvas.Line({left, surface}, {right, surface}, {.width = 0.4});
    canvas.Polygon({{top.x - 1.4, surface - 2.2}, {top.x + 1.4, surface - 2.2}, {top.x, surface}},
                   {.width = 0.25, .fill = Fill::kPaper});
  }
  value_label_.Draw(canvas, {top.x, bottom + 0.6}, parts_.findings);
}

void HubFigure::DrawHeader(Canvas& canvas, const std::vector<DiagramPoint>& tees,
                           const std::vector<Pen>& pens) const {
  const auto by_y = [](const DiagramPoint& a, const DiagramPoint& b) { return a.y < b.y; };
  const auto [first, last] = std::minmax_element(tees.begin(), tees.end(), by_y);
  double width = tees.size() > 1 ? 0.3 : 0.7;
  for (const Pen& pen : pens) width = std::max(width, pen.width);
  if (first->y < last->y) canvas.Line(*first, *last, {.width = width});
  if (Point().draws || Point().feeds) DrawSideFlow(canvas, *last, Point().draws);
  for (const DiagramPoint& tee : tees) canvas.Circle(tee, 0.8, {.fill = Fill::kInk});
}

}  // namespace handwheel
