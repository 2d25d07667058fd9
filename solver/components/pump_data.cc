#include "components/pump_data.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace handwheel {
namespace {

using Points = std::vector<std::array<double, 2>>;

Points GivenPoints(const Pump& pump) {
  if (!pump.coefficients) return pump.curve;
  const auto [a, b, c] = *pump.coefficients;
  constexpr int kPoints = 40;
  const double end = std::pow(a / b, 1.0 / c);
  Points points;
  for (int i = 0; i <= kPoints; ++i) {
    const double q = end * i / kPoints;
    points.push_back({q, a - b * std::pow(q, c)});
  }
  return points;
}

PumpCurve CurveThrough(const Points& points) {
  std::vector<double> flow, head;
  for (const auto& [q, h] : points) {
    flow.push_back(q);
    head.push_back(h);
  }
  return PumpCurve::ByPoints(std::move(flow), std::move(head));
}

// Replaces the rising part of a curve by a level one.
std::optional<PumpData::Droop> LevelRisingPart(Points* points) {
  const auto peak = std::max_element(points->begin(), points->end(),
                                     [](const auto& a, const auto& b) { return a[1] < b[1]; });
  if (peak == points->begin()) return std::nullopt;
  const PumpData::Droop droop{points->front()[1], (*peak)[0], (*peak)[1]};
  Points level = {{0.0, droop.peak_head * (1.0 + 1e-6)}};
  level.insert(level.end(), peak, points->end());
  *points = std::move(level);
  return droop;
}

double BestFlowOf(const Pump& pump, const PumpCurve& water) {
  if (pump.rated_flow) return *pump.rated_flow;
  if (pump.efficiency.empty()) return water.BestFlow();
  return (*std::max_element(pump.efficiency.begin(), pump.efficiency.end(),
                            [](const auto& a, const auto& b) { return a[1] < b[1]; }))[0];
}

double BestEfficiencyOf(const Pump& pump) {
  double best = 0.0;
  for (const auto& [q, efficiency] : pump.efficiency) best = std::max(best, efficiency);
  return best;
}

}  // namespace

PumpData DescribePump(const Pump& pump, const Liquid& liquid) {
  PumpData data;
  Points points = GivenPoints(pump);
  data.droop = LevelRisingPart(&points);
  data.curve = pump.coefficients
                   ? PumpCurve::ByCoefficients((*pump.coefficients)[0], (*pump.coefficients)[1],
                                               (*pump.coefficients)[2])
                   : CurveThrough(points);
  data.rated_flow = BestFlowOf(pump, data.curve);
  data.rated_head = data.curve.GainAt(data.rated_flow).drop;
  data.best_efficiency = BestEfficiencyOf(pump);
  if (!pump.rpm || data.rated_head <= 0.0) return data;

  const double stage_head = data.rated_head / pump.stages;
  data.specific_speed = SpecificSpeed(*pump.rpm, data.rated_flow, stage_head);
  constexpr double kUsualEfficiency = 0.7;  // only the factor at B <= 1 looks at it
  const WaterDuty duty{data.rated_flow, stage_head, *pump.rpm,
                       data.best_efficiency > 0.0 ? data.best_efficiency : kUsualEfficiency};
  data.correction = CorrectForViscosity(duty, liquid.KinematicViscosity());
  const ViscousCorrection& by = *data.correction;
  if (by.flow_factor == 1.0) return data;
  for (auto& [q, h] : points) {
    h *= by.HeadFactor(q / data.rated_flow);
    q *= by.flow_factor;
  }
  if (data.droop) {
    data.droop->shutoff_head *= by.HeadFactor(0.0);
    data.droop->peak_head *= by.HeadFactor(data.droop->peak_flow / data.rated_flow);
    data.droop->peak_flow *= by.flow_factor;
  }
  data.curve = CurveThrough(points);
  data.rated_flow *= by.flow_factor;
  data.rated_head *= by.flow_factor;
  return data;
}

}  // namespace handwheel
