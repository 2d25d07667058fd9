#include "drawing/graphviz/ports.h"

#include <algorithm>
#include <cmath>

#include "units/numbers.h"

namespace handwheel::drawing {
namespace {

constexpr double kPortPitch = 4.0;   // between lines that meet one side of a box [mm]
constexpr double kClearance = 4.0;   // of a stretched header from the next box in its column [mm]
constexpr double kLineMargin = 0.8;  // of a straight line from boxes that it passes [mm]

}  // namespace

Ports::Ports(const DiagramGraph& graph, std::vector<DiagramPlace>* places)
    : graph_(graph), places_(*places) {
  for (const DiagramWire& wire : graph.wires) {
    const auto height = [&](const DiagramEnd& end) {
      const DiagramBox& box = graph.boxes[Index(end.box)];
      return places_[Index(end.box)].y + end.y.value_or((box.ports_from + box.ports_to) / 2);
    };
    from_y_.push_back(height(wire.from));
    to_y_.push_back(height(wire.to));
  }
  const auto meetings = MeetingsByBox();
  for (std::size_t b = 0; b < meetings.size(); ++b) {
    if (graph.boxes[b].stretches) Stretch(b, meetings[b]);
    for (const DiagramSide side : {DiagramSide::kLeft, DiagramSide::kRight}) {
      Share(b, side, meetings[b]);
    }
  }
}

DiagramPoint Ports::At(const DiagramEnd& end, double y) const {
  const std::size_t box = Index(end.box);
  const double width = end.side == DiagramSide::kRight ? graph_.boxes[box].width : 0.0;
  return {places_[box].x + width, y};
}

bool Ports::IsFree(double y, double left, double right, int box_a, int box_b) const {
  for (std::size_t b = 0; b < places_.size(); ++b) {
    if (static_cast<int>(b) == box_a || static_cast<int>(b) == box_b) continue;
    const DiagramPlace& place = places_[b];
    if (y > place.y - kLineMargin && y < place.y + place.height + kLineMargin && right > place.x &&
        left < place.x + graph_.boxes[b].width) {
      return false;
    }
  }
  return true;
}

bool Ports::IsStraight(std::size_t w) const {
  const DiagramWire& wire = graph_.wires[w];
  const DiagramPoint from = From(w), to = To(w);
  return wire.from.side == DiagramSide::kRight && wire.to.side == DiagramSide::kLeft &&
         from.x < to.x && std::abs(from.y - to.y) < 1e-6 &&
         IsFree(from.y, from.x, to.x, wire.from.box, wire.to.box);
}

std::vector<std::vector<Ports::Meeting>> Ports::MeetingsByBox() const {
  std::vector<std::vector<Meeting>> meetings(graph_.boxes.size());
  for (std::size_t w = 0; w < graph_.wires.size(); ++w) {
    const DiagramWire& wire = graph_.wires[w];
    const double left = From(w).x, right = To(w).x;
    const auto meet = [&](const DiagramEnd& end, bool is_from, double wish) {
      if (end.y) return;
      const bool is_straight = wire.to.side == DiagramSide::kLeft && left < right &&
                               IsFree(wish, left, right, wire.from.box, wire.to.box);
      meetings[Index(end.box)].push_back({w, is_from, wish, is_straight});
    };
    meet(wire.from, true, to_y_[w]);
    meet(wire.to, false, from_y_[w]);
  }
  return meetings;
}

// As far as lines would reach it level, and the next boxes in its column allow.
void Ports::Stretch(std::size_t b, const std::vector<Meeting>& meetings) {
  const DiagramBox& box = graph_.boxes[b];
  DiagramPlace& place = places_[b];
  const double foot = box.height - box.ports_to;
  const double before_from = place.y + box.ports_from, before_to = place.y + box.ports_to;
  double from = before_from, to = before_to;
  for (const Meeting& meeting : meetings) {
    if (!meeting.is_straight) continue;
    from = std::min(from, meeting.wish);
    to = std::max(to, meeting.wish);
  }
  for (std::size_t other = 0; other < places_.size(); ++other) {
    const DiagramPlace& at = places_[other];
    if (other == b || at.x > place.x + box.width || at.x + graph_.boxes[other].width < place.x) {
      continue;
    }
    const double bottom = at.y + at.height;
    if (bottom <= place.y + 1e-9) from = std::max(from, bottom + kClearance + box.ports_from);
    if (at.y >= place.y + box.height - 1e-9) to = std::min(to, at.y - kClearance - foot);
  }
  from = std::min(from, before_from);
  to = std::max(to, before_to);
  place.y = from - box.ports_from;
  place.height = to + foot - place.y;
}

// Lines that meet one side keep the order of their far ends, and a distance.
void Ports::Share(std::size_t b, DiagramSide side, const std::vector<Meeting>& meetings) {
  std::vector<Meeting> here;
  for (const Meeting& meeting : meetings) {
    const DiagramWire& wire = graph_.wires[meeting.wire];
    if ((meeting.is_from ? wire.from : wire.to).side == side) here.push_back(meeting);
  }
  if (here.empty()) return;
  std::stable_sort(here.begin(), here.end(),
                   [](const Meeting& a, const Meeting& c) { return a.wish < c.wish; });
  const DiagramBox& box = graph_.boxes[b];
  const double lowest = places_[b].y + box.ports_from;
  const double highest = places_[b].y + places_[b].height - (box.height - box.ports_to);
  const double gaps = static_cast<double>(here.size() - 1);
  const double pitch = gaps > 0.0 ? std::min(kPortPitch, (highest - lowest) / gaps) : 0.0;
  std::vector<double> y;
  for (const Meeting& meeting : here) {
    const double least = y.empty() ? lowest : y.back() + pitch;
    y.push_back(std::max(std::min(meeting.wish, highest), least));
  }
  double most = highest;
  for (std::size_t i = here.size(); i-- > 0; most = y[i] - pitch) {
    y[i] = std::min(y[i], most);
    (here[i].is_from ? from_y_ : to_y_)[here[i].wire] = y[i];
  }
}

}  // namespace handwheel::drawing
