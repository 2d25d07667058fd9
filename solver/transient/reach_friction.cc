#include "transient/reach_friction.h"

namespace handwheel {

ReachFriction::ReachFriction(const Law& law, double area, int reaches, double exact_at)
    : law_(law), share_(1.0 / reaches) {
  constexpr double kTopVelocity = 20.0;  // [m/s]
  top_ = kTopVelocity * area;
  per_top_ = 1.0 / top_;
  constexpr double kCount = kIntervals;
  first_ = top_ / (kCount * kCount);
  // u = sqrt(q/top) n, so q = top (u/n)², dq/du = 2 top u/n².
  slope_scale_ = kCount * kCount / (2.0 * top_);
  const auto point = [&](int i) -> DropSlope {
    const double u = static_cast<double>(i);
    const DropSlope at = EvaluateLaw(law_, top_ * (u / kCount) * (u / kCount));
    return {at.drop * share_, at.slope * share_ * u / slope_scale_};
  };
  cubics_.reserve(kIntervals);
  DropSlope left = point(0);
  left.drop = 0.0;
  for (int i = 0; i < kIntervals; ++i) {
    const DropSlope right = point(i + 1);
    const double rise = right.drop - left.drop;
    cubics_.push_back({left.drop, left.slope, 3.0 * rise - 2.0 * left.slope - right.slope,
                       left.slope + right.slope - 2.0 * rise});
    left = right;
  }
  line_ = cubics_[1].a / first_;
  if (std::abs(exact_at) >= top_ || exact_at == 0.0) return;
  const double stretch = EvaluateLaw(law_, exact_at).drop * share_ / At(exact_at).drop;
  for (Cubic& c : cubics_) c = {c.a * stretch, c.b * stretch, c.c * stretch, c.d * stretch};
  line_ *= stretch;
}

DropSlope ReachFriction::Beyond(double q) const {
  const DropSlope at = EvaluateLaw(law_, q);
  return {at.drop * share_, at.slope * share_};
}

}  // namespace handwheel
