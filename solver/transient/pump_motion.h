#pragma once

#include <string>

#include "components/make_law.h"
#include "components/pump_law.h"
#include "correlations/pump_quadrants.h"
#include "handwheel/components.h"

namespace handwheel {

// A centrifugal pump whose speed changes: run-down after a trip, run-up at a start.
//   I dw/dt = -torque     so     dn/dt = -b/Tm,   Tm = I w_R²/P_R at the pump's best point
// n the speed and b the torque over those there.
//
// Head: while it turns forwards, the pump's own curve by the affinity laws, also pushed backwards
// (PumpLaw); far beyond the end of the curve it passes over into the resistance of the stopped
// pump. Turning backwards (rotor "free" only): the nearest complete characteristic
// (pump_quadrants.h), to which the stopped pump's resistance is faded over an eighth of a turn. A
// rotor that is "held" stays at rest when it gets there. Torque: forwards from 0.5 of rated at no
// flow (radial pumps, common practice; above ns 90 that of the table) evenly with the flow to 1 at
// the best point; beyond one and a half times the best flow and in reverse flow faded into the
// table's.
class PumpMotion {
 public:
  PumpMotion(const Pump& pump, const LawContext& context);

  // At its present speed.
  DropSlope DropAt(double q) const;
  double TorqueAt(double q) const;  // over rated [-]

  // From its present speed, without its motor.
  void Trip() { state_ = State::kRunningDown; }
  // To `speed` in so long; at once if 0.
  void Start(double speed, double over);
  // A step on, at the flow through it before. True: it has just come to rest.
  bool Advance(double time_step, double q);

  double speed() const { return speed_; }
  double mechanical_time() const { return mechanical_time_; }  // Tm [s]
  // What of its data had to be assumed; empty: nothing.
  const std::string& assumed() const { return assumed_; }

 private:
  enum class State { kDriven, kRunningDown };

  DropSlope ByQuadrants(double q) const;

  PumpLaw own_;
  double rated_flow_, rated_head_;
  double end_;        // flow over speed up to which its own law holds [m³/s]
  double end_angle_;  // atan2(v, n) there
  double end_head_;   // WH there
  double stopped_k_;  // over rated head at rated flow
  double shutoff_torque_;
  QuadrantTable table_;
  bool free_;
  double mechanical_time_;
  State state_ = State::kDriven;
  double speed_, target_, ramp_ = 0.0;  // ramp: speed gained a second
  double last_rate_ = 0.0;
  bool first_ = true;
  std::string assumed_;
};

}  // namespace handwheel
