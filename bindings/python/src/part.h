#pragma once

#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <array>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "handwheel/network.h"
#include "indexed_network.h"
#include "values.h"

namespace handwheel::python {

// What Python sees of a struct inside a network: a live view that keeps the network alive. Reading
// takes the member; writing goes through Network::Apply, which checks it.

// --- A part: one element of a list of the network ---

template <typename T>
class Part {
 public:
  using Data = T;
  using List = std::vector<T> Network::*;

  // Parts are only ever appended, so the index stays true.
  Part(std::shared_ptr<IndexedNetwork> network, List list, std::size_t index)
      : network_(std::move(network)), list_(list), index_(index) {}

  const T& data() const { return ((*network_).*list_)[index_]; }
  void Set(const char* key, pybind11::handle value) {
    const std::string target = data().name + "." + key;
    network_->Apply(target, ToValue(value, target));
  }
  std::string Label() const { return "\"" + data().name + "\""; }

 private:
  std::shared_ptr<IndexedNetwork> network_;
  List list_;
  std::size_t index_;
};

template <typename T>
std::vector<Part<T>> PartsOf(const std::shared_ptr<IndexedNetwork>& network,
                             std::vector<T> Network::*list) {
  std::vector<Part<T>> parts;
  for (std::size_t i = 0; i < ((*network).*list).size(); ++i) parts.emplace_back(network, list, i);
  return parts;
}

// --- A section: a member of the network that exists once ---

template <typename T>
class Section {
 public:
  using Data = T;

  Section(std::shared_ptr<IndexedNetwork> network, T Network::*member, const char* name)
      : network_(std::move(network)), member_(member), name_(name) {}

  const T& data() const { return (*network_).*member_; }
  void Set(const char* key, pybind11::handle value) {
    const std::string target = std::string(name_) + "." + key;
    network_->Apply(target, ToValue(value, target));
  }
  std::string Label() const { return {}; }

 private:
  std::shared_ptr<IndexedNetwork> network_;
  T Network::*member_;
  const char* name_;
};

// --- What a member is in Python ---

inline pybind11::object ToPython(double value) {
  return pybind11::float_(value);
}
inline pybind11::object ToPython(bool value) {
  return pybind11::bool_(value);
}
inline pybind11::object ToPython(const std::string& value) {
  return pybind11::str(value);
}
inline pybind11::object ToPython(const std::optional<double>& value) {
  if (!value) return pybind11::none();
  return pybind11::float_(*value);
}
inline pybind11::object ToPython(FrictionFormula value) {
  return pybind11::str(std::string(FrictionFormulaName(value)));
}
inline pybind11::object ToPython(const std::vector<std::pair<std::string, double>>& value) {
  pybind11::dict dict;
  for (const auto& [name, count] : value) dict[pybind11::str(name)] = count;
  return dict;
}
inline pybind11::object ToPython(const std::vector<std::array<double, 2>>& points) {
  pybind11::array_t<double> array(
      {static_cast<pybind11::ssize_t>(points.size()), pybind11::ssize_t{2}});
  for (std::size_t i = 0; i < points.size(); ++i) {
    array.mutable_at(i, 0) = points[i][0];
    array.mutable_at(i, 1) = points[i][1];
  }
  return array;
}
inline pybind11::object ToPython(const std::optional<std::array<double, 3>>& value) {
  if (!value) return pybind11::none();
  return pybind11::make_tuple((*value)[0], (*value)[1], (*value)[2]);
}

// --- Classes ---

// Collects the attributes of a class, so that its repr shows what differs from an empty part.
template <typename View>
class ViewClass {
 public:
  using Data = typename View::Data;

  ViewClass(pybind11::module_& m, const char* name, const char* doc)
      : cls_(m, name, doc), name_(name) {}

  template <typename Type>
  ViewClass& ReadOnly(const char* name, Type Data::*member, const char* doc) {
    cls_.def_property_readonly(
        name, [member](const View& view) { return ToPython(view.data().*member); }, doc);
    return *this;
  }

  template <typename Type>
  ViewClass& Property(const char* name, Type Data::*member, const char* doc) {
    cls_.def_property(
        name, [member](const View& view) { return ToPython(view.data().*member); },
        [name](View& view, pybind11::object value) { view.Set(name, value); }, doc);
    return Shows(name, member);
  }

  // `from` is a word of Python's own.
  template <typename Type>
  ViewClass& FromProperty(Type Data::*member) {
    cls_.def_property(
        "from_", [member](const View& view) { return ToPython(view.data().*member); },
        [](View& view, pybind11::object value) { view.Set("from", value); },
        "Name of the point where positive flow comes from.");
    return Shows("from_", member);
  }

  template <typename Method>
  ViewClass& Def(const char* name, Method method, const char* doc) {
    cls_.def(name, method, doc);
    return *this;
  }

  // Equal if the data are; two views of one part are equal.
  void Finish() {
    cls_.def(
        "__eq__", [](const View& a, const View& b) { return a.data() == b.data(); },
        pybind11::is_operator());
    cls_.attr("__hash__") = pybind11::none();
    cls_.def("__repr__", [shows = shows_, name = name_](const View& view) {
      std::string text = view.Label();
      for (const auto& show : shows) {
        const std::string shown = show(view.data());
        if (!shown.empty()) text += (text.empty() ? "" : ", ") + shown;
      }
      return name + "(" + text + ")";
    });
  }

 private:
  using Show = std::function<std::string(const Data&)>;

  template <typename Type>
  ViewClass& Shows(const char* name, Type Data::*member) {
    shows_.push_back([name, member](const Data& data) -> std::string {
      static const Data empty{};
      if (data.*member == empty.*member) return {};
      if constexpr (std::is_same_v<Type, std::vector<std::array<double, 2>>>) {
        return std::string(name) + "=<" + std::to_string((data.*member).size()) + " points>";
      } else {
        return std::string(name) + "=" + std::string(pybind11::repr(ToPython(data.*member)));
      }
    });
    return *this;
  }

  pybind11::class_<View> cls_;
  std::string name_;
  std::vector<Show> shows_;
};

}  // namespace handwheel::python
