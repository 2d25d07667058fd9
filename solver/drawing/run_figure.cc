#include "drawing/run_figure.h"

#include <algorithm>
#include <cmath>

namespace handwheel {
namespace {

constexpr double kLabelGap = 2.4;        // between labels side by side [mm]
constexpr double kLeastPitch = 15.0;     // of symbols [mm]
constexpr double kLead = 3.0;            // of line before the first symbol and behind the last [mm]
constexpr double kArrowLead = 8.5;       // the same where a flow arrow stands on it [mm]
constexpr double kPointRadius = 0.7;     // [mm]
constexpr double kPointLabelDrop = 1.6;  // from the axis to a point's label [mm]

bool HasSideFlow(const DrawnPoint& point) {
  return point.draws || point.feeds;
}

double LabelTop(const DrawnPoint& point) {
  // Beside the bodies of the neighbours, not under them: a point's label is as wide as it is.
  return HasSideFlow(point) ? kSideFlowLength + 0.6 : kSymbolBottom + kPointLabelDrop - 1.0;
}

bool SameFlow(const DrawnComponent& a, const DrawnComponent& b) {
  return std::abs(std::abs(a.flow) - std::abs(b.flow)) <=
         1e-6 * std::max(std::abs(a.flow), std::abs(b.flow)) + 1e-9;
}

}  // namespace

Pen LinePen(FlowSense sense) {
  return {.width = sense == FlowSense::kNone ? 0.3 : 0.7};
}

void DrawSideFlow(Canvas& canvas, DiagramPoint point, bool draws) {
  const double tip = draws ? point.y + kSideFlowLength : point.y + 1.2;
  const double tail = draws ? tip - 2.6 : tip + 2.6;
  canvas.Line(point, {point.x, point.y + kSideFlowLength}, {.width = 0.5});
  canvas.Polygon({{point.x - 1.2, tail}, {point.x, tip}, {point.x + 1.2, tail}},
                 {.fill = Fill::kInk});
}

RunFigure::RunFigure(const Run& run, const DrawnParts& parts) : run_(run), parts_(parts) {
  for (std::size_t i = 0; i < run_.parts.size(); ++i) {
    has_pipe_ = has_pipe_ || Part(i).symbol == Symbol::kPipe;
  }
  for (std::size_t i = 0; i < run_.parts.size(); ++i) {
    part_labels_.emplace_back(Part(i).words, ShowsFlow(i) ? Part(i).flow_text : "");
  }
  for (const int point : run_.inner_points) {
    const DrawnWords& words = parts_.points[static_cast<std::size_t>(point)].words;
    point_labels_.emplace_back(words, "", /*bold=*/false);
  }
  PlaceAlong();
  PlaceAcross();
  SetPin();
}

const DrawnComponent& RunFigure::Part(std::size_t i) const {
  return parts_.components[static_cast<std::size_t>(run_.parts[i].component)];
}

// Once along a run would do; at every pipe is easier to find.
bool RunFigure::ShowsFlow(std::size_t i) const {
  if (Part(i).symbol == Symbol::kPipe) return true;
  return i == 0 ? !has_pipe_ : !SameFlow(Part(i), Part(i - 1));
}

// Between the middles of parts i and i + 1, so that neither their labels nor those of the points
// touch. The distance of two points is the mean of two pitches, so each allows for both.
double RunFigure::PitchAfter(std::size_t i) const {
  double pitch = std::max(kLeastPitch,
                          (part_labels_[i].width() + part_labels_[i + 1].width()) / 2 + kLabelGap);
  const auto together = [&](std::size_t a) {
    return (point_labels_[a].width() + point_labels_[a + 1].width()) / 2 + kLabelGap;
  };
  if (i > 0) pitch = std::max(pitch, together(i - 1));
  if (i + 1 < point_labels_.size()) pitch = std::max(pitch, together(i));
  return pitch;
}

void RunFigure::PlaceAlong() {
  part_x_ = {0.0};
  for (std::size_t i = 0; i + 1 < run_.parts.size(); ++i) {
    part_x_.push_back(part_x_[i] + PitchAfter(i));
    point_x_.push_back((part_x_[i] + part_x_[i + 1]) / 2);
  }
  double left = -kSymbolHalfWidth - (has_pipe_ ? kLead : kArrowLead);
  double right = part_x_.back() + kSymbolHalfWidth + kLead;
  const auto cover = [&](double x, const Label& label) {
    left = std::min(left, x - label.width() / 2 - kLabelGap / 2);
    right = std::max(right, x + label.width() / 2 + kLabelGap / 2);
  };
  for (std::size_t i = 0; i < part_x_.size(); ++i) cover(part_x_[i], part_labels_[i]);
  for (std::size_t i = 0; i < point_x_.size(); ++i) cover(point_x_[i], point_labels_[i]);
  for (double& x : part_x_) x -= left;
  for (double& x : point_x_) x -= left;
  box_.width = right - left;
}

void RunFigure::PlaceAcross() {
  double below = kSymbolBottom;
  for (const Label& label : part_labels_)
    axis_ = std::max(axis_, kSymbolTop + 0.8 + label.height());
  for (std::size_t i = 0; i < point_labels_.size(); ++i) {
    const DrawnPoint& point = parts_.points[static_cast<std::size_t>(run_.inner_points[i])];
    below = std::max(below, LabelTop(point) + point_labels_[i].height());
  }
  box_.name = Part(0).words.name;
  box_.height = axis_ + below;
  box_.ports_from = box_.ports_to = axis_;
}

void RunFigure::SetPin() {
  for (std::size_t i = 0; i < run_.parts.size(); ++i) {
    if (!Part(i).pin) continue;
    box_.name = Part(i).words.name;
    box_.pin = DiagramPoint{Part(i).pin->x - part_x_[i], Part(i).pin->y - axis_};
  }
}

void RunFigure::Draw(Canvas& canvas, DiagramPoint corner) const {
  DrawLine(canvas, corner);
  if (!has_pipe_) DrawArrow(canvas, {corner.x + kArrowLead / 2, corner.y + axis_}, 0);
  for (std::size_t i = 0; i < part_x_.size(); ++i) DrawPart(canvas, corner, i);
  for (std::size_t i = 0; i < point_x_.size(); ++i) DrawPoint(canvas, corner, i);
}

// The line of the pipe, broken by the bodies of the symbols.
void RunFigure::DrawLine(Canvas& canvas, DiagramPoint corner) const {
  canvas.MoveTo({corner.x, corner.y + axis_});
  double from = run_.left == kOpenAir ? part_x_.front() : 0.0;
  for (std::size_t i = 0; i < part_x_.size(); ++i) {
    const double body = BodyHalfWidth(Part(i).symbol);
    const Pen pen = LinePen(Part(i).sense);
    if (part_x_[i] - body > from) canvas.Line({from, 0.0}, {part_x_[i] - body, 0.0}, pen);
    from = part_x_[i] + body;
    const bool is_last = i + 1 == part_x_.size();
    if (is_last && run_.right == kOpenAir) break;
    const double to = is_last ? box_.width : point_x_[i];
    canvas.Line({from, 0.0}, {to, 0.0}, pen);
    from = to;
  }
}

void RunFigure::DrawArrow(Canvas& canvas, DiagramPoint at, std::size_t i) const {
  const FlowSense sense = Part(i).sense;
  if (sense == FlowSense::kNone) return;
  canvas.MoveTo(at, (sense == FlowSense::kForward) == run_.parts[i].backwards);
  DrawFlowArrow(canvas, !parts_.has_solution);
}

void RunFigure::DrawPart(Canvas& canvas, DiagramPoint corner, std::size_t i) const {
  const DrawnComponent& part = Part(i);
  const DiagramPoint middle = {corner.x + part_x_[i], corner.y + axis_};
  canvas.BeginPart(part.words.name, part.words.description);
  canvas.MoveTo(middle, run_.parts[i].backwards);
  DrawSymbol(canvas, part.symbol, part.idle);
  if (part.symbol == Symbol::kPipe) DrawArrow(canvas, middle, i);
  canvas.MoveTo(middle);
  part_labels_[i].Draw(canvas, {0.0, -kSymbolTop - 0.8 - part_labels_[i].height()},
                       parts_.findings);
  canvas.EndPart();
}

void RunFigure::DrawPoint(Canvas& canvas, DiagramPoint corner, std::size_t i) const {
  const DrawnPoint& point = parts_.points[static_cast<std::size_t>(run_.inner_points[i])];
  canvas.BeginPart(point.words.name, point.words.description);
  canvas.MoveTo({corner.x + point_x_[i], corner.y + axis_});
  if (HasSideFlow(point)) DrawSideFlow(canvas, {0.0, 0.0}, point.draws);
  canvas.Circle({0.0, 0.0}, kPointRadius, {.fill = Fill::kInk});
  point_labels_[i].Draw(canvas, {0.0, LabelTop(point)}, parts_.findings);
  canvas.EndPart();
}

}  // namespace handwheel
