#ifndef HANDWHEEL_CORRELATIONS_VALVE_CHARACTERISTIC_H_
#define HANDWHEEL_CORRELATIONS_VALVE_CHARACTERISTIC_H_

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "correlations/cited.h"
#include "correlations/monotone_cubic.h"

namespace handwheel {

struct CharacteristicPoint {
  double opening;               // [-] fraction of travel, 0 shut, 1 fully open
  double relative_coefficient;  // [-] flow coefficient there over that fully open
};

// What is known of a kind of valve before its maker's table is. Real bodies differ by 30 % in
// full-open K and the relative coefficients by 10 to 20 %.
struct ValveKind {
  std::string_view name;
  std::string_view what_it_is;
  std::string_view when_not_to_use;

  double full_open_k;  // [-] on the velocity head in the valve's bore, taken equal to the DN
  Source full_open_k_source;
  // Rising from {0, 0} to {1, 1}. Zero at shut: what a seat passes is a matter of leakage.
  std::span<const CharacteristicPoint> characteristic;
  Source characteristic_source;

  // FL [-], liquid pressure recovery factor of IEC 60534-2-1; see PressureRecovery().
  Cited recovery_fully_open;
  Cited recovery_nearly_shut;
  Cited style_modifier;  // Fd [-], of the same standard

  bool quarter_turn;        // a lever or gear turns it by 90 degrees; else a stem rises
  Cited travel_over_bore;   // stem travel over DN [-]; 0 of a quarter-turn valve
  Cited turns_of_any_size;  // of the handwheel (lever: 0.25); 0: travel over StemLead()

  Cited turndown;        // largest over smallest flow coefficient it controls well [-]
  Cited least_throttle;  // opening [-] below which it throttles badly or wears

  CitedFitness throttling;
  CitedFitness solids;  // grit, fibres or sludge in the liquid
  CitedFitness slurry;  // settling and abrasive
  CitedFitness vacuum;  // line below atmospheric pressure
};

// Turned clockwise, seen from above the handwheel, every kind shuts (common practice).
inline constexpr bool kClockwiseShuts = true;

const ValveKind* FindValveKind(std::string_view name);  // nullptr: no such kind
std::vector<std::string> ValveKindNames();

// Relative flow coefficient against opening, through the kind's points.
MonotoneCubic RelativeCoefficient(const ValveKind& kind);

// Of an equal-percentage valve of another rangeability R > 1: R^(h-1) from h = 0.05 up, through the
// same openings as the kind's own curve, and from there to zero at shut.
MonotoneCubic EqualPercentage(double rangeability);

// FL [-] at an opening: linear between nearly shut and fully open. That FL rises as rotary, pinch
// and diaphragm valves close is common practice; the straight run is ours.
double PressureRecovery(const ValveKind& kind, double opening);

// Travel of the stem from shut to fully open [m]; 0 of a quarter-turn valve.
double StemTravel(const ValveKind& kind, double nominal_bore);

// Rise of a stem per turn of the handwheel [m]: 2 mm + 3 % of the DN. Common practice, no source:
// threads of 2.5 mm (DN 15) to 5 mm (DN 100).
double StemLead(double nominal_bore);

// Turns of the handwheel from shut to fully open, from the DN [m]; common practice, to 50 %.
double HandwheelTurns(const ValveKind& kind, double nominal_bore);

// Thickness [m] of a rubber or PTFE lining in a body of a DN [m]; the bore loses twice that where
// the body is not cast wider. Common practice, no source: 2 mm to DN 25, 3 mm to DN 200, 4.5 mm to
// DN 400, 6 mm above.
double DefaultLiningThickness(double nominal_bore);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_VALVE_CHARACTERISTIC_H_
