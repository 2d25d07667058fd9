#include "correlations/check_valve_kind.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <span>

#include "correlations/fittings.h"

namespace handwheel {
namespace {

constexpr double kFoot = 0.3048;       // [m]
constexpr double kPound = 0.45359237;  // [kg]

using std::string_view;

template <typename Enum>
struct Named {
  Enum value;
  string_view name;
};
constexpr std::array<Named<Orientation>, 3> kOrientations{{
    {Orientation::kHorizontal, "horizontal"},
    {Orientation::kVerticalUp, "vertical up"},
    {Orientation::kVerticalDown, "vertical down"},
}};
constexpr std::array<Named<ClosingAid>, 3> kAids{{
    {ClosingAid::kNone, "none"},
    {ClosingAid::kSpring, "spring"},
    {ClosingAid::kWeight, "weight"},
}};

template <typename Enum, std::size_t n>
string_view NameIn(const std::array<Named<Enum>, n>& table, Enum value) {
  for (const Named<Enum>& row : table) {
    if (row.value == value) return row.name;
  }
  return {};
}
template <typename Enum, std::size_t n>
std::optional<Enum> ValueIn(const std::array<Named<Enum>, n>& table, string_view name) {
  for (const Named<Enum>& row : table) {
    if (row.name == name) return row.value;
  }
  return std::nullopt;
}
template <typename Row, std::size_t n>
std::vector<std::string> NamesIn(const std::array<Row, n>& table) {
  std::vector<std::string> names;
  names.reserve(n);
  for (const Row& row : table) names.emplace_back(row.name);
  return names;
}

using enum Trust;

constexpr Source kSpringOfLift{
    kSeen,
    "1 psi; in-line spring checks crack at 0.5 to 5 psi by a check-valve "
    "mechanism page"};
constexpr Source kDownward{kCommonPractice,
                           "in downward flow the weight of the closing part opens the valve: "
                           "without a spring stronger than that weight it does not shut"};

// Lift checks of the globe pattern: "lift" and "lift horizontal" differ in name only.
constexpr CheckValveKind LiftOfGlobePattern(string_view name) {
  return {
      .name = name,
      .what_it_is =
          "A disc or piston, guided, lifts off a horizontal seat in a globe-pattern body; "
          "flow enters under the seat.",
      .when_not_to_use =
          "Not in vertical pipe (that takes the vertical pattern), not with solids or "
          "fibres, which jam the guide; its loss is high.",
      .resistance = {600,
                     {kFromMemory,
                      "tables of the fT method, lift check of globe body; tests of Kalsi and "
                      "Tullis (1993, as "
                      "tabulated elsewhere) average K 4.6, 0.85 to 9.1; a water-supply text has 8 "
                      "to 12"}},
      .minimum_velocity_constant = {40,
                                    {kFromMemory,
                                     "tables of the fT method, globe body, seat of full bore"}},
      .weight_horizontal = {1500,
                            {kDerived,
                             "a steel disc of 0.35 kg on a 50 mm seat in water: 1.53 kPa; trust to "
                             "a factor 2"}},
      .weight_vertical_up = {0, {kCommonPractice, "the disc's stroke lies across its weight"}},
      .spring_adds = {7000, kSpringOfLift},
      .counterweight_adds = {1500, {kCommonPractice, "a disc of twice the weight"}},
      .horizontal = {true,
                     {kSeen, "DOE-HDBK-1018/2-93: bonnet upright, flow entering under the seat"}},
      .vertical_up = {false,
                      {kSeen,
                       "the disc of a horizontal-pattern lift check slides sideways in a riser and "
                       "may not reseat: use the vertical pattern (check-valve selection page)"}},
      .vertical_down = {false,
                        {kCommonPractice,
                         "the disc of a horizontal-pattern lift check slides sideways in vertical "
                         "pipe and may not reseat"}},
      .solids = {false, {kCommonPractice, "solids lodge on the seat and jam the guide"}},
      .slam_lag = {0.1,
                   {kCommonPractice,
                    "short stroke, no spring: between 0.05 s of a spring-loaded and 0.3 s of a "
                    "swing check"}},
  };
}

constexpr std::array kCheckValveKinds = std::to_array<CheckValveKind>({
    {
        .name = "swing",
        .what_it_is = "A disc hung from a hinge above the bore swings clear of the flow and falls "
                      "back on its seat.",
        .when_not_to_use = "Not in downward flow, not where flow often reverses or the line stops "
                           "fast (it shuts late and slams), nor with rags and fibres that catch on "
                           "the hinge; oversized it flutters and wears.",
        .resistance =
            {100,
             {kFromMemory,
              "tables of the fT method, conventional swing check; tests of Kalsi and Tullis (1993, "
              "as tabulated elsewhere) average K 1.0, 0.29 to 2.2; texts have 0.6 to "
              "2.5"}},
        .minimum_velocity_constant = {35,
                                      {kFromMemory,
                                       "tables of the fT method, conventional swing check"}},
        .weight_horizontal =
            {300,
             {kDerived,
              "seat tilted by 5 degrees, 4 kg steel disc on 100 mm: 0.36 kPa; near "
              "zero on an upright seat"}},
        .weight_vertical_up = {1000,
                               {kCommonPractice,
                                "a steel disc 15 mm thick lying on its seat in water; light and "
                                "plastic discs less, heavy ones to 4 kPa"}},
        .spring_adds = {3500, {kCommonPractice, "0.5 psi, the lower end of spring checks"}},
        .counterweight_adds = {2000,
                               {kCommonPractice,
                                "lever and weight mounted to close; mounted to counterbalance it "
                                "takes away instead"}},
        .horizontal = {true, {kSeen, "a valve maker's page: horizontal, or vertical upward flow"}},
        .vertical_up = {true,
                        {kSeen,
                         "a valve maker's page: upward flow is fine, but the disc shuts late, as "
                         "near full opening gravity has little moment"}},
        .vertical_down = {false,
                          {kCommonPractice,
                           "in downward flow gravity holds a swing disc open: it does not shut"}},
        .solids = {false,
                   {kSeen,
                    "DOE-HDBK-1018/2-93 and a check-valve design page: hinge parts catch rags and "
                    "solids under the disc hold it open"}},
        .slam_lag = {0.3, {kDerived, "first-order estimate of the recalled slam curves, +-50 %"}},
    },
    LiftOfGlobePattern("lift"),
    LiftOfGlobePattern("lift horizontal"),
    {
        .name = "lift vertical",
        .what_it_is = "A guided poppet lifts along the pipe's axis off a seat across it; spring "
                      "loaded it works in any orientation.",
        .when_not_to_use = "Not in horizontal or downward flow without a spring, not with solids "
                           "or fibres, which jam the guide.",
        .resistance =
            {420,
             {kFromMemory,
              "tables of the fT method, straight-through poppet (foot valve with strainer): the "
              "nearest form listed; tests of Kalsi and Tullis average K 4.6, 0.85 to "
              "9.1"}},
        .minimum_velocity_constant =
            {40,
             {kFromMemory,
              "the tables of the fT method have it for the globe body; none listed for "
              "the vertical pattern"}},
        .weight_horizontal = {0, {kCommonPractice, "the poppet's stroke lies across its weight"}},
        .weight_vertical_up = {1500,
                               {kDerived,
                                "a steel disc of 0.35 kg on a 50 mm seat in water: 1.53 kPa; trust "
                                "to a factor 2"}},
        .spring_adds = {7000, kSpringOfLift},
        .counterweight_adds = {1500, {kCommonPractice, "a poppet of twice the weight"}},
        .horizontal = {false,
                       {kCommonPractice,
                        "without a spring nothing pushes the poppet of a vertical lift check shut "
                        "in horizontal pipe"}},
        .vertical_up = {true, {kSeen, "DOE-HDBK-1018/2-93: vertical line, upward flow only"}},
        .vertical_down = {false, kDownward},
        .solids = {false, {kCommonPractice, "solids lodge on the seat and jam the guide"}},
        .slam_lag = {0.1,
                     {kCommonPractice,
                      "short stroke, no spring: between 0.05 s of a spring-loaded and 0.3 s of a "
                      "swing check"}},
    },
    {
        .name = "ball",
        .what_it_is = "A ball rolls or floats off its seat into a side pocket and turns as it "
                      "works, which keeps it clean and wears it evenly.",
        .when_not_to_use = "Not in downward flow, not for high pressure or tight shut-off at low "
                           "back pressure; in horizontal pipe only with guide ribs.",
        .resistance = {150,
                       {kFromMemory,
                        "in-line ball check of a list of equivalent lengths many handbooks "
                        "reproduce, author unknown; one table seen has K 65 to 70 for small "
                        "spring-loaded ball checks"}},
        .minimum_velocity_constant = {20,
                                      {kCommonPractice,
                                       "about 0.8 m/s of water in sewage ball checks; no table has "
                                       "it"}},
        .weight_horizontal = {300,
                              {kCommonPractice,
                               "coated ball on an inclined seat; near zero to 1 kPa"}},
        .weight_vertical_up = {500, {kCommonPractice, "coated ball a little heavier than water"}},
        .spring_adds = {7000, kSpringOfLift},
        .counterweight_adds = {1000, {kCommonPractice, "a heavier ball"}},
        .horizontal = {true, {kSeen, "DOE-HDBK-1018/2-93: with guide ribs that lead the ball"}},
        .vertical_up = {true, {kCommonPractice, "the ball falls on its seat"}},
        .vertical_down = {false, kDownward},
        .solids = {true,
                   {kSeen,
                    "a wastewater article: the ball turns all the time, cleans itself, and offers "
                    "few snag points"}},
        .slam_lag = {0.2, {kDerived, "first-order estimate of the recalled slam curves, +-50 %"}},
    },
});

// Reverse velocity [m/s] at decelerations of 1, 2, 4 and 8 m/s².
using SlamCurve = std::array<double, 4>;
constexpr SlamCurve kSlamSwing{0.2, 0.4, 0.9, 1.8};
constexpr SlamCurve kSlamBall{0.15, 0.3, 0.6, 1.3};
constexpr SlamCurve kSlamShortStroke{0.08, 0.15, 0.3, 0.7};     // a resilient hinged disc
constexpr SlamCurve kSlamSpringLoaded{0.01, 0.03, 0.06, 0.15};  // silent, nozzle

// An unsprung lift check and a swing or ball check with a spring have no curve recalled; their
// strokes and forces are nearest those of the resilient hinge (common practice, no source).
const SlamCurve& SlamCurveOf(const CheckValveKind& kind, ClosingAid aid) {
  const bool spring = aid == ClosingAid::kSpring;
  if (kind.name.starts_with("lift")) return spring ? kSlamSpringLoaded : kSlamShortStroke;
  if (spring) return kSlamShortStroke;
  return kind.name == "ball" ? kSlamBall : kSlamSwing;
}

// rho V² at the minimum velocity [Pa]: (1.2199 constant)².
double DynamicPressureToHoldOpen(const CheckValveKind& kind) {
  const double c = kind.minimum_velocity_constant.value;
  return c * c * kPound / kFoot;
}

double CircleArea(double diameter) {
  return 0.25 * std::numbers::pi * diameter * diameter;
}

}  // namespace

std::string_view OrientationName(Orientation orientation) {
  return NameIn(kOrientations, orientation);
}
std::optional<Orientation> OrientationFromName(std::string_view name) {
  return ValueIn(kOrientations, name);
}
std::vector<std::string> OrientationNames() {
  return NamesIn(kOrientations);
}

std::string_view ClosingAidName(ClosingAid aid) {
  return NameIn(kAids, aid);
}
std::optional<ClosingAid> ClosingAidFromName(std::string_view name) {
  return ValueIn(kAids, name);
}
std::vector<std::string> ClosingAidNames() {
  return NamesIn(kAids);
}

const CitedFitness& CheckValveKind::Fitness(Orientation orientation) const {
  switch (orientation) {
    case Orientation::kHorizontal:
      return horizontal;
    case Orientation::kVerticalUp:
      return vertical_up;
    case Orientation::kVerticalDown:
      break;
  }
  return vertical_down;
}

const CheckValveKind* FindCheckValveKind(std::string_view name) {
  for (const CheckValveKind& kind : kCheckValveKinds) {
    if (kind.name == name) return &kind;
  }
  return nullptr;
}

std::vector<std::string> CheckValveKindNames() {
  return NamesIn(kCheckValveKinds);
}

double FullOpenK(const CheckValveKind& kind, double bore) {
  return kind.resistance.value * CleanSteelFrictionFactor(bore);
}

double MinimumVelocity(const CheckValveKind& kind, double density) {
  return std::sqrt(DynamicPressureToHoldOpen(kind) / density);
}

double CrackingPressure(const CheckValveKind& kind, ClosingAid aid, Orientation orientation) {
  double pressure = orientation == Orientation::kHorizontal ? kind.weight_horizontal.value
                                                            : kind.weight_vertical_up.value;
  if (orientation == Orientation::kVerticalDown) pressure = -pressure;
  if (aid == ClosingAid::kSpring) pressure += kind.spring_adds.value;
  if (aid == ClosingAid::kWeight) {
    const bool opens = orientation == Orientation::kVerticalDown;
    pressure += opens ? -kind.counterweight_adds.value : kind.counterweight_adds.value;
  }
  return std::max(0.0, pressure);
}

double FullLiftDrop(double k, double density, double minimum_velocity, double cracking_pressure,
                    ClosingAid aid) {
  const double held_open = 0.5 * k * density * minimum_velocity * minimum_velocity;
  const double rise_over_stroke = aid == ClosingAid::kSpring ? 2.0 : 1.5;
  return std::max(held_open, rise_over_stroke * cracking_pressure);
}

double FullLiftVelocity(double full_lift_drop, double k, double density) {
  return std::sqrt(2.0 * full_lift_drop / (k * density));
}

double SubmergedWeight(double mass, double part_density, double liquid_density, double gravity) {
  return mass * gravity * (1.0 - liquid_density / part_density);
}

double LiftCrackingPressure(double spring_force, double weight_along_stroke, double seat_bore) {
  return (spring_force + weight_along_stroke) / CircleArea(seat_bore);
}

double SwingCrackingPressure(double submerged_weight, double cg_arm, double seat_tilt,
                             double seat_bore, double seat_arm) {
  return submerged_weight * cg_arm * std::sin(seat_tilt) / (CircleArea(seat_bore) * seat_arm);
}

double SlamReverseVelocity(const CheckValveKind& kind, ClosingAid aid, double deceleration) {
  const SlamCurve& curve = SlamCurveOf(kind, aid);
  if (deceleration <= 0.0) return 0.0;
  const double doublings = std::log2(deceleration);
  const double last = static_cast<double>(curve.size() - 1);
  if (doublings <= 0.0) return curve.front() * deceleration;
  if (doublings >= last) return curve.back() * deceleration / std::exp2(last);
  const auto i = static_cast<std::size_t>(doublings);
  const double share = doublings - static_cast<double>(i);
  return curve[i] * std::pow(curve[i + 1] / curve[i], share);
}

std::string_view SlamSeverity(double reverse_velocity) {
  if (reverse_velocity < 0.15) return "no slam of concern";
  return reverse_velocity <= 0.30 ? "mild" : "severe";
}

double SlamPressure(double density, double wave_speed, double reverse_velocity) {
  return density * wave_speed * reverse_velocity;
}

double RigidColumnDeceleration(double adverse_head, double length, double gravity) {
  return gravity * adverse_head / length;
}

}  // namespace handwheel
