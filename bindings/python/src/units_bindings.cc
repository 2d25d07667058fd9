#include <pybind11/stl.h>

#include "bindings.h"
#include "errors.h"
#include "handwheel/units.h"
#include "text/suggest.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

std::vector<Dimension> AllDimensions() {
  std::vector<Dimension> dimensions;
  for (int i = 0; i <= static_cast<int>(Dimension::kPower); ++i) {
    dimensions.push_back(static_cast<Dimension>(i));
  }
  return dimensions;
}

std::vector<std::string> DimensionNames() {
  std::vector<std::string> names;
  for (Dimension dimension : AllDimensions()) names.emplace_back(DimensionName(dimension));
  return names;
}

Dimension DimensionFromName(const std::string& name) {
  for (Dimension dimension : AllDimensions()) {
    if (DimensionName(dimension) == name) return dimension;
  }
  throw UnitError("dimension " + Quoted(name) + " is unknown;" + Suggest(name, DimensionNames()));
}

}  // namespace

void BindUnits(py::module_& m) {
  m.def(
      "quantity",
      [](py::object value, const std::string& dimension) {
        return ToQuantity(value, DimensionFromName(dimension));
      },
      py::arg("value"), py::arg("dimension"),
      "`value` in SI: quantity(\"12 m3/h\", \"flow\") is 0.00333... [m³/s]. A bare number is SI.\n"
      "Raises UnitError for no number, an unknown unit, or a unit of another dimension.");
  m.def(
      "format_quantity",
      [](double value, const std::string& dimension, const std::string& unit) {
        return FormatQuantity(value, DimensionFromName(dimension), unit);
      },
      py::arg("value"), py::arg("dimension"), py::arg("unit"),
      "The SI `value` as text in `unit`: format_quantity(0.01, \"flow\", \"m3/h\") is \"36 "
      "m3/h\".\n"
      "Raises UnitError for an unknown unit or one of another dimension.");
  m.def("dimensions", &DimensionNames, "Every dimension that has units: \"length\", \"flow\", ...");
  m.def(
      "units", [](const std::string& dimension) { return UnitsOf(DimensionFromName(dimension)); },
      py::arg("dimension"), "Every accepted spelling of the units of a dimension.");
}

}  // namespace handwheel::python
