#pragma once

#include <string>
#include <string_view>

namespace handwheel {

// The parts one after another.
template <typename... Parts>
std::string Cat(const Parts&... parts) {
  std::string text;
  text.reserve((std::string_view(parts).size() + ...));
  (text.append(std::string_view(parts)), ...);
  return text;
}

}  // namespace handwheel
