#pragma once

#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>

#include <optional>
#include <string>
#include <vector>

#include "handwheel/network.h"
#include "handwheel/units.h"

namespace handwheel::python {

// --- From Python ---------------------------------------------------------------------------------

// True or False (numpy's too), a number, text, None (not given), rows of two (a list, an array of
// two columns or a mapping), or the three coefficients of a pump. Throws SettingError naming
// `what`.
Value ToValue(pybind11::handle object, const std::string& what);

// A mapping, anything with items(), or pairs. Throws SettingError.
Settings ToSettings(pybind11::handle object);

// A number, which is SI, or text with a unit. Throws UnitError.
double ToQuantity(pybind11::handle object, Dimension dimension);

// Keyword arguments as properties; `from_` stands for `from`, None is left out.
void AppendProperties(const pybind11::dict& keywords, Settings* properties);

// --- To Python -----------------------------------------------------------------------------------

pybind11::object FromValue(const Value& value);
pybind11::dict FromSettings(const Settings& settings);

// A read-only view on `values`, which `owner` keeps alive.
pybind11::array ViewOf(const std::vector<double>& values, pybind11::handle owner);
pybind11::array ArrayOf(const std::vector<double>& values);
pybind11::array ArrayOf(const std::vector<bool>& values);
pybind11::array ArrayOf(const std::vector<std::string>& values);  // of Python texts
// Texts of at most `width` ASCII characters.
pybind11::array ArrayOf(const std::vector<std::string_view>& values, std::size_t width);
void MakeReadOnly(pybind11::array* array);

// A number as Python prints it.
std::string Shown(double value);

}  // namespace handwheel::python
