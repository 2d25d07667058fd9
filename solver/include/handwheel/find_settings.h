#pragma once

#include <cstddef>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "handwheel/steady.h"
#include "handwheel/vary.h"

// Which openings, speeds or levels make the gauges show what is wanted? In the library
// handwheel_optimise, since the search is Ceres Solver's.

namespace handwheel {

// What a gauge is to show: "L-4.flow", "L-4.velocity", "HV-3.drop" [m], "header.pressure" (gauge),
// "header.head".
struct GaugeTarget {
  std::string gauge{};
  // SI or text with a unit. Both the same: exactly this; one empty: no end on that side.
  Value lower = std::string{};
  Value upper = std::string{};
  // A higher one is met first: a lower one gets what is left without moving a higher one. Targets
  // of one priority that cannot all be met share their misses, in the sense of least squares of
  // miss / size, where the size is that of the larger end given.
  int priority = 1;
  Value tolerance = std::string{};  // a miss up to this counts as reached; empty: 0.1 % of its size
};

struct FindSettingsOptions {
  // Before any target, nothing that the advice watches may get worse than it is at present: no
  // valve begins to cavitate, no check valve falls below the velocity that holds it fully open, no
  // pump leaves its range or runs short of NPSH or power, no line runs too fast or lets its solids
  // settle, no point boils or exceeds a rating.
  bool keep_limits = true;
  // Where the search from the present settings does not reach everything, it starts again from
  // points spread evenly over what may be varied: this many in all, or until six in a row find
  // nothing nearer.
  int max_num_starts = 16;
  SteadyOptions steady{};
  // Told of the states solved so far and of the largest miss of the best settings yet, in parts of
  // the target's size; false: stop. May be empty.
  std::function<bool(std::size_t num_solves, double largest_miss)> progress{};

  bool IsValid(std::string* error) const;  // *error: the field, its value, the rule it breaks
};

struct FoundSetting {
  std::string target{};               // "HV-3.opening"
  double value = 0.0, present = 0.0;  // SI
  double lower = 0.0, upper = 0.0;    // SI; infinite where nothing ends it
  bool at_lower = false, at_upper = false;
  std::string text{}, present_text{};  // "0.37", "2.5 m"
  // Of the handwheel, counter-clockwise from shut; NaN of what is no valve's opening.
  double turns = std::numeric_limits<double>::quiet_NaN();
  double present_turns = std::numeric_limits<double>::quiet_NaN();
  double turns_of_travel = std::numeric_limits<double>::quiet_NaN();
};

struct FoundTarget {
  std::string gauge{};
  double lower = 0.0, upper = 0.0;  // SI; infinite where there is no end
  int priority = 1;
  double tolerance = 0.0;
  double value = std::numeric_limits<double>::quiet_NaN();    // with the settings found, SI
  double present = std::numeric_limits<double>::quiet_NaN();  // as it stands, SI
  double miss = std::numeric_limits<double>::quiet_NaN();  // above 0: too much, below: too little
  bool reached = false;
  // "12 m3/h", "at least 5 m3/h", "2 to 3 bar"; what is shown; the miss.
  std::string wanted{}, value_text{}, present_text{}, miss_text{};
};

// What keeps a target from being reached.
struct BindingLimit {
  std::string target{};   // the gauge that it keeps back
  std::string kind{};     // "bound", "priority", "advice", "conflict", "no effect", "turning point"
  std::string name{};     // "HV-3.opening", "L-5.flow", "NRV-1"; may be empty
  std::string message{};  // "HV-3 is fully open"
};

struct FoundSettings {
  std::string title{};
  bool reached = false;  // every target
  // A plain sentence or three. Empty only if interrupted.
  std::string verdict{};
  std::vector<FoundSetting> settings{};  // in the order of what is varied
  std::vector<FoundTarget> targets{};    // in the order asked for
  std::vector<BindingLimit> binding{};   // of the targets not reached
  std::vector<Advice> advice_before{};   // as it stands
  std::vector<Advice> advice_after{};    // with the settings found
  std::vector<Advice> new_advice{};      // warnings and dangers of advice_after that are not before
  std::vector<std::string> cautions{};   // what to know about this answer
  std::optional<Solution> solution{};    // with the settings found; empty if no start has one
  std::size_t num_solves = 0;
  int num_starts = 0;
  bool interrupted = false;  // the best so far

  // What to apply to have them: {{"HV-3.opening", 0.37}}.
  Settings ToSettings() const;
  // The verdict first; then settings, targets, what binds, new advice and cautions.
  std::string Report() const;
};

// Settings within their bounds with which the targets are reached or, if they cannot be, the
// nearest to it; of several ways the one with the least change from the present settings, each in
// parts of its room. Trust-region least squares (Ceres Solver) with exact derivatives
// (ComputeSensitivities); limits and higher priorities enter as penalties, 1e4 times as heavy at
// the end, which leaves them missed by less than 1e-6 of their size. A search from many starts, not
// a proof: where flows do not follow settings monotonically, a better answer may exist.
//
// Throws SettingError for what cannot be varied or no gauge shows, for targets that contradict
// themselves; NetworkError for a malformed network. No solution at all is reported in the verdict.
FoundSettings FindSettings(const Network& network, const std::vector<Vary>& vary,
                           const std::vector<GaugeTarget>& targets,
                           const FindSettingsOptions& options = {});

}  // namespace handwheel
