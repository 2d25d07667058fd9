#pragma once

#include <string>
#include <vector>

#include "drawing/drawn_parts.h"

namespace handwheel {

struct SheetFrame {
  double left = 0.0, top = 0.0, right = 0.0, bottom = 0.0;  // [mm]
};

// What stands below the plant: the findings in words, the legend of the symbols that are used, and
// the title block.
class Sheet {
 public:
  Sheet(const Network& network, const Solution* solution, const DiagramOptions& options,
        const DrawnParts& parts);

  // `plant`: what the parts take up. Returns the whole sheet.
  SheetFrame Draw(Canvas& canvas, const SheetFrame& plant) const;
  const std::string& title() const { return title_; }
  std::string Description() const;

 private:
  double DrawFindings(Canvas& canvas, double left, double top, double width) const;
  double DrawLegend(Canvas& canvas, double left, double top, double width) const;
  double DrawTitleBlock(Canvas& canvas, double right, double top) const;

  const DrawnParts& parts_;
  std::string title_;
  std::vector<std::string> lines_;  // of the title block
};

}  // namespace handwheel
