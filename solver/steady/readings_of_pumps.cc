#include <algorithm>
#include <cmath>

#include "components/pump_data.h"
#include "correlations/monotone_cubic.h"
#include "handwheel/readings.h"
#include "steady/plant_view.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

using CurvePoints = std::vector<std::array<double, 2>>;

// Through the points, straight beyond them, and not below zero.
double OnCurve(const CurvePoints& points, double flow) {
  std::vector<double> x, y;
  for (const auto& [q, value] : points) {
    x.push_back(q);
    y.push_back(value);
  }
  return std::max(0.0, MonotoneCubic(std::move(x), std::move(y)).Value(flow));
}

// Of water. A pump that passes nothing does no work: the curve begins at zero.
double WaterEfficiency(const Pump& pump, double flow) {
  if (pump.efficiency.empty()) return kNaN;
  CurvePoints points = pump.efficiency;
  if (points.front()[0] > 0.0) points.insert(points.begin(), {0.0, 0.0});
  return std::min(1.0, OnCurve(points, flow));
}

// NPSHR of viscous over that of water, from both at best efficiency: ANSI/HI 9.6.7.
double NpshFactor(const Pump& pump, const ViscousCorrection& by, double best_water_flow) {
  const double of_water = OnCurve(pump.npsh, best_water_flow);
  if (by.flow_factor == 1.0 || of_water == 0.0) return 1.0;
  return ViscousNpshRequired(of_water, by.flow_factor, best_water_flow, *pump.rpm,
                             SuctionInlet::kEnd) /
         of_water;
}

std::string Region(const Pump& pump, const PumpData& data, double flow_over_best) {
  const double ns = data.specific_speed.value_or(0.0);  // unknown: of the lower class
  const FlowRange preferred = PreferredRange(ns);
  FlowRange allowable = AllowableRange(ns);
  if (pump.min_flow) allowable.least = *pump.min_flow / (data.rated_flow * pump.speed);
  const auto within = [&](const FlowRange& range) {
    return range.least <= flow_over_best && flow_over_best <= range.greatest;
  };
  if (!within(allowable)) return "outside";
  return within(preferred) ? "preferred" : "allowable";
}

// Round-off of the solver is no flow [m³/s].
double FlowOrRest(double flow) {
  return std::abs(flow) <= 1e-9 ? 0.0 : flow;
}

class PumpReader {
 public:
  PumpReader(const PlantView& plant, std::size_t i)
      : plant_(plant),
        pump_(plant.network.pumps[i]),
        flow_(FlowOrRest(plant.solution.flow()[plant.first.pumps + i])),
        runs_(plant.solution.state()[plant.first.pumps + i] == FlowState::kRunning) {
    reading_.head = -plant.solution.drop()[plant.first.pumps + i];
  }

  PumpReading Read() {
    reading_.speed = runs_ ? pump_.speed : 0.0;
    reading_.efficiency = reading_.shaft_power = reading_.npsh_required = kNaN;
    reading_.flow_over_best = reading_.specific_speed = kNaN;
    reading_.npsh_available =
        (plant_.Absolute(pump_.from) - plant_.liquid.vapour_pressure) / plant_.Weight();
    if (pump_.kind == "centrifugal") ReadCentrifugal();
    if (runs_ && !pump_.npsh.empty() && flow_ >= 0.0) ReadNpshRequired();
    reading_.npsh_margin = reading_.npsh_available - reading_.npsh_required;
    return reading_;
  }

 private:
  void ReadCentrifugal() {
    const PumpData data = DescribePump(pump_, plant_.liquid);
    reading_.specific_speed = data.specific_speed.value_or(kNaN);
    reading_.best_flow_is_estimated = !pump_.rated_flow && pump_.efficiency.empty();
    if (data.correction) ReadViscosity(data);
    if (runs_ && flow_ >= 0.0) ReadDuty(data);
    if (flow_ < 0.0 && data.rated_head > 0.0) {
      // The head across it drives it as a turbine; unknown: of a radial pump.
      reading_.reverse_speed = ReverseRunawaySpeedRatio(
          data.specific_speed.value_or(0.0), std::max(0.0, reading_.head) / data.rated_head);
    }
  }

  void ReadViscosity(const PumpData& data) {
    reading_.flow_factor = data.correction->flow_factor;
    reading_.efficiency_factor = data.correction->efficiency_factor;
    reading_.viscosity_within_method = data.correction->applies;
    best_water_flow_ = data.rated_flow / reading_.flow_factor;
    correction_ = data.correction;
    if (runs_ && flow_ >= 0.0) {
      reading_.head_factor = data.correction->HeadFactor(WaterFlow() / best_water_flow_);
    }
  }

  void ReadDuty(const PumpData& data) {
    reading_.flow_over_best = flow_ / (data.rated_flow * pump_.speed);
    reading_.region = Region(pump_, data, reading_.flow_over_best);
    const double efficiency = WaterEfficiency(pump_, WaterFlow()) * reading_.efficiency_factor;
    if (!(efficiency > 0.0)) return;
    reading_.efficiency = efficiency;
    reading_.shaft_power = plant_.Weight() * flow_ * reading_.head / efficiency;
  }

  void ReadNpshRequired() {
    reading_.npsh_required = OnCurve(pump_.npsh, WaterFlow()) * pump_.speed * pump_.speed;
    if (correction_) reading_.npsh_required *= NpshFactor(pump_, *correction_, best_water_flow_);
  }

  // Of the same duty with water at full speed, where the curves are drawn.
  double WaterFlow() const { return flow_ / pump_.speed / reading_.flow_factor; }

  const PlantView& plant_;
  const Pump& pump_;
  double flow_;
  bool runs_;
  double best_water_flow_ = kNaN;
  std::optional<ViscousCorrection> correction_;
  PumpReading reading_;
};

}  // namespace

std::vector<PumpReading> ReadPumps(const Solution& solution) {
  const PlantView plant(solution);
  std::vector<PumpReading> readings;
  for (std::size_t i = 0; i < plant.network.pumps.size(); ++i) {
    readings.push_back(PumpReader(plant, i).Read());
  }
  return readings;
}

}  // namespace handwheel
