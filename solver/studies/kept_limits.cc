#include "studies/kept_limits.h"

#include <algorithm>
#include <cmath>

#include "advice/thresholds.h"
#include "advice/words.h"
#include "correlations/pump_correlations.h"
#include "handwheel/readings.h"
#include "steady/plant_view.h"
#include "text/cat.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

using LimitKind = LimitReading::Kind;
constexpr double kFullLift = 1.0;
constexpr double kPressureSize = 1e5;  // [Pa]

class LimitReader {
 public:
  explicit LimitReader(const Solution& solution)
      : plant_(solution), readings_(TakeReadings(solution)) {}

  std::vector<LimitReading> Read() {
    const auto& points = plant_.solution.point_names();
    for (std::size_t p = 0; p < points.size(); ++p) OfPoint(points[p], p);
    const Network& network = plant_.network;
    for (std::size_t i = 0; i < network.pipes.size(); ++i) OfPipe(i);
    for (std::size_t i = 0; i < network.valves.size(); ++i) OfValve(i);
    for (std::size_t i = 0; i < network.check_valves.size(); ++i) OfCheckValve(i);
    for (std::size_t i = 0; i < network.pumps.size(); ++i) OfPump(i);
    OfRatings(network.pipes);
    OfRatings(network.valves);
    OfRatings(network.check_valves);
    OfRatings(network.restrictions);
    OfRatings(network.regulators);
    return std::move(limits_);
  }

 private:
  void AtMost(LimitKind kind, const std::string& part, double value, double threshold,
              double size = 1.0) {
    limits_.push_back({kind, part, value, false, {threshold}, size});
  }
  void AtLeast(LimitKind kind, const std::string& part, double value,
               std::vector<double> thresholds, double size = 1.0) {
    limits_.push_back({kind, part, value, true, std::move(thresholds), size});
  }

  double Flow(std::size_t component) const { return plant_.solution.flow()[component]; }

  void OfPoint(const std::string& name, std::size_t point) {
    const double absolute =
        plant_.solution.pressure()[point] + plant_.network.site.atmospheric_pressure;
    AtLeast(LimitKind::kVapourPressure, name, absolute - plant_.liquid.vapour_pressure, {0.0},
            kPressureSize);
  }

  void OfPipe(std::size_t i) {
    const Pipe& pipe = plant_.network.pipes[i];
    const PipeReading& reading = readings_.pipes[i];
    const double speed = std::abs(plant_.solution.velocity()[i]);
    AtMost(LimitKind::kVelocity, pipe.name, speed / MaxVelocityOf(pipe), 1.0);
    const bool moves = std::abs(Flow(i)) > kAtRest;
    AtLeast(LimitKind::kSettling, pipe.name, moves ? speed / reading.deposition_velocity : kNaN,
            {1.0});
    AtLeast(LimitKind::kVapourPressure, pipe.name,
            reading.lowest_pressure - plant_.liquid.vapour_pressure, {0.0}, kPressureSize);
  }

  void OfValve(std::size_t i) {
    const Valve& valve = plant_.network.valves[i];
    const ValveReading& reading = readings_.valves[i];
    // A trickle too, of which the advice is silent: else that would be a way round it.
    const double least = valve.opening > 0.0 ? ThrottleLimit(valve) : 0.0;
    AtLeast(LimitKind::kThrottling, valve.name, least > 0.0 ? valve.opening / least : kNaN, {1.0});
    AtMost(LimitKind::kCavitation, valve.name,
           reading.drop_ratio / SureCavitationRatio(valve, reading), 1.0);
  }

  void OfCheckValve(std::size_t i) {
    const CheckValveReading& reading = readings_.check_valves[i];
    const bool lifts = reading.disc == "floating" || reading.disc == "full open";
    AtLeast(LimitKind::kLift, plant_.network.check_valves[i].name,
            lifts ? reading.velocity_margin : kNaN, {kFullLift, FlutterMargin()});
  }

  void OfPump(std::size_t i) {
    const Pump& pump = plant_.network.pumps[i];
    const PumpReading& reading = readings_.pumps[i];
    const std::size_t component = plant_.first.pumps + i;
    const bool runs = plant_.solution.state()[component] == FlowState::kRunning;
    const double flow = Flow(component);
    AtLeast(LimitKind::kLeastFlow, pump.name, runs && pump.min_flow ? flow / *pump.min_flow : kNaN,
            {1.0});
    const double ns = std::isnan(reading.specific_speed) ? 0.0 : reading.specific_speed;
    const FlowRange range = AllowableRange(ns);
    const double share = reading.region.empty() ? kNaN : reading.flow_over_best;
    AtLeast(LimitKind::kLeastShare, pump.name, pump.min_flow ? kNaN : share, {range.least});
    AtMost(LimitKind::kGreatestShare, pump.name, share, range.greatest);
    AtLeast(LimitKind::kNpsh, pump.name,
            flow > 0.0 ? reading.npsh_available - WantedNpsh(reading.npsh_required) : kNaN, {0.0});
    AtMost(LimitKind::kMotor, pump.name,
           pump.rated_power ? reading.shaft_power / *pump.rated_power : kNaN, 1.0);
  }

  template <typename Part>
  void OfRatings(const std::vector<Part>& parts) {
    for (const Part& part : parts) {
      if constexpr (requires { part.rating; }) {
        if (!part.rating) continue;
        const double from = plant_.Gauge(part.from), to = plant_.Gauge(part.to);
        AtMost(LimitKind::kRating, part.name, std::fmax(from, to) / *part.rating, 1.0);
      }
    }
  }

  const PlantView plant_;
  const Readings readings_;
  std::vector<LimitReading> limits_;
};

bool KeepsTo(const LimitReading& limit, double threshold) {
  return limit.at_least ? limit.value >= threshold : limit.value <= threshold;
}

std::string WouldBe(const LimitReading& limit, double threshold) {
  switch (limit.kind) {
    case LimitKind::kThrottling:
      return "would be throttled too far";
    case LimitKind::kCavitation:
      return "would cavitate";
    case LimitKind::kLift:
      return threshold >= kFullLift ? "would no longer stand fully open, and float"
                                    : "would flutter";
    case LimitKind::kLeastFlow:
      return "would pass less than its least continuous flow";
    case LimitKind::kLeastShare:
      return Cat("would run below ", InPercent(threshold),
                 " of its best-efficiency flow, outside its allowable range");
    case LimitKind::kGreatestShare:
      return Cat("would run above ", InPercent(threshold),
                 " of its best-efficiency flow, outside its allowable range");
    case LimitKind::kNpsh:
      return "would run short of NPSH";
    case LimitKind::kMotor:
      return "would overload its motor";
    case LimitKind::kVelocity:
      return "would run too fast";
    case LimitKind::kSettling:
      return "would run so slowly that solids settle";
    case LimitKind::kVapourPressure:
      return "would fall below vapour pressure";
    case LimitKind::kRating:
      return "would stand above its rating";
  }
  return "";
}

std::string IsAlready(LimitKind kind) {
  switch (kind) {
    case LimitKind::kThrottling:
      return "is throttled too far";
    case LimitKind::kCavitation:
      return "cavitates";
    case LimitKind::kLift:
      return "flutters";
    case LimitKind::kLeastFlow:
      return "passes less than its least continuous flow";
    case LimitKind::kLeastShare:
    case LimitKind::kGreatestShare:
      return "runs outside its allowable range";
    case LimitKind::kNpsh:
      return "is short of NPSH";
    case LimitKind::kMotor:
      return "overloads its motor";
    case LimitKind::kVelocity:
      return "runs too fast";
    case LimitKind::kSettling:
      return "runs so slowly that solids settle";
    case LimitKind::kVapourPressure:
      return "is below vapour pressure";
    case LimitKind::kRating:
      return "stands above its rating";
  }
  return "";
}

}  // namespace

std::vector<LimitReading> LimitsOf(const Solution& solution) {
  return LimitReader(solution).Read();
}

double KeptThreshold(const LimitReading& present) {
  if (std::isnan(present.value)) return present.thresholds.front();
  for (const double threshold : present.thresholds) {
    if (KeepsTo(present, threshold)) return threshold;
  }
  return present.value;
}

std::string BeyondInWords(const LimitReading& limit, double threshold) {
  const auto& known = limit.thresholds;
  if (std::find(known.begin(), known.end(), threshold) != known.end()) {
    return Cat(limit.part, " ", WouldBe(limit, threshold));
  }
  return Cat(limit.part, " ", IsAlready(limit.kind), " already, and would get worse");
}

}  // namespace handwheel
