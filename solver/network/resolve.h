#pragma once

#include <optional>
#include <string_view>

#include "handwheel/components.h"

// Sizes as numbers, for the solvers. All throw NetworkError for what Network::Validate refuses.

namespace handwheel {

double BoreOf(const Pipe& pipe);    // inside diameter, of the lining if there is one [m]
double BoreOf(const Valve& valve);  // likewise
double BoreOf(const CheckValve& check_valve);
double BoreOf(const Nozzle& nozzle);
double BoreOf(const Regulator& regulator);
std::optional<double> BoreOf(const Restriction& restriction);  // empty if it has none

// The same, empty where neither a bore nor a known size is given.
std::optional<double> BoreIfGiven(const Valve& valve);
std::optional<double> BoreIfGiven(const CheckValve& check_valve);
std::optional<double> BoreIfGiven(const Restriction& restriction);
std::optional<double> BoreIfGiven(const Regulator& regulator);

// Before a lining narrows it [m].
std::optional<double> UnlinedBoreIfGiven(const Pipe& pipe);
std::optional<double> UnlinedBoreIfGiven(const Valve& valve);

double RoughnessOf(const Pipe& pipe);  // absolute [m]
// What the three-K method calls Dn: the NPS number as a length, or the unlined bore where no size
// is given [m].
double NominalSizeOf(const Pipe& pipe);
std::string_view ScheduleOf(const Pipe& pipe);  // "40" unless given

}  // namespace handwheel
