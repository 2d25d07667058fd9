#include <string_view>

#include "studies/isolate_graph.h"
#include "text/cat.h"

namespace handwheel {
namespace {

// Sources: 29 CFR 1910.147 seen in the text of the government's printer; what check valves do, in
// an article on process safety; lost discs, in NRC Information Notices 81-35 and 86-09; both seen.
constexpr std::string_view kPractice = "common practice, no source";
constexpr std::string_view kControls =
    "29 CFR 1910.147(b): push buttons, selectors and other control-circuit devices isolate no "
    "energy";

std::string OfValve(const Valve& valve, bool excluded) {
  if (valve.kind.starts_with("pinch")) {
    return Cat(valve.name,
               " is a pinch valve: its sleeve wears unseen and may not close over solids, and it "
               "is all that holds (",
               kPractice, ").");
  }
  if (valve.kind.starts_with("control")) {
    return Cat(valve.name,
               " is a control valve: a signal, or the loss of air or power, may move it, and its "
               "seat is made to throttle, not to shut tight (",
               kControls, ").");
  }
  if (valve.condition != "sound") {
    return Cat(valve.name, "'s condition is \"", valve.condition,
               "\": what is known to be damaged holds nothing until it is mended and proven (",
               kPractice, ").");
  }
  if (excluded) return Cat(valve.name, " is on the list of valves not to be counted.");
  return {};
}

std::string OfCheckValve(const CheckValve& valve) {
  const std::string_view state = valve.condition == "sound" ? "" : ", and this one is ";
  return Cat(valve.name,
             " is a check valve: it can stick open, be held open by debris or lose its disc, often "
             "passes a little",
             state, state.empty() ? "" : valve.condition,
             " (seen in an article on check valves; NRC Information Notices 81-35 and 86-09), and "
             "nobody can "
             "lock or prove it (",
             kPractice, ").");
}

std::string OfPump(const Pump& pump) {
  if (pump.kind == "positive displacement") {
    return Cat(pump.name, " is a pump: stopped, it still slips through its clearances (", kPractice,
               "), and a stop button is no isolation (", kControls, ").");
  }
  return Cat(pump.name, " is a pump: stopped, it is an open way in both directions (", kPractice,
             "), and a stop button is no isolation (", kControls, ").");
}

}  // namespace

std::string WhyNotCounted(const IsolateGraph& graph, std::size_t component) {
  const KindOffsets& first = graph.first;
  const std::string& name = graph.component_names[component];
  if (graph.IsValve(component)) return OfValve(graph.ValveAt(component), graph.excluded[component]);
  if (component < first.valves) return Cat(name, " is a pipe, which cannot be shut.");
  if (component < first.pumps) {
    return OfCheckValve(graph.network.check_valves[component - first.check_valves]);
  }
  if (component < first.restrictions) return OfPump(graph.network.pumps[component - first.pumps]);
  if (component < first.nozzles) return Cat(name, " is a restriction, which never shuts.");
  if (component < first.regulators) return Cat(name, " is a nozzle, which never shuts.");
  if (component < first.relief_valves) {
    return Cat(name, " is a regulator: it sets itself, and opens when a pressure changes (",
               kPractice, ").");
  }
  return Cat(name, " is a relief valve: it opens by itself (", kPractice, ").");
}

std::string KindNotCounted(const IsolateGraph& graph, std::size_t component) {
  const KindOffsets& first = graph.first;
  if (graph.IsValve(component)) {
    const Valve& valve = graph.ValveAt(component);
    if (valve.kind.starts_with("pinch")) return "pinch valve";
    if (valve.kind.starts_with("control")) return "control valve";
    return valve.condition == "sound" ? "valve" : "damaged valve";
  }
  if (component < first.valves) return "pipe";
  if (component < first.pumps) return "check valve";
  if (component < first.restrictions) return "pump";
  if (component < first.nozzles) return "restriction";
  if (component < first.regulators) return "nozzle";
  return component < first.relief_valves ? "regulator" : "relief valve";
}

}  // namespace handwheel
