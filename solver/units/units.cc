#include "handwheel/units.h"

#include <cmath>
#include <limits>

#include "handwheel/errors.h"
#include "text/cat.h"
#include "text/number.h"
#include "text/suggest.h"
#include "units/unit_table.h"

namespace handwheel {
namespace {

struct DimensionWords {
  Dimension dimension;
  std::string_view name;
  std::string_view with_article;
  std::string_view example;  // a quantity as one would write it
};

using enum Dimension;

constexpr DimensionWords kWords[] = {
    {kNumber, "number", "a plain number", "0.6"},
    {kLength, "length", "a length", "12 m"},
    {kArea, "area", "an area", "3 m2"},
    {kVolume, "volume", "a volume", "5 m3"},
    {kTime, "time", "a time", "20 s"},
    {kVelocity, "velocity", "a velocity", "1.5 m/s"},
    {kAcceleration, "acceleration", "an acceleration", "9.80665 m/s2"},
    {kFlow, "flow", "a flow", "12 m3/h"},
    {kPressure, "pressure", "a pressure", "3 bar"},
    {kDensity, "density", "a density", "1220 kg/m3"},
    {kDynamicViscosity, "dynamic viscosity", "a dynamic viscosity", "4.5 mPa.s"},
    {kKinematicViscosity, "kinematic viscosity", "a kinematic viscosity", "1.2 mm2/s"},
    {kTemperature, "temperature", "a temperature", "20 degC"},
    {kRotation, "rotation", "a speed of rotation", "1450 rpm"},
    {kPower, "power", "a power", "15 kW"},
};

const DimensionWords& WordsOf(Dimension dimension) {
  return kWords[static_cast<std::size_t>(dimension)];
}

// --- Spelling ------------------------------------------------------------------------------------

struct Replacement {
  std::string_view from, to;
};

// Typographic spellings of what the table spells in ASCII.
constexpr Replacement kReplacements[] = {
    {"\u00B2", "2"},     {"\u00B3", "3"},                   // superscripts
    {"^", ""},                                              // m^3/h
    {"\u00B7", "."},     {"\u22C5", "."},      {"*", "."},  // Pa·s
    {"\u00B0C", "degC"}, {"\u00B0F", "degF"},  {"\u2103", "degC"},
    {"\u2109", "degF"},  {"\u03BC", "\u00B5"},  // the Greek letter for the micro sign
    {"\u00A0", " "},     {"\u202F", " "},      {"\u2009", " "},  // no-break and thin spaces
};

std::string ReplaceTypography(std::string_view text) {
  std::string plain;
  plain.reserve(text.size());
  while (!text.empty()) {
    bool replaced = false;
    for (const Replacement& replacement : kReplacements) {
      if (!text.starts_with(replacement.from)) continue;
      plain += replacement.to;
      text.remove_prefix(replacement.from.size());
      replaced = true;
      break;
    }
    if (replaced) continue;
    plain += text[0];
    text.remove_prefix(1);
  }
  return plain;
}

bool IsSpace(char c) {
  return c == ' ' || c == '\t';
}

std::string_view Trimmed(std::string_view text) {
  while (!text.empty() && IsSpace(text.front())) text.remove_prefix(1);
  while (!text.empty() && IsSpace(text.back())) text.remove_suffix(1);
  return text;
}

// Drops the spaces around "/" and ".", so that "m3 / h" is found too.
std::string JoinParts(std::string_view text) {
  std::string joined;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool after_joint = !joined.empty() && (joined.back() == '/' || joined.back() == '.');
    if (IsSpace(text[i])) {
      const std::size_t next = text.find_first_not_of(" \t", i);
      const bool before_joint =
          next != std::string_view::npos && (text[next] == '/' || text[next] == '.');
      if (after_joint || before_joint) continue;
    }
    joined += text[i];
  }
  return joined;
}

const Unit* FindSpelling(std::string_view unit) {
  if (const Unit* found = FindUnit(unit)) return found;
  return FindUnit(JoinParts(Trimmed(ReplaceTypography(unit))));
}

// --- Errors --------------------------------------------------------------------------------------

// "barg", "bar a", "psi(g)", "kPa abs": the property already says which of the two it is.
bool SaysGaugeOrAbsolute(std::string_view unit, std::string* plain) {
  std::string letters;
  for (const char c : unit) {
    if (!IsSpace(c) && c != '(' && c != ')' && c != '_') letters += c;
  }
  for (const std::string_view ending : {"gauge", "abs", "g", "a"}) {
    if (!letters.ends_with(ending)) continue;
    const std::string stem = letters.substr(0, letters.size() - ending.size());
    const Unit* found = FindUnit(stem);
    if (found != nullptr && found->dimension == kPressure) {
      *plain = stem;
      return true;
    }
  }
  return false;
}

[[noreturn]] void ThrowUnknownUnit(const std::string& subject, std::string_view unit,
                                   Dimension dimension) {
  std::string plain;
  if (SaysGaugeOrAbsolute(unit, &plain)) {
    throw UnitError(Cat(subject, ": write ", Quoted(plain),
                        "; each pressure is gauge or absolute by itself (gas_pressure is gauge, "
                        "vapour_pressure and atmospheric_pressure are absolute)."));
  }
  const std::string spelled = JoinParts(Trimmed(ReplaceTypography(unit)));
  NearestWord nearest(spelled);
  for (const Unit& known : UnitTable()) {
    if (known.dimension == dimension) nearest.Offer(known.name);
  }
  throw UnitError(Cat(subject, ": unknown unit ", Quoted(unit), "; ",
                      nearest.found_one() ? Cat("did you mean ", Quoted(nearest.best()), "?")
                                          : ExpectedQuantity(dimension)));
}

// `text` is what the message is about: the quantity, or the unit alone.
const Unit& UnitIn(std::string_view name, Dimension dimension, std::string_view text) {
  const Unit* unit = FindSpelling(name);
  if (unit == nullptr) ThrowUnknownUnit(Quoted(text), name, dimension);
  if (unit->dimension != dimension) {
    throw UnitError(Cat(Quoted(text), ": found ", WordsOf(unit->dimension).with_article, ", ",
                        ExpectedQuantity(dimension)));
  }
  return *unit;
}

double ScaledByTen(double value, int exponent) {
  const std::string digits = FormatDecimal(value);
  std::string_view rest = digits;
  double scaled = 0.0;
  const DecimalResult result = ReadDecimal(&rest, &scaled, exponent);
  // Neither infinities nor what overflows or vanishes can be read: plain arithmetic knows better.
  return result == DecimalResult::kOk ? scaled : value * std::pow(10.0, exponent);
}

double InSi(double value, const Unit& unit) {
  if (const auto exponent = PowerOfTen(unit)) return ScaledByTen(value, *exponent);
  return (value + unit.shift) * unit.times / unit.over;
}

double OutOfSi(double value_si, const Unit& unit) {
  if (const auto exponent = PowerOfTen(unit)) return ScaledByTen(value_si, -*exponent);
  return value_si * unit.over / unit.times - unit.shift;
}

[[noreturn]] void ThrowOutOfRange(std::string_view text) {
  throw UnitError(Cat(Quoted(text), ": the number is too large or too small to hold."));
}

// The number at the front of the text, taken off it, times 10^exponent.
double ReadNumber(std::string_view* rest, int exponent, std::string_view text,
                  Dimension dimension) {
  double value = 0.0;
  switch (ReadDecimal(rest, &value, exponent)) {
    case DecimalResult::kOk:
      return value;
    case DecimalResult::kOutOfRange:
      ThrowOutOfRange(text);
    case DecimalResult::kNone:
      break;
  }
  throw UnitError(Cat(Quoted(text), ": found no number, ", ExpectedQuantity(dimension)));
}

void RefuseSeparators(std::string_view rest, std::string_view text) {
  if (rest.empty() || rest.front() != ',') return;
  throw UnitError(Cat(
      Quoted(text), ": found a comma; write decimals with a point and thousands without a mark."));
}

}  // namespace

std::string ExpectedQuantity(Dimension dimension) {
  const DimensionWords& words = WordsOf(dimension);
  return Cat("expected ", words.with_article, " such as ", Quoted(words.example), ".");
}

double ParseQuantity(std::string_view text, Dimension dimension) {
  const std::string_view trimmed = Trimmed(text);
  std::string_view rest = trimmed;
  const double value = ReadNumber(&rest, 0, text, dimension);
  RefuseSeparators(rest, text);
  const std::string_view unit_name = Trimmed(rest);
  if (unit_name.empty()) return value;
  const Unit& unit = UnitIn(unit_name, dimension, text);
  if (const auto exponent = PowerOfTen(unit)) {
    rest = trimmed;
    return ReadNumber(&rest, *exponent, text, dimension);
  }
  const double value_si = InSi(value, unit);
  if (!std::isfinite(value_si)) ThrowOutOfRange(text);
  return value_si;
}

double FromSi(double value_si, Dimension dimension, std::string_view unit) {
  return OutOfSi(value_si, UnitIn(unit, dimension, unit));
}

double ToSi(double value, Dimension dimension, std::string_view unit) {
  return InSi(value, UnitIn(unit, dimension, unit));
}

std::string FormatQuantity(double value_si, Dimension dimension, std::string_view unit) {
  const Unit& known = UnitIn(unit, dimension, unit);
  const auto with_unit = [&](const std::string& number) {
    return unit.empty() ? number : Cat(number, " ", unit);
  };
  if (const auto exponent = PowerOfTen(known)) {
    return with_unit(FormatScaledDecimal(value_si, -*exponent));
  }
  const double value = OutOfSi(value_si, known);
  std::string digits;
  // If any number reads back, so does the value rounded to 15, 16 or 17 digits, or a neighbour.
  const double inf = std::numeric_limits<double>::infinity();
  const auto reads_back = [&](double candidate, int precision) {
    digits = FormatDecimal(candidate, precision);
    std::string_view rest = digits;
    double read = 0.0;
    return ReadDecimal(&rest, &read) == DecimalResult::kOk && InSi(read, known) == value_si;
  };
  const bool exact = reads_back(value, 15) || reads_back(value, 16) || reads_back(value, 17) ||
                     reads_back(std::nextafter(value, inf), 17) ||
                     reads_back(std::nextafter(value, -inf), 17);
  if (!exact) digits = FormatDecimal(value, 17);
  return with_unit(digits);
}

std::string_view DimensionName(Dimension dimension) {
  return WordsOf(dimension).name;
}

std::string_view SiUnit(Dimension dimension) {
  for (const Unit& unit : UnitTable()) {
    if (unit.dimension == dimension) return unit.name;
  }
  return {};
}

std::vector<std::string> UnitsOf(Dimension dimension) {
  std::vector<std::string> names;
  for (const Unit& unit : UnitTable()) {
    if (unit.dimension == dimension && !unit.name.empty()) names.emplace_back(unit.name);
  }
  return names;
}

}  // namespace handwheel
