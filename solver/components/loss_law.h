#pragma once

#include <cmath>

// Head drop against flow of the parts, as flat values that a solver evaluates many times.
//
// Every law here is strictly increasing in the flow q [m³/s] and continuously differentiable on
// each branch; a two-way passive law is odd. That makes the steady state the minimiser of a
// strictly convex function (see steady/newton.h).

namespace handwheel {

struct DropSlope {
  double drop;   // [m]
  double slope;  // d drop / d flow [s/m²], >= 0
};

// drop = r q sqrt(q² + q_linear²) + w linear q: a square law that turns linear below q_linear,
// since a square law has zero slope at rest and Newton's matrix goes singular there. With q_linear
// at Reynolds number 1 the drop is high by 0.5/Re²: 5e-9 at Re = 1e4. `linear` is what viscosity
// adds, K1/Re of the loss; its weight w falls from 1 to 0 between the flows fade and kFadeRange
// fade, as a smooth step in the logarithm, so that turbulent flow keeps the plain square law. The
// drop rises strictly as long as linear <= r fade.
struct LossLaw {
  static constexpr double kFadeRange = 5.0;

  double r;             // [s²/m⁵]
  double q_linear;      // [m³/s], > 0
  double linear = 0.0;  // [s/m²]
  double fade = 0.0;    // [m³/s]

  DropSlope At(double q) const {
    const double root = std::sqrt(q * q + q_linear * q_linear);
    DropSlope at{r * q * root, r * (2.0 * q * q + q_linear * q_linear) / root};
    const double size = std::abs(q);
    if (linear == 0.0 || size >= kFadeRange * fade) return at;
    double weight = 1.0, fall = 0.0;  // fall: -d weight / d ln q
    if (size > fade) {
      const double range = std::log(kFadeRange), t = std::log(size / fade) / range;
      weight = 1.0 - t * t * (3.0 - 2.0 * t);
      fall = 6.0 * t * (1.0 - t) / range;
    }
    at.drop += weight * linear * q;
    at.slope += (weight - fall) * linear;
    return at;
  }

  // The flow whose drop is `drop` >= 0 [m].
  double FlowAt(double drop) const {
    const double square = SquareFlowAt(drop);
    if (linear == 0.0 || square >= kFadeRange * fade) return square;
    double q = 2.0 * drop / (linear + std::sqrt(linear * linear + 4.0 * r * drop));
    for (int i = 0; i < 8; ++i) {  // it rises monotonically; eight steps reach round-off
      const DropSlope at = At(q);
      q += (drop - at.drop) / at.slope;
    }
    return q;
  }

 private:
  double SquareFlowAt(double drop) const {
    const double s = drop / r;  // s² = q² (q² + q_linear²)
    const double b = q_linear * q_linear;
    const double root = std::sqrt(b * b / 4.0 + s * s);
    return s / std::sqrt(root + b / 2.0);
  }
};

// A square law with another resistance backwards; both with one slope at rest.
struct TwoWayLossLaw {
  LossLaw forward, backward;

  DropSlope At(double q) const { return q >= 0.0 ? forward.At(q) : backward.At(q); }
};

// drop = slope (q - flow_at_rest): a positive displacement pump, whose flow falls by what slips
// back, or a regulator's droop.
struct LinearLaw {
  double slope;         // [s/m²], > 0
  double flow_at_rest;  // at no drop [m³/s]

  DropSlope At(double q) const { return {slope * (q - flow_at_rest), slope}; }
};

}  // namespace handwheel
