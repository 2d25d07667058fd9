#include "transient/flap_motion.h"

#include <algorithm>

#include "correlations/check_valve_kind.h"

namespace handwheel {

double FlapMotion::LagOf(const CheckValve& check_valve) {
  constexpr double kSpringLag = 0.05;  // [s]
  if (check_valve.closing_lag) return *check_valve.closing_lag;
  if (check_valve.assist == "spring") return kSpringLag;
  return FindCheckValveKind(check_valve.kind)->slam_lag.value;
}

FlapMotion::Change FlapMotion::Look(double time_step, double flow_before, double flow) {
  if (state_ == State::kShut) return Change::kNone;
  if (lag_ <= 0.0) return flow < 0.0 ? Change::kShuts : Change::kNone;
  const double travel = time_step / lag_;
  if (flow >= 0.0) {
    state_ = State::kOpen;
    lift_ = std::min(1.0, lift_ + travel);
    return Change::kNone;
  }
  double share = 1.0;  // of the step that the flow was reversed
  if (state_ == State::kOpen) {
    state_ = State::kFalling;
    const double fall = flow_before - flow;
    if (flow_before > 0.0) share = -flow / fall;
    deceleration_ = fall / time_step;
  }
  lift_ -= share * travel;
  return lift_ <= 0.5 * travel ? Change::kShuts : Change::kNone;
}

}  // namespace handwheel
