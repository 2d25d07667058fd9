#include "correlations/pump_correlations.h"

#include <algorithm>
#include <cmath>

#include "units/numbers.h"

namespace handwheel {
namespace {

constexpr double kCentistokes = 1e-6;  // [m²/s]
constexpr double kMethodLimit = 40.0;  // B from which ANSI/HI 9.6.7 does not hold
constexpr double kRoundedE = 2.71;     // as the standard prints it; e itself moves CQ by 0.0002

double FlowFactor(double b) {
  if (b <= 1.0) return 1.0;
  return std::pow(kRoundedE, -0.165 * std::pow(std::log10(b), 3.15));
}

// At B <= 1 efficiency and viscosity decide; above, B alone.
double EfficiencyFactor(double b, double efficiency, double kinematic_viscosity) {
  if (b > 1.0) return std::pow(b, -0.0547 * std::pow(b, 0.69));
  const double loss = (1.0 - efficiency) * std::pow(kinematic_viscosity / kCentistokes, 0.07);
  return (1.0 - loss) / efficiency;
}

constexpr Source kCharacteristics{
    Trust::kFromMemory,
    "from complete characteristics recalled from memory, ns 147 (US 7600, mixed flow; machine "
    "listed by V. L. Streeter, 1963)"};

}  // namespace

double SpecificSpeed(double speed_rpm, double flow, double head) {
  return speed_rpm * std::sqrt(flow) / std::pow(head, 0.75);
}

double UsSpecificSpeed(double specific_speed) {
  constexpr double kUsGallon = 231.0 * 1.6387064e-5;  // [m³]
  constexpr double kFoot = 0.3048;                    // [m]
  return specific_speed * std::sqrt(60.0 / kUsGallon) * std::pow(kFoot, 0.75);
}

double SuctionSpecificSpeed(double speed_rpm, double flow, double npsh_required) {
  return SpecificSpeed(speed_rpm, flow, npsh_required);
}

PumpDuty AtSpeedRatio(const PumpDuty& duty, double speed_ratio) {
  const double square = speed_ratio * speed_ratio;
  return {duty.flow * speed_ratio, duty.head * square, duty.power * square * speed_ratio};
}

double PowerCurve::Head(double flow) const {
  return shutoff_head - coefficient * std::pow(flow, exponent);
}

std::optional<PowerCurve> PowerCurveThrough(double shutoff_head, const CurvePoint& middle,
                                            const CurvePoint& far) {
  const bool flows_grow = 0.0 < middle.flow && middle.flow < far.flow;
  const bool heads_fall = shutoff_head > middle.head && middle.head > far.head;
  if (!flows_grow || !heads_fall) return std::nullopt;
  const double exponent = std::log((shutoff_head - far.head) / (shutoff_head - middle.head)) /
                          std::log(far.flow / middle.flow);
  const double coefficient = (shutoff_head - middle.head) / std::pow(middle.flow, exponent);
  return PowerCurve{shutoff_head, coefficient, exponent};
}

double EfficiencyParabola(double best_efficiency, double flow, double best_flow) {
  const double q = flow / best_flow;
  return std::max(0.0, best_efficiency * q * (2.0 - q));
}

double TemperatureRise(double head, double efficiency, double heat_capacity, double gravity) {
  return gravity * head * (1.0 / efficiency - 1.0) / heat_capacity;
}

double NpshAvailable(const SuctionState& suction, double gravity) {
  const double pressure_head =
      (suction.surface_pressure - suction.vapour_pressure) / (suction.density * gravity);
  const double velocity_head =
      suction.surface_velocity * suction.surface_velocity / (2.0 * gravity);
  return pressure_head + suction.surface_elevation - suction.pump_elevation + velocity_head -
         suction.head_loss;
}

FlowRange PreferredRange(double specific_speed) {
  return {specific_speed > 87.0 ? 0.8 : 0.7, 1.2};
}

FlowRange AllowableRange(double specific_speed) {
  constexpr double kCurveEnd = 1.25;
  if (specific_speed <= 25.0) return {0.3, kCurveEnd};
  return {specific_speed <= 87.0 ? 0.4 : 0.5, kCurveEnd};
}

double ViscousCorrection::HeadFactor(double flow_over_best) const {
  return 1.0 - (1.0 - flow_factor) * std::pow(flow_over_best, 0.75);
}

ViscousCorrection CorrectForViscosity(const WaterDuty& best, double kinematic_viscosity) {
  const double b = 16.5 * std::sqrt(kinematic_viscosity / kCentistokes) *
                   std::pow(best.head, 0.0625) /
                   (std::pow(best.flow * kHour, 0.375) * std::pow(best.speed_rpm, 0.25));
  const double within = std::min(b, kMethodLimit);
  return {.b = b,
          .applies = b < kMethodLimit,
          .flow_factor = FlowFactor(within),
          .efficiency_factor = EfficiencyFactor(within, best.efficiency, kinematic_viscosity)};
}

ViscousCorrection CorrectFromViscousDuty(double flow, double head, double kinematic_viscosity) {
  const double b = 2.80 * std::sqrt(kinematic_viscosity / kCentistokes) /
                   (std::pow(flow * kHour, 0.25) * std::pow(head, 0.125));
  const double within = std::min(b, kMethodLimit);
  return {.b = b,
          .applies = b < kMethodLimit,
          .flow_factor = FlowFactor(within),
          .efficiency_factor = EfficiencyFactor(within, 1.0, kinematic_viscosity)};
}

double ViscousNpshRequired(double npsh_required, double head_factor, double flow, double speed_rpm,
                           SuctionInlet inlet) {
  const double a = inlet == SuctionInlet::kEnd ? 0.1 : 0.5;
  const double size =
      274000.0 * npsh_required / (std::pow(flow * kHour, 0.667) * std::pow(speed_rpm, 1.33));
  return npsh_required * (1.0 + a * (1.0 / head_factor - 1.0) * size);
}

// From the head and torque curves WH and WB: held, no speed, k = WH; free, where WB changes sign,
// k = WH (1 + (speed/flow)²).
const StoppedRotor& MixedFlowStoppedRotor() {
  static constexpr StoppedRotor kRotor{
      .held_forward = {1.500, kCharacteristics},
      .held_reverse = {2.180, kCharacteristics},
      .free_forward = {0.273, kCharacteristics},
      .free_reverse = {0.380, kCharacteristics},
      .free_forward_speed = {0.535, kCharacteristics},
      .free_reverse_speed = {1.000, kCharacteristics},
  };
  return kRotor;
}

double ReverseRunawaySpeedRatio(double specific_speed, double head_over_rated) {
  const double between = std::clamp((specific_speed - 40.0) / (100.0 - 40.0), 0.0, 1.0);
  return (1.25 + 0.75 * between) * std::sqrt(head_over_rated);
}

}  // namespace handwheel
