#ifndef HANDWHEEL_CORRELATIONS_PIPE_SIZES_H_
#define HANDWHEEL_CORRELATIONS_PIPE_SIZES_H_

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace handwheel {

// Steel pipe to ASME B36.10M (schedules 40, 80) and B36.19M (10S).
struct PipeSize {
  double outside_diameter = 0.0;  // [m]
  double wall = 0.0;              // [m], nominal
  double bore = 0.0;              // [m], from the inch wall: NPS 3 schedule 40 has 3.068 in
  double nominal_bore = 0.0;      // [m], the DN number: 0.080 for DN 80 (NPS 3)
};

// size      "DN80", "DN 80", "NPS 3", "NPS 1-1/2", "NPS 1 1/2", "NPS 1.5"; case does not matter.
// schedule  "10S", "40", "80"; also "40S", "80S", "STD", "XS" for the sizes where the wall is that
//           of 40 or 80 (40S and STD up to NPS 10, 80S and XS up to NPS 8).
std::optional<PipeSize> FindPipeSize(std::string_view size, std::string_view schedule);

// The DN number of a size as a bore [m]: "DN80" and "NPS 3" give 0.080. Knows valve sizes beyond
// the pipe table, DN 6 to DN 1200. A nominal size is not a bore: use it where no bore is known.
std::optional<double> NominalBore(std::string_view size);

// The NPS number of a size as a length [m]: "DN80" and "NPS 3" give 0.0762. The three-K method
// counts in it.
std::optional<double> NominalInches(std::string_view size);

std::vector<std::string> PipeSizeNames();      // sizes FindPipeSize knows: "DN15", ...
std::vector<std::string> PipeScheduleNames();  // every schedule some size has
// The schedules one size has; empty for an unknown size.
std::vector<std::string> PipeScheduleNames(std::string_view size);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_PIPE_SIZES_H_
