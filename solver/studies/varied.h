#pragma once

#include <string>
#include <vector>

#include "handwheel/units.h"
#include "handwheel/vary.h"

namespace handwheel {

// A Vary, read: a number of the plant, from where to where it may go, all SI.
struct Varied {
  std::string target{};
  Dimension dimension = Dimension::kNumber;
  std::string_view unit{};          // that files are written in
  double present = 0.0;             // a roughness or bore that a material or size gives, too
  double lower = 0.0, upper = 0.0;  // infinite where nothing ends it
  double size = 1.0;                // above 0: a change that matters, to scale by
};

// Throws SettingError for what is unknown or no number, is varied twice, has bounds that the
// property cannot take or that leave it no room; or for none at all.
std::vector<Varied> ReadVaried(const Network& network, const std::vector<Vary>& vary);

// The number that a value such as "12 m3/h" gives a target's property. Throws SettingError.
double NumberFor(const Network& network, const std::string& target, const Value& value);

// As files have it: "0.42", "12 m3/h".
std::string VariedText(const Varied& varied, double value);

// What a property is measured in usually amounts to, where nothing else tells, SI.
double UsualSize(Dimension dimension);

}  // namespace handwheel
