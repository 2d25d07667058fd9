#pragma once

#include <algorithm>
#include <cmath>

#include "components/loss_law.h"

namespace handwheel {

// Passes liquid forward only. At no flow every drop up to `crack` holds it shut; from there to the
// flow that lifts it fully, full_flow, its disc floats:
//   drop = crack + (full_drop - crack) (q / full_flow)^power,   full_drop = loss(full_flow),
// with the power that joins the slope of the loss at full lift: nearly flat where the cracking drop
// is a good part of full_drop, the plain loss where there is none. Beyond, the loss of the open
// valve. The shape is ours; its ends are the valve's. A term 1/Re of the loss, linear in q, keeps
// the slope positive at q = 0. Evaluate for q >= 0 only.
struct OneWayLaw {
  LossLaw loss;
  double crack = 0.0;      // [m], >= 0
  double full_flow = 0.0;  // [m³/s]
  double full_drop = 0.0;  // [m]
  double power = 2.0;

  static OneWayLaw WithoutCracking(const LossLaw& loss) { return {.loss = loss}; }

  // crack < full_drop.
  static OneWayLaw Floating(const LossLaw& loss, double crack, double full_drop) {
    if (crack <= 0.0) return WithoutCracking(loss);
    OneWayLaw law{.loss = loss, .crack = crack};
    law.full_flow = loss.FlowAt(full_drop);
    law.full_drop = full_drop;
    law.power = loss.At(law.full_flow).slope * law.full_flow / (full_drop - crack);
    return law;
  }

  // Lifts in proportion to the drop beyond `crack`, up to full_flow; there the slope jumps up to
  // that of the loss: a relief valve against its spring.
  static OneWayLaw Proportional(const LossLaw& loss, double crack, double full_drop) {
    OneWayLaw law = Floating(loss, crack, full_drop);
    law.power = 1.0;
    return law;
  }

  DropSlope At(double q) const {
    const double least_slope = loss.r * loss.q_linear;
    if (q >= full_flow) {
      const DropSlope open = loss.At(q);
      return {open.drop + least_slope * q, open.slope + least_slope};
    }
    const double v = q / full_flow;
    const double part = (full_drop - crack) * std::pow(v, power - 1.0);
    return {crack + part * v + least_slope * q, power * part / full_flow + least_slope};
  }

  // A flow of about the right size for `drop` > crack [m].
  double FlowNear(double drop) const {
    if (drop >= full_drop) return loss.FlowAt(drop);
    return full_flow * std::pow((drop - crack) / (full_drop - crack), 1.0 / power);
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
