#include <algorithm>

#include "components/law_parts.h"
#include "components/make_law.h"
#include "components/pump_data.h"

namespace handwheel {
namespace {

bool Runs(const Pump& pump) {
  return pump.running && pump.speed > 0.0;
}

// By what slips back, at any pressure rise; stopped, that path remains. Slip in proportion to
// pressure rise: laminar clearances. 5 % of the displacement at 10 bar: common practice, no source.
ComponentLaw DisplacementLaw(const Pump& pump, const LawContext& context) {
  constexpr double kUsualSlip = 0.05;
  const double displaced = *pump.displacement;
  const double slip = pump.slip.value_or(kUsualSlip * displaced);
  const double slope = pump.rated_pressure / context.Weight() / slip;
  const double running_flow = Runs(pump) ? displaced * pump.speed : 0.0;
  return {LinearLaw{slope, running_flow}, std::max(running_flow, 1e-3 * displaced), std::nullopt};
}

// Square, each way its own resistance; no bore to take a Reynolds number from: linear below about a
// millionth of the rated flow, with the same slope on both sides.
Law StoppedLaw(double forward, double backward, double rated_flow) {
  const LossLaw ahead{forward, 1e-6 * rated_flow};
  if (forward == backward) return ahead;
  return TwoWayLossLaw{ahead, LossLaw{backward, ahead.r * ahead.q_linear / backward}};
}

}  // namespace

ComponentLaw MakeLaw(const Pump& pump, const LawContext& context) {
  if (pump.kind == "positive displacement") return DisplacementLaw(pump, context);
  const PumpData data = DescribePump(pump, context.liquid);
  const double scale = std::max(data.rated_head, 0.01 * data.curve.shutoff_head()) /
                       (data.rated_flow * data.rated_flow);
  const double held = pump.stopped_k.value_or(kStoppedRadialK);
  if (Runs(pump)) {
    return {PumpLaw{data.curve, pump.speed, held * scale}, data.rated_flow * pump.speed,
            std::nullopt};
  }
  double forward = held, backward = held;
  if (!pump.stopped_k && pump.rotor == "free") {
    const StoppedRotor& rotor = MixedFlowStoppedRotor();
    forward = rotor.free_forward.value;
    backward = rotor.free_reverse.value;
  }
  return {StoppedLaw(forward * scale, backward * scale, data.rated_flow), data.rated_flow,
          std::nullopt};
}

}  // namespace handwheel
