#include "file/whole_file.h"
#include "handwheel/errors.h"
#include "handwheel/file.h"
#include "network/fields.h"
#include "text/cat.h"
#include "text/number.h"

namespace handwheel {
namespace {

constexpr std::size_t kLongestInlineTable = 90;  // characters

// --- TOML ----------------------------------------------------------------------------------------

std::string Escaped(char c) {
  constexpr char kHex[] = "0123456789ABCDEF";
  const auto byte = static_cast<unsigned char>(c);
  switch (c) {
    case '"':
      return "\\\"";
    case '\\':
      return "\\\\";
    case '\b':
      return "\\b";
    case '\t':
      return "\\t";
    case '\n':
      return "\\n";
    case '\f':
      return "\\f";
    case '\r':
      return "\\r";
    default:
      break;
  }
  if (byte >= 0x20 && byte != 0x7F) return std::string(1, c);
  return std::string("\\u00") + kHex[byte >> 4] + kHex[byte & 15];
}

std::string TextLiteral(std::string_view text) {
  std::string literal = "\"";
  for (const char c : text) literal += Escaped(c);
  return literal + '"';
}

// Prose keeps its lines.
std::string ProseLiteral(std::string_view text) {
  if (text.find('\n') == std::string_view::npos) return TextLiteral(text);
  std::string literal = "\"\"\"\n";
  for (const char c : text) literal += c == '\n' ? "\n" : Escaped(c);
  return literal + "\"\"\"";
}

std::string KeyLiteral(std::string_view key) {
  const auto is_bare = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '-';
  };
  bool bare = !key.empty();
  for (const char c : key) bare = bare && is_bare(c);
  return bare ? std::string(key) : TextLiteral(key);
}

// Beyond this a whole number is written as a floating-point one: TOML integers have 64 bits.
constexpr double kLargestInteger = 1e15;

std::string NumberLiteral(double number) {
  std::string digits = FormatDecimal(number);
  const bool looks_whole = digits.find_first_not_of("-0123456789") == std::string::npos;
  const bool is_negative_zero = number == 0.0 && digits[0] == '-';
  if (looks_whole && (is_negative_zero || number > kLargestInteger || number < -kLargestInteger)) {
    digits += ".0";
  }
  return digits;
}

std::string ScalarLiteral(const Scalar& scalar) {
  if (const double* number = std::get_if<double>(&scalar)) return NumberLiteral(*number);
  return TextLiteral(std::get<std::string>(scalar));
}

std::string RowsLiteral(const Rows& rows) {
  std::string literal = "[";
  for (const auto& [first, second] : rows) {
    if (literal.size() > 1) literal += ", ";
    literal += Cat("[", ScalarLiteral(first), ", ", ScalarLiteral(second), "]");
  }
  return literal + ']';
}

std::string ValueLiteral(const Value& value) {
  if (const bool* on = std::get_if<bool>(&value)) return *on ? "true" : "false";
  if (const double* number = std::get_if<double>(&value)) return NumberLiteral(*number);
  if (const std::string* text = std::get_if<std::string>(&value)) return TextLiteral(*text);
  return RowsLiteral(std::get<Rows>(value));
}

// --- Properties ----------------------------------------------------------------------------------

// With the unit of the trade where that reads back to the last bit, and else in SI.
std::string QuantityLiteral(double value, const Axis& axis) {
  if (axis.dimension == Dimension::kNumber) return NumberLiteral(value);
  const std::string text = FormatQuantity(value, axis.dimension, axis.unit);
  try {
    if (ParseQuantity(text, axis.dimension) == value) return TextLiteral(text);
  } catch (const UnitError&) {
    // Not finite, or only so in SI.
  }
  return NumberLiteral(value);
}

class PropertyLiteral {
 public:
  explicit PropertyLiteral(const Field& field) : field_(field) {}

  std::string operator()(const std::string* text) const {
    return field_.is_prose ? ProseLiteral(*text) : TextLiteral(*text);
  }
  std::string operator()(const double* number) const {
    return QuantityLiteral(*number, field_.axis);
  }
  std::string operator()(const std::optional<double>* number) const {
    return QuantityLiteral(**number, field_.axis);
  }
  std::string operator()(const bool* on) const { return *on ? "true" : "false"; }
  std::string operator()(const FrictionFormula* formula) const {
    return TextLiteral(FrictionFormulaName(*formula));
  }
  std::string operator()(const Curve* curve) const {
    std::string literal = "[";
    for (const auto& [x, y] : *curve) {
      if (literal.size() > 1) literal += ", ";
      literal +=
          Cat("[", QuantityLiteral(x, field_.axis), ", ", QuantityLiteral(y, field_.second), "]");
    }
    return literal + ']';
  }
  std::string operator()(const Coefficients* coefficients) const {
    const auto [a, b, c] = **coefficients;
    return Cat("[", NumberLiteral(a), ", ", NumberLiteral(b), ", ", NumberLiteral(c), "]");
  }
  std::string operator()(const Fittings* fittings) const {
    std::string literal;
    for (const auto& [name, count] : *fittings) {
      literal += Cat(literal.empty() ? "{ " : ", ", KeyLiteral(name), " = ", NumberLiteral(count));
    }
    return literal + " }";
  }

 private:
  const Field& field_;
};

bool IsWorthWriting(const PartKind& kind, const Field& field, const void* part) {
  return IsGiven(field, part) && GetField(field, part) != GetField(field, kind.blank);
}

std::string Properties(const PartKind& kind, const void* part) {
  std::string text;
  for (const Field& field : kind.fields) {
    if (!IsWorthWriting(kind, field, part)) continue;
    text += Cat(field.key, " = ", std::visit(PropertyLiteral(field), SlotOf(field, part)), "\n");
  }
  return text;
}

// --- The file ------------------------------------------------------------------------------------

void AppendParts(const PartKind& kind, const Network& network, std::string* text) {
  for (std::size_t i = 0; i < kind.count(network); ++i) {
    const std::string properties = Properties(kind, kind.At(network, i));
    if (kind.role != Role::kSection) {
      *text += Cat("\n[[", kind.name, "]]\n", properties);
    } else if (!properties.empty()) {
      *text += Cat("\n[", kind.name, "]\n", properties);
    }
  }
}

std::string SettingsLiteral(const Settings& settings) {
  std::string inline_table, lines;
  for (const auto& [target, value] : settings) {
    const std::string pair = Cat(KeyLiteral(target), " = ", ValueLiteral(value));
    inline_table += Cat(inline_table.empty() ? "set = { " : ", ", pair);
    lines += pair + '\n';
  }
  if (settings.empty()) return {};
  const bool is_short = inline_table.size() <= kLongestInlineTable;
  return is_short ? inline_table + " }\n" : "[case.set]\n" + lines;
}

void AppendCase(const Case& item, std::string* text) {
  *text += Cat("\n[[case]]\nname = ", TextLiteral(item.name), "\n");
  if (!item.note.empty()) *text += Cat("note = ", ProseLiteral(item.note), "\n");
  *text += SettingsLiteral(item.set);
}

}  // namespace

std::string FormatNetwork(const Network& network) {
  std::string text = Properties(HeadingSection(), &network);
  for (const PartKind& kind : PartKindTable()) AppendParts(kind, network, &text);
  for (const Case& item : network.cases) AppendCase(item, &text);
  if (text.starts_with('\n')) text.erase(0, 1);
  return text;
}

void SaveNetwork(const Network& network, const std::string& path) {
  WriteWholeFile(FormatNetwork(network), path);
}

}  // namespace handwheel
