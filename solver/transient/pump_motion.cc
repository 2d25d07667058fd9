#include "transient/pump_motion.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "components/pump_data.h"
#include "text/cat.h"
#include "text/number.h"

namespace handwheel {
namespace {

constexpr double kHalfPi = 0.5 * std::numbers::pi;
constexpr double kUsualRpm = 2900.0;          // two poles at 50 Hz: common practice, no source
constexpr double kUsualEfficiency = 0.7;      // common practice, no source
constexpr double kRadialShutoffTorque = 0.5;  // common practice, no source
constexpr double kRadialUpTo = 90.0;          // specific speed
constexpr double kTorqueOwnTo = 1.5;          // flow over speed, of rated
constexpr double kAtRest = 0.005;             // of full speed: a bearing's friction does the rest

// 1 at a quarter turn from `pumping`, 0 from three eighths on.
double Fade(double angle) {
  return std::clamp(1.0 - (std::abs(angle) - kHalfPi) / (0.5 * kHalfPi), 0.0, 1.0);
}

}  // namespace

PumpMotion::PumpMotion(const Pump& pump, const LawContext& context)
    : own_{}, table_(NearestQuadrants(0.0)), free_(pump.rotor == "free") {
  const PumpData data = DescribePump(pump, context.liquid);
  rated_flow_ = data.rated_flow;
  rated_head_ = std::max(data.rated_head, 0.01 * data.curve.shutoff_head());
  stopped_k_ = pump.stopped_k.value_or(kStoppedRadialK);
  own_ = {data.curve, 1.0, stopped_k_ * rated_head_ / (rated_flow_ * rated_flow_)};
  constexpr double kOwnBeyondItsEnd = 3.0;
  end_ = kOwnBeyondItsEnd * data.curve.max_flow();
  const double v = end_ / rated_flow_;
  end_angle_ = std::atan2(v, 1.0);
  end_head_ = data.curve.GainAt(end_).drop / rated_head_ / (1.0 + v * v);
  table_ = NearestQuadrants(data.specific_speed.value_or(0.0));
  const bool radial = !data.specific_speed || *data.specific_speed < kRadialUpTo;
  shutoff_torque_ = radial ? kRadialShutoffTorque : table_.Torque(QuadrantAngle(0.0, 1.0));
  speed_ = target_ = pump.running ? pump.speed : 0.0;

  const double efficiency = data.best_efficiency > 0.0 ? data.best_efficiency : kUsualEfficiency;
  const double power = context.Weight() * rated_flow_ * rated_head_ / efficiency;
  const double rpm = pump.rpm.value_or(kUsualRpm);
  double inertia = PumpInertia(power, rpm) + MotorInertia(power, rpm);
  if (pump.inertia) inertia = *pump.inertia;
  mechanical_time_ = MechanicalTime(inertia, rpm, power);
  if (!pump.rpm) assumed_ = "2900 rev/min";
  if (!(data.best_efficiency > 0.0))
    assumed_ += Cat(assumed_.empty() ? "" : ", ", "70 % efficiency");
  if (!pump.inertia) {
    assumed_ += Cat(assumed_.empty() ? "" : ", ", "inertia ", FormatDecimal(inertia, 3),
                    " kg m2 of pump and motor by a rule of thumb");
  }
}

DropSlope PumpMotion::DropAt(double q) const {
  if (speed_ <= 0.0 || q > end_ * speed_) return ByQuadrants(q);
  PumpLaw law = own_;
  law.speed = speed_;
  return law.At(q);
}

DropSlope PumpMotion::ByQuadrants(double q) const {
  const double v = q / rated_flow_, size = speed_ * speed_ + v * v;
  if (size < 1e-18) {  // h = 0, but never a level law
    const double slope = stopped_k_ * rated_head_ * 1e-6 / rated_flow_;
    return {slope * q, slope};
  }
  const double angle = std::atan2(v, speed_);
  double head, slope;  // WH and its slope by angle
  if (speed_ >= 0.0 && v >= 0.0) {
    slope = (-stopped_k_ - end_head_) / (kHalfPi - end_angle_);
    head = end_head_ + slope * (angle - end_angle_);
  } else {
    const double stopped = v >= 0.0 ? -stopped_k_ : stopped_k_;
    const double at_rest = table_.Head(QuadrantAngle(std::copysign(1.0, v), 0.0));
    const double fade = Fade(angle);
    head = table_.Head(std::numbers::pi + angle) + (stopped - at_rest) * fade;
    slope = table_.HeadSlope(std::numbers::pi + angle);
    if (fade > 0.0 && fade < 1.0) {
      slope -= std::copysign((stopped - at_rest) / (0.5 * kHalfPi), angle);
    }
  }
  const double gain_slope = 2.0 * v * head + speed_ * slope;
  // The tables are not everywhere falling in v; the sum with the columns beside the pump is.
  constexpr double kLeastSlope = 1e-6;
  return {-rated_head_ * size * head,
          rated_head_ / rated_flow_ * std::max(kLeastSlope, -gain_slope)};
}

double PumpMotion::TorqueAt(double q) const {
  const double v = q / rated_flow_, n = speed_, size = n * n + v * v;
  if (size < 1e-18) return 0.0;
  const auto own = [&](double flow, double speed) {
    return speed * (shutoff_torque_ * speed + (1.0 - shutoff_torque_) * flow);
  };
  if (n > 0.0 && v >= 0.0 && v <= kTorqueOwnTo * n) return own(v, n);
  const double angle = std::atan2(v, n);
  const double by_table = table_.Torque(std::numbers::pi + angle);
  if (n < 0.0) return size * by_table;
  if (v >= 0.0) {  // evenly by angle to the rotor at rest in forward flow
    const double from = std::atan(kTorqueOwnTo);
    const double at_from = own(kTorqueOwnTo, 1.0) / (1.0 + kTorqueOwnTo * kTorqueOwnTo);
    const double at_rest = table_.Torque(QuadrantAngle(1.0, 0.0));
    return size * (at_from + (at_rest - at_from) * (angle - from) / (kHalfPi - from));
  }
  const double jump = shutoff_torque_ - table_.Torque(QuadrantAngle(0.0, 1.0));
  return size * (by_table + jump * (1.0 + angle / kHalfPi));
}

void PumpMotion::Start(double speed, double over) {
  state_ = State::kDriven;
  target_ = speed;
  ramp_ = over > 0.0 ? (target_ - speed_) / over : 0.0;
  if (over <= 0.0) speed_ = target_;
}

bool PumpMotion::Advance(double time_step, double q) {
  if (state_ == State::kDriven) {
    if (speed_ == target_) return false;
    const double next = speed_ + ramp_ * time_step;
    speed_ = ramp_ > 0.0 ? std::min(next, target_) : std::max(next, target_);
    return false;
  }
  if (speed_ == 0.0 && !free_) return false;
  const double rate = -TorqueAt(q) / mechanical_time_;
  // Adams and Bashforth's second order, after a first step by Euler's.
  const double mean = first_ ? rate : 1.5 * rate - 0.5 * last_rate_;
  first_ = false;
  last_rate_ = rate;
  const double before = speed_;
  speed_ += mean * time_step;
  if (free_ || speed_ > kAtRest) return false;
  speed_ = 0.0;
  return before > 0.0;
}

}  // namespace handwheel
