#pragma once

#include <string>

namespace handwheel {

// Writes a neighbouring temporary file and renames it, so that a failure leaves no half-written
// file. Throws FileError.
void WriteWholeFile(const std::string& text, const std::string& path);

}  // namespace handwheel
