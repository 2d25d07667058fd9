#pragma once

#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>

#include <memory>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

namespace handwheel::python {

// Names in network order and where each stands.
class NameIndex {
 public:
  // `what` is "point" or "component".
  NameIndex(std::string what, std::vector<std::string> names)
      : what_(std::move(what)), names_(std::move(names)) {
    for (std::size_t i = 0; i < names_.size(); ++i) index_.try_emplace(names_[i], i);
  }

  const std::vector<std::string>& names() const { return names_; }
  bool Contains(const std::string& name) const { return index_.contains(name); }
  std::size_t At(const std::string& name) const;  // throws UnknownNameError

 private:
  std::string what_;
  std::vector<std::string> names_;
  std::unordered_map<std::string, std::size_t> index_;
};

// One result quantity by name: what s.flow is.
struct NamedValues {
  std::string quantity;  // "flow"
  std::string unit;      // "m3/s"; empty for flags and texts
  std::shared_ptr<const NameIndex> index;
  pybind11::array values;  // read-only, network order

  pybind11::object At(const std::string& name) const;
  std::string Heading() const { return unit.empty() ? quantity : quantity + " [" + unit + "]"; }
};

}  // namespace handwheel::python
