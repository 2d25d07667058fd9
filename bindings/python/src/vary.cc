#include "vary.h"

#include "handwheel/errors.h"
#include "text/suggest.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {

Value EndOf(py::handle given, const std::string& what) {
  if (given.is_none()) return std::string{};
  return ToValue(given, what);
}

bool IsPair(py::handle given) {
  return py::isinstance<py::tuple>(given) || py::isinstance<py::list>(given);
}

std::pair<Value, Value> EndsOf(py::handle given, const std::string& what) {
  const auto pair = py::reinterpret_borrow<py::sequence>(given);
  if (pair.size() != 2) {
    throw SettingError(what + " has " + std::to_string(pair.size()) +
                       " ends; expected two such as (low, high), None where there is none.");
  }
  const py::object low = pair[0], high = pair[1];
  return {EndOf(low, what), EndOf(high, what)};
}

std::vector<std::pair<std::string, py::object>> MappingItems(const py::object& given,
                                                             const std::string& what,
                                                             const std::string& example) {
  if (!py::hasattr(given, "items")) {
    throw SettingError(what + " is no mapping; expected such as " + example + ".");
  }
  std::vector<std::pair<std::string, py::object>> items;
  for (py::handle item : given.attr("items")()) {
    const auto pair = py::reinterpret_borrow<py::sequence>(item);
    const py::object name = pair[0];
    if (!py::isinstance<py::str>(name)) {
      throw SettingError(what + " has a name that is no text; expected such as " + example + ".");
    }
    items.emplace_back(name.cast<std::string>(), pair[1]);
  }
  return items;
}

std::vector<Vary> ToVary(const py::object& given) {
  std::vector<Vary> vary;
  if (py::isinstance<py::str>(given)) return {{given.cast<std::string>()}};
  if (py::hasattr(given, "items")) {
    for (const auto& [target, bounds] :
         MappingItems(given, "vary", R"({"HV-3.opening": (0.1, 0.8)})")) {
      if (bounds.is_none()) {
        vary.push_back({target});
        continue;
      }
      if (!IsPair(bounds)) {
        throw SettingError("vary " + Quoted(target) +
                           ": expected bounds such as (0.1, 0.8), None where there is none.");
      }
      const auto [lower, upper] = EndsOf(bounds, "vary " + Quoted(target));
      vary.push_back({target, lower, upper});
    }
    return vary;
  }
  if (!py::isinstance<py::iterable>(given)) {
    throw SettingError(R"(vary is no list; expected such as ["HV-3.opening"].)");
  }
  for (py::handle one : given) {
    if (!py::isinstance<py::str>(one)) {
      throw SettingError(R"(vary holds what is no text; expected such as "HV-3.opening".)");
    }
    vary.push_back({one.cast<std::string>()});
  }
  return vary;
}

}  // namespace handwheel::python
