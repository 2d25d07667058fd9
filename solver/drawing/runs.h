#pragma once

#include <vector>

namespace handwheel {

inline constexpr int kOpenAir = -1;

// The ends of a component; `to` is kOpenAir of what discharges.
struct Ends {
  int from = 0, to = 0;
};

struct RunPart {
  int component = 0;
  bool backwards = false;  // its `from` is on the right
};

// Parts in line, left to right, between two points or a point and the open air.
struct Run {
  std::vector<RunPart> parts;
  std::vector<int> inner_points;  // between them, one less than parts
  int left = 0, right = 0;        // points, or kOpenAir
};

struct RunGraph {
  std::vector<Run> runs;
  std::vector<int> hubs;  // points that no run passes through, rising
};

struct RunRequest {
  int num_vessels = 0;  // the first of the points
  int num_points = 0;
  std::vector<Ends> components;
  std::vector<bool> pinned_point, pinned_component;
};

// Chains parts that meet at junctions of two into runs, and turns the runs so that, from the
// vessels that nothing flows into, as few as a depth-first search finds point back to the left. By
// the data's from and to alone: a plant keeps its arrangement in all its cases. A pinned point ends
// a run; a run holds one pinned component at most.
RunGraph FindRuns(const RunRequest& request);

}  // namespace handwheel
