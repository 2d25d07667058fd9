#include "network/fault.h"

#include <array>
#include <unordered_map>
#include <unordered_set>

#include "handwheel/errors.h"
#include "network/draft.h"
#include "text/cat.h"
#include "text/suggest.h"
#include "text/utf8.h"

namespace handwheel {
namespace {

constexpr std::array<std::string_view, 2> kEnds = {"from", "to"};

// "a pipe" or, of the same kind, "another pipe".
std::string ArticleAndKind(const PartKind& kind, bool another) {
  return Cat(another ? "another " : "a ", kind.spoken);
}

class FaultFinder {
 public:
  explicit FaultFinder(const Network& network) : network_(network) {}

  std::optional<Fault> Run() {
    FindInHeading();
    FindInParts();
    FindInNames();
    FindInEnds();
    FindInCases();
    return fault_;
  }

 private:
  void Report(const PartKind& kind, std::size_t index, const Problem& problem) {
    const void* part = kind.At(network_, index);
    const std::string name =
        kind.role == Role::kSection ? std::string(kind.name) : std::string(NameOf(kind, part));
    fault_ =
        Fault{&kind, index, name, problem.key, Cat(LabelOf(kind, part, index), ": ", problem.text)};
  }

  void ReportCase(std::size_t index, const std::string& key, const std::string& text) {
    const std::string& name = network_.cases[index].name;
    const std::string label =
        name.empty() ? Cat("case number ", std::to_string(index + 1)) : Cat("case ", Quoted(name));
    fault_ = Fault{nullptr, index, name, key, Cat(label, ": ", text)};
  }

  // Calls visit(kind, index) for every section and part until a fault is found.
  template <typename Visit>
  void ForEachPart(const Visit& visit) {
    for (const PartKind& kind : PartKindTable()) {
      const std::size_t count = kind.count(network_);
      for (std::size_t i = 0; i < count && !fault_; ++i) visit(kind, i);
    }
  }

  void FindInHeading() {
    const PartKind& heading = HeadingSection();
    if (auto problem = CheckPart(heading, &network_, network_)) Report(heading, 0, *problem);
  }

  void FindInParts() {
    ForEachPart([&](const PartKind& kind, std::size_t i) {
      if (auto problem = CheckPart(kind, kind.At(network_, i), network_)) Report(kind, i, *problem);
    });
  }

  void FindInNames() {
    if (fault_) return;
    std::size_t count = 0;
    for (const PartKind& kind : PartKindTable()) count += kind.count(network_);
    places_.reserve(count);
    ForEachPart([&](const PartKind& kind, std::size_t i) {
      if (kind.role == Role::kSection) return;
      const std::string_view name = NameOf(kind, kind.At(network_, i));
      if (FindSection(name) != nullptr) {
        return Report(kind, i, {"name", "the name is kept for the section of that name."});
      }
      const auto [entry, is_new] = places_.try_emplace(name, PartPlace{&kind, i});
      if (is_new) return;
      const PartKind& holder = *entry->second.kind;
      Report(kind, i,
             {"name", Cat("the name is already that of ", ArticleAndKind(holder, &holder == &kind),
                          "; every point and component needs its own.")});
    });
  }

  void FindInEnds() {
    ForEachPart([&](const PartKind& kind, std::size_t i) {
      if (kind.role != Role::kComponent) return;
      if (auto problem = CheckEnds(kind, kind.At(network_, i))) Report(kind, i, *problem);
    });
  }

  std::optional<Problem> CheckEnds(const PartKind& kind, const void* part) const {
    for (const std::string_view end : kEnds) {
      const Field* field = FindField(kind, end);
      if (field == nullptr) continue;
      const std::string& point = *std::get<std::string*>(SlotOf(*field, part));
      if (point.empty() && !field->required) continue;
      const auto found = places_.find(point);
      if (found == places_.end()) return UnknownPoint(end, point);
      const PartKind& holder = *found->second.kind;
      if (holder.role == Role::kPoint) continue;
      return Problem{std::string(end),
                     Cat(end, " ", Quoted(point), " is ", ArticleAndKind(holder, false),
                         "; expected a vessel or a junction.")};
    }
    return std::nullopt;
  }

  Problem UnknownPoint(std::string_view end, const std::string& point) const {
    return {std::string(end), Cat(end, " ", Quoted(point), " is no vessel or junction;",
                                  Suggest(point, network_.PointNames()))};
  }

  void FindInCases() {
    std::unordered_set<std::string_view> names;
    for (std::size_t i = 0; i < network_.cases.size() && !fault_; ++i) {
      const Case& item = network_.cases[i];
      if (item.name.empty()) return ReportCase(i, "name", "name is missing.");
      if (!IsUtf8(item.name)) return ReportCase(i, "name", "name is not UTF-8.");
      if (!IsUtf8(item.note)) return ReportCase(i, "note", "note is not UTF-8.");
      if (!names.insert(item.name).second) {
        return ReportCase(i, "name", "the name is already that of another case.");
      }
      FindInSettings(i);
    }
  }

  void FindInSettings(std::size_t index) {
    Draft draft(network_, [this](std::string_view name) { return Find(name); });
    std::unordered_set<std::string_view> targets;
    for (const auto& [target, value] : network_.cases[index].set) {
      if (!targets.insert(target).second) {
        return ReportCase(index, target, Cat(Quoted(target), " is set twice."));
      }
      try {
        draft.Set(target, value);
      } catch (const SettingError& error) {
        return ReportCase(index, target, error.what());
      }
    }
    FindInDraft(index, draft);
  }

  // What a case makes of the parts it touches must hold water as a whole.
  void FindInDraft(std::size_t index, const Draft& draft) {
    for (const Draft::Touched& touched : draft.touched()) {
      const PartKind& kind = *touched.copy.kind;
      const void* part = kind.At(draft.copies(), touched.copy.index);
      auto problem = CheckPart(kind, part, draft.copies());
      if (!problem && kind.role == Role::kComponent) problem = CheckEnds(kind, part);
      if (!problem) continue;
      const std::string label = LabelOf(kind, part, touched.original.index);
      return ReportCase(index, "", Cat("then ", label, ": ", problem->text));
    }
  }

  std::optional<PartPlace> Find(std::string_view name) const {
    const auto found = places_.find(name);
    return found == places_.end() ? std::nullopt : std::optional(found->second);
  }

  const Network& network_;
  std::optional<Fault> fault_;
  std::unordered_map<std::string_view, PartPlace> places_;
};

}  // namespace

std::optional<Fault> FindFault(const Network& network) {
  return FaultFinder(network).Run();
}

}  // namespace handwheel
