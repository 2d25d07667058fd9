#include "drawing/runs.h"

#include <algorithm>
#include <cstddef>

namespace handwheel {
namespace {

std::size_t At(int i) {
  return static_cast<std::size_t>(i);
}

class RunFinder {
 public:
  explicit RunFinder(const RunRequest& request)
      : request_(request),
        touching_(At(request.num_points)),
        used_(request.components.size(), false) {
    for (std::size_t c = 0; c < request.components.size(); ++c) {
      const Ends ends = request.components[c];
      touching_[At(ends.from)].push_back(static_cast<int>(c));
      if (ends.to != kOpenAir) touching_[At(ends.to)].push_back(static_cast<int>(c));
    }
  }

  std::vector<Run> All() {
    std::vector<Run> runs;
    for (std::size_t c = 0; c < request_.components.size(); ++c) {
      if (!used_[c]) runs.push_back(Through(static_cast<int>(c)));
    }
    return runs;
  }

 private:
  bool PassesThrough(int point) const {
    return point != kOpenAir && point >= request_.num_vessels &&
           !request_.pinned_point[At(point)] && touching_[At(point)].size() == 2 &&
           touching_[At(point)][0] != touching_[At(point)][1];
  }

  // The part that carries on behind `last` at `point`; -1: the run ends there.
  int Next(int point, int last) const {
    if (!PassesThrough(point)) return -1;
    const auto& pair = touching_[At(point)];
    const int next = pair[0] == last ? pair[1] : pair[0];
    return used_[At(next)] || (has_pin_ && request_.pinned_component[At(next)]) ? -1 : next;
  }

  void Use(int component) {
    used_[At(component)] = true;
    has_pin_ = has_pin_ || request_.pinned_component[At(component)];
  }

  Run Through(int first) {
    has_pin_ = false;
    Use(first);
    const Ends ends = request_.components[At(first)];
    Run run{{{first, false}}, {}, ends.from, ends.to};
    GrowRight(&run);
    Turn(&run);
    GrowRight(&run);
    Turn(&run);
    const auto backwards = std::count_if(run.parts.begin(), run.parts.end(),
                                         [](const RunPart& part) { return part.backwards; });
    if (2 * static_cast<std::size_t>(backwards) > run.parts.size()) Turn(&run);
    return run;
  }

  void GrowRight(Run* run) {
    for (int next = Next(run->right, run->parts.back().component); next >= 0;
         next = Next(run->right, next)) {
      Use(next);
      const Ends ends = request_.components[At(next)];
      const bool backwards = ends.to == run->right;
      run->inner_points.push_back(run->right);
      run->parts.push_back({next, backwards});
      run->right = backwards ? ends.from : ends.to;
    }
  }

 public:
  static void Turn(Run* run) {
    std::reverse(run->parts.begin(), run->parts.end());
    std::reverse(run->inner_points.begin(), run->inner_points.end());
    std::swap(run->left, run->right);
    for (RunPart& part : run->parts) part.backwards = !part.backwards;
  }

 private:
  const RunRequest& request_;
  std::vector<std::vector<int>> touching_;  // components by point
  std::vector<bool> used_;
  bool has_pin_ = false;
};

std::vector<int> HubsOf(const std::vector<Run>& runs, int num_points) {
  std::vector<bool> inside(At(num_points), false);
  for (const Run& run : runs) {
    for (const int point : run.inner_points) inside[At(point)] = true;
  }
  std::vector<int> hubs;
  for (int point = 0; point < num_points; ++point) {
    if (!inside[At(point)]) hubs.push_back(point);
  }
  return hubs;
}

// Depth first along the runs; one that comes back to where the search stands is turned.
class Orienter {
 public:
  Orienter(RunGraph* graph, int num_points)
      : graph_(*graph), leaving_(At(num_points)), entered_(At(num_points), false) {
    for (std::size_t r = 0; r < graph_.runs.size(); ++r) {
      const Run& run = graph_.runs[r];
      if (run.left == kOpenAir) continue;
      leaving_[At(run.left)].push_back(r);
      if (run.right != kOpenAir) entered_[At(run.right)] = true;
    }
  }

  void Orient(int num_vessels) {
    state_.assign(leaving_.size(), State::kNew);
    const auto from = [&](bool vessels, bool sources) {
      for (const int hub : graph_.hubs) {
        const bool is_source = !entered_[At(hub)] && !leaving_[At(hub)].empty();
        if ((hub < num_vessels || !vessels) && (is_source || !sources)) Search(hub);
      }
    };
    from(true, true);
    from(false, true);
    from(true, false);
    from(false, false);
  }

 private:
  enum class State { kNew, kOpen, kDone };
  struct Step {
    int hub;
    std::size_t next = 0;  // of leaving_
  };

  void Search(int root) {
    if (state_[At(root)] != State::kNew) return;
    std::vector<Step> path = {{root}};
    state_[At(root)] = State::kOpen;
    while (!path.empty()) {
      Step& step = path.back();
      if (step.next == leaving_[At(step.hub)].size()) {
        state_[At(step.hub)] = State::kDone;
        path.pop_back();
        continue;
      }
      Run& run = graph_.runs[leaving_[At(step.hub)][step.next++]];
      const int end = run.right;
      if (end == kOpenAir) continue;
      if (state_[At(end)] == State::kOpen) RunFinder::Turn(&run);
      if (state_[At(end)] != State::kNew) continue;
      state_[At(end)] = State::kOpen;
      path.push_back({end});
    }
  }

  RunGraph& graph_;
  std::vector<std::vector<std::size_t>> leaving_;  // runs by point
  std::vector<bool> entered_;
  std::vector<State> state_;
};

}  // namespace

RunGraph FindRuns(const RunRequest& request) {
  RunGraph graph;
  graph.runs = RunFinder(request).All();
  graph.hubs = HubsOf(graph.runs, request.num_points);
  Orienter(&graph, request.num_points).Orient(request.num_vessels);
  return graph;
}

}  // namespace handwheel
