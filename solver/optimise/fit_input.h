#pragma once

#include <string>
#include <vector>

#include "handwheel/fit.h"
#include "studies/gauge.h"
#include "studies/varied.h"

// What a fit is asked, read and checked. SI.

namespace handwheel::optimise {

// An FitUnknown, read. The search moves u = ln x of what is logarithmic, else u = x / scale.
struct Number {
  std::vector<std::size_t> varied{};  // indices into FitInput::varied
  bool logarithmic = false;
  double before = 0.0;
  double lower = 0.0, upper = 0.0;
  double scale = 1.0;  // of what is not logarithmic: a change that matters, above 0

  double ToU(double value) const;
  double FromU(double u) const;
  double Slope(double u) const;  // d x / d u
  double Room() const;           // a change of u that matters
};

struct Reading {
  Gauge gauge;
  std::size_t state = 0;
  double measured = 0.0, uncertainty = 0.0;
};

struct State {
  std::string case_name{};
  Settings settings{};
  std::string label{};
  Network network{};
};

struct FitInput {
  Network original{};                  // as given
  std::vector<Varied> varied{};        // every target
  std::vector<Number> numbers{};       // what is found: one or more targets each
  std::vector<std::string> blocked{};  // valves that are taken for "blocked"
  std::vector<State> states{};         // in order of first use
  std::vector<Reading> readings{};     // in the order given
  bool uncertainties_stated = false;   // by any of them

  std::string NameOf(const Number& number) const;    // targets with commas between
  FitInput Without(const std::string& gauge) const;  // all its readings, in every state
};

// Throws Error as Fit() does.
FitInput ReadFitInput(const Network& network, const std::vector<Measurement>& measurements,
                      const std::vector<FitUnknown>& vary, const FitOptions& options);

}  // namespace handwheel::optimise
