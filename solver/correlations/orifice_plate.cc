#include "correlations/orifice_plate.h"

#include <cmath>
#include <utility>

namespace handwheel {
namespace {

constexpr double kMillimetre = 1e-3;            // [m]
constexpr double kInchInMm = 25.4;              // [mm]
constexpr double kSmallPipe = 2.8 * kInchInMm;  // 71.12 mm

// L1 and L2 [-]: upstream and downstream distance of the tappings from the plate, over the bore.
std::pair<double, double> TappingDistances(PressureTappings tappings, double pipe_mm) {
  switch (tappings) {
    case PressureTappings::kCorner:
      return {0.0, 0.0};
    case PressureTappings::kRadius:
      return {1.0, 0.47};
    case PressureTappings::kFlange:
      break;
  }
  return {kInchInMm / pipe_mm, kInchInMm / pipe_mm};
}

// sqrt(1 - b⁴ (1 - C²)), of eq. (7).
double LossRoot(double b, double c) {
  return std::sqrt(1.0 - std::pow(b, 4) * (1.0 - c * c));
}

}  // namespace

double OrificePlate::DischargeCoefficient(double re) const {
  const double b = DiameterRatio();
  const double pipe_mm = pipe_bore / kMillimetre;
  const auto [l1, l2] = TappingDistances(tappings, pipe_mm);
  const double b4 = std::pow(b, 4);
  const double a = std::pow(19000.0 * b / re, 0.8);
  const double m2 = 2.0 * l2 / (1.0 - b);
  const double plate = 0.5961 + 0.0261 * b * b - 0.216 * b4 * b4;
  const double reynolds = 0.000521 * std::pow(1e6 * b / re, 0.7) +
                          (0.0188 + 0.0063 * a) * std::pow(b, 3.5) * std::pow(1e6 / re, 0.3);
  const double upstream = (0.043 + 0.080 * std::exp(-10.0 * l1) - 0.123 * std::exp(-7.0 * l1)) *
                          (1.0 - 0.11 * a) * b4 / (1.0 - b4);
  const double downstream = -0.031 * (m2 - 0.8 * std::pow(m2, 1.1)) * std::pow(b, 1.3);
  const double small_pipe =
      pipe_mm < kSmallPipe ? 0.011 * (0.75 - b) * (2.8 - pipe_mm / kInchInMm) : 0.0;
  return plate + reynolds + upstream + downstream + small_pipe;
}

// Source: ISO 5167-2:2003, 5.3.1 (D, b and 5000 seen; the rest from memory).
std::vector<std::string> OrificePlate::BrokenLimits(double re) const {
  const double b = DiameterRatio();
  const double pipe_mm = pipe_bore / kMillimetre;
  std::vector<std::string> broken;
  if (bore < 12.5 * kMillimetre) broken.emplace_back("the orifice is below 12.5 mm");
  if (pipe_mm < 50.0 || pipe_mm > 1000.0) {
    broken.emplace_back("the pipe's bore is outside 50 to 1000 mm");
  }
  if (b < 0.10 || b > 0.75) broken.emplace_back("the diameter ratio is outside 0.10 to 0.75");
  const double least_re = b <= 0.56 ? 5000.0 : 16000.0 * b * b;
  if (re < least_re) {
    broken.emplace_back("the Reynolds number is below 5000, or 16000 b2 with b above 0.56");
  }
  if (tappings == PressureTappings::kFlange && re < 170.0 * b * b * pipe_mm) {
    broken.emplace_back("the Reynolds number is below 170 b2 D[mm], with flange tappings");
  }
  return broken;
}

// Source: ISO 5167-2:2003, 5.3.3.1 (partly from memory).
double OrificePlate::Uncertainty(double re) const {
  const double b = DiameterRatio();
  const double pipe_mm = pipe_bore / kMillimetre;
  double percent = 0.5;
  if (b < 0.2) percent = 0.7 - b;
  if (b > 0.6) percent = 1.667 * b - 0.5;
  if (pipe_mm < kSmallPipe) percent += 0.9 * (0.75 - b) * (2.8 - pipe_mm / kInchInMm);
  if (b > 0.5 && re < 1e4) percent += 0.5;
  return 0.01 * percent;
}

double PermanentLossRatio(double diameter_ratio, double discharge_coefficient) {
  const double root = LossRoot(diameter_ratio, discharge_coefficient);
  const double jet = discharge_coefficient * diameter_ratio * diameter_ratio;
  return (root - jet) / (root + jet);
}

double OrificePlateK(double diameter_ratio, double discharge_coefficient) {
  const double jet = discharge_coefficient * diameter_ratio * diameter_ratio;
  const double excess = LossRoot(diameter_ratio, discharge_coefficient) / jet - 1.0;
  return excess * excess;
}

}  // namespace handwheel
