#pragma once

#include <functional>
#include <unordered_map>
#include <vector>

#include "network/fields.h"

namespace handwheel {

// Where a part stands in its network.
struct PartPlace {
  const PartKind* kind = nullptr;
  std::size_t index = 0;
};

// "HV-3.opening" split at its last dot.
struct Target {
  std::string_view component;
  std::string_view property;
};

// Throws SettingError without a dot or with nothing on one side of it.
Target SplitTarget(std::string_view target);

// The property a target names, in a part of the given kind. Throws SettingError if there is none,
// or it cannot be set.
const Field& FindSettableField(const PartKind& kind, std::string_view target);

// The part or section a name stands for; nullopt: none.
using PartFinder = std::function<std::optional<PartPlace>(std::string_view name)>;

// Finds the wanted names in one pass over the network; the first part of a name counts.
class WantedParts {
 public:
  explicit WantedParts(const Network& network) : network_(network) {}

  void Want(std::string_view name) { places_.try_emplace(name); }
  void Search();
  std::optional<PartPlace> Find(std::string_view name) const;

 private:
  const Network& network_;
  std::unordered_map<std::string_view, std::optional<PartPlace>> places_;
};

// Throws SettingError for an unknown component, with the nearest name.
PartPlace FindTargetPart(const Network& network, std::string_view target);
PartPlace FindTargetPart(const Network& network, std::string_view target, const PartFinder& find);

// Copies of the few parts that a list of settings touches, so that settings take effect all at once
// or, where one is at fault, not at all.
class Draft {
 public:
  Draft(const Network& network, PartFinder find);

  // Throws SettingError.
  void Set(std::string_view target, const Value& value);

  // Copies the parts back.
  void WriteTo(Network& network) const;

  struct Touched {
    PartPlace original;
    PartPlace copy;  // in copies()
  };
  const std::vector<Touched>& touched() const { return touched_; }
  // The network's sections as they would be, and the touched parts alone.
  const Network& copies() const { return copies_; }

 private:
  void* CopyOf(const PartPlace& place);

  const Network& network_;
  PartFinder find_;
  Network copies_;
  std::vector<Touched> touched_;
  std::unordered_map<const void*, std::size_t> touched_index_;  // by the original's address
};

}  // namespace handwheel
