#include "studies/varied.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "handwheel/errors.h"
#include "network/draft.h"
#include "network/fields.h"
#include "network/resolve.h"
#include "text/cat.h"
#include "text/number.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

const Field& NumberField(const Network& network, const std::string& target) {
  const PartPlace part = FindTargetPart(network, target);
  const Field& field = FindSettableField(*part.kind, target);
  const Slot slot = SlotOf(field, part.kind->blank);
  if (std::holds_alternative<double*>(slot) || std::holds_alternative<std::optional<double>*>(slot))
    return field;
  throw SettingError(Cat(Quoted(target), " is no number and cannot be varied."));
}

// What stands for a number that is not given: a material's roughness, a size's bore.
std::optional<double> Implied(const Network& network, const std::string& target) {
  const Target parts = SplitTarget(target);
  for (const Pipe& pipe : network.pipes) {
    if (pipe.name != parts.component) continue;
    if (parts.property == "roughness") return RoughnessOf(pipe);
    if (parts.property == "bore") return UnlinedBoreIfGiven(pipe);
  }
  for (const Valve& valve : network.valves) {
    if (valve.name == parts.component && parts.property == "bore") return UnlinedBoreIfGiven(valve);
  }
  return std::nullopt;
}

double PresentNumber(const Network& network, const std::string& target) {
  const Value value = network.Get(target);
  if (const double* number = std::get_if<double>(&value)) return *number;
  if (const auto implied = Implied(network, target)) return *implied;
  throw SettingError(Cat(Quoted(target), " has no number at present; give it one to vary it."));
}

bool IsGivenBound(const Value& bound) {
  const std::string* text = std::get_if<std::string>(&bound);
  return text == nullptr || !text->empty();
}

double SizeOf(const Varied& varied) {
  const double room = varied.upper - varied.lower;
  if (std::isfinite(room)) return room;
  return varied.present != 0.0 ? std::abs(varied.present) : UsualSize(varied.dimension);
}

Varied ReadOne(const Network& network, const Vary& vary) {
  const Axis& axis = NumberField(network, vary.target).axis;
  Varied varied{vary.target,    axis.dimension, axis.unit, PresentNumber(network, vary.target),
                axis.range.min, axis.range.max, 1.0};
  if (IsGivenBound(vary.lower)) varied.lower = NumberFor(network, vary.target, vary.lower);
  if (IsGivenBound(vary.upper)) varied.upper = NumberFor(network, vary.target, vary.upper);
  if (!(varied.lower < varied.upper)) {
    throw SettingError(Cat(Quoted(vary.target), " has no room between ",
                           VariedText(varied, varied.lower), " and ",
                           VariedText(varied, varied.upper), "."));
  }
  varied.size = SizeOf(varied);
  return varied;
}

}  // namespace

std::vector<Varied> ReadVaried(const Network& network, const std::vector<Vary>& vary) {
  if (vary.empty()) throw SettingError("nothing to vary; expected at least one setting.");
  std::vector<Varied> read;
  for (const Vary& one : vary) {
    for (const Varied& before : read) {
      if (before.target == one.target) {
        throw SettingError(Cat(Quoted(one.target), " is varied twice."));
      }
    }
    read.push_back(ReadOne(network, one));
  }
  return read;
}

double NumberFor(const Network& network, const std::string& target, const Value& value) {
  NumberField(network, target);
  Network tried = network;
  tried.Apply(target, value);
  return std::get<double>(tried.Get(target));
}

std::string VariedText(const Varied& varied, double value) {
  if (!std::isfinite(value) || varied.unit.empty()) return FormatDecimal(value, 4);
  return Cat(FormatDecimal(FromSi(value, varied.dimension, varied.unit), 4), " ", varied.unit);
}

double UsualSize(Dimension dimension) {
  switch (dimension) {
    case Dimension::kPressure:
      return 1e5;
    case Dimension::kFlow:
    case Dimension::kArea:
      return 1e-3;
    default:
      return 1.0;
  }
}

}  // namespace handwheel
