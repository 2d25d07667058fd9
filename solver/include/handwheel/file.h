#pragma once

#include <string>
#include <string_view>

#include "handwheel/network.h"

namespace handwheel {

struct ReadLimits {
  std::size_t max_bytes = 512u << 20;  // larger files are refused before they are read
  int max_nesting = 32;                // deeper nested brackets are refused before they are parsed
};

// Reads and validates a network file (TOML). Throws FileError.
Network LoadNetwork(const std::string& path, const ReadLimits& limits = {});

// The same from text; `name` stands for the file in messages.
Network ParseNetwork(std::string_view text, const std::string& name = "<text>",
                     const ReadLimits& limits = {});

// The network as a file's text. Reading it back gives an equal Network.
std::string FormatNetwork(const Network& network);

// Writes FormatNetwork to a neighbouring temporary file and renames it, so that a failure leaves no
// half-written file. Throws FileError.
void SaveNetwork(const Network& network, const std::string& path);

}  // namespace handwheel
