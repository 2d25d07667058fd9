#pragma once

#include <string>
#include <string_view>

namespace handwheel {

enum class DecimalResult { kOk, kNone, kOutOfRange };

// Takes a number in decimal digits, such as "-12", ".5" or "1.2e-3", off the front of the text; no
// hexadecimal, no infinity, no NaN, whatever the locale. Leaves the text alone if there is none.
// The result is the double nearest to number * 10^exponent.
DecimalResult ReadDecimal(std::string_view* text, double* value, int exponent = 0);

// At most `precision` significant digits, trailing zeros dropped: "0.045", "1.2e-07", "nan", "inf".
std::string FormatDecimal(double value, int precision);

// The shortest digits that read back as the same double.
std::string FormatDecimal(double value);

// value * 10^exponent as decimal digits: ReadDecimal with -exponent gives the same double back.
std::string FormatScaledDecimal(double value, int exponent);

}  // namespace handwheel
