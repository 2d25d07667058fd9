#pragma once

#include <string_view>

#include "drawing/canvas.h"

namespace handwheel {

enum class Symbol {
  kPipe,
  kGate,
  kGlobe,
  kAngle,
  kBall,
  kPlug,
  kButterfly,
  kNeedle,
  kDiaphragm,
  kPinch,
  kControl,
  kCheckDot,
  kCheckArrow,
  kPump,
  kDisplacementPump,
  kRestriction,
  kNozzle,
  kPressureReducing,
  kBackPressure,
  kFlowLimiting,
  kRelief,
};

// Every symbol stays within this of its middle [mm], but for what stands on its stem.
inline constexpr double kSymbolHalfWidth = 4.0;
inline constexpr double kSymbolTop = 5.2;     // above the axis, stem and all
inline constexpr double kSymbolBottom = 4.0;  // below it

Symbol SymbolOfValve(std::string_view kind);      // of ValveKindNames()
Symbol SymbolOfRegulator(std::string_view kind);  // "pressure-reducing", ...

// Where the line of the pipe ends at the symbol, to both sides of its middle [mm]; 0: it runs
// through.
double BodyHalfWidth(Symbol symbol);
std::string_view SymbolName(Symbol symbol);  // for the legend

// Around the origin of the canvas, `from` to the left. `idle`: shut, holding, or stopped: filled,
// or struck through.
void DrawSymbol(Canvas& canvas, Symbol symbol, bool idle);

// An arrow head on the axis, its tip to the right. Hollow: the direction of the data, not a flow.
void DrawFlowArrow(Canvas& canvas, bool hollow);

}  // namespace handwheel
