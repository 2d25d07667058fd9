#pragma once

#include "handwheel/network.h"
#include "steady/plan.h"

namespace handwheel {

// Throws NetworkError, naming the points, if no flows exist that meet every draw and feed: nothing
// sets a pressure, or some draws and feeds are cut off by shut valves or by one-way parts that hold
// against them. Without this check such a network ends in heads of 1e7 m that pass for an answer.
//
// What remains has exactly one set of flows: each law is strictly increasing and unbounded, so the
// flows minimise a strictly convex function over a non-empty polyhedron.
void CheckFeasible(const Network& network, const Plan& plan);

}  // namespace handwheel
