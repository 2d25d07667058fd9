#pragma once

#include "handwheel/find_settings.h"
#include "optimise/settings_search.h"

namespace handwheel {

// "12 m3/h", "at least 5 m3/h", "2 bar to 3 bar".
std::string WantedText(const Gauge& gauge, double lower, double upper);

// "HV-3 is fully open", "P-1.speed is at its lower end, 0.6".
std::string AtEndInWords(const FoundSetting& setting);

// "L-5.flow, which comes first, would fall below 5 m3/h".
std::string ComesFirstInWords(const FoundTarget& first, const Gauge& gauge);

// Of everything else in the answer.
std::string VerdictOf(const FoundSettings& found);

}  // namespace handwheel
