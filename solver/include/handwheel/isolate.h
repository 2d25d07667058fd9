#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "handwheel/steady.h"

// Which valves must be shut to work on a part, and whether an intended list of them will do.
//
// Only hand valves in order count: no check valve, no pump, no control valve, no pinch valve, no
// regulator, no relief valve, no restriction, no valve whose condition is not "sound". Everything
// else is taken as an open way in both directions, whatever the flow does at present. What can push
// liquid at the work is a vessel or a junction with a feed; a pump within the isolated zone has to
// be stopped and its drive locked.

namespace handwheel {

struct IsolateOptions {
  int max_sets = 5;  // alternatives to give, at least 1
  // The search ends after so many steps, each the cost of a few walks through the plant; then the
  // sets found so far are given, and all_sets_listed is false.
  int max_search_steps = 5000;
  std::vector<std::string> exclude{};  // valves not to be counted: that cannot be locked, say
  SteadyOptions steady{};              // of the present state, and of those that Verify solves

  bool IsValid(std::string* error) const;  // *error: the field, its value, the rule it breaks
};

// What stands behind a boundary valve.
struct PressureSource {
  std::string name{};
  std::string kind{};                                      // "vessel", "feed", "pump"
  double head = std::numeric_limits<double>::quiet_NaN();  // of a vessel [m]
  // What a vessel alone puts on the valve, nothing flowing: gauge [Pa].
  double pressure = std::numeric_limits<double>::quiet_NaN();
  bool running = false;  // a pump
  bool direct = false;   // no other valve that counts stands between it and the valve
  bool open_now = true;  // false: behind a further valve that stands shut, or is to be shut
};

// A valve between the isolated zone and the rest.
struct BoundaryValve {
  std::string valve{};
  std::string outer_point{};  // its far end
  double opening = 0.0;       // as it stands
  // At outer_point in the present steady state, gauge [Pa]; NaN where undetermined.
  double pressure = std::numeric_limits<double>::quiet_NaN();
  std::vector<PressureSource> sources{};  // reached from outer_point past no valve of the set
  // Nothing that counts stands between it and a vessel or feed: if it fails alone, liquid comes.
  bool single = false;
  // The fewest further valves that would hold if it failed: shut too, they make a double block.
  std::vector<std::string> second_valves{};
  bool second_are_shut = false;       // Verify: the list holds them already
  std::vector<std::string> bleeds{};  // nozzles between it and them
};

// A way for liquid out of a pocket.
struct Drain {
  std::string nozzle{};
  double elevation = 0.0;  // [m]
  // Valves that stand shut on the way to it, and have to be opened; empty: it is open.
  std::vector<std::string> opened_by{};
};

// A part of the zone that drains and vents as one: shut valves and parts that let liquid pass one
// way only divide the zone into pockets.
struct Pocket {
  std::vector<std::string> points{};
  std::string lowest{}, highest{};                         // a point, or a pipe with a high point
  double lowest_elevation = 0.0, highest_elevation = 0.0;  // [m]
  // Highest head at its points in the present steady state [m], and the gauge pressure that it
  // means at the lowest one [Pa]: what may stay trapped. NaN where undetermined.
  double trapped_head = std::numeric_limits<double>::quiet_NaN();
  double trapped_pressure = std::numeric_limits<double>::quiet_NaN();
  double volume = 0.0;          // of its pipes [m³]
  std::vector<Drain> drains{};  // those within the zone, lowest first
};

struct IsolatedZone {
  std::vector<std::string> points{}, components{};  // network order; the boundary not included
  std::vector<std::string> pumps{};    // of the components: their drives have to be locked
  std::vector<std::string> vessels{};  // of the points: have to be drained
  std::vector<std::string> draws{};    // of the points: what takes liquid there is beyond the model
  double volume = 0.0;                 // of its pipes [m³]
  std::vector<Pocket> pockets{};
};

// A smallest set: without any one of its valves it isolates no more.
struct IsolatingSet {
  std::vector<std::string> valves{};      // network order
  std::vector<std::string> blanks{};      // other parts, at which a blank (spade) has to be fitted
  std::vector<BoundaryValve> boundary{};  // the valves, in the same order
  IsolatedZone zone{};
};

// A way from a vessel or feed to the work on which nothing holds that counts.
struct OpenPath {
  std::string source{};
  std::string kind{};                  // "vessel", "feed"
  std::vector<std::string> through{};  // components, from the source on
};

// A part on a way to the work that looks as if it held, and why it is not counted.
struct NotCounted {
  std::string component{};
  std::string kind{};  // "check valve", "pinch valve", "damaged valve", "pump", "restriction", ...
  std::string reason{};  // one sentence, with its source
};

struct Isolation {
  std::vector<std::string> target{};
  std::string verdict{};  // plain words, first of all
  // Valves alone isolate the target. If not, open_paths says what reaches it all the same, the sets
  // hold once those vessels are drained, and with_blanks is the nearest set of as few blanks, then
  // valves, as will do; empty where a mere pipe would have to be blanked.
  bool possible = false;
  std::vector<OpenPath> open_paths{};
  std::optional<IsolatingSet> with_blanks{};
  // Fewest valves first; then the smaller volume of the pipes in the zone, then fewer points, then
  // network order.
  std::vector<IsolatingSet> sets{};
  bool all_sets_listed = false;           // there is no other smallest set
  std::vector<NotCounted> not_counted{};  // nearest to the target first
  std::vector<std::string> steps{};  // for with_blanks or else the first set, as 29 CFR 1910.147(d)
  std::vector<std::string> cautions{};
  std::string present_state{};  // of the solve behind the pressures: how it went

  std::string Report() const;
};

// Throws NetworkError for a malformed network, an unknown name, with a suggestion, or an empty
// target, and SettingError for bad options. The target may hold points and components; a component
// opens the plant at both its ends.
//
// Minimal sets are the minimal cuts between the target and what can push liquid at it; they are
// listed by repeated bipartition (after Tsukiyama, Shirakawa, Ozaki & Ariyoshi, J. ACM 27, 1980),
// those of few valves first.
Isolation Isolate(const Network& network, const std::vector<std::string>& target,
                  const IsolateOptions& options = {});

// One solve of the plant with the listed valves shut and some of them passing. Check valves do not
// help: within the zone, and where they point away from it, they are taken as stuck open, and so
// are regulators. Pumps in the zone stand still; draws and nozzles in it are closed.
struct LeakEstimate {
  std::vector<std::string> passing{};  // of the list; empty: every one holds
  bool solved = false;
  std::string message{};  // why not
  // What comes out if the zone is opened to the air at its lowest point [m³/s].
  double flow = std::numeric_limits<double>::quiet_NaN();
  // The highest gauge pressure in the zone if nothing drains it [Pa], and where; NaN: nothing sets
  // one.
  double pressure = std::numeric_limits<double>::quiet_NaN();
  std::string at{};
};

struct IsolationCheck {
  std::vector<std::string> target{}, shut{};
  std::string verdict{};
  bool isolates = false;  // no way is left past what counts
  std::vector<OpenPath> open_paths{};
  std::vector<NotCounted> not_counted{};  // of the list, and on the ways left open
  std::vector<std::string> unneeded{};    // of the list: on no boundary and no second block
  std::vector<BoundaryValve> boundary{};  // if it isolates
  IsolatedZone zone{};                    // if it isolates
  std::string vent{};                     // the lowest point, where `flow` comes out
  // All hold; then each passing alone, in the order of the list; then, if more than one, all.
  std::vector<LeakEstimate> leaks{};
  std::vector<std::string> cautions{};
  std::string present_state{};

  std::string Report() const;
};

// Is this list an isolation of the target? By the plant's graph, and computed: how much comes if
// valves pass, by their own leakage data or a hole of 1 % of their bore. The list may hold any
// component; what does not count is told, with the reason. Throws as Isolate.
IsolationCheck VerifyIsolation(const Network& network, const std::vector<std::string>& target,
                               const std::vector<std::string>& shut,
                               const IsolateOptions& options = {});

}  // namespace handwheel
