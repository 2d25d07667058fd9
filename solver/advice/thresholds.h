#pragma once

#include "handwheel/readings.h"

namespace handwheel {

// Flow [m³/s] that passes for none: the solver's usual tolerance, 4 ml an hour.
inline constexpr double kAtRest = 1e-9;

// What the rules hold parts to, for questions that hold them to it as well. Each is defined, with
// its source, in the file of its rule.

double SureCavitationRatio(const Valve& valve, const ValveReading& reading);  // xF [-]
double FlutterMargin();                    // share of the velocity of full lift [-]
double MaxVelocityOf(const Pipe& pipe);    // [m/s]
double ThrottleLimit(const Valve& valve);  // opening below which the advice warns; 0: any

double WantedNpsh(double required);  // available [m] for so much required [m]

}  // namespace handwheel
