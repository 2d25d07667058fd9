#include "correlations/pump_quadrants.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace handwheel {
namespace {

constexpr std::size_t kQuadrantPoints = 89;
using QuadrantCurve = std::array<double, kQuadrantPoints>;

// From memory of E. B. Wylie and V. L. Streeter, Fluid Transients, not compared with a second copy.
// They pass the checks that need none: closed, 0.500 at the rated point, a relative efficiency that
// is highest there (pump_quadrants_test.cc).

constexpr QuadrantCurve kHead147{
    -0.690, -0.599, -0.512, -0.418, -0.304, -0.181, -0.078, -0.011, 0.032,  0.074,  0.130,  0.190,
    0.265,  0.363,  0.461,  0.553,  0.674,  0.848,  1.075,  1.337,  1.629,  1.929,  2.180,  2.334,
    2.518,  2.726,  2.863,  2.948,  3.026,  3.015,  2.927,  2.873,  2.771,  2.640,  2.497,  2.441,
    2.378,  2.336,  2.288,  2.209,  2.162,  2.140,  2.109,  2.054,  1.970,  1.860,  1.735,  1.571,
    1.357,  1.157,  1.016,  0.927,  0.846,  0.744,  0.640,  0.500,  0.374,  0.191,  0.001,  -0.190,
    -0.384, -0.585, -0.786, -0.972, -1.185, -1.372, -1.500, -1.940, -2.160, -2.290, -2.350, -2.350,
    -2.230, -2.200, -2.130, -2.050, -1.970, -1.895, -1.810, -1.730, -1.600, -1.420, -1.130, -0.950,
    -0.930, -0.950, -1.000, -0.920, -0.690};
constexpr QuadrantCurve kTorque147{
    -1.420, -1.328, -1.211, -1.056, -0.870, -0.677, -0.573, -0.518, -0.380, -0.232, -0.160, 0.000,
    0.118,  0.308,  0.442,  0.574,  0.739,  0.929,  1.147,  1.370,  1.599,  1.839,  2.080,  2.300,
    2.480,  2.630,  2.724,  2.687,  2.715,  2.688,  2.555,  2.434,  2.288,  2.110,  1.948,  1.825,
    1.732,  1.644,  1.576,  1.533,  1.522,  1.519,  1.523,  1.523,  1.490,  1.386,  1.223,  1.048,
    0.909,  0.814,  0.766,  0.734,  0.678,  0.624,  0.570,  0.500,  0.407,  0.278,  0.146,  0.023,
    -0.175, -0.379, -0.585, -0.778, -1.008, -1.277, -1.560, -2.070, -2.480, -2.700, -2.770, -2.800,
    -2.800, -2.760, -2.710, -2.640, -2.540, -2.440, -2.340, -2.240, -2.120, -2.000, -1.940, -1.900,
    -1.900, -1.850, -1.750, -1.630, -1.420};
constexpr QuadrantCurve kHead261{
    -2.230, -2.000, -1.662, -1.314, -1.089, -0.914, -0.750, -0.601, -0.440, -0.284, -0.130, 0.055,
    0.222,  0.357,  0.493,  0.616,  0.675,  0.680,  0.691,  0.752,  0.825,  0.930,  1.080,  1.236,
    1.389,  1.548,  1.727,  1.919,  2.066,  2.252,  2.490,  2.727,  3.002,  3.225,  3.355,  3.475,
    3.562,  3.604,  3.582,  3.540,  3.477,  3.321,  3.148,  2.962,  2.750,  2.542,  2.354,  2.149,
    1.909,  1.702,  1.506,  1.310,  1.131,  0.947,  0.737,  0.500,  0.279,  0.082,  -0.112, -0.300,
    -0.505, -0.672, -0.797, -0.872, -0.920, -0.949, -0.960, -1.080, -1.300, -1.500, -1.700, -1.890,
    -2.080, -2.270, -2.470, -2.650, -2.810, -2.950, -3.040, -3.100, -3.150, -3.170, -3.170, -3.130,
    -3.070, -2.960, -2.820, -2.590, -2.230};
constexpr QuadrantCurve kTorque261{
    -2.260, -2.061, -1.772, -1.465, -1.253, -1.088, -0.921, -0.789, -0.632, -0.457, -0.300, -0.075,
    0.052,  0.234,  0.425,  0.558,  0.630,  0.621,  0.546,  0.525,  0.488,  0.512,  0.660,  0.850,
    1.014,  1.162,  1.334,  1.512,  1.683,  1.886,  2.105,  2.325,  2.580,  2.770,  2.886,  2.959,
    2.979,  2.962,  2.877,  2.713,  2.556,  2.403,  2.237,  2.080,  1.950,  1.826,  1.681,  1.503,
    1.301,  1.115,  0.960,  0.840,  0.750,  0.677,  0.604,  0.500,  0.352,  0.161,  -0.040, -0.225,
    -0.403, -0.545, -0.610, -0.662, -0.699, -0.719, -0.730, -0.810, -1.070, -1.360, -1.640, -1.880,
    -2.080, -2.270, -2.470, -2.650, -2.810, -2.950, -3.040, -3.100, -3.150, -3.170, -3.200, -3.160,
    -3.090, -2.990, -2.860, -2.660, -2.260};

constexpr double kQuadrantStep = std::numbers::pi / 44.0;

double QuadrantValue(const QuadrantCurve& curve, double angle) {
  const double place =
      std::clamp(angle / kQuadrantStep, 0.0, static_cast<double>(kQuadrantPoints - 1));
  const std::size_t i = std::min(static_cast<std::size_t>(place), kQuadrantPoints - 2);
  const double t = place - static_cast<double>(i);
  return curve[i] + t * (curve[i + 1] - curve[i]);
}

double QuadrantSlope(const QuadrantCurve& curve, double angle) {
  const double place =
      std::clamp(angle / kQuadrantStep, 0.0, static_cast<double>(kQuadrantPoints - 1));
  const std::size_t i = std::min(static_cast<std::size_t>(place), kQuadrantPoints - 2);
  return (curve[i + 1] - curve[i]) / kQuadrantStep;
}

bool IsAxial(double specific_speed) {
  return specific_speed > 204.0;
}

}  // namespace

double QuadrantAngle(double flow, double speed) {
  return std::numbers::pi + std::atan2(flow, speed);
}

double QuadrantTable::Head(double angle) const {
  return QuadrantValue(axial_ ? kHead261 : kHead147, angle);
}
double QuadrantTable::HeadSlope(double angle) const {
  return QuadrantSlope(axial_ ? kHead261 : kHead147, angle);
}
double QuadrantTable::Torque(double angle) const {
  return QuadrantValue(axial_ ? kTorque261 : kTorque147, angle);
}

QuadrantTable NearestQuadrants(double specific_speed) {
  return QuadrantTable(IsAxial(specific_speed));
}

double PumpInertia(double shaft_power, double rpm) {
  return 1.5e7 * std::pow(shaft_power / 1e3 / (rpm * rpm * rpm), 0.9556);
}

double MotorInertia(double shaft_power, double rpm) {
  return 118.0 * std::pow(shaft_power / 1e3 / rpm, 1.48);
}

double MechanicalTime(double inertia, double rpm, double shaft_power) {
  const double angular = rpm * std::numbers::pi / 30.0;
  return inertia * angular * angular / shaft_power;
}

}  // namespace handwheel
