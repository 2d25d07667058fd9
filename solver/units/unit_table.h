#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "handwheel/units.h"

namespace handwheel {

// value in SI = (value + shift) * times / over. The ratio is kept apart because most factors are no
// doubles, while numerator and denominator are.
struct Unit {
  std::string_view name;
  Dimension dimension;
  double times = 1.0;
  double over = 1.0;
  double shift = 0.0;  // of the offset temperature scales
};

// Every accepted spelling; of each dimension, the SI unit first.
std::span<const Unit> UnitTable();

// k where the unit is 10^k SI units: such numbers are scaled in decimal, so that "77.9 mm" is
// 0.0779 to the last bit.
std::optional<int> PowerOfTen(const Unit& unit);

// nullptr: no such spelling.
const Unit* FindUnit(std::string_view name);

// `expected a flow such as "12 m3/h".`
std::string ExpectedQuantity(Dimension dimension);

}  // namespace handwheel
