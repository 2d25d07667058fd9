#pragma once

#include <vector>

#include "handwheel/transient.h"

namespace handwheel {

// Throws SettingError for an event that names no such part, or asks of it what cannot be.
void CheckEvents(const Network& network, const std::vector<TransientEvent>& events);

// How long a stroke takes [s]: `over`, or by the handwheel from the opening given.
double TimeOfStroke(const Valve& valve, double from, const TransientEvent& event);

// "P-1 trips", "HV-3 travels to 0 % within 2 s"
std::string InWords(const TransientEvent& event);

}  // namespace handwheel
