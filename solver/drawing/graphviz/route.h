#pragma once

#include <vector>

#include "drawing/graphviz/ports.h"

namespace handwheel::drawing {

// The corners of every wire: straight where that is free; else the cheapest way over a grid of
// tracks beside the boxes, by length, bends and crossings, off the tracks that others use. In turn,
// short ones first. Of our own because Graphviz's router of orthogonal lines ends the process where
// an assertion of its fails (2.42, on a shipped plant).
std::vector<std::vector<DiagramPoint>> RouteWires(const DiagramGraph& graph,
                                                  const std::vector<DiagramPlace>& places,
                                                  const Ports& ports);

}  // namespace handwheel::drawing
