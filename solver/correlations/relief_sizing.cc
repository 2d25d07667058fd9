#include "correlations/relief_sizing.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace handwheel {
namespace {

constexpr double kSquareInch = 0.0254 * 0.0254;  // [m²]

constexpr std::array<ReliefOrifice, 14> kOrifices{{{'D', 0.110 * kSquareInch},
                                                   {'E', 0.196 * kSquareInch},
                                                   {'F', 0.307 * kSquareInch},
                                                   {'G', 0.503 * kSquareInch},
                                                   {'H', 0.785 * kSquareInch},
                                                   {'J', 1.287 * kSquareInch},
                                                   {'K', 1.838 * kSquareInch},
                                                   {'L', 2.853 * kSquareInch},
                                                   {'M', 3.60 * kSquareInch},
                                                   {'N', 4.34 * kSquareInch},
                                                   {'P', 6.38 * kSquareInch},
                                                   {'Q', 11.05 * kSquareInch},
                                                   {'R', 16.0 * kSquareInch},
                                                   {'T', 26.0 * kSquareInch}}};

}  // namespace

double ReliefDrop(double set_pressure, double overpressure, double back_pressure) {
  return set_pressure * (1.0 + overpressure) - back_pressure;
}

double ReliefArea(double flow, double density, double drop, const ReliefFactors& factors) {
  const double reduction = factors.discharge * factors.back_pressure * factors.rupture_disk *
                           factors.viscosity * factors.overpressure;
  return flow / reduction * std::sqrt(density / (2.0 * drop));
}

double ReliefReynolds(double flow, double area, double kinematic_viscosity) {
  const double diameter = std::sqrt(4.0 * area / std::numbers::pi);
  return 4.0 * flow / (std::numbers::pi * diameter * kinematic_viscosity);
}

double ReliefViscosityFactor(double re) {
  const double root = std::sqrt(re);
  return std::min(1.0, 1.0 / (0.9935 + 2.878 / root + 342.75 / (root * re)));
}

std::optional<ReliefOrifice> LeastReliefOrifice(double area) {
  for (const ReliefOrifice& orifice : kOrifices) {
    if (orifice.area >= area) return orifice;
  }
  return std::nullopt;
}

}  // namespace handwheel
