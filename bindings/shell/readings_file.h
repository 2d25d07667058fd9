#pragma once

#include <string>
#include <vector>

#include "handwheel/fit.h"

namespace handwheel::shell {

// Readings from a CSV file (RFC 4180; lines of # are remarks) with the columns gauge and value, and
// uncertainty, case and settings if wanted:
//   gauge,value,uncertainty,case,settings
//   L-4.flow,14.2 m3/h,2 %,,
//   header.pressure,1.9 bar,0.02 bar,P-1 tripped,HV-3.opening=0.4; HV-4.opening=0.2
// Throws FileError with line and column.
std::vector<Measurement> LoadReadings(const std::string& path);

}  // namespace handwheel::shell
