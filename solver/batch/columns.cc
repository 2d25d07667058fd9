#include "batch/columns.h"

#include <algorithm>

#include "handwheel/errors.h"
#include "text/cat.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

Value ValueAt(const BatchValues& values, std::size_t row) {
  return std::visit([row](const auto& list) { return Value(list[row]); }, values);
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
    columns_.push_back({static_cast<std::size_t>(known - parts_.begin()),
                        &FindSettableField(*place.kind, target)});
    if (known == parts_.end()) parts_.push_back(place);
  }
}

void* ScenarioNetwork::PartAt(std::size_t part) {
  const PartPlace& place = columns_.parts()[part];
  return place.kind->at(network_, place.index);
}

void ScenarioNetwork::Reset() {
  for (std::size_t p = 0; p < columns_.parts().size(); ++p) {
    const PartPlace& place = columns_.parts()[p];
    place.kind->assign(PartAt(p), place.kind->At(base_, place.index));
  }
}

bool ScenarioNetwork::Set(std::span<const BatchValues> values, std::size_t row,
                          std::string* reason) {
  Reset();
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    const auto& [part, field] = columns_.columns()[c];
    std::string problem;
    if (SetFieldAndClearOthers(*columns_.parts()[part].kind, *field, PartAt(part),
                               ValueAt(values[c], row), &problem)) {
      continue;
    }
    *reason = Cat(Quoted(columns_.target(c)), ": ", problem);
    Reset();
    return false;
  }
  return true;
}

}  // namespace handwheel
