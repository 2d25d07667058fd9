#ifndef HANDWHEEL_CORRELATIONS_CHECK_VALVE_KIND_H_
#define HANDWHEEL_CORRELATIONS_CHECK_VALVE_KIND_H_

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "correlations/cited.h"

namespace handwheel {

enum class Orientation { kHorizontal, kVerticalUp, kVerticalDown };  // of the forward flow
std::string_view OrientationName(Orientation orientation);  // "horizontal", "vertical up", ...
std::optional<Orientation> OrientationFromName(std::string_view name);
std::vector<std::string> OrientationNames();

// What helps the closing part shut beside its own weight.
enum class ClosingAid { kNone, kSpring, kWeight };
std::string_view ClosingAidName(ClosingAid aid);  // "none", "spring", "weight"
std::optional<ClosingAid> ClosingAidFromName(std::string_view name);
std::vector<std::string> ClosingAidNames();

// What is known of a kind of check valve before its maker's data is. It stops bulk reverse flow; it
// is never isolation.
struct CheckValveKind {
  std::string_view name;
  std::string_view what_it_is;
  std::string_view when_not_to_use;

  // Fully open K = resistance fT, fT the fully rough friction factor of clean steel.
  Cited resistance;  // [-]
  // The least velocity that holds it fully open, V [ft/s] = constant / sqrt(rho [lb/ft³]).
  Cited minimum_velocity_constant;  // [ft/s (lb/ft³)^0.5]

  Cited weight_horizontal;   // cracking pressure by the closing part's own weight [Pa]
  Cited weight_vertical_up;  // likewise; in downward flow it pulls the valve open instead
  Cited spring_adds;         // what a spring adds to it [Pa]
  Cited counterweight_adds;  // what a lever and weight, or a heavier closing part, adds [Pa]

  CitedFitness horizontal;
  CitedFitness vertical_up;
  CitedFitness vertical_down;
  CitedFitness solids;  // with rags, grit or sludge; where it does not suit the valve is suspect

  Cited slam_lag;  // from flow reversal to shut [s], without a spring

  const CitedFitness& Fitness(Orientation orientation) const;
};

// "swing", "lift" (globe body, i.e. the horizontal pattern), "lift horizontal", "lift vertical",
// "ball". nullptr: no such kind.
const CheckValveKind* FindCheckValveKind(std::string_view name);
std::vector<std::string> CheckValveKindNames();

// ---- Loss ---------------------------------------------------------------------------------------

// K [-] fully open on the velocity head in a bore [m].
double FullOpenK(const CheckValveKind& kind, double bore);

// The least velocity in the bore [m/s] that holds the valve fully open: 1.2199 constant/sqrt(rho).
// Without a spring or counterweight. Source: the tables of the fT method, from memory.
double MinimumVelocity(const CheckValveKind& kind, double density);

// Cracking pressure [Pa] by default, not below 0: weight in that orientation and what aids it.
double CrackingPressure(const CheckValveKind& kind, ClosingAid aid, Orientation orientation);

// Drop [Pa] at which a valve of full-open loss coefficient k is just fully open: K rho Vmin²/2,
// which for one of its kind's K and minimum velocity is the same for every liquid; but no less than
// twice the cracking pressure with a spring, whose force grows over the stroke, and 1.5 times
// without (common practice, no source). Between cracking and this drop the closing part floats.
double FullLiftDrop(double k, double density, double minimum_velocity, double cracking_pressure,
                    ClosingAid aid);

// Velocity in the bore [m/s] at which the drop across a valve fully open is so much [Pa]; the
// minimum velocity of a valve with its full-lift drop.
double FullLiftVelocity(double full_lift_drop, double k, double density);

// ---- Cracking pressure from the parts (statics) -------------------------------------------------

// Weight [N] of a part [kg] of some density in liquid [kg/m³].
double SubmergedWeight(double mass, double part_density, double liquid_density, double gravity);
// Lift check: spring force [N] and the weight along the stroke (0 in a horizontal stroke, negative
// where weight opens) over the seat's area.
double LiftCrackingPressure(double spring_force, double weight_along_stroke, double seat_bore);
// Swing check: the disc's weight [N] at cg_arm [m] from the hinge against pressure on the seat,
// centred seat_arm [m] from it; seat_tilt [rad] is that of the seat from upright (pi/2 in a riser).
double SwingCrackingPressure(double submerged_weight, double cg_arm, double seat_tilt,
                             double seat_bore, double seat_arm);

// ---- Slam ---------------------------------------------------------------------------------------

// Reverse velocity [m/s] a check valve catches when flow comes to rest with a deceleration [m/s²].
// From memory of the shape of published curves (Provoost; Thorley; G. A. Ballun): within 50 % at
// best, for comparing kinds and never for passing or failing one. Rises with deceleration; by the
// table's logarithms between 1 and 8 m/s², in proportion beyond both ends.
double SlamReverseVelocity(const CheckValveKind& kind, ClosingAid aid, double deceleration);

// By reverse velocity at closure [m/s]: below 0.15 "no slam of concern", to 0.30 "mild", above
// "severe". Source: G. A. Ballun, J. AWWA, 2007, from memory.
std::string_view SlamSeverity(double reverse_velocity);

// Pressure rise [Pa] as the column stops: rho a dV. Source: N. Joukowsky, 1898.
double SlamPressure(double density, double wave_speed, double reverse_velocity);

// Deceleration [m/s²] of a rigid column of some length [m] under an adverse head [m].
double RigidColumnDeceleration(double adverse_head, double length, double gravity);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_CHECK_VALVE_KIND_H_
