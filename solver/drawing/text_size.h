#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace handwheel {

// Widths of texts without a font at hand: those of a wide sans-serif, so that what fits here fits
// in the narrower ones that readers have.

inline constexpr double kNameSize = 3.0;   // font size [mm], of names
inline constexpr double kValueSize = 2.6;  // of values
inline constexpr double kLinePitch = 3.6;  // between lines of a label [mm]

// Of one line [mm]. Text that is not UTF-8 counts byte by byte.
double TextWidth(std::string_view text, double font_size, bool bold = false);

// Lines of at most `width` [mm], broken at spaces; a longer word has a line of its own.
std::vector<std::string> WrapText(std::string_view text, double width, double font_size);

// A name for a label: at most two lines of about 12 characters if it has spaces to break it at, and
// cut with "…" beyond 24 characters a line.
std::vector<std::string> NameLines(std::string_view name);

}  // namespace handwheel
