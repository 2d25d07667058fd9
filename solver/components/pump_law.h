#pragma once

#include <algorithm>
#include <cmath>
#include <memory>

#include "components/loss_law.h"
#include "correlations/monotone_cubic.h"

namespace handwheel {

// Head gain of a centrifugal pump at full speed against flow, strictly falling for q >= 0.
// By points: shape-preserving cubic between them; before the first point it falls to it along the
// first slope; beyond the last, gain = last - m dq - m' dq², m the slope there and m' the last
// secant over the last flow, so that it goes on falling at least as fast. By coefficients: gain = a
// - b q^c, c >= 1.
class PumpCurve {
 public:
  static PumpCurve ByPoints(std::vector<double> flow, std::vector<double> head);
  static PumpCurve ByCoefficients(double a, double b, double c);

  DropSlope GainAt(double q) const;  // q >= 0 [m³/s]; .drop is the gain [m], .slope <= 0 its slope
  double max_flow() const { return max_flow_; }  // end of the given curve [m³/s]
  double shutoff_head() const { return GainAt(0.0).drop; }
  // Where flow * gain is largest on the curve: stands in for the best efficiency point.
  double BestFlow() const;

 private:
  std::shared_ptr<const MonotoneCubic> points_;  // empty: by coefficients
  double a_ = 0.0, b_ = 0.0, c_ = 1.0;
  double max_flow_ = 0.0;
  double last_gain_ = 0.0, last_slope_ = 0.0, curvature_ = 0.0;  // beyond the last point
};

// A running pump as a drop, by the affinity laws: drop(q) = -s² gain(q/s). Pushed backwards it adds
// the square resistance of its passages to its shut-off head:
//   drop(q) = -(s² gain(0) - s gain'(0) |q| + k_back q²),  q < 0.
struct PumpLaw {
  PumpCurve curve;
  double speed;   // fraction of full speed, > 0
  double k_back;  // [s²/m⁵]

  DropSlope At(double q) const {
    if (q >= 0.0) {
      const DropSlope gain = curve.GainAt(q / speed);
      return {-speed * speed * gain.drop, -speed * gain.slope};
    }
    const DropSlope shutoff = curve.GainAt(0.0);
    return {-speed * speed * shutoff.drop - speed * shutoff.slope * q - k_back * q * q,
            -speed * shutoff.slope - 2.0 * k_back * q};
  }
};

}  // namespace handwheel
