#include "drawing/label.h"

#include <algorithm>

#include "drawing/text_size.h"

namespace handwheel {
namespace {

constexpr std::size_t kBadgesInRow = 3;
constexpr double kBadgePitch = kBadgeWidth + 0.6;      // across [mm]
constexpr double kBadgeRowPitch = kBadgeHeight + 0.6;  // down [mm]
constexpr double kBaseline = 2.7;                      // of a line, below its top [mm]

std::size_t RowsOf(std::size_t badges) {
  return (badges + kBadgesInRow - 1) / kBadgesInRow;
}

}  // namespace

void DrawBadge(Canvas& canvas, DiagramPoint left, const DrawnFinding& finding) {
  const double top = left.y - kBadgeHeight / 2, bottom = left.y + kBadgeHeight / 2;
  const double right = left.x + kBadgeWidth;
  const bool danger = finding.severity == "danger";
  if (danger) {
    const double cut = 1.2;
    canvas.Polygon({{left.x + cut, top},
                    {right - cut, top},
                    {right, top + cut},
                    {right, bottom - cut},
                    {right - cut, bottom},
                    {left.x + cut, bottom},
                    {left.x, bottom - cut},
                    {left.x, top + cut}},
                   {.fill = Fill::kDanger});
  } else if (finding.severity == "warning") {
    canvas.Rectangle({left.x, top}, kBadgeWidth, kBadgeHeight,
                     {.width = 0.6, .fill = Fill::kWarning});
  } else {
    canvas.Rectangle({left.x, top}, kBadgeWidth, kBadgeHeight,
                     {.width = 0.25, .fill = Fill::kPaper}, kBadgeHeight / 2);
  }
  canvas.Text({left.x + kBadgeWidth / 2, left.y + 0.95}, finding.code,
              {.bold = true, .fill = danger ? Fill::kPaper : Fill::kInk});
}

Label::Label(const DrawnWords& words, const std::string& further_value, bool bold)
    : findings_(words.findings),
      values_(words.values),
      name_style_{.size = bold ? kNameSize : kValueSize, .bold = bold} {
  if (!words.name.empty()) names_ = NameLines(words.name);
  if (!further_value.empty()) values_.push_back(further_value);
  for (const std::string& line : names_)
    width_ = std::max(width_, TextWidth(line, name_style_.size, bold));
  for (const std::string& line : values_) width_ = std::max(width_, TextWidth(line, kValueSize));
  const std::size_t in_row = std::min(findings_.size(), kBadgesInRow);
  width_ = std::max(width_, static_cast<double>(in_row) * kBadgePitch);
  height_ = static_cast<double>(names_.size() + values_.size()) * kLinePitch +
            static_cast<double>(RowsOf(findings_.size())) * kBadgeRowPitch;
}

void Label::Draw(Canvas& canvas, DiagramPoint top_middle,
                 const std::vector<DrawnFinding>& all) const {
  double y = top_middle.y;
  for (std::size_t first = 0; first < findings_.size(); first += kBadgesInRow) {
    const std::size_t count = std::min(kBadgesInRow, findings_.size() - first);
    double x = top_middle.x - static_cast<double>(count) * kBadgePitch / 2;
    for (std::size_t i = first; i < first + count; ++i, x += kBadgePitch) {
      DrawBadge(canvas, {x, y + kBadgeHeight / 2}, all[findings_[i]]);
    }
    y += kBadgeRowPitch;
  }
  for (const std::string& line : names_) {
    canvas.Text({top_middle.x, y + kBaseline}, line, name_style_);
    y += kLinePitch;
  }
  for (const std::string& line : values_) {
    canvas.Text({top_middle.x, y + kBaseline}, line, {.size = kValueSize});
    y += kLinePitch;
  }
}

}  // namespace handwheel
