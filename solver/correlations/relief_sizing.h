#ifndef HANDWHEEL_CORRELATIONS_RELIEF_SIZING_H_
#define HANDWHEEL_CORRELATIONS_RELIEF_SIZING_H_

#include <optional>
#include <string_view>

// Area of relief valves for liquid after API 520-I, and the orifice letters of API 526; both from
// memory. A screening aid: the sizing of a protective device is for a licensed engineer with the
// standard and the maker's certified figures at hand.
namespace handwheel {

struct ReliefFactors {
  double discharge = 0.65;     // Kd [-], valve certified for liquid; 0.62 not certified, or disk
  double back_pressure = 1.0;  // Kw [-], less than 1 only with balanced bellows, from its chart
  double rupture_disk = 1.0;   // Kc [-], 0.9 with a disk upstream and no certified combination
  double viscosity = 1.0;      // Kv [-], ReliefViscosityFactor()
  double overpressure = 1.0;   // Kp [-], valves not certified: 1 at 25 % overpressure, else chart
};

// Pressure drop [Pa] to size with: set pressure and overpressure less the total back pressure, all
// gauge. Certified valves: overpressure 0.10 usual; not certified: 0.25 with Kp at the actual one.
double ReliefDrop(double set_pressure, double overpressure, double back_pressure);

// Area [m²] = Q/(Kd Kw Kc Kv Kp) sqrt(rho/(2 dp)): the standard's 38 gpm/(in² psi^0.5) and its
// 11.78 in litres a minute, kPa and mm² are this, rounded (0.04 %).
double ReliefArea(double flow, double density, double drop, const ReliefFactors& factors);

// Re [-] = 4 Q/(pi d nu), d the diameter of a circle of the orifice's area [m²]; kinematic
// viscosity [m²/s]. The standard's 2800 Q G/(mu sqrt A) and 18800 likewise.
double ReliefReynolds(double flow, double area, double kinematic_viscosity);
// Kv [-] = 1/(0.9935 + 2.878/Re^0.5 + 342.75/Re^1.5), not above 1.
double ReliefViscosityFactor(double re);

struct ReliefOrifice {
  char letter;
  double area;  // [m²], effective
};
// The least lettered orifice of at least this area [m²]; nullopt: above T.
std::optional<ReliefOrifice> LeastReliefOrifice(double area);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_RELIEF_SIZING_H_
