#pragma once

#include <array>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "handwheel/network.h"
#include "handwheel/units.h"

// One table of the properties of every kind of part. Files, settings, AddPart, range checks and the
// texts of errors all follow it: a new property is one line in fields.cc.

namespace handwheel {

using Curve = std::vector<std::array<double, 2>>;
using Coefficients = std::optional<std::array<double, 3>>;
using Fittings = std::vector<std::pair<std::string, double>>;

// The member of one part that holds a property.
using Slot = std::variant<std::string*, double*, std::optional<double>*, bool*, Curve*,
                          Coefficients*, Fittings*, FrictionFormula*>;

struct Range {
  double min = -std::numeric_limits<double>::infinity();
  double max = std::numeric_limits<double>::infinity();
  bool above_min = false;  // min itself is excluded
  bool below_max = false;  // max itself is excluded
};

// What a number measures, the unit files are written in, and what it may be.
struct Axis {
  Dimension dimension = Dimension::kNumber;
  std::string_view unit = {};
  Range range = {};  // in SI
};

using Words = const std::vector<std::string>& (*)();

struct Field {
  std::string_view key;
  Slot (*slot)(void* part);
  Axis axis = {};                 // of a number; of the first number of a curve's points
  Axis second = {};               // of the second number of a curve's points
  Words words = nullptr;          // what a text may be, or the first entry of a fitting
  std::string_view example = {};  // of a text, or of a point of a curve
  bool required = false;
  bool settable = true;
  bool is_prose = false;            // text of several lines
  std::string_view goes_with = {};  // has no meaning without this other property
};

// Ways to say the same thing. At most one is given; exactly one if `needed`.
struct Choice {
  std::vector<std::string_view> keys;
  bool needed = false;
};

// Something wrong with a part: the property it concerns, and a sentence that starts with it.
struct Problem {
  std::string key;
  std::string text;
};

// What the rules of a part may look at besides the part itself.
using Rule = std::optional<Problem> (*)(const void* part, const Network& network);

enum class Role { kSection, kPoint, kComponent };

// A kind of part, or a section of the network that exists once ("fluid").
struct PartKind {
  std::string_view name;    // as in files: "check_valve"
  std::string_view spoken;  // as in messages: "check valve"
  Role role;
  std::vector<Field> fields;
  std::vector<Choice> choices;
  Rule rule;  // what concerns several properties at once; nullptr: none

  std::size_t (*count)(const Network&);
  void* (*at)(Network&, std::size_t);
  // Adds a part, equal to *source unless that is null.
  void (*append)(Network&, const void* source);
  void (*remove_last)(Network&);
  void (*assign)(void* part, const void* source);
  const void* blank;  // a part as it is before anything is said of it

  const void* At(const Network& network, std::size_t i) const {
    return at(const_cast<Network&>(network), i);  // NOLINT: read through a pointer to const
  }
};

// The sections, then the points and the components, in network order.
const std::vector<PartKind>& PartKindTable();
const PartKind* FindPartKind(std::string_view name);  // points and components; nullptr: none
const PartKind* FindSection(std::string_view name);   // "fluid", "site", "model"; nullptr: none
const PartKind& HeadingSection();                     // title and story

const Field* FindField(const PartKind& kind, std::string_view key);

// The part's name; empty for a section.
std::string_view NameOf(const PartKind& kind, const void* part);
// `pipe "L-7"`, `pipe number 7`, or `fluid`.
std::string LabelOf(const PartKind& kind, const void* part, std::size_t index);

// --- Values of properties ------------------------------------------------------------------------

Slot SlotOf(const Field& field, const void* part);

// Whether something has been said of the property: always true of numbers without an empty state.
bool IsGiven(const Field& field, const void* part);
// Back to the empty state, of a property that has one.
void Clear(const Field& field, void* part);

// Sets the property, or explains in *problem why not and changes nothing.
bool SetField(const Field& field, void* part, const Value& value, std::string* problem);

// As SetField; the other ways to say the same thing are forgotten.
bool SetFieldAndClearOthers(const PartKind& kind, const Field& field, void* part,
                            const Value& value, std::string* problem);

Value GetField(const Field& field, const void* part);

// The range or the words of one property; empty text if all is well.
std::string CheckField(const Field& field, const void* part);

// Everything that can be said of a part without its neighbours.
std::optional<Problem> CheckPart(const PartKind& kind, const void* part, const Network& network);

// A number as a message shows it: "0.08 m".
std::string Shown(double value, const Axis& axis);

}  // namespace handwheel
