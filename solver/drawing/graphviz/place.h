#pragma once

#include "drawing/graphviz/graphviz_session.h"

namespace handwheel::drawing {

// Of every box its place, by the layered layout of Graphviz ("dot"), left to right; pinned boxes
// where they are pinned, and whatever they would cover moved down out of their way. Headers do not
// stretch yet. Throws NetworkError if pinned boxes overlap.
std::vector<DiagramPlace> PlaceBoxes(const DiagramGraph& graph, GraphvizSession& session);

}  // namespace handwheel::drawing
