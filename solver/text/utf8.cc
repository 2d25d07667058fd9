#include "text/utf8.h"

#include <algorithm>
#include <cstdint>

namespace handwheel {
namespace {

bool IsContinuation(unsigned char byte) {
  return (byte & 0xC0) == 0x80;
}

std::size_t SequenceLength(unsigned char lead) {
  if (lead < 0x80) return 1;
  if (lead < 0xC2) return 0;
  if (lead < 0xE0) return 2;
  if (lead < 0xF0) return 3;
  return lead < 0xF5 ? 4 : 0;
}

// Of the second byte, which alone tells overlong forms, surrogates and too large values apart.
bool IsSecondByteInRange(unsigned char lead, unsigned char second) {
  if (lead == 0xE0) return second >= 0xA0;
  if (lead == 0xED) return second < 0xA0;
  if (lead == 0xF0) return second >= 0x90;
  if (lead == 0xF4) return second < 0x90;
  return true;
}

}  // namespace

std::size_t ValidUtf8Length(std::string_view text) {
  std::size_t i = 0;
  while (i < text.size()) {
    const auto byte = [&](std::size_t k) { return static_cast<unsigned char>(text[i + k]); };
    const std::size_t length = SequenceLength(byte(0));
    if (length == 0 || text.size() - i < length) return i;
    for (std::size_t k = 1; k < length; ++k) {
      if (!IsContinuation(byte(k))) return i;
    }
    if (length > 1 && !IsSecondByteInRange(byte(0), byte(1))) return i;
    i += length;
  }
  return i;
}

std::size_t CharacterCount(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return !IsContinuation(static_cast<unsigned char>(c));
  }));
}

}  // namespace handwheel
