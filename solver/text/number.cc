#include "text/number.h"

#include <charconv>
#include <cmath>
#include <system_error>

#include "text/cat.h"

namespace handwheel {
namespace {

bool IsDigit(char c) {
  return c >= '0' && c <= '9';
}

std::size_t CountDigits(std::string_view text) {
  std::size_t count = 0;
  while (count < text.size() && IsDigit(text[count])) ++count;
  return count;
}

// The length of the digits and decimal point that the text starts with; 0 without a digit.
std::size_t MantissaLength(std::string_view text) {
  const std::size_t whole = CountDigits(text);
  if (whole == text.size() || text[whole] != '.') return whole;
  const std::size_t fraction = CountDigits(text.substr(whole + 1));
  return whole + fraction == 0 ? 0 : whole + 1 + fraction;
}

// The length of an exponent such as "e-3" that the text starts with, or 0, and its value.
std::size_t ReadExponent(std::string_view text, int* exponent) {
  constexpr int kBeyondDouble = 100000;
  if (text.empty() || (text[0] != 'e' && text[0] != 'E')) return 0;
  std::size_t sign = 0;
  if (text.size() > 1 && (text[1] == '-' || text[1] == '+')) sign = 1;
  const std::size_t digits = CountDigits(text.substr(1 + sign));
  if (digits == 0) return 0;
  const char* first = text.data() + 1 + sign;
  const auto [end, error] = std::from_chars(first, first + digits, *exponent);
  if (error != std::errc() || *exponent > kBeyondDouble) *exponent = kBeyondDouble;
  if (sign == 1 && text[1] == '-') *exponent = -*exponent;
  return 1 + sign + digits;
}

// The number d[0].d[1]d[2]... * 10^power, written out unless that takes many zeros.
std::string PlaceDecimalPoint(std::string_view digits, int power) {
  const int count = static_cast<int>(digits.size());
  const auto zeros = [](int number) { return std::string(static_cast<std::size_t>(number), '0'); };
  if (power < -5 || power > 16) {
    return Cat(digits.substr(0, 1), count > 1 ? "." : "", digits.substr(1), "e",
               std::to_string(power));
  }
  if (power < 0) return Cat("0.", zeros(-power - 1), digits);
  const int whole = power + 1;
  if (whole >= count) return Cat(digits, zeros(whole - count));
  const auto point = static_cast<std::size_t>(whole);
  return Cat(digits.substr(0, point), ".", digits.substr(point));
}

}  // namespace

DecimalResult ReadDecimal(std::string_view* text, double* value, int exponent) {
  std::string_view rest = *text;
  const bool negative = !rest.empty() && rest[0] == '-';
  if (negative || (!rest.empty() && rest[0] == '+')) rest.remove_prefix(1);
  const std::size_t mantissa = MantissaLength(rest);
  if (mantissa == 0) return DecimalResult::kNone;
  std::string digits(rest.substr(0, mantissa));
  rest.remove_prefix(mantissa);
  int written_exponent = 0;
  rest.remove_prefix(ReadExponent(rest, &written_exponent));
  if (written_exponent + exponent != 0) {
    digits += 'e';
    digits += std::to_string(written_exponent + exponent);
  }
  double magnitude = 0.0;
  const auto result = std::from_chars(digits.data(), digits.data() + digits.size(), magnitude);
  if (result.ec != std::errc()) return DecimalResult::kOutOfRange;
  *value = negative ? -magnitude : magnitude;
  *text = rest;
  return DecimalResult::kOk;
}

std::string FormatDecimal(double value, int precision) {
  char buffer[40];
  const auto result =
      std::to_chars(buffer, buffer + sizeof(buffer), value, std::chars_format::general, precision);
  return std::string(buffer, result.ptr);
}

std::string FormatDecimal(double value) {
  char buffer[40];
  const auto result = std::to_chars(buffer, buffer + sizeof(buffer), value);
  return std::string(buffer, result.ptr);
}

std::string FormatScaledDecimal(double value, int exponent) {
  if (!std::isfinite(value) || value == 0.0) return FormatDecimal(value);
  char buffer[40];
  const auto result =
      std::to_chars(buffer, buffer + sizeof(buffer), value, std::chars_format::scientific);
  std::string_view written(buffer, static_cast<std::size_t>(result.ptr - buffer));
  const std::string sign = value < 0.0 ? "-" : "";
  written.remove_prefix(sign.size());
  const std::size_t e = written.find('e');
  int power = 0;
  ReadExponent(written.substr(e), &power);
  std::string digits;
  for (const char c : written.substr(0, e)) {
    if (c != '.') digits += c;
  }
  return Cat(sign, PlaceDecimalPoint(digits, power + exponent));
}

}  // namespace handwheel
