#pragma once

#include "handwheel/components.h"

namespace handwheel {

// The closing part of a sound check valve. It travels at an even speed, from open to shut or back
// within its lag: towards shut while the flow is reversed, towards open while it is not. So from
// fully open it is down a lag after reversal, and sooner if it had not got far. On its way it
// resists like the open valve: on the safe side, for a part half shut catches less.
class FlapMotion {
 public:
  // The lag by which it shuts [s]: of the part, else of its kind; 0.05 s with a spring (common
  // practice, no source).
  static double LagOf(const CheckValve& check_valve);

  FlapMotion(double lag, bool shut)
      : lag_(lag), state_(shut ? State::kShut : State::kOpen), lift_(shut ? 0.0 : 1.0) {}

  enum class Change { kNone, kShuts };
  // After a step, with the flows before and after it.
  Change Look(double time_step, double flow_before, double flow);
  void Shut() {
    state_ = State::kShut;
    lift_ = 0.0;
  }
  void Open() { state_ = State::kOpen; }

  bool is_shut() const { return state_ == State::kShut; }
  double deceleration() const { return deceleration_; }  // of the flow as it reversed [m³/s²]
  bool follows_at_once() const { return lag_ <= 0.0; }

 private:
  enum class State { kOpen, kFalling, kShut };
  double lag_;
  State state_;
  double lift_;                // 0 shut .. 1 open
  double deceleration_ = 0.0;  // of the flow [m³/s²]
};

}  // namespace handwheel
