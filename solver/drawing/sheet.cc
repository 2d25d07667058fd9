#include "drawing/sheet.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "drawing/label.h"
#include "drawing/run_figure.h"
#include "drawing/shown_values.h"
#include "drawing/text_size.h"
#include "text/cat.h"
#include "text/number.h"

namespace handwheel {
namespace {

constexpr double kMargin = 8.0;         // [mm]
constexpr double kLeastWidth = 180.0;   // of what is inside the margins [mm]
constexpr double kBlockWidth = 84.0;    // of the title block [mm]
constexpr double kPadding = 3.0;        // inside it [mm]
constexpr double kGap = 6.0;            // between legend and title block [mm]
constexpr double kLegendPitchX = 47.0;  // [mm]
constexpr double kLegendPitchY = 10.5;  // [mm]
constexpr double kLegendText = 8.0;     // from the middle of a symbol to its name [mm]
constexpr double kTitleSize = 4.2;      // font size [mm]
constexpr TextStyle kLeftText{.anchor = Anchor::kStart};

std::string LiquidLine(const Fluid& fluid) {
  std::string line = Cat("liquid: ", fluid.name);
  if (fluid.strength) line += Cat(" ", FormatDecimal(100.0 * *fluid.strength, 3), " %");
  const double celsius = FromSi(fluid.temperature, Dimension::kTemperature, "degC");
  return Cat(line, ", ", FormatDecimal(std::round(10.0 * celsius) / 10.0), " °C");
}

std::string StatusLine(const Solution* solution) {
  if (solution == nullptr) return "As the file says: nothing is computed.";
  return solution->converged() ? "Steady state, computed."
                               : "NOT CONVERGED: these numbers are no solution.";
}

// One item of the legend: what it shows, drawn around the origin, and its name.
struct LegendItem {
  std::string name;
  std::function<void(Canvas&)> draw;
};

LegendItem SymbolItem(Symbol symbol) {
  return {std::string(SymbolName(symbol)), [symbol](Canvas& canvas) {
            if (BodyHalfWidth(symbol) == 0.0) {
              canvas.Line({-kSymbolHalfWidth - 1.0, 0.0}, {kSymbolHalfWidth + 1.0, 0.0},
                          LinePen(FlowSense::kForward));
            }
            DrawSymbol(canvas, symbol, false);
          }};
}

LegendItem IdleItem(Symbol symbol, std::string name) {
  return {std::move(name), [symbol](Canvas& canvas) { DrawSymbol(canvas, symbol, true); }};
}

bool IsPump(Symbol symbol) {
  return symbol == Symbol::kPump || symbol == Symbol::kDisplacementPump;
}

LegendItem FlowItem(bool hollow) {
  return {hollow ? "from → to in the file" : "flow, its direction", [hollow](Canvas& canvas) {
            canvas.Line({-5.0, 0.0}, {5.0, 0.0}, LinePen(FlowSense::kForward));
            DrawFlowArrow(canvas, hollow);
          }};
}

LegendItem TankItem() {
  return {"vessel; levels to one scale", [](Canvas& canvas) {
            canvas.Rectangle({-4.0, -0.5}, 8.0, 3.5, {.width = 0.0, .fill = Fill::kTint});
            canvas.Rectangle({-4.0, -3.0}, 8.0, 6.0, {.width = 0.5});
            canvas.Line({-4.0, -0.5}, {4.0, -0.5});
          }};
}

LegendItem BadgeItem(std::string severity, std::string code) {
  const DrawnFinding finding{.code = std::move(code), .severity = severity, .part = {}, .text = {}};
  return {severity + ", see above", [finding](Canvas& canvas) {
            DrawBadge(canvas, {-kBadgeWidth / 2, 0.0}, finding);
          }};
}

std::vector<LegendItem> LegendOf(const DrawnParts& parts) {
  std::array<bool, 32> used{};
  bool idle_pump = false, idle_valve = false, vessels = false, at_rest = false;
  Symbol pump = Symbol::kPump, valve = Symbol::kGate;
  for (const DrawnComponent& part : parts.components) {
    used[static_cast<std::size_t>(part.symbol)] = true;
    at_rest = at_rest || part.sense == FlowSense::kNone;
    if (!part.idle) continue;
    (IsPump(part.symbol) ? pump : valve) = part.symbol;
    (IsPump(part.symbol) ? idle_pump : idle_valve) = true;
  }
  for (const DrawnPoint& point : parts.points) vessels = vessels || point.is_vessel;
  std::vector<LegendItem> items = {FlowItem(!parts.has_solution)};
  if (at_rest) {
    items.push_back({"no flow", [](Canvas& canvas) {
                       canvas.Line({-5.0, 0.0}, {5.0, 0.0}, LinePen(FlowSense::kNone));
                     }});
  }
  if (vessels) items.push_back(TankItem());
  for (std::size_t s = 1; s < used.size(); ++s) {
    if (used[s]) items.push_back(SymbolItem(static_cast<Symbol>(s)));
  }
  if (idle_valve) items.push_back(IdleItem(valve, "filled: shut"));
  if (idle_pump) items.push_back(IdleItem(pump, "struck through: stopped"));
  for (const auto* severity : {"danger", "warning", "note"}) {
    const auto first = std::find_if(parts.findings.begin(), parts.findings.end(),
                                    [&](const auto& f) { return f.severity == severity; });
    if (first != parts.findings.end()) items.push_back(BadgeItem(severity, first->code));
  }
  return items;
}

}  // namespace

Sheet::Sheet(const Network& network, const Solution* solution, const DiagramOptions& options,
             const DrawnParts& parts)
    : parts_(parts), title_(network.title.empty() ? "Piping diagram" : network.title) {
  if (!options.case_name.empty()) lines_.push_back(Cat("case: ", options.case_name));
  if (!options.date.empty()) lines_.push_back(Cat("date: ", options.date));
  lines_.push_back(LiquidLine(network.fluid));
  lines_.push_back(StatusLine(solution));
  if (solution != nullptr)
    lines_.push_back("Pressures are gauge; drops are losses, without heights.");
  lines_.push_back("Symbols are our own drawing; no standard is claimed. Not to scale.");
}

std::string Sheet::Description() const {
  std::string text = "Piping diagram.";
  for (const std::string& line : lines_) text += Cat(" ", line, line.ends_with('.') ? "" : ".");
  return Cat(text, " ", kCaution);
}

SheetFrame Sheet::Draw(Canvas& canvas, const SheetFrame& plant) const {
  canvas.MoveTo({0.0, 0.0});
  const double width = std::max(plant.right - plant.left, kLeastWidth);
  const double right = plant.left + width;
  double y = plant.bottom + kMargin;
  canvas.Line({plant.left, y}, {right, y}, {.width = 0.25});
  y = DrawFindings(canvas, plant.left, y + 2.0, width);
  const double block = DrawTitleBlock(canvas, right, y + 2.0);
  const double legend = DrawLegend(canvas, plant.left, y + 2.0, width - kBlockWidth - kGap);
  return {plant.left - kMargin, plant.top - kMargin, right + kMargin,
          std::max(block, legend) + kMargin};
}

double Sheet::DrawFindings(Canvas& canvas, double left, double top, double width) const {
  double y = top;
  for (const DrawnFinding& finding : parts_.findings) {
    DrawBadge(canvas, {left, y + kBadgeHeight / 2}, finding);
    const std::string text =
        Cat(finding.severity, finding.part.empty() ? "" : ", ", finding.part, ": ", finding.text);
    for (const std::string& line : WrapText(text, width - kBadgeWidth - 2.0, kValueSize)) {
      canvas.Text({left + kBadgeWidth + 2.0, y + 2.8}, line, kLeftText);
      y += kLinePitch;
    }
    y += 1.2;
  }
  return y;
}

double Sheet::DrawLegend(Canvas& canvas, double left, double top, double width) const {
  const auto columns = static_cast<std::size_t>(std::max(1.0, std::floor(width / kLegendPitchX)));
  const std::vector<LegendItem> items = LegendOf(parts_);
  for (std::size_t i = 0; i < items.size(); ++i) {
    canvas.MoveTo({left + 5.0 + kLegendPitchX * static_cast<double>(i % columns),
                   top + 6.0 + kLegendPitchY * static_cast<double>(i / columns)});
    items[i].draw(canvas);
    canvas.Text({kLegendText, 0.9}, items[i].name, kLeftText);
  }
  canvas.MoveTo({0.0, 0.0});
  const std::size_t rows = (items.size() + columns - 1) / columns;
  return top + kLegendPitchY * static_cast<double>(rows);
}

double Sheet::DrawTitleBlock(Canvas& canvas, double right, double top) const {
  const double left = right - kBlockWidth, inside = kBlockWidth - 2 * kPadding;
  double y = top + kPadding;
  for (const std::string& line : WrapText(title_, inside, kTitleSize * 1.1)) {
    canvas.Text({left + kPadding, y + 3.4}, line,
                {.size = kTitleSize, .bold = true, .anchor = Anchor::kStart});
    y += 5.2;
  }
  for (const std::string& line : lines_) {
    for (const std::string& piece : WrapText(line, inside, kValueSize)) {
      canvas.Text({left + kPadding, y + 2.8}, piece, kLeftText);
      y += kLinePitch;
    }
  }
  y += 1.6;
  canvas.Line({left, y}, {right, y}, {.width = 0.25});
  y += 1.0;
  for (const std::string& piece : WrapText(kCaution, inside, kValueSize * 1.1)) {
    canvas.Text({left + kPadding, y + 2.8}, piece, {.bold = true, .anchor = Anchor::kStart});
    y += kLinePitch;
  }
  y += kPadding - 1.0;
  canvas.Rectangle({left, top}, kBlockWidth, y - top, {.width = 0.5});
  return y;
}

}  // namespace handwheel
