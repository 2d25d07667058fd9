#pragma once

#include <vector>

#include "handwheel/find_settings.h"
#include "optimise/settings_model.h"

namespace handwheel {

// A GaugeTarget, read: all SI, infinite where there is no end.
struct ReadTarget {
  Gauge gauge;
  double lower = 0.0, upper = 0.0;
  double size = 1.0;  // of the larger end; of 0 what is usual
  double tolerance = 0.0;
  int priority = 1;

  Wish AsWish(std::size_t index) const {
    return {.priority = priority, .lower = lower, .upper = upper, .size = size, .index = index};
  }
};

// Throws SettingError for what no gauge shows, ends that are the wrong way round or missing, a
// tolerance below 0, or no target at all; UnitError for what cannot be read.
std::vector<ReadTarget> ReadTargets(const Network& network,
                                    const std::vector<GaugeTarget>& targets);

std::vector<Gauge> GaugesOf(const std::vector<ReadTarget>& targets);

// A limit at the present state, and the threshold that it is to keep to.
Wish LimitAsWish(const LimitReading& present, double threshold, std::size_t index);

}  // namespace handwheel
