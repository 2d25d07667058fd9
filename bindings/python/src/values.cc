#include "values.h"

#include "handwheel/errors.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

std::string TypeName(py::handle object) {
  return py::str(py::type::handle_of(object).attr("__name__"));
}

bool IsNumpyBool(py::handle object) {
  // Kept for the life of the process, as numpy keeps it.
  static const py::handle numpy_bool =
      py::object(py::module_::import("numpy").attr("bool_")).release();
  return py::isinstance(object, numpy_bool);
}

bool IsBool(py::handle object) {
  return py::isinstance<py::bool_>(object) || IsNumpyBool(object);
}

// Empty if the object is not a real number.
std::optional<double> NumberIn(py::handle object) {
  if (PyFloat_Check(object.ptr())) return PyFloat_AS_DOUBLE(object.ptr());
  if (PyComplex_Check(object.ptr()) || !PyNumber_Check(object.ptr())) return std::nullopt;
  const double number = PyFloat_AsDouble(object.ptr());
  if (PyErr_Occurred() == nullptr) return number;
  PyErr_Clear();  // e.g. an array of several numbers
  return std::nullopt;
}

bool IsRowOrText(py::handle object) {
  return py::isinstance<py::str>(object) || py::isinstance<py::sequence>(object) ||
         py::isinstance<py::array>(object);
}

SettingError Unfit(py::handle object, const std::string& what) {
  return SettingError(what + " is of type " + TypeName(object) +
                      "; expected a number, text, True or False, or rows of two.");
}

Scalar ToScalar(py::handle object, const std::string& what) {
  if (py::isinstance<py::str>(object)) return object.cast<std::string>();
  if (!IsBool(object)) {
    if (const auto number = NumberIn(object)) return *number;
  }
  throw SettingError(what + " holds a value of type " + TypeName(object) +
                     "; expected a number, or text with a unit.");
}

Rows RowsOfMapping(py::handle mapping, const std::string& what) {
  Rows rows;
  for (py::handle item : mapping.attr("items")()) {
    const auto pair = py::reinterpret_borrow<py::sequence>(item);
    rows.push_back({ToScalar(py::object(pair[0]), what), ToScalar(py::object(pair[1]), what)});
  }
  return rows;
}

Rows CoefficientRows(const std::vector<py::object>& numbers, const std::string& what) {
  if (numbers.size() != 3) throw SettingError(what + " is not a list of rows of two values.");
  return {{Scalar("a"), ToScalar(numbers[0], what)},
          {Scalar("b"), ToScalar(numbers[1], what)},
          {Scalar("c"), ToScalar(numbers[2], what)}};
}

Rows RowsOfSequence(py::handle sequence, const std::string& what) {
  std::vector<py::object> items;
  for (py::handle item : sequence) items.push_back(py::reinterpret_borrow<py::object>(item));
  if (!items.empty() && (!IsRowOrText(items[0]) || py::isinstance<py::str>(items[0]))) {
    return CoefficientRows(items, what);
  }
  Rows rows;
  for (const py::object& item : items) {
    if (py::isinstance<py::str>(item) || !IsRowOrText(item) || py::len(item) != 2) {
      throw SettingError(what + " is not a list of rows of two values.");
    }
    rows.push_back({ToScalar(item[py::int_(0)], what), ToScalar(item[py::int_(1)], what)});
  }
  return rows;
}

Settings SettingsOfPairs(py::handle pairs) {
  Settings settings;
  for (py::handle item : pairs) {
    if (!IsRowOrText(item) || py::isinstance<py::str>(item) || py::len(item) != 2) {
      throw SettingError(
          "settings are not pairs; expected {\"component.property\": value} or such pairs.");
    }
    const auto pair = py::reinterpret_borrow<py::sequence>(item);
    const py::object target = pair[0];
    if (!py::isinstance<py::str>(target)) {
      throw SettingError("a setting is named by a value of type " + TypeName(target) +
                         "; expected text such as \"HV-3.opening\".");
    }
    std::string name = target.cast<std::string>();
    Value value = ToValue(py::object(pair[1]), name);
    settings.emplace_back(std::move(name), std::move(value));
  }
  return settings;
}

py::object FromScalar(const Scalar& scalar) {
  return std::visit([](const auto& x) -> py::object { return py::cast(x); }, scalar);
}

}  // namespace

Value ToValue(py::handle object, const std::string& what) {
  if (object.is_none()) return std::string();
  if (IsBool(object)) return object.cast<bool>();
  if (py::isinstance<py::str>(object)) return object.cast<std::string>();
  if (py::isinstance<py::array>(object) && py::reinterpret_borrow<py::array>(object).ndim() > 0) {
    return RowsOfSequence(object, what);
  }
  if (const auto number = NumberIn(object)) return *number;
  if (py::hasattr(object, "items")) return RowsOfMapping(object, what);
  if (py::isinstance<py::sequence>(object) && !py::isinstance<py::bytes>(object)) {
    return RowsOfSequence(object, what);
  }
  throw Unfit(object, what);
}

Settings ToSettings(py::handle object) {
  if (object.is_none()) return {};
  if (py::hasattr(object, "items")) return SettingsOfPairs(object.attr("items")());
  if (py::isinstance<py::iterable>(object) && !py::isinstance<py::str>(object)) {
    return SettingsOfPairs(object);
  }
  throw SettingError("settings are of type " + TypeName(object) +
                     "; expected a mapping such as {\"HV-3.opening\": 0.4}.");
}

double ToQuantity(py::handle object, Dimension dimension) {
  if (py::isinstance<py::str>(object)) {
    return ParseQuantity(object.cast<std::string>(), dimension);
  }
  if (!IsBool(object)) {
    if (const auto number = NumberIn(object)) return *number;
  }
  throw UnitError("a " + std::string(DimensionName(dimension)) + " is of type " + TypeName(object) +
                  "; expected a number in SI, or text with a unit.");
}

void AppendProperties(const py::dict& keywords, Settings* properties) {
  for (const auto& [key, value] : keywords) {
    if (value.is_none()) continue;
    std::string name = key.cast<std::string>();
    if (name == "from_") name = "from";
    Value converted = ToValue(value, name);
    properties->emplace_back(std::move(name), std::move(converted));
  }
}

py::object FromValue(const Value& value) {
  if (const bool* on = std::get_if<bool>(&value)) return py::bool_(*on);
  if (const double* number = std::get_if<double>(&value)) return py::float_(*number);
  if (const std::string* text = std::get_if<std::string>(&value)) return py::str(*text);
  py::list list;
  for (const auto& [first, second] : std::get<Rows>(value)) {
    list.append(py::make_tuple(FromScalar(first), FromScalar(second)));
  }
  return list;
}

py::dict FromSettings(const Settings& settings) {
  py::dict dict;
  for (const auto& [target, value] : settings) dict[py::str(target)] = FromValue(value);
  return dict;
}

void MakeReadOnly(py::array* array) {
  array->attr("setflags")(py::arg("write") = false);
}

py::array ViewOf(const std::vector<double>& values, py::handle owner) {
  py::array_t<double> view({values.size()}, {sizeof(double)}, values.data(), owner);
  MakeReadOnly(&view);
  return view;
}

py::array ArrayOf(const std::vector<double>& values) {
  return py::array_t<double>(static_cast<py::ssize_t>(values.size()), values.data());
}

py::array ArrayOf(const std::vector<bool>& values) {
  py::array_t<bool> array(static_cast<py::ssize_t>(values.size()));
  auto items = array.mutable_unchecked<1>();
  for (std::size_t i = 0; i < values.size(); ++i) items(static_cast<py::ssize_t>(i)) = values[i];
  return array;
}

py::array ArrayOf(const std::vector<std::string>& values) {
  py::list texts;
  for (const std::string& text : values) texts.append(py::str(text));
  return py::module_::import("numpy").attr("array")(texts, py::arg("dtype") = "O");
}

py::array ArrayOf(const std::vector<std::string_view>& values, std::size_t width) {
  std::vector<char32_t> characters(values.size() * width, U'\0');
  for (std::size_t i = 0; i < values.size(); ++i) {
    for (std::size_t c = 0; c < values[i].size() && c < width; ++c) {
      characters[i * width + c] = static_cast<unsigned char>(values[i][c]);
    }
  }
  return py::array(py::dtype("U" + std::to_string(width)),
                   {static_cast<py::ssize_t>(values.size())}, characters.data());
}

std::string Shown(double value) {
  return py::repr(py::float_(value));
}

}  // namespace handwheel::python
