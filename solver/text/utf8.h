#pragma once

#include <cstddef>
#include <string_view>

namespace handwheel {

// The number of leading bytes that are well-formed UTF-8 (RFC 3629: shortest forms only, no
// surrogates, nothing above U+10FFFF); text.size() if all of it is.
std::size_t ValidUtf8Length(std::string_view text);

inline bool IsUtf8(std::string_view text) {
  return ValidUtf8Length(text) == text.size();
}

// The number of characters in well-formed UTF-8.
std::size_t CharacterCount(std::string_view text);

}  // namespace handwheel
