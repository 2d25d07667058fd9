#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "handwheel/file.h"

namespace handwheel {

// A run of whole tables of a network file, which can be parsed by itself.
struct Chunk {
  std::string_view text;
  int lines_before = 0;
};

// Looks through a file before it is parsed. Refuses what the parser could not digest within bounded
// stack and linear time (deep nesting, headings nobody asked for), what is no text, and a few slips
// that deserve a better explanation than the parser has. Cuts the rest into chunks of bounded size,
// so that the syntax tree of a large file is never held at once. Throws FileError.
std::vector<Chunk> ScanFile(std::string_view text, const std::string& file,
                            const ReadLimits& limits);

// Throws FileError with "file:line:column: " before the message.
[[noreturn]] void ThrowAt(const std::string& file, int line, int column,
                          const std::string& message);

}  // namespace handwheel
