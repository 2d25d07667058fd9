#pragma once

#include <cstddef>
#include <limits>
#include <string>
#include <vector>

#include "handwheel/network.h"
#include "handwheel/steady.h"

namespace handwheel {

// What happens to the plant. Applied in the order of the members but the first; each may be empty.
struct BackflowScenario {
  Settings before{};                 // how the plant stands before anything happens
  std::string case_name{};           // a case of the network
  std::vector<std::string> trips{};  // pumps that stop
  bool power_loss = false;           // every pump stops
  Settings settings{};               // anything else: {"reactor.gas_pressure", "6 bar"}
};

struct BackflowOptions {
  // A flow up to this passes for none [m³/s]: 0.001 m³/h.
  double least_flow = 1e-3 / 3600.0;
  int max_failed = 2;  // check valves failed at once: 0, 1 or 2
  // States that are solved at most. With n sound check valves there are 1 + 2 n of up to one failed
  // and 2 n (n - 1) more of two; those beyond the limit are left out and counted: first the single
  // ones are solved, then pairs stuck open, then the other pairs, each in network order.
  std::size_t max_states = 1000;
  SteadyOptions steady{};  // its callback can stop the whole study

  bool IsValid(std::string* error) const;  // *error: the field, its value, the rule it breaks
};

struct FailedCheckValve {
  std::string name{};
  std::string condition{};  // "passing", "stuck open"
  bool operator==(const FailedCheckValve&) const = default;
};

// Liquid that runs the wrong way along one path. Steady flows are split into paths: which of those
// that cross at a point belong together is a choice, made for the path that runs backwards longest
// and carries most.
struct BackflowPath {
  // The vessel, or the junction with its feed, that gives; and the vessel, nozzle, relief valve or
  // junction (its draw, or a leak) that gets. Both empty if a pump drives it round.
  std::string source{}, sink{};
  double flow = 0.0;  // [m³/s], > 0
  // Head at the source less that at the sink [m]; NaN of a path that goes round.
  double driving_head = std::numeric_limits<double>::quiet_NaN();
  std::vector<std::string> components{};  // as the liquid passes them
  std::vector<std::string> backward{};    // of them, what it passes the wrong way
  std::vector<std::string> driven_by{};   // of them, running pumps
  bool goes_round() const { return source.empty(); }
};

// A component that liquid passes the wrong way: pumps and one-way parts against their direction,
// any other against its flow before.
struct BackwardComponent {
  std::string name{};
  double flow = 0.0;         // from -> to [m³/s]
  double flow_before = 0.0;  // [m³/s]; NaN if the state before has no solution
};

// A vessel that takes liquid and did not before.
struct FillingVessel {
  std::string name{};
  double flow = 0.0;        // what it gains [m³/s]
  double level_rise = 0.0;  // at that rate [m/s]; NaN without an area
};

struct ReversedPump {
  std::string name{};
  double flow = 0.0;  // from -> to, < 0 [m³/s]
  // At which its rotor would spin in reverse if nothing held it, over full speed [-]; 0: unknown.
  double reverse_speed = 0.0;
  bool running = false;
};

// The scenario with some check valves failed.
struct BackflowState {
  std::vector<FailedCheckValve> failed{};  // empty: each as the network has it
  bool solved = false;
  std::string reason{};  // why not
  double flow = 0.0;  // that runs the wrong way: of all paths together [m³/s]; NaN if not solved
  std::vector<BackflowPath> paths{};  // largest first
  std::vector<BackwardComponent> backward{};
  // Vessels that take and gave before, or give and took before.
  std::vector<std::string> reversed_vessels{};
  std::vector<FillingVessel> filling{};
  std::vector<ReversedPump> reversed_pumps{};

  bool RunsBack() const { return flow > 0.0; }
};

// A way on which nothing runs back, and what holds it.
struct HeldPath {
  std::string source{}, sink{};           // vessels, nozzles
  double driving_head = 0.0;              // head at the source less that at the sink [m]
  std::vector<std::string> components{};  // as liquid would pass them
  std::vector<std::string> held_by{};     // of them, in order: shut valves, check valves
  std::vector<std::string> through{};     // of them, stopped pumps, passed backwards
  std::vector<std::string> driven_by{};   // of them, running pumps
};

struct BackflowResult {
  std::string title{};
  std::string scenario{};        // in words: "P-1 trips"
  std::string before_failure{};  // why the state before has no solution; empty: it has
  double least_flow = 0.0;       // of the options [m³/s]
  // Check valves as they are first; the others by flow, largest first, of like flows the one with
  // fewer failed; and last what has no solution.
  std::vector<BackflowState> states{};
  std::vector<HeldPath> held{};  // with check valves as they are
  std::size_t num_skipped = 0;   // states left out for max_states
  int max_failed = 0;            // of the options
  bool interrupted = false;      // states are then missing

  const BackflowState& as_it_stands() const { return states.front(); }
  bool RunsBackInAnyState() const;
  std::string Verdict() const;  // a few sentences
  std::string Report() const;   // the verdict, a table, the paths, cautions
};

// Can liquid run backwards, from where to where, how much, with each check valve as it is, passing
// or stuck open, one or two at a time? Each state is one steady state: what runs after the pumps
// have stopped and as long as the levels last. Throws Error for a scenario or network that is
// malformed; a state without a solution is reported with its reason.
BackflowResult Backflow(const Network& network, const BackflowScenario& scenario,
                        const BackflowOptions& options = {});

}  // namespace handwheel
