#pragma once

#include <optional>
#include <string_view>

#include "handwheel/components.h"

// Sizes as numbers, for the solvers. All throw NetworkError for what Network::Validate refuses.

namespace handwheel {

double BoreOf(const Pipe& pipe);  // inside diameter [m]
double BoreOf(const Valve& valve);
double BoreOf(const CheckValve& check_valve);
double BoreOf(const Nozzle& nozzle);
std::optional<double> BoreOf(const Restriction& restriction);  // empty if it has none

// The same, empty where neither a bore nor a known size is given.
std::optional<double> BoreIfGiven(const Valve& valve);
std::optional<double> BoreIfGiven(const CheckValve& check_valve);
std::optional<double> BoreIfGiven(const Restriction& restriction);

double RoughnessOf(const Pipe& pipe);  // absolute [m]
// What the three-K method calls Dn: the NPS number as a length, or the bore where no size is given
// [m].
double NominalSizeOf(const Pipe& pipe);
std::string_view ScheduleOf(const Pipe& pipe);  // "40" unless given

}  // namespace handwheel
