#include "handwheel/network.h"

#include "handwheel/errors.h"
#include "network/draft.h"
#include "network/fault.h"
#include "network/fields.h"
#include "text/cat.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

std::vector<std::string> NamesOf(const Network& network, Role role) {
  std::vector<std::string> names;
  for (const PartKind& kind : PartKindTable()) {
    if (kind.role != role) continue;
    for (std::size_t i = 0; i < kind.count(network); ++i) {
      names.emplace_back(NameOf(kind, kind.At(network, i)));
    }
  }
  return names;
}

std::vector<std::string> KeysOf(const PartKind& kind) {
  std::vector<std::string> keys;
  for (const Field& field : kind.fields) keys.emplace_back(field.key);
  return keys;
}

std::string GivenName(const Settings& properties) {
  for (const auto& [key, value] : properties) {
    const std::string* name = std::get_if<std::string>(&value);
    if (key == "name" && name != nullptr) return *name;
  }
  return {};
}

void SetProperties(const PartKind& kind, void* part, const Settings& properties) {
  const std::string name = GivenName(properties);
  const std::string label = Cat(kind.spoken, name.empty() ? "" : Cat(" ", Quoted(name)), ": ");
  std::string problem;
  std::vector<const Field*> seen;
  for (const auto& [key, value] : properties) {
    const Field* field = FindField(kind, key);
    if (field == nullptr) {
      throw NetworkError(
          Cat(label, "unknown property ", Quoted(key), ";", Suggest(key, KeysOf(kind))), name, key);
    }
    for (const Field* earlier : seen) {
      if (earlier == field) throw NetworkError(Cat(label, key, " is given twice."), name, key);
    }
    seen.push_back(field);
    if (!SetField(*field, part, value, &problem)) throw NetworkError(label + problem, name, key);
  }
}

}  // namespace

void Network::Validate() const {
  if (const auto fault = FindFault(*this)) {
    throw NetworkError(fault->message, fault->name, fault->key);
  }
}

void Network::Apply(std::string_view target, const Value& value) {
  Apply(Settings{{std::string(target), value}});
}

void Network::Apply(const Settings& settings) {
  WantedParts parts(*this);
  for (const auto& [target, value] : settings) parts.Want(SplitTarget(target).component);
  parts.Search();
  Draft draft(*this, [&](std::string_view name) { return parts.Find(name); });
  for (const auto& [target, value] : settings) draft.Set(target, value);
  draft.WriteTo(*this);
}

const Case& Network::FindCase(std::string_view name) const {
  std::vector<std::string> names;
  for (const Case& item : cases) {
    if (item.name == name) return item;
    names.push_back(item.name);
  }
  throw NetworkError(Cat("there is no case ", Quoted(name), ";", Suggest(name, names)),
                     std::string(name));
}

Value Network::Get(std::string_view target) const {
  const PartPlace place = FindTargetPart(*this, target);
  const std::string_view property = SplitTarget(target).property;
  const Field* field = FindField(*place.kind, property);
  if (field == nullptr) field = &FindSettableField(*place.kind, target);  // throws
  return GetField(*field, place.kind->At(*this, place.index));
}

std::vector<std::string> Network::PointNames() const {
  return NamesOf(*this, Role::kPoint);
}
std::vector<std::string> Network::ComponentNames() const {
  return NamesOf(*this, Role::kComponent);
}

void Network::AddPart(std::string_view kind_name, const Settings& properties) {
  const PartKind* kind = FindPartKind(kind_name);
  if (kind == nullptr) {
    throw NetworkError(
        Cat("unknown kind of part ", Quoted(kind_name), ";", Suggest(kind_name, PartKinds())));
  }
  kind->append(*this, nullptr);
  try {
    SetProperties(*kind, kind->at(*this, kind->count(*this) - 1), properties);
  } catch (...) {
    kind->remove_last(*this);
    throw;
  }
}

std::vector<std::string> PartKinds() {
  std::vector<std::string> names;
  for (const PartKind& kind : PartKindTable()) {
    if (kind.role != Role::kSection) names.emplace_back(kind.name);
  }
  return names;
}

}  // namespace handwheel
