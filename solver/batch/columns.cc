#include "batch/columns.h"

#include <algorithm>
#include <cmath>

#include "handwheel/errors.h"
#include "text/cat.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

Value ValueAt(const BatchValues& values, std::size_t row) {
  return std::visit([row](const auto& list) { return Value(list[row]); }, values);
}

bool IsPlainNumber(const PartKind& kind, const Field& field) {
  return (kind.name == "valve" && field.key == "opening") ||
         (kind.name == "vessel" && field.key == "level") ||
         (kind.name == "junction" && (field.key == "draw" || field.key == "feed"));
}

bool IsWithin(double value, const Range& range) {
  if (!std::isfinite(value)) return false;
  return (range.above_min ? value > range.min : value >= range.min) &&
         (range.below_max ? value < range.max : value <= range.max);
}

}  // namespace

BatchColumns::BatchColumns(const Network& network, const std::vector<std::string>& targets)
    : targets_(targets) {
  if (targets.empty()) throw SettingError("a batch that sets nothing; expected one target or more");
  WantedParts wanted(network);
  for (const std::string& target : targets_) wanted.Want(SplitTarget(target).component);
  wanted.Search();
  for (std::size_t c = 0; c < targets_.size(); ++c) {
    const std::string& target = targets_[c];
    if (std::find(targets_.begin(), targets_.begin() + static_cast<std::ptrdiff_t>(c), target) !=
        targets_.begin() + static_cast<std::ptrdiff_t>(c)) {
      throw SettingError(Cat(Quoted(target), " is set by two columns; expected one."));
    }
    const PartPlace place =
        FindTargetPart(network, target, [&](std::string_view name) { return wanted.Find(name); });
    const auto known = std::find_if(parts_.begin(), parts_.end(), [&](const PartPlace& part) {
      return part.kind == place.kind && part.index == place.index;
    });
    const Field& field = FindSettableField(*place.kind, target);
    columns_.push_back({static_cast<std::size_t>(known - parts_.begin()), &field,
                        IsPlainNumber(*place.kind, field)});
    if (known == parts_.end()) {
      parts_.push_back(place);
      part_is_plain_.push_back(true);
    }
    const Column& column = columns_.back();
    part_is_plain_[column.part] = part_is_plain_[column.part] && column.is_plain;
  }
}

ScenarioNetwork::ScenarioNetwork(const Network& base, const BatchColumns& columns)
    : base_(base), columns_(columns), network_(base) {
  for (const PartPlace& place : columns.parts()) {
    parts_.push_back(place.kind->at(network_, place.index));
  }
  for (const BatchColumns::Column& column : columns.columns()) {
    numbers_.push_back(
        column.is_plain ? std::get<double*>(SlotOf(*column.field, parts_[column.part])) : nullptr);
  }
}

// A part that plain columns alone set needs no reset before they set it again.
void ScenarioNetwork::Reset(bool plain_too) {
  for (std::size_t p = 0; p < parts_.size(); ++p) {
    if (columns_.IsPlain(p) && !plain_too) continue;
    const PartPlace& place = columns_.parts()[p];
    place.kind->assign(parts_[p], place.kind->At(base_, place.index));
  }
}

bool ScenarioNetwork::SetPlain(std::size_t column, const BatchValues& values, std::size_t row) {
  const auto* list = std::get_if<std::span<const double>>(&values);
  if (numbers_[column] == nullptr || list == nullptr) return false;
  const double value = (*list)[row];
  if (!IsWithin(value, columns_.columns()[column].field->axis.range)) return false;
  *numbers_[column] = value;
  return true;
}

bool ScenarioNetwork::Set(std::span<const BatchValues> values, std::size_t row,
                          std::string* reason) {
  Reset(/*plain_too=*/false);
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    if (SetPlain(c, values[c], row)) continue;
    const BatchColumns::Column& column = columns_.columns()[c];
    std::string problem;
    if (SetFieldAndClearOthers(*columns_.parts()[column.part].kind, *column.field,
                               parts_[column.part], ValueAt(values[c], row), &problem)) {
      continue;
    }
    *reason = Cat(Quoted(columns_.target(c)), ": ", problem);
    Reset(/*plain_too=*/true);
    return false;
  }
  return true;
}

bool ScenarioNetwork::PartsAreValid() const {
  for (std::size_t p = 0; p < parts_.size(); ++p) {
    if (!columns_.IsPlain(p) && CheckPart(*columns_.parts()[p].kind, parts_[p], network_)) {
      return false;
    }
  }
  return true;
}

}  // namespace handwheel
