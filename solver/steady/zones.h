#pragma once

#include <vector>

#include "steady/plan.h"

namespace handwheel {

// One junction of every group of junctions that no component, open or shut, joins to a fixed head.
std::vector<int> FloatingZones(const Plan& plan);

// By node: whether nothing sets its pressure at these flows, because every path to a fixed head is
// held by a shut part or by a one-way part passing nothing.
std::vector<bool> ShutInNodes(const Plan& plan, const std::vector<double>& flow);

// By node: 0 where open parts, one-way parts whether or not they pass anything, join it to a fixed
// head; else a number from 1 for each zone.
std::vector<int> ZonesOfOpenParts(const Plan& plan);

}  // namespace handwheel
