#pragma once

#include <string>
#include <vector>

#include "optimise/settings_model.h"

namespace handwheel {

// Why a level stopped short of its wishes: what its misses pull against.
struct Pull {
  std::vector<std::size_t> missed{};    // wishes of the level
  std::vector<std::size_t> at_bound{};  // numbers that would have to go beyond their ends
  std::vector<std::size_t> against{};   // wishes that come first and stand at their edge
  bool conflict = false;                // the missed pull in opposite ways
  bool no_effect = false;               // no number moves any of the missed
};

struct SettingsFound {
  bool solved = false;
  std::string reason{};              // why not solved
  std::vector<double> numbers{};     // SI
  std::vector<double> value{};       // by wish
  std::vector<double> miss{};        // by wish, in parts of its size
  std::vector<double> level_miss{};  // by level, limits first: root of the sum of squares
  double movement = 0.0;             // likewise, each number in parts of its size
  bool some_choice = false;          // there are more numbers than exact wishes
  std::vector<Pull> pulls{};
};

// Lexicographic least squares from one start: the limits, then the targets by priority, and last
// the least movement from the present numbers. Each level minimises, within the bounds,
//   1/2 sum_own miss² + 1/2 W² sum_before max(0, |miss| - the miss it was left with)²,
// with W rising from 10 to 1e4 while what comes before is touched. So what comes before gives way
// by about 1e-8 of what the level would like to have, which no gauge shows.
//
// Ceres Solver (Levenberg-Marquardt) minimises inside a box around the present point, a quarter of
// the room each way, which moves on while a number stands at its side: whole steps would land where
// valves are shut, and there nothing tells the way back. Numbers that want beyond an end are held
// at it while the rest goes on, since steps cut off at an end fall short of what they promise,
// which a trust region answers by creeping.
//
// What turns out to be worse than `best` is not moved back towards the present numbers.
SettingsFound SearchSettings(SettingsModel* model, const std::vector<double>& start,
                             const SettingsFound& best);

// Less missed on the first level on which they differ by more than 1e-6; of equals less moved, if
// that counts.
bool IsBetter(const SettingsFound& one, const SettingsFound& other, bool if_moved_less = true);

}  // namespace handwheel
