#include <pybind11/stl.h>

#include "bindings.h"
#include "errors.h"
#include "named_values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

py::list ItemsOf(const NamedValues& values) {
  const py::list numbers = values.values.attr("tolist")();
  py::list items;
  for (std::size_t i = 0; i < values.index->names().size(); ++i) {
    items.append(py::make_tuple(values.index->names()[i], numbers[i]));
  }
  return items;
}

py::object Get(const NamedValues& values, const std::string& name, py::object otherwise) {
  return values.index->Contains(name) ? values.At(name) : otherwise;
}

py::object ToSeries(const NamedValues& values) {
  return py::module_::import("pandas").attr("Series")(
      values.values, py::arg("index") = values.index->names(), py::arg("name") = values.Heading(),
      py::arg("copy") = true);
}

// {'L-1': 0.01, 'L-2': 0.02, ...}
std::string NamedValuesRepr(const NamedValues& values) {
  constexpr std::size_t kShown = 6;
  const auto& names = values.index->names();
  std::string text = "<" + values.Heading() + ": {";
  for (std::size_t i = 0; i < names.size() && i < kShown; ++i) {
    text += (i == 0 ? "" : ", ") + std::string(py::repr(py::str(names[i]))) + ": " +
            std::string(py::repr(values.At(names[i])));
  }
  return text +
         (names.size() > kShown ? ", ... " + std::to_string(names.size()) + " in all}>" : "}>");
}

}  // namespace

std::size_t NameIndex::At(const std::string& name) const {
  const auto found = index_.find(name);
  if (found == index_.end()) throw NoSuchName(what_, name, names_);
  return found->second;
}

py::object NamedValues::At(const std::string& name) const {
  return values.attr("item")(index->At(name));
}

void BindValues(py::module_& m) {
  py::class_<NamedValues>(
      m, "Values",
      "One quantity of a solution, by name: s.flow[\"L-4\"]. Iterates over its\n"
      "names, as a dict does; dict(s.flow) and np.asarray(s.flow) work.")
      .def_property_readonly(
          "values", [](const NamedValues& v) { return v.values; },
          "All values in network order, a read-only array; float64 for numbers.")
      .def_property_readonly(
          "names", [](const NamedValues& v) { return v.index->names(); },
          "The names in network order.")
      .def_readonly("unit", &NamedValues::unit, "\"m3/s\"; empty for flags and texts.")
      .def(
          "keys", [](const NamedValues& v) { return v.index->names(); }, "The same as names.")
      .def("items", &ItemsOf, "Pairs of name and value, in network order.")
      .def("get", &Get, py::arg("name"), py::arg("default") = py::none(),
           "The value of that name, or `default` if there is none.")
      .def("to_series", &ToSeries, "A pandas Series indexed by name, a copy.")
      .def(
          "__array__",
          [](const NamedValues& v, py::object dtype) -> py::object {
            return dtype.is_none() ? py::object(v.values) : v.values.attr("astype")(dtype);
          },
          py::arg("dtype") = py::none())
      .def("__getitem__", &NamedValues::At, py::arg("name"),
           "The value of that name. Raises UnknownNameError, a KeyError and a ValueError.")
      .def("__len__", [](const NamedValues& v) { return v.index->names().size(); })
      .def("__iter__", [](const NamedValues& v) { return py::iter(py::cast(v.index->names())); })
      .def(
          "__contains__",
          [](const NamedValues& v, const std::string& name) { return v.index->Contains(name); },
          py::arg("name"))
      .def("__repr__", &NamedValuesRepr);
}

}  // namespace handwheel::python
