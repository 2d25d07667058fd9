#pragma once

#include <string>
#include <vector>

#include "optimise/fit_inference.h"

// A fit in words.

namespace handwheel::optimise {

std::string VerdictOf(const FitInput& input, const FitResult& fit);
// What the gauges do not tell, and why as far as it can be seen.
std::vector<std::string> UnclearWords(const FitInput& input, const std::vector<Blind>& blind,
                                      const FitResult& fit);
std::vector<std::string> CautionsOf(const FitInput& input, const FitResult& fit);

std::string ReportOf(const FitResult& fit);

// "L-4.flow" or "L-4.flow, P-1 tripped" where there are several states.
std::string ReadingName(const FitResult& fit, std::size_t reading);

}  // namespace handwheel::optimise
