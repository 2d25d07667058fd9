#pragma once

#include <algorithm>
#include <cmath>

#include "components/loss_law.h"

namespace handwheel {

// Passes liquid forward only. At no flow every drop up to `crack` holds it shut; with flow,
//   drop = sqrt(crack² + loss(q)²) + loss'(0) q,
// so that the cracking drop fades into the full-open loss (the blend is ours; the linear term, 1/Re
// of the loss, keeps the slope positive at q = 0). Evaluate for q >= 0 only.
struct OneWayLaw {
  LossLaw loss;
  double crack;  // [m], >= 0

  DropSlope At(double q) const {
    const DropSlope open = loss.At(q);
    const double least_slope = loss.r * loss.q_linear;
    if (crack == 0.0) return {open.drop + least_slope * q, open.slope + least_slope};
    const double drop = std::hypot(crack, open.drop);
    return {drop + least_slope * q, open.drop * open.slope / drop + least_slope};
  }

  // A flow of about the right size for `drop` > crack [m].
  double FlowNear(double drop) const {
    return loss.FlowAt(std::sqrt((drop - crack) * (drop + crack)));
  }
};

// A check valve whose shut seat passes: backwards only the leak path; forwards the easier of leak
// path and open valve, so that the curve is continuous and strictly increasing.
struct PassingLaw {
  OneWayLaw open;
  LossLaw leak;

  DropSlope At(double q) const {
    const DropSlope leaking = leak.At(q);
    if (q <= 0.0) return leaking;
    const DropSlope opened = open.At(q);
    return leaking.drop < opened.drop ? leaking : opened;
  }

  // Whether the disc is lifted at q.
  bool IsOpenAt(double q) const { return q > 0.0 && open.At(q).drop <= leak.At(q).drop; }

  // The flow through the leak path alone at a drop of either sign [m].
  double LeakAt(double drop) const { return std::copysign(leak.FlowAt(std::abs(drop)), drop); }
};

}  // namespace handwheel
