#pragma once

#include <array>
#include <optional>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "handwheel/network.h"

namespace handwheel::python {

enum class Kind {
  kVessel,
  kJunction,
  kPipe,
  kValve,
  kCheckValve,
  kPump,
  kRestriction,
  kNozzle,
  kRegulator,
  kReliefValve
};

struct Place {
  Kind kind;
  std::size_t index;  // in its list
};

// A network that finds its parts by name in constant time. Parts are only ever appended to it.
class IndexedNetwork : public Network {
 public:
  IndexedNetwork() = default;
  explicit IndexedNetwork(Network network) : Network(std::move(network)) {}

  std::optional<Place> Find(const std::string& name) const {
    IndexNewParts();
    const auto found = places_.find(name);
    if (found == places_.end()) return std::nullopt;
    return found->second;
  }

 private:
  void IndexNewParts() const {
    IndexNew(Kind::kVessel, vessels);
    IndexNew(Kind::kJunction, junctions);
    IndexNew(Kind::kPipe, pipes);
    IndexNew(Kind::kValve, valves);
    IndexNew(Kind::kCheckValve, check_valves);
    IndexNew(Kind::kPump, pumps);
    IndexNew(Kind::kRestriction, restrictions);
    IndexNew(Kind::kNozzle, nozzles);
    IndexNew(Kind::kRegulator, regulators);
    IndexNew(Kind::kReliefValve, relief_valves);
  }

  template <typename T>
  void IndexNew(Kind kind, const std::vector<T>& list) const {
    for (std::size_t& i = indexed_[static_cast<std::size_t>(kind)]; i < list.size(); ++i) {
      places_.try_emplace(list[i].name, Place{kind, i});
    }
  }

  // A cache of the names; Python's lock guards it.
  mutable std::array<std::size_t, 10> indexed_{};
  mutable std::unordered_map<std::string, Place> places_;
};

}  // namespace handwheel::python
