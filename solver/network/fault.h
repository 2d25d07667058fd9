#pragma once

#include <optional>
#include <string>

#include "handwheel/network.h"
#include "network/fields.h"

namespace handwheel {

// The first thing wrong with a network, and where.
struct Fault {
  const PartKind* kind = nullptr;  // nullptr: a case
  std::size_t index = 0;           // of the part in its kind, or of the case
  std::string name;                // of the part, section or case
  std::string key;                 // the property or, of a case, the target; may be empty
  std::string message;             // the whole sentence, part and all
};

// Linear in the size of the network.
std::optional<Fault> FindFault(const Network& network);

}  // namespace handwheel
