#pragma once

#include <pybind11/pybind11.h>

#include <string>
#include <utility>
#include <vector>

#include "handwheel/vary.h"

// How questions that vary numbers are asked in Python. Each throws SettingError that names `what`.
namespace handwheel::python {

// A number or a text; None: empty text, which stands for no end.
Value EndOf(pybind11::handle given, const std::string& what);
bool IsPair(pybind11::handle given);  // a tuple or a list
// (low, high), None where there is no end.
std::pair<Value, Value> EndsOf(pybind11::handle given, const std::string& what);

// Of a mapping by name; `example` shows one.
std::vector<std::pair<std::string, pybind11::object>> MappingItems(const pybind11::object& given,
                                                                   const std::string& what,
                                                                   const std::string& example);

// "HV-3.opening", ["HV-3.opening", ...] or {"HV-3.opening": (low, high)}, None for no bounds.
std::vector<Vary> ToVary(const pybind11::object& given);

}  // namespace handwheel::python
