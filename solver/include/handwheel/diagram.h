#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "handwheel/network.h"
#include "handwheel/steady.h"

// A piping diagram of a plant or of a solution, as SVG: the trade's symbols in our own drawing,
// which claims no standard. What is drawn, and how, is decided here; where the parts stand is left
// to a layout library behind the small interface below. One that uses Graphviz is the library
// handwheel_drawing (namespace drawing); a page can use another.
//
// Lengths on the sheet are millimetres, x to the right and y downwards.

namespace handwheel {

struct DiagramOptions {
  std::string flow_unit = "m3/h";
  std::string pressure_unit = "bar";  // of gauge pressures and drops
  std::string length_unit = "m";      // of levels and heads
  std::string check_valve = "dot";    // the symbol: "dot" (at the inlet) or "arrow"
  std::string case_name{};            // for the title block; empty: none
  std::string date{};                 // for the title block, as given; empty: none

  bool IsValid(std::string* error) const;  // *error: the option, what was found, what is allowed
};

// --- What a layout is told -----------------------------------------------------------------------

struct DiagramPoint {
  double x = 0.0, y = 0.0;  // [mm]
};

// A vessel, a header, or a run of parts in line, with its labels: nothing else may lie on it.
struct DiagramBox {
  std::string name;                         // of a part of it, for messages
  double width = 0.0, height = 0.0;         // [mm]
  double ports_from = 0.0, ports_to = 0.0;  // where lines may end, below its top [mm]
  // A header grows between ports_from and ports_to so that lines meet it straight.
  bool stretches = false;
  std::optional<DiagramPoint> pin{};  // of its top left corner, before it stretches
};

enum class DiagramSide { kLeft, kRight };

struct DiagramEnd {
  int box = 0;
  DiagramSide side = DiagramSide::kLeft;
  std::optional<double> y{};  // below the top of the box [mm]; empty: anywhere ports may lie
};

// A line that joins two boxes; `from` is meant to stand to the left of `to`.
struct DiagramWire {
  DiagramEnd from, to;
};

struct DiagramGraph {
  std::vector<DiagramBox> boxes;
  std::vector<DiagramWire> wires;
};

// --- What it answers -----------------------------------------------------------------------------

struct DiagramPlace {
  double x = 0.0, y = 0.0;  // of the top left corner
  double height = 0.0;      // more than asked for where the box has stretched
};

struct DiagramPlacement {
  std::vector<DiagramPlace> boxes;  // as in the graph
  // Corners of each wire, from end to end, every piece level or upright.
  std::vector<std::vector<DiagramPoint>> wires;
};

// --- Drawing -------------------------------------------------------------------------------------

// What a part's label says, where: for checks that nothing collides.
struct DiagramText {
  std::string text;
  double left = 0.0, top = 0.0, right = 0.0, bottom = 0.0;  // [mm], by generous letter widths
};

// A diagram that has been drawn up but not laid out. Throws NetworkError for a network that is
// malformed or empty, SettingError for bad options.
class Diagram {
 public:
  explicit Diagram(const Network& network, const DiagramOptions& options = {});
  explicit Diagram(const Solution& solution, const DiagramOptions& options = {});
  Diagram(Diagram&&) noexcept;
  Diagram& operator=(Diagram&&) noexcept;
  ~Diagram();

  const DiagramGraph& graph() const;
  // The same bytes for the same diagram and placement. Throws SettingError if the placement does
  // not fit the graph.
  std::string Svg(const DiagramPlacement& placement) const;
  std::vector<DiagramText> Texts(const DiagramPlacement& placement) const;

 private:
  class Parts;
  std::unique_ptr<const Parts> parts_;
};

}  // namespace handwheel

// --- In the library handwheel_drawing ------------------------------------------------------------

namespace handwheel::drawing {

// Boxes are placed by Graphviz in layers, left to right; lines take the cheapest way between them,
// by length, bends and crossings. Pinned boxes stay; others give way to them. Calls wait for each
// other, and Graphviz switches the numeric locale of the process while it works. Throws
// NetworkError if pinned boxes overlap, or beyond kMostBoxes (a tangle of that size takes a minute
// or so; a plant of 200 parts, a tenth of a second).
inline constexpr std::size_t kMostBoxes = 1000;
DiagramPlacement LayOut(const DiagramGraph& graph);

std::string DrawSvg(const Network& network, const DiagramOptions& options = {});
std::string DrawSvg(const Solution& solution, const DiagramOptions& options = {});

// Writes a whole file or, if that fails, none. Throws FileError.
void SaveSvg(const std::string& svg, const std::string& path);

}  // namespace handwheel::drawing
