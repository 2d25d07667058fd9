#include "studies/isolate_words.h"

#include <algorithm>
#include <cmath>

#include "advice/words.h"
#include "text/cat.h"
#include "text/layout.h"

namespace handwheel {
namespace {

void AddUnique(const std::string& name, std::vector<std::string>* names) {
  if (std::find(names->begin(), names->end(), name) == names->end()) names->push_back(name);
}

std::string Ways(const std::vector<OpenPath>& paths) {
  std::vector<std::string> ways;
  for (const OpenPath& path : paths) ways.push_back(WayOf(path));
  return Together(ways, 3);
}

// Of what somebody might take for one.
std::string NotCountedSentence(const std::vector<NotCounted>& parts) {
  std::vector<std::string> names;
  for (const NotCounted& part : parts) {
    if (part.kind != "restriction") names.push_back(part.component);
  }
  if (names.empty()) return {};
  return Cat(" ", Together(names, 4), names.size() == 1 ? " is" : " are",
             " not counted as isolation.");
}

// The vessels and feeds that a valve alone holds back.
std::vector<std::string> SourceNames(const BoundaryValve& valve) {
  std::vector<std::string> names;
  for (const PressureSource& source : valve.sources) {
    if (source.direct && source.kind != "pump") names.push_back(source.name);
  }
  return names;
}

std::string SinglesSentence(const std::vector<BoundaryValve>& boundary) {
  std::string text;
  for (const BoundaryValve& valve : boundary) {
    if (!valve.single) continue;
    text += Cat(" ", valve.valve, " is all that holds back ", Together(SourceNames(valve), 3),
                ": if it passes, liquid comes.");
  }
  return text;
}

std::string DoublesSentence(const std::vector<BoundaryValve>& boundary) {
  std::string text;
  for (const BoundaryValve& valve : boundary) {
    if (valve.second_valves.empty() || valve.second_are_shut) continue;
    text += Cat(" Behind ", valve.valve, ", shut ", Together(valve.second_valves),
                " too for a double block.");
  }
  return text;
}

std::string DrainSentence(const IsolatedZone& zone) {
  std::vector<std::string> without;
  for (const Pocket& pocket : zone.pockets) {
    if (pocket.drains.empty()) without.push_back(pocket.lowest);
  }
  if (without.empty()) return {};
  return Cat(" The model knows no drain or vent for what stands at ", Together(without, 3), ".");
}

// What to do where valves do not do.
std::string Remedy(const Isolation& isolation) {
  if (isolation.with_blanks) {
    return Cat("fit a blank (spade) at ", Together(isolation.with_blanks->blanks, 100),
               ", or disconnect the line there");
  }
  std::vector<std::string> vessels, feeds, actions;
  for (const OpenPath& path : isolation.open_paths) {
    (path.kind == "vessel" ? vessels : feeds).push_back(path.source);
  }
  if (!vessels.empty()) {
    actions.push_back(Cat("drain ", Together(vessels), " and keep ",
                          vessels.size() == 1 ? "it" : "them", " drained"));
  }
  if (!feeds.empty()) actions.push_back(Cat("stop what feeds ", Together(feeds), " at its origin"));
  return Cat(Together(actions), ", or fit a blank (spade) in the line");
}

std::string StopPumps(const std::vector<std::string>& pumps) {
  if (pumps.empty()) return {};
  return Cat(" Stop ", Together(pumps), " and lock out ",
             pumps.size() == 1 ? "its drive" : "their drives", ".");
}

// --- Steps ---------------------------------------------------------------------------------------

std::string PrepareStep(const IsolateGraph& graph) {
  return Cat("Prepare: get the permit, know the liquid (", graph.network.fluid.name,
             ") and what stands behind each valve, and tell everybody concerned.");
}

std::string ShutDownStep(const IsolatingSet& set) {
  std::string text = set.zone.pumps.empty()
                         ? "Shut down in the usual way."
                         : Cat("Shut down: stop ", Together(set.zone.pumps), " in the usual way.");
  std::vector<std::string> running;
  for (const BoundaryValve& valve : set.boundary) {
    for (const PressureSource& source : valve.sources) {
      if (source.running) AddUnique(source.name, &running);
    }
  }
  if (running.empty()) return text;
  return Cat(text, " ", Together(running), running.size() == 1 ? " runs" : " run",
             " behind the boundary: see that no pump is left running against shut valves.");
}

std::string IsolateStep(const Isolation& isolation, const IsolatingSet& set) {
  std::vector<std::string> open, shut;
  for (const BoundaryValve& valve : set.boundary) {
    (valve.opening > 0.0 ? open : shut).push_back(valve.valve);
  }
  std::string text = "Isolate:";
  if (!isolation.possible) text += Cat(" first ", Remedy(isolation), ".");
  if (!open.empty()) {
    text +=
        Cat(isolation.possible ? " shut " : " Shut ", Together(open, 100), " by hand, clockwise.");
  }
  if (!shut.empty()) {
    text += Cat(" See that ", Together(shut, 100), shut.size() == 1 ? " is" : " are",
                " shut, as the model has it.");
  }
  if (!set.zone.pumps.empty()) {
    text += Cat(" Switch off the drive of ", Together(set.zone.pumps), " at its isolator.");
  }
  return text == "Isolate:" ? "Isolate: no valve has to be shut." : text;
}

std::string LockStep(const IsolatingSet& set) {
  std::vector<std::string> devices = set.valves;
  for (const std::string& pump : set.zone.pumps) devices.push_back(Cat("the drive of ", pump));
  for (const BoundaryValve& valve : set.boundary) {
    for (const std::string& second : valve.second_valves) {
      AddUnique(Cat(second, " (second block)"), &devices);
    }
  }
  for (const std::string& blank : set.blanks) devices.push_back(Cat("the blank at ", blank));
  if (devices.empty()) return "Lock and tag: nothing in the model.";
  return Cat("Lock and tag each: ", Together(devices, 100), ".");
}

std::string RelieveStep(const IsolatingSet& set) {
  std::string text = "Relieve what is stored:";
  for (const Pocket& pocket : set.zone.pockets) {
    text += pocket.highest == pocket.lowest
                ? Cat(" vent and drain ", pocket.lowest)
                : Cat(" vent ", pocket.highest, " and drain ", pocket.lowest);
    text += std::isfinite(pocket.trapped_pressure)
                ? Cat(", where up to ", InBar(pocket.trapped_pressure), " may be trapped;")
                : ", at an unknown pressure;";
  }
  text.back() = '.';
  if (!set.zone.vessels.empty()) text += Cat(" Drain ", Together(set.zone.vessels), ".");
  return text;
}

std::string VerifyStep(const IsolatingSet& set) {
  const std::string start =
      set.zone.pumps.empty() ? "" : Cat(" Try to start ", Together(set.zone.pumps), ".");
  return Cat(
      "Verify before the work begins: drains and vents open, see that nothing comes and that "
      "no gauge rises.",
      start,
      " Go on verifying as long as the work lasts: pressure builds up behind a valve "
      "that passes.");
}

// --- Cautions ------------------------------------------------------------------------------------

bool WorksOnVessel(const IsolateGraph& graph, const IsolateTarget& target) {
  for (std::size_t p = 0; p < graph.network.vessels.size(); ++p) {
    if (target.named[p]) return true;
  }
  return false;
}

bool PassesReliefValve(const IsolateGraph& graph, const std::vector<OpenPath>& paths) {
  for (const OpenPath& path : paths) {
    for (std::size_t c : graph.ResolveComponents(path.through)) {
      if (c >= graph.first.relief_valves) return true;
    }
  }
  return false;
}

void AddUsual(std::vector<std::string>* cautions) {
  cautions->push_back(
      "Results are estimates, as good as the data. A valve, drain or line that the model does not "
      "have is not in the answer: walk the line.");
  cautions->push_back("A check valve is never isolation. Nor is a stopped pump.");
  cautions->push_back(
      "Lock, tag and prove dead. Whether a valve can be locked, and shuts tight, the model does "
      "not "
      "know.");
  cautions->push_back(
      "The site's permit and lock-out rules, local codes and a licensed engineer decide; the order "
      "of steps is that of 29 CFR 1910.147(d).");
}

void AddSingles(const std::vector<BoundaryValve>& boundary, std::vector<std::string>* cautions) {
  const bool any = std::any_of(boundary.begin(), boundary.end(), [](const BoundaryValve& valve) {
    return valve.single || valve.bleeds.empty();
  });
  if (!any) return;
  cautions->push_back(
      "HSG253 counts a single valve, or two without a bleed between, as isolation that is not "
      "proved; double block and bleed as proved; a blank or disconnection as positive (seen "
      "second-hand). For a hazardous liquid do not settle for less than the site's rules ask.");
}

void AddOthers(const IsolateGraph& graph, const IsolateTarget& target,
               const std::vector<OpenPath>& paths, const IsolatedZone* zone,
               std::vector<std::string>* cautions) {
  if (WorksOnVessel(graph, target)) {
    cautions->push_back(
        "Before anybody enters a vessel: a single line valve is not accepted as isolation of a "
        "confined space (OSHA interpretation, as reported); HSG253 asks for positive isolation, a "
        "blank or disconnection (seen second-hand).");
  }
  if (PassesReliefValve(graph, paths)) {
    cautions->push_back(
        "A way left open goes through a relief valve: never blank it while it protects plant in "
        "service (common practice, no source).");
  }
  if (zone != nullptr && !zone->draws.empty()) {
    cautions->push_back(Cat("What draws liquid at ", Together(zone->draws),
                            ", inside the zone, lies beyond the model: see that nothing comes back "
                            "from there."));
  }
}

// --- Leaks ---------------------------------------------------------------------------------------

std::string LeakSentence(const IsolationCheck& check) {
  const LeakEstimate* worst = nullptr;
  for (const LeakEstimate& leak : check.leaks) {
    if (leak.passing.empty() || !leak.solved) continue;
    if (worst == nullptr || leak.flow > worst->flow) worst = &leak;
  }
  if (worst == nullptr || !(worst->flow > 0.0)) return {};
  std::string text =
      Cat(" Should ", Together(worst->passing), " pass, about ", InCubicMetres(worst->flow),
          " comes out at ", check.vent, " once that is open to the air");
  if (worst->pressure > 0.0) {
    text += Cat("; undrained, ", InBar(worst->pressure), " builds up at ", worst->at);
  }
  return text + ".";
}

}  // namespace

std::string Together(const std::vector<std::string>& names, std::size_t most) {
  return FirstInWords(names, most);
}

std::string InLitres(double volume) {
  return volume < 1.0 ? ThreeDigits(volume * 1e3) + " litres" : ThreeDigits(volume) + " m3";
}

std::string WayOf(const OpenPath& path) {
  if (path.through.empty()) return path.source + " directly";
  return Cat(path.source, " by way of ", Together(path.through, 6));
}

const IsolatingSet& BestSet(const Isolation& isolation) {
  return isolation.with_blanks ? *isolation.with_blanks : isolation.sets.front();
}

std::string IsolationVerdict(const Isolation& isolation) {
  const std::string target = Together(isolation.target);
  const IsolatingSet& best = BestSet(isolation);
  std::string text;
  if (!isolation.possible) {
    text = Cat("No valves isolate ", target, ": it is open to ", Ways(isolation.open_paths),
               ", past nothing that counts. First ", Remedy(isolation), ".");
    if (!best.valves.empty()) text += Cat(" Then shut ", Together(best.valves, 100), ".");
  } else if (best.valves.empty()) {
    text = Cat("Nothing in the model pushes liquid at ", target,
               ": no valve has to be shut. Prove it dead all the same.");
  } else {
    text = Cat("To work on ", target, ", shut ", Together(best.valves, 100), "; lock and tag ",
               best.valves.size() == 1 ? "it." : "each.");
  }
  return Cat(text, StopPumps(best.zone.pumps), SinglesSentence(best.boundary),
             DoublesSentence(best.boundary), NotCountedSentence(isolation.not_counted),
             DrainSentence(best.zone));
}

std::vector<std::string> IsolationSteps(const Isolation& isolation, const IsolateGraph& graph) {
  const IsolatingSet& set = BestSet(isolation);
  return {PrepareStep(graph), ShutDownStep(set), IsolateStep(isolation, set),
          LockStep(set),      RelieveStep(set),  VerifyStep(set)};
}

std::vector<std::string> IsolationCautions(const Isolation& isolation, const IsolateGraph& graph,
                                           const IsolateTarget& target) {
  std::vector<std::string> cautions;
  const IsolatingSet& best = BestSet(isolation);
  AddSingles(best.boundary, &cautions);
  if (isolation.with_blanks) {
    cautions.push_back(
        "Fitting a blank opens the line: that is work on a line that no valves isolate. Shut down, "
        "depressurise and drain it first, under its own permit.");
  }
  AddOthers(graph, target, isolation.open_paths, &best.zone, &cautions);
  AddUsual(&cautions);
  return cautions;
}

std::string CheckVerdict(const IsolationCheck& check) {
  const std::string target = Together(check.target);
  const std::string list = check.shut.empty() ? "nothing" : Together(check.shut, 100);
  if (check.isolates) {
    std::string text =
        check.shut.empty()
            ? Cat("Yes, as far as the model knows: nothing pushes liquid at ", target, ".")
            : Cat("Yes, as far as the model knows: with ", list, " shut and locked, every way to ",
                  target, " is held by a hand valve in order.");
    text += StopPumps(check.zone.pumps) + SinglesSentence(check.boundary) +
            DoublesSentence(check.boundary);
    if (!check.unneeded.empty()) text += Cat(" Not needed: ", Together(check.unneeded), ".");
    return text + NotCountedSentence(check.not_counted) + LeakSentence(check);
  }
  std::string text = Cat("No: with ", list, " shut, ", target, " is still open to ",
                         Ways(check.open_paths), ".", NotCountedSentence(check.not_counted));
  const bool flows = !check.leaks.empty() && check.leaks.front().flow > 0.0;
  if (flows) {
    text += Cat(" Opened at ", check.vent, ", it would let out about ",
                InCubicMetres(check.leaks.front().flow), " even if every valve of the list held.");
  }
  return text;
}

std::vector<std::string> CheckCautions(const IsolationCheck& check, const IsolateGraph& graph,
                                       const IsolateTarget& target) {
  std::vector<std::string> cautions;
  AddSingles(check.boundary, &cautions);
  AddOthers(graph, target, check.open_paths, check.isolates ? &check.zone : nullptr, &cautions);
  AddUsual(&cautions);
  return cautions;
}

}  // namespace handwheel
