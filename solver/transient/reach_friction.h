#pragma once

#include <cmath>
#include <vector>

#include "components/law.h"

namespace handwheel {

// Friction of one reach, 1/n of a pipe's own law, read from a table: the law costs a logarithm or
// more, and is needed at every place at every step. Cubic between the points, which stand evenly in
// the square root of the flow, with the law's own slopes: within 1e-8 of it in turbulent flow
// (reach_friction_test.cc), odd, and exact at `exact_at`, the flow of the steady start, so that a
// plant at rest or in steady flow stays there. Beyond 20 m/s the law itself is asked.
class ReachFriction {
 public:
  ReachFriction(const Law& law, double area, int reaches, double exact_at);

  DropSlope At(double q) const {
    const double size = std::abs(q);
    if (size >= top_) return Beyond(q);
    if (size <= first_) return {line_ * q, line_};
    const double u = std::sqrt(size * per_top_) * kIntervals;
    const auto i = static_cast<std::size_t>(u);
    const double t = u - static_cast<double>(i);
    const Cubic& c = cubics_[i];
    const double drop = c.a + t * (c.b + t * (c.c + t * c.d));
    const double slope = (c.b + t * (2.0 * c.c + 3.0 * t * c.d)) * slope_scale_ / u;
    return {std::copysign(drop, q), slope};
  }

 private:
  static constexpr int kIntervals = 512;
  struct Cubic {
    double a, b, c, d;
  };

  DropSlope Beyond(double q) const;

  std::vector<Cubic> cubics_;  // by interval of u, from the origin
  double top_ = 0.0, per_top_ = 0.0, first_ = 0.0, line_ = 0.0, slope_scale_ = 0.0;
  Law law_;
  double share_ = 0.0;  // of the law that is a reach's
};

}  // namespace handwheel
