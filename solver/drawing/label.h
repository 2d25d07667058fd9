#pragma once

#include <string>
#include <vector>

#include "drawing/canvas.h"
#include "drawing/drawn_parts.h"

namespace handwheel {

// The code of a finding in a frame that tells its severity by shape as well: danger white on dark,
// in cut corners; a warning in a thick frame; a note in a round one. Its left end at `left`.
inline constexpr double kBadgeWidth = 6.6;   // [mm]
inline constexpr double kBadgeHeight = 3.8;  // [mm]
void DrawBadge(Canvas& canvas, DiagramPoint left, const DrawnFinding& finding);

// What stands beside a part, centred: badges of its findings, its name, its values.
class Label {
 public:
  explicit Label(const DrawnWords& words, const std::string& further_value = {}, bool bold = true);

  double width() const { return width_; }
  double height() const { return height_; }
  void Draw(Canvas& canvas, DiagramPoint top_middle, const std::vector<DrawnFinding>& all) const;

 private:
  std::vector<std::size_t> findings_;
  std::vector<std::string> names_, values_;
  TextStyle name_style_;
  double width_ = 0.0, height_ = 0.0;
};

}  // namespace handwheel
