#pragma once

#include <pybind11/pybind11.h>

#include <string>

#include "handwheel/units.h"

// What the functions of correlations are given: numbers, which are SI, or texts with a unit. Each
// of these throws UnitError for anything else, and Error naming the argument if it is NaN, infinite
// or out of range.
namespace handwheel::python {

double AnyFinite(const pybind11::object& value, const std::string& name,
                 Dimension dimension = Dimension::kNumber);
double Positive(const pybind11::object& value, const std::string& name,
                Dimension dimension = Dimension::kNumber);
double NotNegative(const pybind11::object& value, const std::string& name,
                   Dimension dimension = Dimension::kNumber);
// Bounds included.
double Between(double low, double high, const pybind11::object& value, const std::string& name,
               Dimension dimension = Dimension::kNumber);
// Above 0, up to 1.
double PositiveFraction(const pybind11::object& value, const std::string& name);

// The result, unless arguments far from all use have driven it beyond numbers: then Error.
double FiniteResult(double result);

}  // namespace handwheel::python
