#pragma once

#include <cstddef>
#include <functional>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "handwheel/network.h"
#include "handwheel/steady.h"

namespace handwheel {

// A setting and what it takes in turn.
struct SweepAxis {
  std::string target{};         // "HV-3.opening"
  std::vector<Value> values{};  // SI numbers, texts with a unit, words, flags
};

struct SweepOptions {
  // Each solve starts from the flows of the one before; else each starts afresh. Within the
  // tolerances of `steady` the results are the same.
  bool warm_start = true;
  bool installed = true;  // work out InstalledCharacteristic of every valve whose opening is swept
  double enough = 0.9;    // share of the full flow from which opening further changes little
  SteadyOptions steady{};
  // Told after every row; false: stop. May be empty.
  std::function<bool(std::size_t done, std::size_t total)> progress{};

  bool IsValid(std::string* error) const;  // *error: the field, its value, the rule it breaks
};

// How the flow through a valve follows its handwheel where it is installed.
struct InstalledCharacteristic {
  std::string valve{};
  std::string other{};  // setting of the other axis that it holds for: "tank.level = 2"; or empty
  // At each opening swept, rising. Flow [m³/s]; gain d flow / d opening [m³/s], by central
  // differences of 0.0005; relative gain: gain / full_flow [-], of 1 all along if flow follows the
  // opening in proportion. NaN where there is no solution.
  std::vector<double> opening{}, flow{}, gain{}, relative_gain{};
  double full_flow = std::numeric_limits<double>::quiet_NaN();  // fully open [m³/s]
  double drop_open = std::numeric_limits<double>::quiet_NaN();  // of the valve fully open [m]
  double drop_shut = std::numeric_limits<double>::quiet_NaN();  // of the valve shut [m]
  // With the valve shut nothing sets the pressure beside it: drop_shut is that at 0.1 % opening.
  bool nearly_shut = false;
  double authority = std::numeric_limits<double>::quiet_NaN();  // drop_open / drop_shut [-]
  // From which on `enough` of full_flow passes, within 0.001.
  double enough_opening = std::numeric_limits<double>::quiet_NaN();
  // The widest range of openings swept in which relative_gain stays from 0.5 to 2 (common practice,
  // no source), its ends interpolated; NaN if there is none.
  double best_from = std::numeric_limits<double>::quiet_NaN();
  double best_to = std::numeric_limits<double>::quiet_NaN();
};

struct SweepResult {
  std::string title{};
  // One or two. Values as they were set: numbers in SI.
  std::vector<SweepAxis> axes{};
  std::vector<std::string> units{};  // of the values of each axis; empty of a mere number
  std::vector<std::string> point_names{}, component_names{};  // network order
  double enough = 0.0;                                        // of the options

  // By row: for each value of the first axis in turn those of the second, if there is one.
  std::vector<bool> solved{};
  std::vector<std::string> reason{};  // why not solved
  // By row, then by component or point: row * number of names + index. NaN if not solved.
  std::vector<double> flow{};      // from -> to [m³/s]
  std::vector<double> velocity{};  // [m/s]
  std::vector<double> pressure{};  // gauge [Pa]
  std::vector<InstalledCharacteristic> installed{};
  bool interrupted = false;  // the rows that are missing are not solved

  std::size_t num_rows() const { return solved.size(); }
  std::size_t ValueIndex(std::size_t row, std::size_t axis) const;
  const Value& ValueAt(std::size_t row, std::size_t axis) const {
    return axes[axis].values[ValueIndex(row, axis)];
  }
  // By name. Throw NetworkError for an unknown one, with a suggestion.
  double Flow(std::size_t row, std::string_view component) const;
  double Velocity(std::size_t row, std::string_view component) const;
  double Pressure(std::size_t row, std::string_view point) const;

  // Components whose flow changes most over the rows: what is swept first, of parts in series one.
  std::vector<std::string> MostChanging(std::size_t most = 4) const;

  // Flows against the values, some of many, of the components given or else of those that change
  // most; what the valves are like; cautions.
  std::string Report(const std::vector<std::string>& components = {}) const;
};

// Flow everywhere against one or two settings. Throws Error for a target or value that cannot be
// set, or a network that is malformed with it; a row without a solution is reported with its
// reason.
SweepResult Sweep(const Network& network, const std::vector<SweepAxis>& axes,
                  const SweepOptions& options = {});

}  // namespace handwheel
