#pragma once

#include <algorithm>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "handwheel/errors.h"
#include "text/cat.h"
#include "text/suggest.h"

namespace handwheel {

// Where the name stands. Throws NetworkError if it is not there, with the nearest; `what` says of
// what the names are: "component".
inline std::size_t IndexOfName(const std::vector<std::string>& names, std::string_view name,
                               std::string_view what) {
  const auto found = std::find(names.begin(), names.end(), name);
  if (found != names.end()) return static_cast<std::size_t>(found - names.begin());
  throw NetworkError(Cat("no ", what, " is named ", Quoted(name), ";", Suggest(name, names)),
                     std::string(name));
}

}  // namespace handwheel
