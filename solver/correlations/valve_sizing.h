#ifndef HANDWHEEL_CORRELATIONS_VALVE_SIZING_H_
#define HANDWHEEL_CORRELATIONS_VALVE_SIZING_H_

#include <string_view>

#include "correlations/flow_coefficient.h"

// Flow of liquid through a valve after IEC 60534-2-1 (ISA-75.01.01), from memory of the standard.
// Its constants N only carry units. Here the valve is told by K [-], its resistance coefficient on
// the velocity head in its own bore d [m], K = N2 d⁴/C² (FlowCoefficient), and they vanish:
//   piping geometry  FP   = 1/sqrt(1 + SumK/K)
//   Reynolds number  Rev  = Fd Re (K + FL²)^(1/4)/sqrt(FL),  Re that in the bore
//   full-size trim   n1   = K
// Throughout: pressures [Pa] absolute; fl is the liquid pressure recovery factor FL [-], fd the
// valve style modifier Fd [-].
namespace handwheel {

// ---- Choking ------------------------------------------------------------------------------------

// FF = 0.96 - 0.28 sqrt(pv/pc) [-]: the pressure in the vena contracta of choked flow over the
// vapour pressure. pc is the critical pressure of the liquid (water: 22.064 MPa).
double CriticalPressureRatioFactor(double vapour_pressure, double critical_pressure);

// Drop [Pa] from which a valve passes no more: FL² (p1 - FF pv). With reducers take FLP/FP for fl.
double ChokedDrop(double inlet_pressure, double vapour_pressure, double ff, double fl);

// ---- Reducers -----------------------------------------------------------------------------------

// Losses [-] of the reducers on both sides of a valve, on the velocity head in the valve's bore.
struct Reducers {
  double inlet_loss = 0.0;        // K1 = 0.5 (1 - (d/D1)²)²
  double outlet_loss = 0.0;       // K2 = (1 - (d/D2)²)²
  double inlet_bernoulli = 0.0;   // KB1 = 1 - (d/D1)⁴
  double outlet_bernoulli = 0.0;  // KB2 = 1 - (d/D2)⁴

  // SumK: what the static pressures measured in the pipes see. The two KB cancel between pipes of
  // one bore.
  double Sum() const { return inlet_loss + outlet_loss + inlet_bernoulli - outlet_bernoulli; }
  double Inlet() const { return inlet_loss + inlet_bernoulli; }  // from the pipe to the valve
  double Losses() const { return inlet_loss + outlet_loss; }     // of total head
};

// valve_bore, inlet_bore, outlet_bore  [m], of the valve and of the pipes
Reducers ReducersAround(double valve_bore, double inlet_bore, double outlet_bore);

// FP [-] = sqrt(K/(K + SumK)): flow coefficient with reducers over that without.
double PipingGeometryFactor(double k, const Reducers& reducers);

// FLP [-] = 1/sqrt((K1 + KB1)/K + 1/FL²): FL FP of valve and reducers together. As the opening goes
// to zero FLP goes to FL.
double CombinedRecoveryFactor(double k, double fl, const Reducers& reducers);

// ---- Viscous flow -------------------------------------------------------------------------------

// Rev / Re [-], Re = V d/nu in the valve's bore. The standard's N4 (0.0707 for Q in m³/h, nu in
// m²/s and Kv) is sqrt(4 sqrt(2)/pi) = 1.34189 in SI, rounded: Rev is the Reynolds number of a
// round jet that carries Fd Q and keeps the velocity of the vena contracta.
double ValveReynoldsRatio(double k, double fl, double fd);

// Rev [-] of a flow [m³/s] through a valve of some bore [m]; kinematic viscosity [m²/s].
double ValveReynolds(double flow, double bore, double kinematic_viscosity, double k, double fl,
                     double fd);

// n [-] of the standard's FR, from K fully open and at the opening in question. The standard has
//   full-size trim  n1 = K
//   reduced trim    n2 = 1 + N32 (C/d²)^(2/3), where C/d² < 0.016 N18 (N32 = 140 with Kv, mm)
// Here n = min(K fully open, n2 at the opening): the standard's for a valve fully open, but for
// C/d² between 0.0155 N18, where n1 and n2 cross, and 0.016 N18, where it jumps from one to the
// other by 8 %. n1 is not taken at part opening: with it a valve closing from K = 1 to 9 would pass
// more and more laminar flow at the same drop. So n never rises, and the flow falls, on closing.
//
// Not less than n1 at C/d² = 0.047 N18, n = 0.968: the standard's own limit of use. Full-bore
// valves (K 0.05) lie beyond it and are given that n; at their own the formulas would make FR
// negative. They lose next to nothing anyhow.
struct TrimResistance {
  double full_open;   // K [-] fully open
  double at_opening;  // K [-] as the valve stands
};
double ViscousTrimFactor(const TrimResistance& k);

// FR [-], flow in viscous over that in turbulent flow at the same drop: Q = FR Av sqrt(dp/rho).
//   laminar       FR = (0.026/FL) sqrt(n Rev)
//   transitional  FR = 1 + (0.33 sqrt(FL)/n^(1/4)) log10(Rev/1e4)
//   turbulent     FR = 1
// each exact outside the rounded corners. Trust it to 10 to 20 %, Newtonian liquids without
// reducers; the standard neither combines FR with FP nor with choking.
//
// The standard changes from laminar to the smallest of the three at Rev = 10, where FR falls by up
// to 97 % (n = 0.97, FL = 1) although Rev grows. Here the laminar branch goes on to where the
// transitional one crosses it from above (the upper of the two crossings), whether that is above 10
// or not: equal to the standard but for a stretch between 10 and a crossing, within 6 < Rev < 24
// for 0.3 <= FL <= 1 and there only if FL < 0.4 or n < 1.5 (see valve_sizing_test.cc).
//
// Both corners are rounded in ln FR by a quadratic over |difference of the branches| < h, which
// takes h/4 off at the corner: 2.5 % at laminar/transitional (h = 0.1), 0.5 % at Rev = 1e4
// (h = 0.02). Hence FR is C1 with 0 <= d ln FR/d ln Rev <= 1/2, and the drop, as (q/FR(q))², is C1,
// strictly increasing, and just linear in q below laminar_to.
struct ViscousFactor {
  struct Value {
    double fr;            // [-]
    double dlnfr_dlnrev;  // [-]
  };

  // n  [-], ViscousTrimFactor; fl [-], 0.2 < fl <= 1
  ViscousFactor(double n, double fl);
  // The same for rev >= kAboveLaminar, without finding where laminar flow ends, which takes most of
  // the time: that is below for every n >= 0.968 and fl <= 1.
  static ViscousFactor AboveLaminar(double n, double fl) { return {n, fl, 0.0, 0.0}; }
  static constexpr double kAboveLaminar = 1000.0;

  // rev >= 0.
  Value At(double rev) const;

  double laminar;            // FR/sqrt(Rev) [-] of the laminar branch
  double transitional;       // dFR/d ln Rev [-] of the transitional branch
  double laminar_to;         // Rev [-] up to which FR is laminar to round-off,
  double transitional_from;  // from which transitional,
  double transitional_to;    // to which,
  double turbulent_from;     // and from which 1

 private:
  ViscousFactor(double n, double fl, double laminar_end, double transitional_start);
  double Transitional(double ln_rev) const;
  double CornerAt(double ratio) const;
};

// ---- Cavitation ---------------------------------------------------------------------------------

struct CavitationIndices {
  double sigma;       // [-] (p1 - pv)/(p1 - p2), after ISA-RP75.23
  double sigma2;      // [-] (p2 - pv)/(p1 - p2) = sigma - 1
  double drop_ratio;  // xF [-] = 1/sigma
};
CavitationIndices CavitationIndicesOf(double inlet_pressure, double outlet_pressure,
                                      double vapour_pressure);

// xFz [-], the drop ratio at which cavitation becomes audible, where nobody measured it:
//   xFz = 0.90/sqrt(1 + 3 Fd sqrt(Kv/FL)),  Kv in m³/h, inlet at 6 bar absolute
// Source: IEC 60534-8-4, from memory. An estimate; measured values differ by a third.
double AudibleCavitationRatio(FlowCoefficient coefficient, double fl, double fd);
// xFz at another inlet pressure: times (6 bar/p1)^0.125. Same source.
double AudibleCavitationRatioAt(double ratio_at_6_bar, double inlet_pressure);

// Screening of globe-type valves by sigma, from a secondary source: from 2.0 "none", 1.7
// "incipient", 1.5 "constant", 1.2 "damaging", below "near choking". Valves of low FL (ball,
// butterfly, pinch, straight-through diaphragm) cavitate at higher sigma.
std::string_view SigmaBand(double sigma);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_VALVE_SIZING_H_
