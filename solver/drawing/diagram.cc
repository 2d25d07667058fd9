#include "handwheel/diagram.h"

#include <algorithm>
#include <cmath>

#include "drawing/hub_figure.h"
#include "drawing/run_figure.h"
#include "drawing/sheet.h"
#include "handwheel/errors.h"
#include "handwheel/units.h"
#include "text/cat.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

std::string UnitProblem(std::string_view option, Dimension dimension, const std::string& unit) {
  try {
    FromSi(1.0, dimension, unit);
    return {};
  } catch (const UnitError& error) {
    return Cat(option, ": ", error.what());
  }
}

RunRequest RequestOf(const Network& network, const DrawnParts& parts) {
  RunRequest request;
  request.num_vessels = static_cast<int>(network.vessels.size());
  request.num_points = static_cast<int>(parts.points.size());
  for (const DrawnPoint& point : parts.points) {
    request.pinned_point.push_back(point.pin.has_value());
  }
  for (const DrawnComponent& component : parts.components) {
    request.components.push_back(component.ends);
    request.pinned_component.push_back(component.pin.has_value());
  }
  return request;
}

void Check(const Network& network, const DiagramOptions& options) {
  std::string error;
  if (!options.IsValid(&error)) throw SettingError(error);
  network.Validate();
  if (network.vessels.empty() && network.junctions.empty()) {
    throw NetworkError("the network is empty; a diagram needs a point at least.");
  }
}

void CheckFit(const DiagramGraph& graph, const DiagramPlacement& placement) {
  bool fits =
      placement.boxes.size() == graph.boxes.size() && placement.wires.size() == graph.wires.size();
  for (const auto& wire : placement.wires) fits = fits && wire.size() >= 2;
  if (!fits) {
    throw SettingError(Cat("the placement has ", std::to_string(placement.boxes.size()),
                           " boxes and ", std::to_string(placement.wires.size()),
                           " wires; expected ", std::to_string(graph.boxes.size()), " and ",
                           std::to_string(graph.wires.size()), " of two corners or more."));
  }
}

}  // namespace

bool DiagramOptions::IsValid(std::string* error) const {
  *error = UnitProblem("flow_unit", Dimension::kFlow, flow_unit);
  if (error->empty()) *error = UnitProblem("pressure_unit", Dimension::kPressure, pressure_unit);
  if (error->empty()) *error = UnitProblem("length_unit", Dimension::kLength, length_unit);
  if (error->empty() && check_valve != "dot" && check_valve != "arrow") {
    *error = Cat("check_valve ", Quoted(check_valve), " is no symbol;",
                 Suggest(check_valve, {"dot", "arrow"}));
  }
  return error->empty();
}

// What is drawn: runs first, then hubs, boxes of the graph in this order. Wire 2r is at the left of
// run r and 2r + 1 at its right, without those that would end in the open air.
class Diagram::Parts {
 public:
  Parts(const Network& network, const Solution* solution, const DiagramOptions& options)
      : drawn_(MakeDrawnParts(network, solution, options)),
        sheet_(network, solution, options, drawn_) {
    const RunGraph found = FindRuns(RequestOf(network, drawn_));
    for (const Run& run : found.runs) runs_.emplace_back(run, drawn_);
    AddHubs(found);
    for (const RunFigure& run : runs_) graph_.boxes.push_back(run.box());
    for (const HubFigure& hub : hubs_) graph_.boxes.push_back(hub.box());
    for (std::size_t r = 0; r < runs_.size(); ++r) AddWires(r);
  }
  // The figures refer to drawn_.
  Parts(const Parts&) = delete;
  Parts& operator=(const Parts&) = delete;

  const DiagramGraph& graph() const { return graph_; }

  std::string Svg(const DiagramPlacement& placement) const {
    Canvas canvas;
    const SheetFrame frame = DrawOn(canvas, placement);
    return canvas.Document({frame.left, frame.top}, frame.right - frame.left,
                           frame.bottom - frame.top, sheet_.title(), sheet_.Description());
  }

  std::vector<DiagramText> Texts(const DiagramPlacement& placement) const {
    Canvas canvas;
    DrawOn(canvas, placement);
    return canvas.texts();
  }

 private:
  struct WireOwner {
    std::size_t run;
    int hub;  // index into hubs_
    bool at_left;
  };

  void AddHubs(const RunGraph& found) {
    hub_of_.assign(drawn_.points.size(), -1);
    std::vector<int> on_right(drawn_.points.size(), 0), on_left = on_right;
    for (const Run& run : found.runs) {
      if (run.left != kOpenAir) ++on_right[static_cast<std::size_t>(run.left)];
      if (run.right != kOpenAir) ++on_left[static_cast<std::size_t>(run.right)];
    }
    for (const int point : found.hubs) {
      const auto p = static_cast<std::size_t>(point);
      hub_of_[p] = static_cast<int>(hubs_.size());
      hubs_.emplace_back(point, drawn_, std::max(on_right[p], on_left[p]));
    }
  }

  void AddWires(std::size_t r) {
    const Run& run = runs_[r].run();
    const int box = static_cast<int>(r);
    const double axis = runs_[r].axis();
    if (run.left != kOpenAir) {
      const DiagramEnd hub{BoxOf(run.left), DiagramSide::kRight, std::nullopt};
      Own({hub, {box, DiagramSide::kLeft, axis}}, {r, HubOf(run.left), true});
    }
    if (run.right != kOpenAir) {
      const DiagramEnd end{box, DiagramSide::kRight, axis};
      // Back to where it came from: round to the same side.
      if (run.right == run.left) {
        Own({{BoxOf(run.right), DiagramSide::kRight, std::nullopt}, end},
            {r, HubOf(run.right), false});
      } else {
        Own({end, {BoxOf(run.right), DiagramSide::kLeft, std::nullopt}},
            {r, HubOf(run.right), false});
      }
    }
  }

  void Own(DiagramWire wire, WireOwner owner) {
    graph_.wires.push_back(wire);
    owners_.push_back(owner);
  }

  int HubOf(int point) const { return hub_of_[static_cast<std::size_t>(point)]; }
  int BoxOf(int point) const { return static_cast<int>(runs_.size()) + HubOf(point); }

  Pen PenOf(const WireOwner& owner) const {
    const Run& run = runs_[owner.run].run();
    const RunPart& part = owner.at_left ? run.parts.front() : run.parts.back();
    return LinePen(drawn_.components[static_cast<std::size_t>(part.component)].sense);
  }

  SheetFrame DrawOn(Canvas& canvas, const DiagramPlacement& placement) const {
    CheckFit(graph_, placement);
    DrawWires(canvas, placement);
    DrawHubs(canvas, placement);
    for (std::size_t r = 0; r < runs_.size(); ++r) {
      runs_[r].Draw(canvas, {placement.boxes[r].x, placement.boxes[r].y});
    }
    return sheet_.Draw(canvas, FrameOf(placement));
  }

  void DrawWires(Canvas& canvas, const DiagramPlacement& placement) const {
    canvas.MoveTo({0.0, 0.0});
    for (std::size_t w = 0; w < owners_.size(); ++w) {
      canvas.Polyline(placement.wires[w], PenOf(owners_[w]));
    }
  }

  void DrawHubs(Canvas& canvas, const DiagramPlacement& placement) const {
    std::vector<std::vector<DiagramPoint>> ends(hubs_.size());
    std::vector<std::vector<Pen>> pens(hubs_.size());
    for (std::size_t w = 0; w < owners_.size(); ++w) {
      const auto hub = static_cast<std::size_t>(owners_[w].hub);
      const bool hub_is_first = graph_.wires[w].from.box != static_cast<int>(owners_[w].run);
      ends[hub].push_back(hub_is_first ? placement.wires[w].front() : placement.wires[w].back());
      pens[hub].push_back(PenOf(owners_[w]));
    }
    for (std::size_t h = 0; h < hubs_.size(); ++h) {
      hubs_[h].Draw(canvas, placement.boxes[runs_.size() + h], ends[h], pens[h]);
    }
  }

  SheetFrame FrameOf(const DiagramPlacement& placement) const {
    SheetFrame frame{INFINITY, INFINITY, -INFINITY, -INFINITY};
    const auto cover = [&](double x, double y) {
      frame.left = std::min(frame.left, x);
      frame.right = std::max(frame.right, x);
      frame.top = std::min(frame.top, y);
      frame.bottom = std::max(frame.bottom, y);
    };
    for (std::size_t b = 0; b < graph_.boxes.size(); ++b) {
      const DiagramPlace& place = placement.boxes[b];
      cover(place.x, place.y);
      cover(place.x + graph_.boxes[b].width, place.y + place.height);
    }
    for (const auto& wire : placement.wires) {
      for (const DiagramPoint& point : wire) cover(point.x, point.y);
    }
    return frame;
  }

  DrawnParts drawn_;
  Sheet sheet_;
  std::vector<RunFigure> runs_;
  std::vector<HubFigure> hubs_;
  std::vector<int> hub_of_;  // by point; -1: inside a run
  DiagramGraph graph_;
  std::vector<WireOwner> owners_;  // of the wires
};

Diagram::Diagram(const Network& network, const DiagramOptions& options) {
  Check(network, options);
  parts_ = std::make_unique<Parts>(network, nullptr, options);
}

Diagram::Diagram(const Solution& solution, const DiagramOptions& options) {
  Check(solution.network(), options);
  parts_ = std::make_unique<Parts>(solution.network(), &solution, options);
}

Diagram::Diagram(Diagram&&) noexcept = default;
Diagram& Diagram::operator=(Diagram&&) noexcept = default;
Diagram::~Diagram() = default;

const DiagramGraph& Diagram::graph() const {
  return parts_->graph();
}
std::string Diagram::Svg(const DiagramPlacement& placement) const {
  return parts_->Svg(placement);
}
std::vector<DiagramText> Diagram::Texts(const DiagramPlacement& placement) const {
  return parts_->Texts(placement);
}

}  // namespace handwheel
