#pragma once

#include <optional>
#include <string>
#include <vector>

#include "drawing/runs.h"
#include "drawing/symbols.h"
#include "handwheel/diagram.h"

namespace handwheel {

// A finding as the sheet lists it; its code stands beside the part.
struct DrawnFinding {
  std::string code;      // "D1": danger; "W2": warning; "N3": note
  std::string severity;  // as in Advice
  std::string part;
  std::string text;
};

// What is said beside a part.
struct DrawnWords {
  std::string name;
  std::vector<std::string> values{};  // a line each
  std::string description{};          // a sentence for who points at the part
  std::vector<std::size_t> findings{};
};

enum class FlowSense { kNone, kForward, kBackward };  // from -> to, to -> from

struct DrawnComponent {
  Symbol symbol = Symbol::kPipe;
  bool idle = false;
  Ends ends;
  DrawnWords words;
  std::string flow_text{};  // shown once along a run; empty without a solution
  double flow = 0.0;        // [m³/s]
  FlowSense sense = FlowSense::kForward;
  std::optional<DiagramPoint> pin{};  // of its middle [mm]
};

struct DrawnPoint {
  bool is_vessel = false;
  bool is_closed = false;  // a vessel under gas pressure
  double level = 0.0;      // of a vessel, over the highest of all: 0 .. 1
  bool draws = false, feeds = false;
  DrawnWords words;
  std::optional<DiagramPoint> pin{};
};

struct DrawnParts {
  std::vector<DrawnPoint> points;          // network order
  std::vector<DrawnComponent> components;  // network order
  std::vector<DrawnFinding> findings;
  bool has_solution = false;
};

// `solution` may be null; else `network` is its own.
DrawnParts MakeDrawnParts(const Network& network, const Solution* solution,
                          const DiagramOptions& options);

}  // namespace handwheel
