#include "advice/rules.h"
#include "advice/words.h"

namespace handwheel {

MaybeAdvice OverRating(const std::optional<double>& rating, double pressure,
                       const std::string& name) {
  if (!rating || !(pressure > *rating)) return std::nullopt;
  return Advice{.kind = "over its rating",
                .severity = kDanger,
                .message = Cat(name, " stands at ", InBarGauge(pressure), "; it is rated for ",
                               InBarGauge(*rating), "."),
                .check =
                    "the gauge there, the relief valve that should guard it, and the rating at "
                    "the liquid's temperature.",
                .caution =
                    "Ratings fall as temperature rises, and surges come on top of a steady "
                    "pressure. Keep people away until it is relieved.",
                .value = pressure,
                .limit = *rating};
}

}  // namespace handwheel
