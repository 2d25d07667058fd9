#ifndef HANDWHEEL_CORRELATIONS_PUMP_CORRELATIONS_H_
#define HANDWHEEL_CORRELATIONS_PUMP_CORRELATIONS_H_

#include <optional>

#include "correlations/cited.h"

// Formulas about centrifugal pumps. BEP: the best efficiency point. Speeds are in revolutions a
// minute, as the trade has them, and say so in their names.
namespace handwheel {

// ---- Specific speed -----------------------------------------------------------------------------

// ns = N Q^0.5/H^0.75 [rev/min, m³/s, m] at BEP: head per stage, flow per eye of a double-suction
// impeller. Source: Hydraulic Institute, engineering data text.
double SpecificSpeed(double speed_rpm, double flow, double head);
// The same number in rev/min, US gal/min and ft: 51.645 times.
double UsSpecificSpeed(double specific_speed);
// S = N Q^0.5/NPSHR^0.75, flow per eye; same source.
double SuctionSpecificSpeed(double speed_rpm, double flow, double npsh_required);

// ---- Affinity -----------------------------------------------------------------------------------

struct PumpDuty {
  double flow;   // [m³/s]
  double head;   // [m]
  double power;  // [W]
};
// The same point of the pump's curve at another speed: flow as the speed ratio, head as its square,
// power as its cube. Source: DOE Fundamentals Handbook DOE-HDBK-1012/3-92, pump laws.
PumpDuty AtSpeedRatio(const PumpDuty& duty, double speed_ratio);

// ---- Curves -------------------------------------------------------------------------------------

// head = shutoff_head - coefficient flow^exponent.
struct PowerCurve {
  double shutoff_head;  // A [m]
  double coefficient;   // B [m (s/m³)^C]
  double exponent;      // C [-]

  double Head(double flow) const;  // flow >= 0
};
struct CurvePoint {
  double flow;  // [m³/s]
  double head;  // [m]
};
// The curve through shut-off and two points. nullopt unless heads fall as flows grow from 0.
std::optional<PowerCurve> PowerCurveThrough(double shutoff_head, const CurvePoint& middle,
                                            const CurvePoint& far);

// Efficiency [-] where only that at BEP is known: best (2 q - q²), q = flow/best_flow; zero at shut
// off and at twice the best flow, and zero beyond. Common practice, no source.
double EfficiencyParabola(double best_efficiency, double flow, double best_flow);

// Rise of temperature [K] of liquid of heat capacity cp [J/(kg K)] through a pump:
// g H (1/eta - 1)/cp. Energy balance.
double TemperatureRise(double head, double efficiency, double heat_capacity, double gravity);

// ---- Suction ------------------------------------------------------------------------------------

struct SuctionState {
  double surface_pressure = 0.0;   // [Pa] absolute
  double vapour_pressure = 0.0;    // [Pa] absolute
  double density = 0.0;            // [kg/m³]
  double surface_elevation = 0.0;  // [m]
  double pump_elevation = 0.0;     // [m]
  double surface_velocity = 0.0;   // [m/s]
  double head_loss = 0.0;          // [m], from surface to pump
};
// NPSH available [m]: total head at the pump above the vapour head.
double NpshAvailable(const SuctionState& suction, double gravity);

// ---- Range --------------------------------------------------------------------------------------

struct FlowRange {
  double least;     // [-] of the flow at BEP
  double greatest;  // [-]
};
// Preferred operating region: 70 to 120 % of BEP; above ns 87 (US 4500) 80 to 120 %.
// Source: ANSI/HI 9.6.3-2012 as quoted in an article on pump selection (seen).
FlowRange PreferredRange(double specific_speed);
// Allowable operating region where the maker gives none: 30 % (ns up to 25), 40 % (up to 87) or 50
// % to 125 % of BEP. Common practice, no source: 20 to 30 % in small radial pumps, 40 to 50 % else;
// the curve ends at 120 to 130 %.
FlowRange AllowableRange(double specific_speed);

// ---- Viscous liquid, ANSI/HI 9.6.7 --------------------------------------------------------------

// A pump's water performance at BEP, per stage.
struct WaterDuty {
  double flow;        // [m³/s]
  double head;        // [m]
  double speed_rpm;   // [rev/min]
  double efficiency;  // [-]
};

// Multiply the water values: flow by flow_factor, head by HeadFactor, efficiency by
// efficiency_factor. Newtonian liquids of 1 to 4000 cSt, ns <= 60.
//   B = 16.5 nu^0.5 H^0.0625/(Q^0.375 N^0.25)   nu [cSt], Q [m³/h], H [m], N [rev/min]
//   B <= 1       CQ = CH = 1, C_eta = (1 - (1 - eta)(nu/1 cSt)^0.07)/eta
//   1 < B < 40   CQ = 2.71^(-0.165 (log10 B)^3.15), C_eta = B^(-0.0547 B^0.69)
//   B >= 40      outside the method: `applies` is false, factors are those at B = 40
// C_eta jumps at B = 1: the branch below it ends at less than 1. That is the standard's.
// Source: ANSI/HI 9.6.7 (a guide to it seen; the efficiency at B <= 1 from memory).
struct ViscousCorrection {
  double b;                  // [-]
  bool applies;              // B < 40
  double flow_factor;        // CQ [-], equal to the head factor at BEP
  double efficiency_factor;  // C_eta [-]

  // CH [-] = 1 - (1 - CQ) q^0.75, q the water flow over that at BEP.
  double HeadFactor(double flow_over_best) const;
};
ViscousCorrection CorrectForViscosity(const WaterDuty& best, double kinematic_viscosity);

// CQ = CH [-] to choose a pump for a viscous duty: water duty = viscous duty/factor.
//   B = 2.80 nu^0.5/(Q^0.25 H^0.125), likewise in cSt, m³/h and m, then as above, with C_eta 1 at
//   B <= 1, the efficiency on water being unknown.
// Source: ANSI/HI 9.6.7, from memory.
ViscousCorrection CorrectFromViscousDuty(double flow, double head, double kinematic_viscosity);

enum class SuctionInlet { kEnd, kSide };  // A = 0.1 and 0.5 below
// NPSHR of viscous liquid [m] from that of water at a flow [m³/s]:
//   NPSHR (1 + A (1/CH - 1) 274000 NPSHR/(Q^0.667 N^1.33)),  Q [m³/h], N [rev/min]
// Source: ANSI/HI 9.6.7, from memory.
double ViscousNpshRequired(double npsh_required, double head_factor, double flow, double speed_rpm,
                           SuctionInlet inlet);

// ---- Stopped pump -------------------------------------------------------------------------------

// A stopped pump is a path: head drop = k rated_head (flow/rated_flow)².
struct StoppedRotor {
  Cited held_forward;  // k [-], rotor held, flow in the pumping direction
  Cited held_reverse;  // flow driven backwards
  Cited free_forward;  // rotor turning freely (torque zero), as of a booster with flow forced past
  Cited free_reverse;  // runaway as a turbine
  Cited free_forward_speed;  // speed over rated per flow over rated [-], torque zero
  Cited free_reverse_speed;  // likewise; both are then reversed
};
// Of the only machine with all of them at hand, a mixed-flow pump of ns 147.
const StoppedRotor& MixedFlowStoppedRotor();

// k [-] where nothing is known of a radial pump, held, either way: 0.5 to 1. Common practice.
inline constexpr double kStoppedRadialK = 0.75;

// Reverse runaway speed over rated speed [-] of a pump driven backwards as a turbine under a head:
// 1.25 up to ns 40, 2.0 from ns 100, linear between (ours), times sqrt(head/rated_head). Source:
// "Reverse running speed", a maker's lexicon of centrifugal pumps (seen): +25 % for radial pumps of
// ns about 40, up to +100 % for axial pumps of ns 100 and more.
double ReverseRunawaySpeedRatio(double specific_speed, double head_over_rated);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_PUMP_CORRELATIONS_H_
