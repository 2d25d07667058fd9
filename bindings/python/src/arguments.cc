#include "arguments.h"

#include <cmath>

#include "handwheel/errors.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

// " [m]", or nothing of a mere number.
std::string InUnit(Dimension dimension) {
  if (dimension == Dimension::kNumber) return "";
  return " [" + std::string(SiUnit(dimension)) + "]";
}

[[noreturn]] void Refuse(double found, const std::string& name, Dimension dimension,
                         const std::string& expected) {
  throw Error(name + " is " + Shown(found) + InUnit(dimension) + "; expected " + expected + ".");
}

}  // namespace

double AnyFinite(const py::object& value, const std::string& name, Dimension dimension) {
  const double si = ToQuantity(value, dimension);
  if (!std::isfinite(si)) Refuse(si, name, dimension, "a finite value");
  return si;
}

double Positive(const py::object& value, const std::string& name, Dimension dimension) {
  const double si = ToQuantity(value, dimension);
  if (!(si > 0.0) || !std::isfinite(si)) Refuse(si, name, dimension, "a finite value above 0");
  return si;
}

double NotNegative(const py::object& value, const std::string& name, Dimension dimension) {
  const double si = ToQuantity(value, dimension);
  if (!(si >= 0.0) || !std::isfinite(si)) {
    Refuse(si, name, dimension, "a finite value not below 0");
  }
  return si;
}

double Between(double low, double high, const py::object& value, const std::string& name,
               Dimension dimension) {
  const double si = ToQuantity(value, dimension);
  if (!(si >= low && si <= high)) {
    Refuse(si, name, dimension, Shown(low) + " to " + Shown(high));
  }
  return si;
}

double PositiveFraction(const py::object& value, const std::string& name) {
  const double si = ToQuantity(value, Dimension::kNumber);
  if (!(si > 0.0 && si <= 1.0)) {
    Refuse(si, name, Dimension::kNumber, "a value above 0, up to 1");
  }
  return si;
}

double FiniteResult(double result) {
  if (!std::isfinite(result)) {
    throw Error("the result is " + Shown(result) + "; the arguments are out of all proportion.");
  }
  return result;
}

}  // namespace handwheel::python
