#include "drawing/graphviz/place.h"
#include "drawing/graphviz/route.h"
#include "file/whole_file.h"
#include "handwheel/errors.h"
#include "text/cat.h"

namespace handwheel::drawing {

DiagramPlacement LayOut(const DiagramGraph& graph) {
  if (graph.boxes.size() > kMostBoxes) {
    throw NetworkError(Cat("a diagram of ", std::to_string(graph.boxes.size()),
                           " runs and headers cannot be read; expected at most ",
                           std::to_string(kMostBoxes), "."));
  }
  GraphvizSession session;
  DiagramPlacement placement;
  placement.boxes = PlaceBoxes(graph, session);
  const Ports ports(graph, &placement.boxes);
  placement.wires = RouteWires(graph, placement.boxes, ports);
  return placement;
}

std::string DrawSvg(const Network& network, const DiagramOptions& options) {
  const Diagram diagram(network, options);
  return diagram.Svg(LayOut(diagram.graph()));
}

std::string DrawSvg(const Solution& solution, const DiagramOptions& options) {
  const Diagram diagram(solution, options);
  return diagram.Svg(LayOut(diagram.graph()));
}

void SaveSvg(const std::string& svg, const std::string& path) {
  WriteWholeFile(svg, path);
}

}  // namespace handwheel::drawing
