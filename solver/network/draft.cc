#include "network/draft.h"

#include "handwheel/errors.h"
#include "text/cat.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

std::vector<std::string> SettableKeys(const PartKind& kind) {
  std::vector<std::string> keys;
  for (const Field& field : kind.fields) {
    if (field.settable) keys.emplace_back(field.key);
  }
  return keys;
}

std::string NearestPart(const Network& network, std::string_view name) {
  NearestWord nearest(name);
  std::size_t count = 0;
  for (const PartKind& kind : PartKindTable()) {
    for (std::size_t i = 0; i < kind.count(network); ++i) {
      nearest.Offer(kind.role == Role::kSection ? kind.name : NameOf(kind, kind.At(network, i)));
      count += kind.role == Role::kSection ? 0 : 1;
    }
  }
  if (nearest.found_one()) return Cat(" did you mean ", Quoted(nearest.best()), "?");
  return Cat(" none of the ", std::to_string(count), " names is near it.");
}

}  // namespace

Target SplitTarget(std::string_view target) {
  const std::size_t dot = target.rfind('.');
  if (dot == std::string_view::npos || dot == 0 || dot + 1 == target.size()) {
    throw SettingError(
        Cat(Quoted(target), ": expected a component and a property such as \"HV-3.opening\"."));
  }
  return {target.substr(0, dot), target.substr(dot + 1)};
}

const Field& FindSettableField(const PartKind& kind, std::string_view target) {
  const std::string_view property = SplitTarget(target).property;
  const Field* field = FindField(kind, property);
  if (field != nullptr && field->settable) return *field;
  if (field != nullptr) {
    throw SettingError(
        Cat(Quoted(target), ": the ", property, " of a ", kind.spoken, " cannot be set."));
  }
  throw SettingError(Cat(Quoted(target), ": ", kind.spoken, " has no property ", Quoted(property),
                         ";", Suggest(property, SettableKeys(kind))));
}

PartPlace FindTargetPart(const Network& network, std::string_view target, const PartFinder& find) {
  const std::string_view name = SplitTarget(target).component;
  if (const PartKind* section = FindSection(name)) return {section, 0};
  if (const auto place = find(name)) return *place;
  throw SettingError(
      Cat(Quoted(target), ": nothing is called ", Quoted(name), ";", NearestPart(network, name)));
}

PartPlace FindTargetPart(const Network& network, std::string_view target) {
  WantedParts parts(network);
  parts.Want(SplitTarget(target).component);
  parts.Search();
  return FindTargetPart(network, target, [&](std::string_view name) { return parts.Find(name); });
}

void WantedParts::Search() {
  for (const PartKind& kind : PartKindTable()) {
    if (kind.role == Role::kSection) continue;
    for (std::size_t i = 0; i < kind.count(network_); ++i) {
      const auto wanted = places_.find(NameOf(kind, kind.At(network_, i)));
      if (wanted != places_.end() && !wanted->second) wanted->second = PartPlace{&kind, i};
    }
  }
}

std::optional<PartPlace> WantedParts::Find(std::string_view name) const {
  const auto found = places_.find(name);
  return found == places_.end() ? std::nullopt : found->second;
}

// The rules of a part may look at the sections.
Draft::Draft(const Network& network, PartFinder find) : network_(network), find_(std::move(find)) {
  copies_.site = network.site;
  copies_.model = network.model;
  copies_.fluid = network.fluid;
}

void Draft::Set(std::string_view target, const Value& value) {
  const PartPlace place = FindTargetPart(network_, target, find_);
  const Field& field = FindSettableField(*place.kind, target);
  std::string problem;
  if (!SetFieldAndClearOthers(*place.kind, field, CopyOf(place), value, &problem)) {
    throw SettingError(Cat(Quoted(target), ": ", problem));
  }
}

void* Draft::CopyOf(const PartPlace& place) {
  const PartKind& kind = *place.kind;
  const void* original = kind.At(network_, place.index);
  const auto [entry, is_new] = touched_index_.try_emplace(original, touched_.size());
  if (!is_new) {
    const PartPlace& copy = touched_[entry->second].copy;
    return kind.at(copies_, copy.index);
  }
  if (kind.role == Role::kSection) {
    kind.assign(kind.at(copies_, 0), original);
    touched_.push_back({place, {&kind, 0}});
    return kind.at(copies_, 0);
  }
  const std::size_t index = kind.count(copies_);
  kind.append(copies_, original);
  touched_.push_back({place, {&kind, index}});
  return kind.at(copies_, index);
}

void Draft::WriteTo(Network& network) const {
  for (const Touched& touched : touched_) {
    const PartKind& kind = *touched.original.kind;
    kind.assign(kind.at(network, touched.original.index), kind.At(copies_, touched.copy.index));
  }
}

}  // namespace handwheel
