#ifndef HANDWHEEL_CORRELATIONS_VALVE_CHARACTERISTIC_H_
#define HANDWHEEL_CORRELATIONS_VALVE_CHARACTERISTIC_H_

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "correlations/monotone_cubic.h"

namespace handwheel {

struct CharacteristicPoint {
  double opening;               // [-] fraction of travel, 0 shut, 1 fully open
  double relative_coefficient;  // [-] flow coefficient there over that fully open
};

// What is known of a kind of valve before its maker's table is. Real bodies differ by 30 % in
// full-open K and the relative coefficients by 10 to 20 %; sources stand beside each row.
struct ValveKind {
  std::string_view name;
  double full_open_k;  // [-] on the velocity head in the valve's bore
  // Rising from {0, 0} to {1, 1}. Zero at shut: what a seat passes is a matter of leakage.
  std::span<const CharacteristicPoint> characteristic;
};

const ValveKind* FindValveKind(std::string_view name);  // nullptr: no such kind
std::vector<std::string> ValveKindNames();

// Relative flow coefficient against opening, through the kind's points.
MonotoneCubic RelativeCoefficient(const ValveKind& kind);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_VALVE_CHARACTERISTIC_H_
