#ifndef HANDWHEEL_CORRELATIONS_HAZEN_WILLIAMS_H_
#define HANDWHEEL_CORRELATIONS_HAZEN_WILLIAMS_H_

#include <cmath>
#include <numbers>

namespace handwheel {

// Head loss of water in full pipe after Hazen and Williams:
//   h = 10.6744 L Q^1.852 / (C^1.852 D^4.8704)
//   h [m], length L [m], flow Q [m³/s], bore D [m], coefficient C [-] (80 old iron, 150 plastic)
// For water near 15 °C at ordinary velocities; no other liquid. Constant and exponents as in the
// solutions printed of the two-loop network of E. Alperovits and U. Shamir, Water Resour. Res. 13,
// 885-900, 1977, e.g. by D. A. Savic and G. A. Walters, J. Water Resour. Plann. Manage. 123, 67-77,
// 1997.
//
// Head(-q) == -Head(q), strictly increasing. A power law has zero slope at rest, so below
// kSlowVelocity it gives way to the cubic a q + b q³ that meets it in value and slope. The two
// differ there by less than 4e-8 m of head a kilometre (100 mm bore, C 130), below any gauge; and
// the formula does not hold for such creeping flow anyhow.
struct HazenWilliams {
  static constexpr double kExponent = 1.852;
  static constexpr double kSlowVelocity = 1e-4;  // [m/s]

  double resistance = 0.0;  // h / |Q|^1.852 [m (s/m³)^1.852]
  double slow_flow = 0.0;   // [m³/s], at kSlowVelocity

  HazenWilliams(double length, double bore, double coefficient)
      : resistance(10.6744 * length / (std::pow(coefficient, kExponent) * std::pow(bore, 4.8704))),
        slow_flow(kSlowVelocity * 0.25 * std::numbers::pi * bore * bore) {}

  struct Loss {
    double head = 0.0;   // [m], of the sign of the flow
    double slope = 0.0;  // d head / d flow [s/m²], > 0
  };

  Loss At(double flow) const {
    const double magnitude = std::abs(flow);
    if (magnitude < slow_flow) return Slow(flow);
    const double per_flow = resistance * std::pow(magnitude, kExponent - 1.0);
    return {per_flow * flow, kExponent * per_flow};
  }

 private:
  Loss Slow(double flow) const {
    const double per_flow = resistance * std::pow(slow_flow, kExponent - 1.0);
    const double a = 0.5 * (3.0 - kExponent) * per_flow;
    const double b = 0.5 * (kExponent - 1.0) * per_flow / (slow_flow * slow_flow);
    return {flow * (a + b * flow * flow), a + 3.0 * b * flow * flow};
  }
};

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_HAZEN_WILLIAMS_H_
