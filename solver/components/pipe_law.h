#pragma once

#include <cmath>

#include "components/loss_law.h"
#include "correlations/friction.h"
#include "correlations/hazen_williams.h"

namespace handwheel {

// Darcy-Weisbach with fittings:
//   drop = (f(Re) L/D + K + K1/Re) V²/2g,   V = q/A,   Re = |V| D/nu
// The laminar branch and the K1 term are linear in q and are kept so, which makes q = 0 harmless.
struct PipeLaw {
  PipeFriction friction;
  double re_per_flow;      // Re / |q| [s/m³]
  double laminar;          // drop / q of 64/Re flow [s/m²]
  double turbulent;        // drop / (f q²) [s²/m⁵]
  double minor_linear;     // of the K1/Re terms [s/m²]
  double minor_quadratic;  // of the K terms [s²/m⁵]
  double laminar_limit;    // Re up to which 64/Re is used as such; 1 for Churchill's formula, which
                           // covers every regime itself and equals 64/Re to round-off there

  DropSlope At(double q) const {
    const double size = std::abs(q);
    const double re = re_per_flow * size;
    const double minor = minor_quadratic * size;
    if (re <= laminar_limit) {
      return {(laminar + minor_linear + minor) * q, laminar + minor_linear + 2.0 * minor};
    }
    const Friction at = friction.At(re);
    const double wall = turbulent * at.f * size;  // drop / q
    return {(wall + minor_linear + minor) * q,
            wall * (2.0 + at.dlnf_dlnre) + minor_linear + 2.0 * minor};
  }
};

// Hazen-Williams with fittings.
struct HazenWilliamsLaw {
  HazenWilliams wall;
  double minor_linear;     // [s/m²]
  double minor_quadratic;  // [s²/m⁵]

  DropSlope At(double q) const {
    const double minor = minor_quadratic * std::abs(q);
    const HazenWilliams::Loss at = wall.At(q);
    return {at.head + (minor_linear + minor) * q, at.slope + minor_linear + 2.0 * minor};
  }
};

}  // namespace handwheel
