#pragma once

#include "network/fields.h"

namespace handwheel {

// What concerns several properties of one part at once; ranges, words and choices are in the table.
std::optional<Problem> FluidRule(const void* fluid, const Network& network);
std::optional<Problem> VesselRule(const void* vessel, const Network& network);
std::optional<Problem> PipeRule(const void* pipe, const Network& network);
std::optional<Problem> ValveRule(const void* valve, const Network& network);
std::optional<Problem> CheckValveRule(const void* check_valve, const Network& network);
std::optional<Problem> PumpRule(const void* pump, const Network& network);
std::optional<Problem> RestrictionRule(const void* restriction, const Network& network);
std::optional<Problem> NozzleRule(const void* nozzle, const Network& network);
std::optional<Problem> RegulatorRule(const void* regulator, const Network& network);

}  // namespace handwheel
