#pragma once

#include <cmath>

#include "components/loss_law.h"
#include "correlations/valve_sizing.h"

namespace handwheel {

// A valve whose flow coefficient viscosity lessens: drop = r q² / FR(Rev)², Rev proportional to q.
// FR falls as sqrt(Rev) in laminar flow, so that the drop is linear in q there.
struct ViscousLossLaw {
  double r;             // turbulent [s²/m⁵]
  double rev_per_flow;  // valve Reynolds number / |q| [s/m³]
  ViscousFactor factor;
  double laminar;  // drop / q of laminar flow [s/m²]

  DropSlope At(double q) const {
    const double size = std::abs(q);
    const double rev = rev_per_flow * size;
    if (rev <= factor.laminar_to) return {laminar * q, laminar};
    const ViscousFactor::Value at = factor.At(rev);
    const double ratio = r * size / (at.fr * at.fr);  // drop / q
    return {ratio * q, ratio * (2.0 - 2.0 * at.dlnfr_dlnrev)};
  }
};

}  // namespace handwheel
