#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "handwheel/diagram.h"

namespace handwheel {

// Text for XML, in an element or an attribute: the five special characters and line breaks escaped;
// what XML cannot hold (control characters, bytes that are not UTF-8) as U+FFFD.
std::string EscapedXml(std::string_view text);

enum class Fill { kNone, kPaper, kInk, kTint, kDanger, kWarning };
enum class Anchor { kStart, kMiddle, kEnd };

struct Pen {
  double width = 0.35;  // [mm]
  Fill fill = Fill::kNone;
  bool dashed = false;
};

struct TextStyle {
  double size = 2.6;  // [mm]
  bool bold = false;
  Anchor anchor = Anchor::kMiddle;
  Fill fill = Fill::kInk;  // kPaper: white on black
};

// Writes SVG elements, black on white, and remembers where texts stand. Coordinates go through the
// place and the mirror last set.
class Canvas {
 public:
  // A part of the drawing that a reader can point at: its name and what it says.
  void BeginPart(std::string_view name, std::string_view description);
  void EndPart();

  // Coordinates from now on start at `origin`; mirrored: x runs to the left (texts still read on).
  void MoveTo(DiagramPoint origin, bool mirrored = false);

  void Line(DiagramPoint a, DiagramPoint b, const Pen& pen = {});
  void Polyline(const std::vector<DiagramPoint>& points, const Pen& pen = {});
  void Polygon(const std::vector<DiagramPoint>& points, const Pen& pen = {});
  void Circle(DiagramPoint centre, double radius, const Pen& pen = {});
  void Rectangle(DiagramPoint corner, double width, double height, const Pen& pen = {},
                 double rounding = 0.0);
  // A circular arc from a to b; clockwise on the sheet.
  void Arc(DiagramPoint a, DiagramPoint b, double radius, const Pen& pen = {});
  void Text(DiagramPoint baseline, std::string_view text, const TextStyle& style = {});

  // The whole document, of what lies in the rectangle.
  std::string Document(DiagramPoint corner, double width, double height, std::string_view title,
                       std::string_view description) const;
  const std::vector<DiagramText>& texts() const { return texts_; }

 private:
  DiagramPoint Placed(DiagramPoint point) const;
  std::string Points(const std::vector<DiagramPoint>& points) const;

  std::string body_;
  DiagramPoint origin_{};
  bool mirrored_ = false;
  std::vector<DiagramText> texts_;
};

}  // namespace handwheel
