#include "drawing/symbols.h"

#include <array>

namespace handwheel {
namespace {

// The shapes are our own drawing of what the trade uses, on a body of 8 mm by 5 mm. Shapes are
// filled when shut, as in DOE-HDBK-1016/1-93, "Engineering Symbology", valve position (recalled).
constexpr double kEnd = kSymbolHalfWidth;
constexpr double kHalfHeight = 2.5;
constexpr Pen kThin{.width = 0.25};

Pen Body(bool idle) {
  return {.fill = idle ? Fill::kInk : Fill::kPaper};
}
constexpr Pen kSolid{.fill = Fill::kInk};

// Two triangles, point to point.
void DrawBody(Canvas& canvas, bool idle) {
  canvas.Polygon({{-kEnd, -kHalfHeight}, {-kEnd, kHalfHeight}, {0.0, 0.0}}, Body(idle));
  canvas.Polygon({{kEnd, -kHalfHeight}, {kEnd, kHalfHeight}, {0.0, 0.0}}, Body(idle));
}

void DrawGlobe(Canvas& canvas, bool idle) {
  DrawBody(canvas, idle);
  canvas.Circle({0.0, 0.0}, 1.0, kSolid);
}

// The leg to the right leads down first.
void DrawAngle(Canvas& canvas, bool idle) {
  canvas.Polygon({{-kEnd, -kHalfHeight}, {-kEnd, kHalfHeight}, {0.0, 0.0}}, Body(idle));
  canvas.Polygon({{-kHalfHeight, 3.4}, {kHalfHeight, 3.4}, {0.0, 0.0}}, Body(idle));
  canvas.Polyline({{kHalfHeight, 3.4}, {kEnd, 3.4}, {kEnd, 0.0}});
}

void DrawBall(Canvas& canvas, bool idle) {
  DrawBody(canvas, idle);
  canvas.Circle({0.0, 0.0}, 1.4, Body(idle));
}

void DrawPlug(Canvas& canvas, bool idle) {
  DrawBody(canvas, idle);
  canvas.Polygon({{-1.3, 0.0}, {0.0, -1.6}, {1.3, 0.0}, {0.0, 1.6}}, Body(idle));
}

void DrawEndBars(Canvas& canvas) {
  canvas.Line({-kEnd, -kHalfHeight}, {-kEnd, kHalfHeight});
  canvas.Line({kEnd, -kHalfHeight}, {kEnd, kHalfHeight});
}

void DrawButterfly(Canvas& canvas, bool idle) {
  DrawEndBars(canvas);
  if (idle) {
    canvas.Line({0.0, -kHalfHeight}, {0.0, kHalfHeight}, {.width = 1.0});
  } else {
    canvas.Line({-2.6, 2.1}, {2.6, -2.1}, {.width = 0.5});
  }
  canvas.Circle({0.0, 0.0}, 0.7, kSolid);
}

void DrawNeedle(Canvas& canvas, bool idle) {
  DrawBody(canvas, idle);
  canvas.Polygon({{-0.8, -2.8}, {0.8, -2.8}, {0.0, 0.0}}, kSolid);
}

void DrawDiaphragm(Canvas& canvas, bool idle) {
  DrawBody(canvas, idle);
  canvas.Arc({-2.0, 0.0}, {2.0, 0.0}, 2.0);
  canvas.Line({0.0, -2.0}, {0.0, -4.0});
  canvas.Line({-1.6, -4.0}, {1.6, -4.0}, {.width = 0.5});  // the handwheel
}

// The sleeve between its end flanges, pressed in from above and below.
void DrawPinch(Canvas& canvas, bool idle) {
  DrawEndBars(canvas);
  const double radius = idle ? 3.05 : 3.6;
  for (const double side : {-1.0, 1.0}) {
    const double wall = side * kHalfHeight;
    canvas.Line({-kEnd, wall}, {kEnd, wall});
    canvas.Arc({-side * 3.0, wall}, {side * 3.0, wall}, radius, Body(idle));
  }
}

void DrawDome(Canvas& canvas) {
  canvas.Line({0.0, 0.0}, {0.0, -3.4});
  canvas.Arc({-1.7, -3.4}, {1.7, -3.4}, 1.7, {.fill = Fill::kPaper});
  canvas.Line({-1.7, -3.4}, {1.7, -3.4});
}

void DrawControl(Canvas& canvas, bool idle) {
  DrawBody(canvas, idle);
  DrawDome(canvas);
}

// With the line by which it feels the pressure that it holds.
void DrawPressureReducing(Canvas& canvas, bool idle) {
  DrawControl(canvas, idle);
  canvas.Polyline({{1.7, -3.6}, {kEnd, -3.6}, {kEnd, -kHalfHeight}}, kThin);
}

void DrawBackPressure(Canvas& canvas, bool idle) {
  DrawControl(canvas, idle);
  canvas.Polyline({{-1.7, -3.6}, {-kEnd, -3.6}, {-kEnd, -kHalfHeight}}, kThin);
}

void DrawFlowLimiting(Canvas& canvas, bool idle) {
  DrawControl(canvas, idle);
  canvas.Line({-1.0, kHalfHeight}, {-1.0, 0.7}, kThin);
  canvas.Line({1.0, kHalfHeight}, {1.0, 0.7}, kThin);
}

void DrawCheckDot(Canvas& canvas, bool idle) {
  if (idle) {
    canvas.Polygon({{-kEnd, -kHalfHeight}, {kEnd, kHalfHeight}, {-kEnd, kHalfHeight}}, kSolid);
  }
  DrawEndBars(canvas);
  canvas.Line({-kEnd, -kHalfHeight}, {kEnd, kHalfHeight});
  canvas.Circle({-kEnd, -kHalfHeight}, 0.8, kSolid);
}

void DrawCheckArrow(Canvas& canvas, bool idle) {
  DrawBody(canvas, idle);
  canvas.Line({-3.0, -4.0}, {2.0, -4.0});
  canvas.Polygon({{1.4, -4.8}, {3.4, -4.0}, {1.4, -3.2}}, kSolid);
}

void StrikeThrough(Canvas& canvas) {
  canvas.Line({-3.6, 3.6}, {3.6, -3.6}, {.width = 0.5});
}

void DrawPump(Canvas& canvas, bool idle) {
  canvas.Circle({0.0, 0.0}, kEnd, {.fill = Fill::kPaper});
  canvas.Polygon({{-1.6, -3.6}, {-1.6, 3.6}, {kEnd, 0.0}});
  if (idle) StrikeThrough(canvas);
}

void DrawDisplacementPump(Canvas& canvas, bool idle) {
  canvas.Circle({0.0, 0.0}, kEnd, {.fill = Fill::kPaper});
  canvas.Circle({-0.4, -1.5}, 1.5);
  canvas.Circle({-0.4, 1.5}, 1.5);
  canvas.Polygon({{2.2, -1.0}, {2.2, 1.0}, {kEnd, 0.0}}, kSolid);
  if (idle) StrikeThrough(canvas);
}

void DrawRestriction(Canvas& canvas, bool) {
  for (const double side : {-1.0, 1.0}) {
    canvas.Line({0.0, side * 0.8}, {0.0, side * 2.8}, {.width = 0.8});
    canvas.Line({-1.2, side * 1.4}, {-1.2, side * 2.8}, kThin);
    canvas.Line({1.2, side * 1.4}, {1.2, side * 2.8}, kThin);
  }
}

void DrawNozzle(Canvas& canvas, bool) {
  canvas.Line({-kEnd, 0.0}, {-3.0, 0.0}, {.width = 0.7});
  canvas.Polygon({{-3.0, -0.9}, {0.0, -2.2}, {0.0, 2.2}, {-3.0, 0.9}}, {.fill = Fill::kPaper});
  canvas.Line({1.0, -1.5}, {3.6, -2.5}, kThin);
  canvas.Line({1.0, 0.0}, {kEnd, 0.0}, kThin);
  canvas.Line({1.0, 1.5}, {3.6, 2.5}, kThin);
}

void DrawRelief(Canvas& canvas, bool idle) {
  DrawBody(canvas, idle);
  canvas.Polyline(
      {{0.0, 0.0}, {0.0, -1.8}, {-1.1, -2.2}, {1.1, -2.9}, {-1.1, -3.6}, {1.1, -4.3}, {0.0, -4.7}});
}

void DrawPipe(Canvas&, bool) {}

struct Row {
  Symbol symbol;
  std::string_view name;
  double body;  // half width
  void (*draw)(Canvas& canvas, bool idle);
};

constexpr std::array kRows = {
    Row{Symbol::kPipe, "pipe, arrow: flow", 0.0, &DrawPipe},
    Row{Symbol::kGate, "gate valve", kEnd, &DrawBody},
    Row{Symbol::kGlobe, "globe valve", kEnd, &DrawGlobe},
    Row{Symbol::kAngle, "angle valve", kEnd, &DrawAngle},
    Row{Symbol::kBall, "ball valve", kEnd, &DrawBall},
    Row{Symbol::kPlug, "plug valve", kEnd, &DrawPlug},
    Row{Symbol::kButterfly, "butterfly valve", kEnd, &DrawButterfly},
    Row{Symbol::kNeedle, "needle valve", kEnd, &DrawNeedle},
    Row{Symbol::kDiaphragm, "diaphragm valve", kEnd, &DrawDiaphragm},
    Row{Symbol::kPinch, "pinch valve", kEnd, &DrawPinch},
    Row{Symbol::kControl, "control valve", kEnd, &DrawControl},
    Row{Symbol::kCheckDot, "check valve, dot: inlet", kEnd, &DrawCheckDot},
    Row{Symbol::kCheckArrow, "check valve", kEnd, &DrawCheckArrow},
    Row{Symbol::kPump, "pump", kEnd, &DrawPump},
    Row{Symbol::kDisplacementPump, "displacement pump", kEnd, &DrawDisplacementPump},
    Row{Symbol::kRestriction, "restriction", 0.0, &DrawRestriction},
    Row{Symbol::kNozzle, "nozzle, to open air", kEnd, &DrawNozzle},
    Row{Symbol::kPressureReducing, "pressure-reducing", kEnd, &DrawPressureReducing},
    Row{Symbol::kBackPressure, "back-pressure", kEnd, &DrawBackPressure},
    Row{Symbol::kFlowLimiting, "flow-limiting", kEnd, &DrawFlowLimiting},
    Row{Symbol::kRelief, "relief valve", kEnd, &DrawRelief},
};

const Row& RowOf(Symbol symbol) {
  return kRows[static_cast<std::size_t>(symbol)];
}

}  // namespace

Symbol SymbolOfValve(std::string_view kind) {
  if (kind.starts_with("diaphragm")) return Symbol::kDiaphragm;
  if (kind.starts_with("pinch")) return Symbol::kPinch;
  if (kind.starts_with("control")) return Symbol::kControl;
  if (kind == "globe") return Symbol::kGlobe;
  if (kind == "angle") return Symbol::kAngle;
  if (kind == "ball") return Symbol::kBall;
  if (kind == "plug") return Symbol::kPlug;
  if (kind == "butterfly") return Symbol::kButterfly;
  if (kind == "needle") return Symbol::kNeedle;
  return Symbol::kGate;
}

Symbol SymbolOfRegulator(std::string_view kind) {
  if (kind == "pressure-reducing") return Symbol::kPressureReducing;
  return kind == "back-pressure" ? Symbol::kBackPressure : Symbol::kFlowLimiting;
}

double BodyHalfWidth(Symbol symbol) {
  return RowOf(symbol).body;
}

std::string_view SymbolName(Symbol symbol) {
  return RowOf(symbol).name;
}

void DrawSymbol(Canvas& canvas, Symbol symbol, bool idle) {
  RowOf(symbol).draw(canvas, idle);
}

void DrawFlowArrow(Canvas& canvas, bool hollow) {
  canvas.Polygon({{-1.8, -1.3}, {1.8, 0.0}, {-1.8, 1.3}},
                 {.fill = hollow ? Fill::kPaper : Fill::kInk});
}

}  // namespace handwheel
