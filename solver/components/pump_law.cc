#include "components/pump_law.h"

#include <vector>

namespace handwheel {

PumpCurve PumpCurve::ByPoints(std::vector<double> flow, std::vector<double> head) {
  PumpCurve curve;
  const std::size_t n = flow.size();
  curve.max_flow_ = flow[n - 1];
  const double secant = (head[n - 1] - head[n - 2]) / (flow[n - 1] - flow[n - 2]);
  curve.curvature_ = secant / curve.max_flow_;
  curve.last_gain_ = head[n - 1];
  curve.points_ = std::make_shared<const MonotoneCubic>(std::move(flow), std::move(head));
  curve.last_slope_ = curve.points_->Slope(curve.max_flow_);
  return curve;
}

PumpCurve PumpCurve::ByCoefficients(double a, double b, double c) {
  PumpCurve curve;
  curve.a_ = a;
  curve.b_ = b;
  curve.c_ = c;
  curve.max_flow_ = std::pow(a / b, 1.0 / c);
  return curve;
}

DropSlope PumpCurve::GainAt(double q) const {
  if (!points_) {
    const double power = b_ * std::pow(q, c_ - 1.0);
    return {a_ - power * q, -c_ * power};
  }
  if (q > max_flow_) {
    const double beyond = q - max_flow_;
    return {last_gain_ + (last_slope_ + curvature_ * beyond) * beyond,
            last_slope_ + 2.0 * curvature_ * beyond};
  }
  return {points_->Value(q), points_->Slope(q)};
}

double PumpCurve::BestFlow() const {
  if (!points_) return std::pow(a_ / (b_ * (1.0 + c_)), 1.0 / c_);  // d(q gain)/dq = 0
  // A scan is enough: the result only scales default resistances.
  constexpr int kSteps = 200;
  double best = max_flow_, best_power = 0.0;
  for (int i = 1; i <= kSteps; ++i) {
    const double q = max_flow_ * i / kSteps;
    const double power = q * GainAt(q).drop;
    if (power > best_power) {
      best = q;
      best_power = power;
    }
  }
  return best;
}

}  // namespace handwheel
