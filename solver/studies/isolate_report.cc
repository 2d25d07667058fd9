#include <cmath>
#include <string_view>

#include "advice/words.h"
#include "handwheel/isolate.h"
#include "studies/isolate_words.h"
#include "text/cat.h"
#include "text/layout.h"

namespace handwheel {
namespace {

constexpr std::size_t kPageWidth = 96;  // [characters]

std::string Bullet(std::string_view text) {
  return Hanging(text, kPageWidth, "  - ");
}

std::string Listed(const std::string& heading, const std::vector<std::string>& items) {
  if (items.empty()) return {};
  std::string text = "\n" + heading + "\n";
  for (const std::string& item : items) text += Bullet(item);
  return text;
}

std::string Numbered(const std::string& heading, const std::vector<std::string>& items) {
  std::string text = "\n" + heading + "\n";
  for (std::size_t i = 0; i < items.size(); ++i) {
    text += Wrapped(items[i], kPageWidth, Cat("  ", std::to_string(i + 1), ". "), "     ");
  }
  return text;
}

std::string PercentOpen(double opening) {
  return opening > 0.0 ? Cat(InPercent(opening), " open now") : "shut now";
}

std::string SourceText(const PressureSource& source) {
  std::string text = source.name;
  if (source.kind == "vessel") {
    text += Cat(" (head ", InMetres(source.head), ", ", InBar(source.pressure), " on the valve)");
  } else if (source.kind == "feed") {
    text += " (a feed)";
  } else {
    text += source.running ? " (pump, running)" : " (pump, stopped: it can be started)";
  }
  return source.open_now ? text : text + " behind a shut valve";
}

// "double block and bleed" is HSG253's word.
std::string Arrangement(const BoundaryValve& valve) {
  if (valve.single) return "SINGLE VALVE: nothing else that counts stands between.";
  if (valve.second_valves.empty()) return "Nothing behind it can push liquid.";
  const std::string second = Together(valve.second_valves, 100);
  std::string text = valve.second_are_shut ? Cat("Double block: the list shuts ", second, " too")
                                           : Cat("Double block with ", second, " shut too");
  if (valve.bleeds.empty()) return text + "; no bleed between them in the model.";
  return Cat(text, "; bleed between them: ", Together(valve.bleeds), ".");
}

std::string BoundaryText(const BoundaryValve& valve) {
  std::vector<std::string> sources;
  for (const PressureSource& source : valve.sources) sources.push_back(SourceText(source));
  std::string text = Cat(
      valve.valve, ", ", PercentOpen(valve.opening), ". Behind it, at ", valve.outer_point, ": ",
      std::isfinite(valve.pressure) ? InBar(valve.pressure) + " now" : "pressure unknown");
  if (!sources.empty()) text += Cat("; from ", Together(sources, 6));
  return Wrapped(text + ".", kPageWidth, "  ", "      ") +
         Hanging(Arrangement(valve), kPageWidth, "      ");
}

std::string DrainText(const Drain& drain) {
  std::string text = Cat(drain.nozzle, " at ", InMetres(drain.elevation));
  if (drain.opened_by.empty()) return text + ", open";
  return Cat(text, ", by opening ", Together(drain.opened_by));
}

std::string PocketText(const Pocket& pocket) {
  std::string text =
      Cat(Together(pocket.points, 6), ": lowest ", pocket.lowest, " at ",
          InMetres(pocket.lowest_elevation), ", highest ", pocket.highest, " at ",
          InMetres(pocket.highest_elevation), "; ",
          std::isfinite(pocket.trapped_pressure)
              ? Cat("up to ", InBar(pocket.trapped_pressure), " trapped at the lowest")
              : "trapped pressure unknown",
          pocket.volume > 0.0 ? Cat(", ", InLitres(pocket.volume), " in pipes") : "", ". ");
  if (pocket.drains.empty()) {
    return text + "NO DRAIN OR VENT in the model: find or fit one before anything is opened.";
  }
  std::vector<std::string> drains;
  for (const Drain& drain : pocket.drains) drains.push_back(DrainText(drain));
  text += Cat("Drain: ", Together(drains, 4), ".");
  if (pocket.drains.front().elevation > pocket.lowest_elevation) {
    text += " It leaves what stands below it.";
  }
  return text;
}

std::string ZoneText(const IsolatedZone& zone) {
  std::string text = "\nIsolated zone, to be depressurised and drained\n";
  for (const Pocket& pocket : zone.pockets) text += Bullet(PocketText(pocket));
  if (zone.pockets.size() > 1) {
    text += Hanging(
        "Each of these drains by itself: shut valves, check valves and the like divide them.",
        kPageWidth, "    ");
  }
  return text;
}

std::string AlternativeText(const IsolatingSet& set) {
  std::vector<std::string> single;
  for (const BoundaryValve& valve : set.boundary) {
    if (valve.single) single.push_back(valve.valve);
  }
  const std::size_t points = set.zone.points.size();
  std::string text =
      Cat(set.valves.empty() ? "no valve" : Together(set.valves, 100), ": a zone of ",
          std::to_string(points), points == 1 ? " point, " : " points, ", InLitres(set.zone.volume),
          " in pipes");
  if (!single.empty()) text += Cat("; single: ", Together(single));
  return text + ".";
}

std::string Alternatives(const Isolation& isolation) {
  std::string text = "\nAlternatives\n";
  if (!isolation.possible) {
    std::vector<std::string> sources;
    for (const OpenPath& path : isolation.open_paths) sources.push_back(path.source);
    text = Cat("\nAlternatives, once nothing can come from ", Together(sources), " any more\n");
  }
  for (std::size_t i = isolation.with_blanks ? 0 : 1; i < isolation.sets.size(); ++i) {
    const IsolatingSet& set = isolation.sets[i];
    text += Bullet(AlternativeText(set));
  }
  if (isolation.sets.size() == 1 && !isolation.with_blanks) text += "  none\n";
  if (!isolation.all_sets_listed) text += "  There are more, of as many valves or more.\n";
  return text;
}

std::vector<std::string> ReasonsOf(const std::vector<NotCounted>& parts) {
  std::vector<std::string> reasons;
  for (const NotCounted& part : parts) reasons.push_back(part.reason);
  return reasons;
}

std::string PassingText(const LeakEstimate& leak) {
  return leak.passing.empty() ? "none" : Together(leak.passing, 100);
}

std::string LeakText(const LeakEstimate& leak, const std::string& vent) {
  std::string text = Cat(PassingText(leak), ": ");
  if (!leak.solved) return Cat(text, "not solved: ", leak.message);
  text += Cat(InCubicMetres(leak.flow), " out at ", vent, " if that is open to the air; ");
  return text + (std::isfinite(leak.pressure)
                     ? Cat(InBar(leak.pressure), " at ", leak.at, " if nothing drains it.")
                     : "nothing builds up if it is not.");
}

std::string LeaksText(const IsolationCheck& check) {
  std::string text =
      "\nIf valves of the list pass (by their own data, or a hole of 1 % of the bore; check valves "
      "fail)\n";
  for (const LeakEstimate& leak : check.leaks) {
    text += Bullet(LeakText(leak, check.vent));
  }
  if (check.leaks.empty()) text += "  not computed: the target lies between vessels.\n";
  return text;
}

std::string StateText(const std::string& present_state) {
  return "\n" + Wrapped(Cat("Pressures are those of the steady state before anything is shut: ",
                            present_state, "."),
                        kPageWidth);
}

}  // namespace

std::string Isolation::Report() const {
  std::string text = Wrapped(verdict, kPageWidth);
  const IsolatingSet& best = BestSet(*this);
  if (!best.boundary.empty()) text += "\nShut\n";
  for (const BoundaryValve& valve : best.boundary) text += BoundaryText(valve);
  text += ZoneText(best.zone) + Alternatives(*this);
  text += Listed("Not counted", ReasonsOf(not_counted));
  text += Numbered("Steps", steps) + StateText(present_state);
  return text + Listed("Cautions", cautions);
}

std::string IsolationCheck::Report() const {
  std::string text = Wrapped(verdict, kPageWidth);
  if (!open_paths.empty()) text += "\nStill open\n";
  for (const OpenPath& path : open_paths) text += Bullet(WayOf(path));
  if (!boundary.empty()) text += "\nBoundary\n";
  for (const BoundaryValve& valve : boundary) text += BoundaryText(valve);
  if (isolates) text += ZoneText(zone);
  text += LeaksText(*this) + Listed("Not counted", ReasonsOf(not_counted));
  return text + StateText(present_state) + Listed("Cautions", cautions);
}

}  // namespace handwheel
