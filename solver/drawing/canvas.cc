#include "drawing/canvas.h"

#include <algorithm>
#include <cmath>

#include "drawing/text_size.h"
#include "text/cat.h"
#include "text/number.h"
#include "text/utf8.h"

namespace handwheel {
namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";  // U+FFFD
constexpr double kAscent = 0.78;                           // of a line of text, over its size
constexpr double kDescent = 0.22;

// Hundredths of a millimetre: finer than any printer, and the same bytes everywhere.
std::string Number(double mm) {
  const double rounded = std::round(mm * 100.0) / 100.0;
  return FormatDecimal(rounded == 0.0 ? 0.0 : rounded);
}

std::string_view Paint(Fill fill) {
  switch (fill) {
    case Fill::kNone:
      return "none";
    case Fill::kPaper:
      return "#fff";
    case Fill::kInk:
      return "#000";
    case Fill::kTint:
      return "#dde6ee";  // prints as a light grey
    case Fill::kDanger:
      return "#8f1414";  // prints nearly black
    case Fill::kWarning:
      return "#ffe08a";
  }
  return "none";
}

std::string Strokes(const Pen& pen) {
  return Cat(" fill=\"", Paint(pen.fill), "\" stroke-width=\"", Number(pen.width), "\"",
             pen.dashed ? " stroke-dasharray=\"1.6 1.2\"" : "", "/>\n");
}

std::string_view AnchorName(Anchor anchor) {
  switch (anchor) {
    case Anchor::kStart:
      return "start";
    case Anchor::kMiddle:
      return "middle";
    case Anchor::kEnd:
      return "end";
  }
  return "start";
}

std::string EscapedAscii(char c) {
  switch (c) {
    case '&':
      return "&amp;";
    case '<':
      return "&lt;";
    case '>':
      return "&gt;";
    case '"':
      return "&quot;";
    case '\'':
      return "&#39;";
    case '\t':
      return "&#9;";
    case '\n':
      return "&#10;";
    case '\r':
      return "&#13;";
    default:
      break;
  }
  const auto byte = static_cast<unsigned char>(c);
  return byte < 0x20 ? std::string(kReplacement) : std::string(1, c);
}

// U+FFFE and U+FFFF are no characters of XML.
bool IsNoCharacter(std::string_view character) {
  return character == "\xEF\xBF\xBE" || character == "\xEF\xBF\xBF";
}

std::size_t CharacterLength(std::string_view text) {
  std::size_t length = 1;
  while (length < text.size() && (static_cast<unsigned char>(text[length]) & 0xC0) == 0x80) {
    ++length;
  }
  return length;
}

}  // namespace

std::string EscapedXml(std::string_view text) {
  std::string escaped;
  while (!text.empty()) {
    const std::size_t valid = ValidUtf8Length(text);
    for (std::size_t at = 0; at < valid;) {
      const std::size_t length = CharacterLength(text.substr(at, valid - at));
      const std::string_view character = text.substr(at, length);
      if (length == 1) {
        escaped += EscapedAscii(character[0]);
      } else {
        escaped += IsNoCharacter(character) ? kReplacement : character;
      }
      at += length;
    }
    text.remove_prefix(valid);
    if (text.empty()) break;
    escaped += kReplacement;
    text.remove_prefix(1);
  }
  return escaped;
}

void Canvas::BeginPart(std::string_view name, std::string_view description) {
  body_ += Cat("<g data-part=\"", EscapedXml(name), "\">\n<title>", EscapedXml(description),
               "</title>\n");
}

void Canvas::EndPart() {
  body_ += "</g>\n";
}

void Canvas::MoveTo(DiagramPoint origin, bool mirrored) {
  origin_ = origin;
  mirrored_ = mirrored;
}

DiagramPoint Canvas::Placed(DiagramPoint point) const {
  return {origin_.x + (mirrored_ ? -point.x : point.x), origin_.y + point.y};
}

std::string Canvas::Points(const std::vector<DiagramPoint>& points) const {
  std::string text;
  for (const DiagramPoint& point : points) {
    const DiagramPoint placed = Placed(point);
    text += Cat(text.empty() ? "" : " ", Number(placed.x), ",", Number(placed.y));
  }
  return text;
}

void Canvas::Line(DiagramPoint a, DiagramPoint b, const Pen& pen) {
  Polyline({a, b}, pen);
}

void Canvas::Polyline(const std::vector<DiagramPoint>& points, const Pen& pen) {
  body_ += Cat("<polyline points=\"", Points(points), "\"", Strokes(pen));
}

void Canvas::Polygon(const std::vector<DiagramPoint>& points, const Pen& pen) {
  body_ += Cat("<polygon points=\"", Points(points), "\"", Strokes(pen));
}

void Canvas::Circle(DiagramPoint centre, double radius, const Pen& pen) {
  const DiagramPoint c = Placed(centre);
  body_ += Cat("<circle cx=\"", Number(c.x), "\" cy=\"", Number(c.y), "\" r=\"", Number(radius),
               "\"", Strokes(pen));
}

void Canvas::Rectangle(DiagramPoint corner, double width, double height, const Pen& pen,
                       double rounding) {
  const DiagramPoint a = Placed(corner), b = Placed({corner.x + width, corner.y + height});
  body_ += Cat("<rect x=\"", Number(std::min(a.x, b.x)), "\" y=\"", Number(a.y), "\" width=\"",
               Number(width), "\" height=\"", Number(height), "\"");
  if (rounding > 0.0) body_ += Cat(" rx=\"", Number(rounding), "\"");
  body_ += Strokes(pen);
}

void Canvas::Arc(DiagramPoint a, DiagramPoint b, double radius, const Pen& pen) {
  const DiagramPoint start = Placed(a), end = Placed(b);
  body_ += Cat("<path d=\"M", Number(start.x), " ", Number(start.y), " A", Number(radius), " ",
               Number(radius), " 0 0 ", mirrored_ ? "0 " : "1 ", Number(end.x), " ", Number(end.y),
               "\"", Strokes(pen));
}

void Canvas::Text(DiagramPoint baseline, std::string_view text, const TextStyle& style) {
  const DiagramPoint at = Placed(baseline);
  body_ += Cat("<text x=\"", Number(at.x), "\" y=\"", Number(at.y), "\" font-size=\"",
               Number(style.size), "\" text-anchor=\"", AnchorName(style.anchor), "\"");
  body_ += " stroke=\"none\"";
  if (style.bold) body_ += " font-weight=\"bold\"";
  if (style.fill == Fill::kPaper) body_ += " fill=\"#fff\"";
  body_ += Cat(">", EscapedXml(text), "</text>\n");

  const double width = TextWidth(text, style.size, style.bold);
  const double share =
      style.anchor == Anchor::kStart ? 0.0 : (style.anchor == Anchor::kMiddle ? 0.5 : 1.0);
  texts_.push_back({std::string(text), at.x - share * width, at.y - kAscent * style.size,
                    at.x + (1.0 - share) * width, at.y + kDescent * style.size});
}

std::string Canvas::Document(DiagramPoint corner, double width, double height,
                             std::string_view title, std::string_view description) const {
  return Cat("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"", Number(width), "mm\" height=\"",
             Number(height), "mm\" viewBox=\"", Number(corner.x), " ", Number(corner.y), " ",
             Number(width), " ", Number(height), "\" role=\"img\">\n<title>", EscapedXml(title),
             "</title>\n<desc>", EscapedXml(description), "</desc>\n<rect x=\"", Number(corner.x),
             "\" y=\"", Number(corner.y), "\" width=\"", Number(width), "\" height=\"",
             Number(height),
             "\" fill=\"#fff\"/>\n<g stroke=\"#000\" stroke-linejoin=\"round\" "
             "stroke-linecap=\"round\" font-family=\"Arial, Helvetica, sans-serif\">\n",
             body_, "</g>\n</svg>\n");
}

}  // namespace handwheel
