#include <algorithm>
#include <array>
#include <cctype>
#include <numbers>
#include <string_view>

#include "advice/rules.h"
#include "advice/thresholds.h"
#include "advice/words.h"
#include "correlations/check_valve_kind.h"
#include "network/resolve.h"

namespace handwheel {
namespace {

// Below the velocity of full lift a disc floats; below half of it, it flutters. The velocity:
// tables of the fT method. The half: common practice, no source.
constexpr double kFluttersBelow = 0.5;

constexpr const char* kNoIsolation = "A check valve is never isolation.";

bool CarriesSolids(const Evidence& evidence) {
  std::string name = evidence.plant.network.fluid.name;
  std::transform(name.begin(), name.end(), name.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  const auto has = [&](std::string_view word) { return name.find(word) != std::string::npos; };
  return evidence.plant.liquid.solids || has("slurry") || has("sludge");
}

// A spring shuts a lift check in any position (DOE-HDBK-1018/2-93 by way of the kind's own text).
bool SpringMakesUp(const CheckValve& valve) {
  return valve.assist == "spring" && valve.kind.starts_with("lift");
}

struct SlamEstimate {
  double reverse_velocity = 0.0;  // [m/s]
  double deceleration = 0.0;      // [m/s²]
  double adverse_head = 0.0;      // [m]
  std::string vessel{};
};

// What a steady state can tell of a trip: the pump's head gone at once, each vessel that the valve
// feeds pushes back alone through the pipes between. Deceleration of the velocity in the valve:
//   g head / (area * sum of length/area).
// Friction, the pump's run-down and other pumps on the same header are left out; these last make a
// slam far worse.
SlamEstimate WorstSlam(const CheckValveItem& item, double suction_head) {
  const PlantView& plant = item.evidence.plant;
  const double bore = BoreOf(item.part);
  const double area = std::numbers::pi / 4.0 * bore * bore;
  const CheckValveKind& kind = *FindCheckValveKind(item.part.kind);
  const ClosingAid aid = *ClosingAidFromName(item.part.assist);
  SlamEstimate worst;
  for (const Paths::Delivery& to :
       item.evidence.paths.DeliveriesFrom(plant.PointOf(item.part.to), false)) {
    const double adverse = plant.solution.head()[to.vessel] - suction_head;
    if (adverse <= 0.0 || to.inertia <= 0.0) continue;
    const double deceleration =
        RigidColumnDeceleration(adverse, area * to.inertia, plant.network.site.gravity);
    if (deceleration <= worst.deceleration) continue;
    worst = {SlamReverseVelocity(kind, aid, deceleration), deceleration, adverse,
             plant.solution.point_names()[to.vessel]};
  }
  return worst;
}

}  // namespace

MaybeAdvice Backflow(const CheckValveItem& item) {
  const double flow = item.Flow();
  if (!(flow < -kAtRest)) return std::nullopt;
  const double weep = 1e-3 / 3600.0;  // [m³/s], a litre an hour: what tests allow new seats
  return Advice{
      .kind = "backflow",
      .severity = -flow < weep ? kNote : kWarning,
      .message = Cat(InCubicMetres(-flow), " runs backwards through ", item.part.name,
                     ", which is ", item.part.condition, ": this is backflow."),
      .check = Cat("what fills beyond ", item.part.from,
                   "; shut a hand valve in the line, and isolate and vent the check valve before "
                   "anybody opens it up."),
      .caution = kNoIsolation,
      .value = flow,
      .limit = 0.0};
}

double FlutterMargin() {
  return kFluttersBelow;
}

MaybeAdvice Fluttering(const CheckValveItem& item) {
  if (item.reading.disc != "floating") return std::nullopt;
  const bool flutters = item.reading.velocity_margin < kFluttersBelow;
  return Advice{
      .kind = flutters ? "fluttering" : "floating",
      .severity = flutters ? kWarning : kNote,
      .message = Cat(item.part.name, " runs at ", InSpeed(item.Velocity()), "; its disc needs ",
                     InSpeed(item.reading.min_velocity), " to stand fully open, so it ",
                     flutters ? "flutters and wears." : "floats."),
      .check = flutters ? "a smaller check valve with reducers, or one that opens at less "
                          "flow; noise at the valve."
                        : "noise at the valve, and its hinge or guide at the next "
                          "overhaul.",
      .caution = "Worn hinges and guides are how check valves come to stick open.",
      .value = item.Velocity(),
      .limit = item.reading.min_velocity};
}

MaybeAdvice WrongWayUp(const CheckValveItem& item) {
  const auto orientation = OrientationFromName(item.part.orientation);
  const CheckValveKind& kind = *FindCheckValveKind(item.part.kind);
  if (!orientation || SpringMakesUp(item.part)) return std::nullopt;
  const CitedFitness& fitness = kind.Fitness(*orientation);
  if (fitness.suits) return std::nullopt;
  return Advice{.kind = "wrong way up",
                .severity = kWarning,
                .message = Cat(item.part.name, " is a ", kind.name, " check in ",
                               item.part.orientation, " flow. ", AsSentence(fitness.source.text)),
                .check = "how it is really mounted; change the pattern or move it.",
                .caution = Cat("Do not count on it to shut. ", kNoIsolation)};
}

MaybeAdvice SuspectWithSolids(const CheckValveItem& item) {
  const CheckValveKind& kind = *FindCheckValveKind(item.part.kind);
  if (kind.solids.suits || !CarriesSolids(item.evidence)) return std::nullopt;
  return Advice{
      .kind = "suspect with solids",
      .severity = kWarning,
      .message = Cat(item.part.name, " is a ", kind.name, " check in a liquid with solids. ",
                     AsSentence(kind.solids.source.text)),
      .check =
          "whether it shuts, by stopping the pump and watching the gauge behind it; "
          "a ball check suits better.",
      .caution = kNoIsolation};
}

// Bands by G. A. Ballun, J. AWWA 2007, from memory: 0.15 and 0.30 m/s; SlamReverseVelocity() is
// within 50 % at best.
MaybeAdvice Slam(const CheckValveItem& item) {
  const PlantView& plant = item.evidence.plant;
  if (!(item.Flow() > 0.0) || item.part.condition == "stuck open") return std::nullopt;
  const auto pump = item.evidence.paths.PumpFeeding(plant.PointOf(item.part.from));
  if (!pump) return std::nullopt;
  const SlamEstimate slam = WorstSlam(item, plant.Head(plant.network.pumps[*pump].from));
  const std::string_view severity = SlamSeverity(slam.reverse_velocity);
  const bool severe = severity == "severe";
  if (!severe && severity != "mild") return std::nullopt;
  return Advice{
      .kind = "slam",
      .severity = severe ? kWarning : kNote,
      .message =
          Cat("If ", plant.network.pumps[*pump].name, " trips, ", slam.vessel, " pushes back with ",
              InMetres(slam.adverse_head), " of head and ", item.part.name,
              " shuts on a reverse flow of about ", InSpeed(slam.reverse_velocity), ", a ",
              severity, " slam. An order of magnitude: a run in time decides."),
      .check =
          "the trip in time; a spring-loaded or short-stroke check valve slams less. Another "
          "pump on the same header makes it far worse.",
      .caution = "Never stand over a check valve when its pump is tripped on purpose.",
      .value = slam.reverse_velocity,
      .limit = severe ? 0.30 : 0.15};
}

}  // namespace handwheel
