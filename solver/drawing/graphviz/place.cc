#include "drawing/graphviz/place.h"

#include <algorithm>

#include "handwheel/errors.h"
#include "text/cat.h"
#include "text/number.h"
#include "text/suggest.h"

namespace handwheel::drawing {
namespace {

constexpr double kRowGap = 9.0;      // between boxes one below the other [mm]
constexpr double kColumnGap = 10.0;  // between boxes side by side: room for upright lines [mm]
constexpr double kPinGap = 4.0;      // that pinned boxes keep at least [mm]
constexpr double kInch = 72.0 / kPointsPerMm;  // Graphviz's, on this scale [mm]

double PortMiddle(const DiagramBox& box) {
  return (box.ports_from + box.ports_to) / 2;
}

// Layers align the middles of boxes: padded above or below, the middle is where the lines end.
double PaddedHeight(const DiagramBox& box) {
  return 2.0 * std::max(PortMiddle(box), box.height - PortMiddle(box));
}

// By box: how many lines meet its busier side.
std::vector<int> LinesAtBusierSide(const DiagramGraph& graph) {
  std::vector<int> left(graph.boxes.size(), 0), right(graph.boxes.size(), 0);
  for (const DiagramWire& wire : graph.wires) {
    for (const DiagramEnd& end : {wire.from, wire.to}) {
      ++(end.side == DiagramSide::kLeft ? left : right)[static_cast<std::size_t>(end.box)];
    }
  }
  for (std::size_t b = 0; b < left.size(); ++b) left[b] = std::max(left[b], right[b]);
  return left;
}

// A header is given the room to stretch along the runs that will stand beside it.
std::vector<double> HeightsInLayers(const DiagramGraph& graph) {
  const std::vector<int> lines = LinesAtBusierSide(graph);
  double row = 0.0, rows = 0.0;
  for (const DiagramBox& box : graph.boxes) {
    if (box.stretches) continue;
    row += box.height + kRowGap;
    rows += 1.0;
  }
  row /= std::max(rows, 1.0);
  std::vector<double> heights;
  for (std::size_t b = 0; b < graph.boxes.size(); ++b) {
    const bool stretches = graph.boxes[b].stretches && lines[b] > 1;
    heights.push_back(PaddedHeight(graph.boxes[b]) + (stretches ? (lines[b] - 1) * row : 0.0));
  }
  return heights;
}

std::vector<DiagramPlace> PlaceInLayers(const DiagramGraph& graph, GraphvizSession& session) {
  GraphvizGraph layers(session);
  layers.Set("rankdir", "LR");
  layers.Set("splines", "none");  // lines are ours
  layers.Set("nodesep", FormatDecimal(kRowGap / kInch));
  layers.Set("ranksep", FormatDecimal(kColumnGap / kInch));
  std::vector<Agnode_t*> nodes;
  const std::vector<double> heights = HeightsInLayers(graph);
  for (std::size_t b = 0; b < graph.boxes.size(); ++b) {
    nodes.push_back(layers.AddBox(graph.boxes[b].width, heights[b]));
  }
  for (const DiagramWire& wire : graph.wires) {
    layers.AddEdge(nodes[static_cast<std::size_t>(wire.from.box)],
                   nodes[static_cast<std::size_t>(wire.to.box)], 4);
  }
  if (!layers.LayOut("dot")) throw NetworkError("Graphviz could not lay out the diagram.");
  std::vector<DiagramPlace> places;
  for (std::size_t b = 0; b < nodes.size(); ++b) {
    const DiagramBox& box = graph.boxes[b];
    const DiagramPoint middle = layers.MiddleOf(nodes[b]);
    places.push_back({middle.x - box.width / 2, middle.y - PortMiddle(box), box.height});
  }
  return places;
}

// --- Pins ----------------------------------------------------------------------------------------

bool TooClose(const DiagramBox& a, const DiagramPlace& at_a, const DiagramBox& b,
              const DiagramPlace& at_b) {
  return at_a.x < at_b.x + b.width + kPinGap && at_b.x < at_a.x + a.width + kPinGap &&
         at_a.y < at_b.y + at_b.height + kPinGap && at_b.y < at_a.y + at_a.height + kPinGap;
}

// The rest of the plant moves along with the pinned boxes, by their mean shift.
void ShiftToPins(const DiagramGraph& graph, std::vector<DiagramPlace>* places) {
  DiagramPoint shift{};
  double count = 0.0;
  for (std::size_t b = 0; b < places->size(); ++b) {
    const auto& pin = graph.boxes[b].pin;
    if (!pin) continue;
    shift.x += pin->x - (*places)[b].x;
    shift.y += pin->y - (*places)[b].y;
    count += 1.0;
  }
  if (count == 0.0) return;
  for (std::size_t b = 0; b < places->size(); ++b) {
    const auto& pin = graph.boxes[b].pin;
    DiagramPlace& place = (*places)[b];
    place.x = pin ? pin->x : place.x + shift.x / count;
    place.y = pin ? pin->y : place.y + shift.y / count;
  }
}

[[noreturn]] void ThrowOverlap(const DiagramBox& a, const DiagramBox& b) {
  throw NetworkError(Cat(Quoted(a.name), " and ", Quoted(b.name),
                         " are pinned so near that their labels collide; move one of them."),
                     a.name, "x");
}

class GiveWay {
 public:
  GiveWay(const DiagramGraph& graph, std::vector<DiagramPlace>* places)
      : graph_(graph), places_(*places) {}

  // Pinned boxes settle first, then the others from the top down.
  void Settle() {
    for (std::size_t b = 0; b < places_.size(); ++b) {
      if (!graph_.boxes[b].pin) continue;
      if (const auto other = Covered(b)) ThrowOverlap(graph_.boxes[*other], graph_.boxes[b]);
      settled_.push_back(b);
    }
    if (settled_.empty()) return;
    std::vector<std::size_t> others;
    for (std::size_t b = 0; b < places_.size(); ++b) {
      if (!graph_.boxes[b].pin) others.push_back(b);
    }
    std::stable_sort(others.begin(), others.end(),
                     [this](std::size_t a, std::size_t b) { return places_[a].y < places_[b].y; });
    for (const std::size_t b : others) {
      while (const auto other = Covered(b)) {
        places_[b].y = places_[*other].y + places_[*other].height + kRowGap;
      }
      settled_.push_back(b);
    }
  }

 private:
  std::optional<std::size_t> Covered(std::size_t b) const {
    for (const std::size_t other : settled_) {
      if (TooClose(graph_.boxes[b], places_[b], graph_.boxes[other], places_[other])) return other;
    }
    return std::nullopt;
  }

  const DiagramGraph& graph_;
  std::vector<DiagramPlace>& places_;
  std::vector<std::size_t> settled_;
};

}  // namespace

std::vector<DiagramPlace> PlaceBoxes(const DiagramGraph& graph, GraphvizSession& session) {
  std::vector<DiagramPlace> places = PlaceInLayers(graph, session);
  ShiftToPins(graph, &places);
  GiveWay(graph, &places).Settle();
  return places;
}

}  // namespace handwheel::drawing
