#include <cmath>
#include <type_traits>

#include "handwheel/errors.h"
#include "network/fields.h"
#include "text/cat.h"
#include "text/layout.h"
#include "text/number.h"
#include "text/suggest.h"
#include "text/utf8.h"
#include "units/unit_table.h"

namespace handwheel {
namespace {

// Visitors with one branch per type.
template <typename... Branches>
struct Overloaded : Branches... {
  using Branches::operator()...;
};
template <typename... Branches>
Overloaded(Branches...) -> Overloaded<Branches...>;

constexpr std::string_view kCoefficientNames[] = {"a", "b", "c"};

// --- Texts ---------------------------------------------------------------------------------------

std::string Found(const Value& value) {
  return std::visit(Overloaded{[](bool on) { return std::string(on ? "true" : "false"); },
                               [](double number) { return FormatDecimal(number); },
                               [](const std::string& text) { return Quoted(text); },
                               [](const Rows&) { return std::string("is a list"); }},
                    value);
}

// The bound that the value breaks; both of a fraction.
std::string ExpectedIn(const Axis& axis, double value) {
  const Range& range = axis.range;
  if (!std::isfinite(value)) return "expected a finite number.";
  const std::string min = FormatDecimal(range.min);
  if (axis.dimension == Dimension::kNumber && std::isfinite(range.max)) {
    return Cat("expected a value ", range.above_min ? "above " : "from ", min,
               range.above_min ? ", up to " : " to ", range.below_max ? "less than " : "",
               FormatDecimal(range.max), ".");
  }
  if (value > range.max) return Cat("expected ", Shown(range.max, axis), " or less.");
  return range.above_min ? Cat("expected a value above ", min, ".")
                         : Cat("expected ", min, " or more.");
}

std::string ExpectedNumber(const Axis& axis) {
  const bool is_fraction = axis.dimension == Dimension::kNumber && std::isfinite(axis.range.max);
  return is_fraction ? ExpectedIn(axis, axis.range.min) : ExpectedQuantity(axis.dimension);
}

std::string ExpectedText(const Field& field) {
  return Cat("expected text such as ", Quoted(field.example), ".");
}

std::string UnknownWord(const Field& field, std::string_view word) {
  return Cat(field.key, " ", Quoted(word), " is unknown;", Suggest(word, field.words()));
}

bool IsAmong(std::string_view word, const std::vector<std::string>& words) {
  for (const std::string& candidate : words) {
    if (candidate == word) return true;
  }
  return false;
}

bool IsWithin(double value, const Range& range) {
  if (!std::isfinite(value)) return false;
  return (range.above_min ? value > range.min : value >= range.min) &&
         (range.below_max ? value < range.max : value <= range.max);
}

// --- Reading one number --------------------------------------------------------------------------

// A bare number is SI; one out of range was often meant in another unit.
std::string BareNumberHint(const Axis& axis) {
  if (axis.dimension == Dimension::kNumber) return {};
  return Cat(" A bare number is in ", SiUnit(axis.dimension), ".");
}

// The number, or an explanation in *problem that starts with `what`.
std::optional<double> ReadNumber(const Scalar& scalar, const Axis& axis, const std::string& what,
                                 std::string* problem) {
  if (const double* number = std::get_if<double>(&scalar)) {
    if (IsWithin(*number, axis.range)) return *number;
    *problem = Cat(what, " ", Shown(*number, axis), "; ", ExpectedIn(axis, *number));
    if (*number > axis.range.max) *problem += BareNumberHint(axis);
    return std::nullopt;
  }
  const std::string& text = std::get<std::string>(scalar);
  try {
    const double number = ParseQuantity(text, axis.dimension);
    if (IsWithin(number, axis.range)) return number;
    *problem = Cat(what, " ", text, "; ", ExpectedIn(axis, number));
  } catch (const UnitError& error) {
    *problem = Cat(what, " ", error.what());
  }
  return std::nullopt;
}

// --- Setting one property ------------------------------------------------------------------------

// Sets what the slot points at, or says why not. Nothing is changed unless all of the value fits.
class Setter {
 public:
  Setter(const Field& field, const Value& value, std::string* problem)
      : field_(field), value_(value), problem_(*problem), key_(field.key) {}

  bool operator()(std::string* text) const {
    const std::string* given = std::get_if<std::string>(&value_);
    if (given == nullptr) return Refuse(ExpectedText(field_));
    if (!IsUtf8(*given)) return Refuse("expected text in UTF-8.");
    if (given->empty() && field_.required) return Refuse(ExpectedText(field_));
    if (!given->empty() && field_.words != nullptr && !IsAmong(*given, field_.words())) {
      problem_ = UnknownWord(field_, *given);
      return false;
    }
    *text = *given;
    return true;
  }

  bool operator()(double* number) const {
    const std::optional<double> read = Number();
    if (read) *number = *read;
    return read.has_value();
  }

  bool operator()(std::optional<double>* number) const {
    if (IsEmptyText()) {
      number->reset();
      return true;
    }
    const std::optional<double> read = Number();
    if (read) *number = read;
    return read.has_value();
  }

  bool operator()(bool* on) const {
    const bool* given = std::get_if<bool>(&value_);
    if (given == nullptr) return Refuse("expected true or false.");
    *on = *given;
    return true;
  }

  bool operator()(Curve* curve) const {
    const Rows* rows = GivenRows();
    if (rows == nullptr) {
      return Refuse(Cat("expected a list of points such as ", field_.example, "."));
    }
    Curve points;
    points.reserve(rows->size());
    for (const auto& [x, y] : *rows) {
      const std::string what = Cat(key_, ": point ", std::to_string(points.size() + 1), ":");
      const auto first = ReadNumber(x, field_.axis, what, &problem_);
      if (!first) return false;
      const auto second = ReadNumber(y, field_.second, what, &problem_);
      if (!second) return false;
      points.push_back({*first, *second});
    }
    *curve = std::move(points);
    return true;
  }

  // Rows of the letter and the number. Only a has a unit that does not depend on c.
  bool operator()(Coefficients* coefficients) const {
    const Rows* rows = GivenRows();
    if (rows != nullptr && rows->empty()) {
      coefficients->reset();
      return true;
    }
    if (rows == nullptr || rows->size() != 3) return Refuse("expected three numbers, a, b and c.");
    std::array<double, 3> numbers{};
    for (std::size_t i = 0; i < 3; ++i) {
      const auto& [name, number] = (*rows)[i];
      const std::string* letter = std::get_if<std::string>(&name);
      if (letter == nullptr || *letter != kCoefficientNames[i]) {
        return Refuse("expected three numbers, a, b and c.");
      }
      const auto read =
          ReadNumber(number, i == 0 ? field_.axis : Axis{}, Cat(key_, ": ", *letter), &problem_);
      if (!read) return false;
      numbers[i] = *read;
    }
    *coefficients = numbers;
    return true;
  }

  bool operator()(Fittings* fittings) const {
    const Rows* rows = GivenRows();
    if (rows == nullptr) return Refuse("expected names and counts.");
    Fittings read;
    read.reserve(rows->size());
    for (const auto& [first, count] : *rows) {
      const std::string* name = std::get_if<std::string>(&first);
      if (name == nullptr) return Refuse("expected names and counts.");
      if (!IsAmong(*name, field_.words())) {
        problem_ = UnknownWord(field_, *name);
        return false;
      }
      const auto number = ReadNumber(count, field_.axis, Cat(key_, " ", Quoted(*name)), &problem_);
      if (!number) return false;
      read.emplace_back(*name, *number);
    }
    *fittings = std::move(read);
    return true;
  }

  bool operator()(FrictionFormula* formula) const {
    std::string name;
    if (!(*this)(&name)) return false;
    const auto found = FrictionFormulaFromName(name);
    if (!found) return Refuse(ExpectedText(field_));
    *formula = *found;
    return true;
  }

 private:
  bool Refuse(const std::string& expected) const {
    problem_ = Cat(key_, " ", Found(value_), "; ", expected);
    return false;
  }

  bool IsEmptyText() const {
    const std::string* text = std::get_if<std::string>(&value_);
    return text != nullptr && text->empty();
  }

  std::optional<double> Number() const {
    if (const double* number = std::get_if<double>(&value_)) {
      return ReadNumber(*number, field_.axis, key_, &problem_);
    }
    if (const std::string* text = std::get_if<std::string>(&value_)) {
      return ReadNumber(*text, field_.axis, key_, &problem_);
    }
    Refuse(ExpectedNumber(field_.axis));
    return std::nullopt;
  }

  // Empty text stands for no rows.
  const Rows* GivenRows() const {
    static const Rows none;
    return IsEmptyText() ? &none : std::get_if<Rows>(&value_);
  }

  const Field& field_;
  const Value& value_;
  std::string& problem_;
  std::string key_;
};

// --- Looking at one property ---------------------------------------------------------------------

struct Given {
  bool operator()(const std::string* text) const { return !text->empty(); }
  bool operator()(const double*) const { return true; }
  bool operator()(const bool*) const { return true; }
  bool operator()(const FrictionFormula*) const { return true; }
  bool operator()(const Curve* curve) const { return !curve->empty(); }
  bool operator()(const Fittings* fittings) const { return !fittings->empty(); }
  template <typename T>
  bool operator()(const std::optional<T>* value) const {
    return value->has_value();
  }
};

struct Getter {
  Value operator()(const std::string* text) const { return *text; }
  Value operator()(const double* number) const { return *number; }
  Value operator()(const bool* on) const { return *on; }
  Value operator()(const FrictionFormula* formula) const {
    return std::string(FrictionFormulaName(*formula));
  }
  Value operator()(const std::optional<double>* number) const {
    return *number ? Value(**number) : Value(std::string());
  }
  Value operator()(const Curve* curve) const {
    Rows rows;
    for (const auto& [x, y] : *curve) rows.push_back({x, y});
    return rows;
  }
  Value operator()(const Coefficients* coefficients) const {
    Rows rows;
    for (std::size_t i = 0; *coefficients && i < 3; ++i) {
      rows.push_back({std::string(kCoefficientNames[i]), (**coefficients)[i]});
    }
    return rows;
  }
  Value operator()(const Fittings* fittings) const {
    Rows rows;
    for (const auto& [name, count] : *fittings) rows.push_back({name, count});
    return rows;
  }
};

class Checker {
 public:
  explicit Checker(const Field& field) : field_(field) {}

  std::string operator()(const std::string* text) const {
    if (text->empty()) return {};  // whether it is needed is checked with the others
    if (!IsUtf8(*text)) return Cat(field_.key, " ", Quoted(*text), " is not UTF-8.");
    if (field_.words == nullptr || IsAmong(*text, field_.words())) return {};
    return UnknownWord(field_, *text);
  }
  std::string operator()(const double* number) const {
    return CheckNumber(*number, field_.axis, "");
  }
  std::string operator()(const std::optional<double>* number) const {
    return *number ? CheckNumber(**number, field_.axis, "") : "";
  }
  std::string operator()(const bool*) const { return {}; }
  std::string operator()(const FrictionFormula* formula) const {
    return FrictionFormulaName(*formula).empty() ? Cat(field_.key, " is unknown.") : "";
  }
  std::string operator()(const Curve* curve) const {
    for (std::size_t i = 0; i < curve->size(); ++i) {
      const auto& [x, y] = (*curve)[i];
      if (IsWithin(x, field_.axis.range) && IsWithin(y, field_.second.range)) continue;
      const std::string point = Cat(": point ", std::to_string(i + 1), ":");
      std::string problem = CheckNumber(x, field_.axis, point);
      return problem.empty() ? CheckNumber(y, field_.second, point) : problem;
    }
    return {};
  }
  std::string operator()(const Coefficients* coefficients) const {
    for (std::size_t i = 0; *coefficients && i < 3; ++i) {
      const std::string what = Cat(": ", kCoefficientNames[i]);
      std::string problem = CheckNumber((**coefficients)[i], Axis{}, what);
      if (!problem.empty()) return problem;
    }
    return {};
  }
  std::string operator()(const Fittings* fittings) const {
    for (const auto& [name, count] : *fittings) {
      if (!IsAmong(name, field_.words())) return UnknownWord(field_, name);
      if (!IsWithin(count, field_.axis.range)) {
        return CheckNumber(count, field_.axis, Cat(" ", Quoted(name)));
      }
    }
    return {};
  }

 private:
  std::string CheckNumber(double value, const Axis& axis, std::string_view of_which) const {
    if (IsWithin(value, axis.range)) return {};
    return Cat(field_.key, of_which, " ", Shown(value, axis), "; ", ExpectedIn(axis, value));
  }

  const Field& field_;
};

// --- Checking one part ---------------------------------------------------------------------------

// A number without an empty state that is needed starts at 0, which its range excludes.
bool IsMissing(const Field& field, const void* part) {
  if (!field.required) return false;
  const Slot slot = SlotOf(field, part);
  if (double* const* number = std::get_if<double*>(&slot)) return **number == 0.0;
  return !IsGiven(field, part);
}

std::optional<Problem> CheckProperty(const PartKind& kind, const void* part, const Field& field) {
  const std::string key(field.key);
  if (IsMissing(field, part)) return Problem{key, Cat(key, " is missing.")};
  std::string problem = CheckField(field, part);
  if (!problem.empty()) return Problem{key, std::move(problem)};
  if (field.goes_with.empty() || !IsGiven(field, part)) return std::nullopt;
  if (IsGiven(*FindField(kind, field.goes_with), part)) return std::nullopt;
  return Problem{key, Cat(key, " has no meaning without ", field.goes_with, ".")};
}

std::string AllOf(const Choice& choice) {
  return ListInWords({choice.keys.begin(), choice.keys.end()}, "or");
}

std::optional<Problem> CheckChoice(const PartKind& kind, const void* part, const Choice& choice) {
  const Field* first = nullptr;
  for (const std::string_view key : choice.keys) {
    const Field* field = FindField(kind, key);
    if (!IsGiven(*field, part)) continue;
    if (first != nullptr) {
      return Problem{std::string(key),
                     Cat(first->key, " and ", key, " are both given; give one of them.")};
    }
    first = field;
  }
  if (first != nullptr || !choice.needed) return std::nullopt;
  return Problem{"", Cat(AllOf(choice), " is missing.")};
}

}  // namespace

std::string Shown(double value, const Axis& axis) {
  const std::string_view unit = SiUnit(axis.dimension);
  return Cat(FormatDecimal(value), unit.empty() ? "" : Cat(" ", unit));
}

bool IsGiven(const Field& field, const void* part) {
  return std::visit(Given{}, SlotOf(field, part));
}

void Clear(const Field& field, void* part) {
  std::visit(Overloaded{[](std::string* text) { text->clear(); },
                        [](std::optional<double>* number) { number->reset(); },
                        [](Coefficients* coefficients) { coefficients->reset(); },
                        [](Curve* curve) { curve->clear(); },
                        [](Fittings* fittings) { fittings->clear(); }, [](auto*) {}},
             field.slot(part));
}

bool SetField(const Field& field, void* part, const Value& value, std::string* problem) {
  return std::visit(Setter(field, value, problem), field.slot(part));
}

bool SetFieldAndClearOthers(const PartKind& kind, const Field& field, void* part,
                            const Value& value, std::string* problem) {
  if (!SetField(field, part, value, problem)) return false;
  if (!IsGiven(field, part)) return true;
  for (const Choice& choice : kind.choices) {
    bool concerned = false;
    for (const std::string_view key : choice.keys) concerned = concerned || key == field.key;
    if (!concerned) continue;
    for (const Field& other : kind.fields) {
      const std::string_view key = other.goes_with.empty() ? other.key : other.goes_with;
      if (key == field.key) continue;
      for (const std::string_view rival : choice.keys) {
        if (rival == key) Clear(other, part);
      }
    }
  }
  return true;
}

Value GetField(const Field& field, const void* part) {
  return std::visit(Getter{}, SlotOf(field, part));
}

std::string CheckField(const Field& field, const void* part) {
  return std::visit(Checker(field), SlotOf(field, part));
}

std::optional<Problem> CheckPart(const PartKind& kind, const void* part, const Network& network) {
  for (const Field& field : kind.fields) {
    if (auto problem = CheckProperty(kind, part, field)) return problem;
  }
  for (const Choice& choice : kind.choices) {
    if (auto problem = CheckChoice(kind, part, choice)) return problem;
  }
  return kind.rule == nullptr ? std::nullopt : kind.rule(part, network);
}

}  // namespace handwheel
