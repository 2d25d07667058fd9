#include <cmath>
#include <utility>

#include "components/law_parts.h"
#include "correlations/check_valve_kind.h"
#include "correlations/valve_characteristic.h"
#include "correlations/valve_sizing.h"
#include "handwheel/errors.h"
#include "handwheel/readings.h"
#include "network/resolve.h"
#include "steady/plant_view.h"
#include "text/cat.h"
#include "text/number.h"
#include "text/suggest.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

const ValveKind& KindOf(const Valve& valve) {
  if (const ValveKind* kind = FindValveKind(valve.kind)) return *kind;
  throw NetworkError(Cat("valve ", Quoted(valve.name), ": kind ", Quoted(valve.kind),
                         " is unknown;", Suggest(valve.kind, ValveKindNames())),
                     valve.name, "kind");
}

double NominalBoreOf(const Valve& valve) {
  const auto unlined = UnlinedBoreIfGiven(valve);
  return unlined ? *unlined : BoreOf(valve);
}

// --- Set by hand --------------------------------------------------------------------------------

// Of whatever the valve passes through as it stands.
FlowCoefficient StandingCoefficient(const Valve& valve, const Law& law) {
  if (IsShut(law)) return FlowCoefficient::FromAv(0.0);
  const double bore = BoreOf(valve);
  return FlowCoefficient::FromK(LossCoefficient(valve, bore), bore);
}

bool IsThrottle(const Law& law) {
  return !IsShut(law);
}

// FR as the law has it: flow over the turbulent flow at the same drop.
double ReynoldsFactor(const Law& law, double flow) {
  double r = kNaN;
  if (const auto* viscous = std::get_if<ViscousLossLaw>(&law)) r = viscous->r;
  if (const auto* rheology = std::get_if<RheologyLossLaw>(&law)) r = rheology->data->r;
  return std::sqrt(r * flow * flow / std::abs(EvaluateLaw(law, flow).drop));
}

double ChokedDropOf(const Valve& valve, double fl, double inlet_pressure, const Liquid& liquid) {
  const double bore = BoreOf(valve);
  const double k = LossCoefficient(valve, bore);
  Reducers reducers;
  if (valve.pipe_bore) reducers = ReducersAround(bore, *valve.pipe_bore, *valve.pipe_bore);
  const double recovery =
      CombinedRecoveryFactor(k, fl, reducers) / PipingGeometryFactor(k, reducers);
  const double ff = CriticalPressureRatioFactor(liquid.vapour_pressure, liquid.critical_pressure);
  return ChokedDrop(inlet_pressure, liquid.vapour_pressure, ff, recovery);
}

void ReadHandwheel(const Valve& valve, ValveReading* reading) {
  const double turns = TurnsOfTravel(valve);
  reading->opening = valve.opening;
  reading->turns_open = valve.opening * turns;
  reading->turns_in = turns - reading->turns_open;
  reading->travel = valve.opening * StemTravelOf(valve);
}

void ReadPressures(const Valve& valve, double flow, const PlantView& plant, ValveReading* reading) {
  reading->inlet_pressure = plant.Absolute(valve.from);
  reading->outlet_pressure = plant.Absolute(valve.to);
  if (flow < 0.0) std::swap(reading->inlet_pressure, reading->outlet_pressure);
}

void ReadCavitation(const Valve& valve, const Law& law, double drop, const PlantView& plant,
                    ValveReading* reading) {
  const double room = reading->inlet_pressure - plant.liquid.vapour_pressure;
  if (!(room > 0.0) || !IsThrottle(law)) return;
  const double fl = reading->recovery_factor;
  const double at_6_bar =
      valve.xfz ? *valve.xfz
                : AudibleCavitationRatio(FlowCoefficient::FromKv(reading->kv_m3_per_h), fl,
                                         KindOf(valve).style_modifier.value);
  reading->cavitation_ratio = AudibleCavitationRatioAt(at_6_bar, reading->inlet_pressure);
  reading->choked_drop = ChokedDropOf(valve, fl, reading->inlet_pressure, plant.liquid);
  if (reading->reynolds_factor > 0.0) reading->drop_ratio = drop / room;
}

ValveReading ReadValve(const PlantView& plant, std::size_t i) {
  const Valve& valve = plant.network.valves[i];
  const std::size_t l = plant.first.valves + i;
  const double flow = plant.solution.flow()[l];
  const Law law = MakeLaw(valve, plant.context).law;
  ValveReading reading;
  ReadHandwheel(valve, &reading);
  ReadPressures(valve, flow, plant, &reading);
  reading.kv_m3_per_h = StandingCoefficient(valve, law).kv();
  reading.reynolds_factor = flow == 0.0 ? kNaN : ReynoldsFactor(law, flow);
  reading.recovery_factor = RecoveryFactor(valve);
  reading.drop_ratio = reading.cavitation_ratio = reading.choked_drop = kNaN;
  ReadCavitation(valve, law, std::abs(plant.solution.drop()[l]) * plant.Weight(), plant, &reading);
  reading.choked = plant.solution.state()[l] == FlowState::kChoked;
  reading.leak = plant.solution.leak()[l];
  return reading;
}

// --- Check valves -------------------------------------------------------------------------------

// Whether liquid lifts the disc, rather than passing under it.
bool IsLifted(const CheckValve& valve, double flow, const LawContext& context) {
  if (flow <= 0.0) return false;
  const Law law = MakeLaw(valve, context).law;
  const auto* passing = std::get_if<PassingLaw>(&law);
  return !passing || passing->IsOpenAt(flow);
}

void ReadDisc(const CheckValve& valve, double flow, const LawContext& context,
              CheckValveReading* reading) {
  if (valve.condition == "stuck open") {
    reading->disc = "stuck open";
    reading->lift = valve.stuck_opening;
  } else if (!IsLifted(valve, flow, context)) {
    reading->disc = flow == 0.0 ? "shut" : "passing";
  } else if (reading->velocity_margin < 1.0) {
    reading->disc = "floating";
    reading->lift = reading->velocity_margin;
  } else {
    reading->disc = "full open";
    reading->lift = 1.0;
  }
}

CheckValveReading ReadCheckValve(const PlantView& plant, std::size_t i) {
  const CheckValve& valve = plant.network.check_valves[i];
  const std::size_t l = plant.first.check_valves + i;
  const double bore = BoreOf(valve);
  const double k = LossCoefficient(valve, bore);
  const CheckValveDrops drops = DropsOf(valve, k, plant.liquid.density);
  CheckValveReading reading;
  reading.cracking_pressure = drops.cracking;
  reading.full_lift_drop = drops.full_lift;
  reading.min_velocity = FullLiftVelocity(drops.full_lift, k, plant.liquid.density);
  reading.velocity_margin = plant.solution.velocity()[l] / reading.min_velocity;
  ReadDisc(valve, plant.solution.flow()[l], plant.context, &reading);
  return reading;
}

// --- Regulators and relief valves ---------------------------------------------------------------

double ShareInUse(FlowState state, double open_drop, double drop) {
  if (state == FlowState::kShut) return 0.0;
  if (state == FlowState::kForward) return 1.0;
  return std::min(1.0, std::sqrt(open_drop / drop));
}

RegulatorReading ReadRegulator(const PlantView& plant, std::size_t i) {
  const Regulator& regulator = plant.network.regulators[i];
  const std::size_t l = plant.first.regulators + i;
  RegulatorReading reading;
  reading.held_pressure = kNaN;
  if (regulator.kind == "pressure-reducing") reading.held_pressure = plant.Gauge(regulator.to);
  if (regulator.kind == "back-pressure") reading.held_pressure = plant.Gauge(regulator.from);
  const Law law = MakeLaw(regulator, plant.context).law;
  const double open_drop = EvaluateLaw(law, std::max(0.0, plant.solution.flow()[l])).drop;
  reading.opening = ShareInUse(plant.solution.state()[l], open_drop, plant.solution.drop()[l]);
  return reading;
}

ReliefValveReading ReadReliefValve(const PlantView& plant, std::size_t i) {
  const ReliefValve& valve = plant.network.relief_valves[i];
  const std::size_t l = plant.first.relief_valves + i;
  ReliefValveReading reading;
  const double lifts =
      valve.balanced ? plant.Gauge(valve.from) : plant.solution.drop()[l] * plant.Weight();
  reading.excess = lifts - valve.set_pressure;
  reading.rated_flow = MakeLaw(valve, plant.context).start_flow;
  if (plant.solution.flow()[l] > 0.0) {
    const double full = valve.overpressure * valve.set_pressure;
    reading.lift = full > 0.0 ? std::clamp(reading.excess / full, 0.0, 1.0) : 1.0;
  }
  return reading;
}

}  // namespace

std::vector<ValveReading> ReadValves(const Solution& solution) {
  const PlantView plant(solution);
  std::vector<ValveReading> readings;
  for (std::size_t i = 0; i < plant.network.valves.size(); ++i) {
    readings.push_back(ReadValve(plant, i));
  }
  return readings;
}

std::vector<CheckValveReading> ReadCheckValves(const Solution& solution) {
  const PlantView plant(solution);
  std::vector<CheckValveReading> readings;
  for (std::size_t i = 0; i < plant.network.check_valves.size(); ++i) {
    readings.push_back(ReadCheckValve(plant, i));
  }
  return readings;
}

std::vector<RegulatorReading> ReadRegulators(const Solution& solution) {
  const PlantView plant(solution);
  std::vector<RegulatorReading> readings;
  for (std::size_t i = 0; i < plant.network.regulators.size(); ++i) {
    readings.push_back(ReadRegulator(plant, i));
  }
  return readings;
}

std::vector<ReliefValveReading> ReadReliefValves(const Solution& solution) {
  const PlantView plant(solution);
  std::vector<ReliefValveReading> readings;
  for (std::size_t i = 0; i < plant.network.relief_valves.size(); ++i) {
    readings.push_back(ReadReliefValve(plant, i));
  }
  return readings;
}

// --- Handwheels ---------------------------------------------------------------------------------

double StemTravelOf(const Valve& valve) {
  if (valve.travel) return *valve.travel;
  return StemTravel(KindOf(valve), NominalBoreOf(valve));
}

double TurnsOfTravel(const Valve& valve) {
  if (valve.turns) return *valve.turns;
  const ValveKind& kind = KindOf(valve);
  const double bore = NominalBoreOf(valve);
  const bool by_lead = !kind.quarter_turn && kind.turns_of_any_size.value == 0.0;
  return valve.travel && by_lead ? *valve.travel / StemLead(bore) : HandwheelTurns(kind, bore);
}

double TurnsFromOpening(const Valve& valve, double opening) {
  if (!(opening >= 0.0 && opening <= 1.0)) {
    throw SettingError(Cat("valve ", Quoted(valve.name), ": opening ", FormatDecimal(opening, 6),
                           "; expected 0 (shut) to 1 (fully open)."));
  }
  return opening * TurnsOfTravel(valve);
}

double OpeningFromTurns(const Valve& valve, double turns) {
  const double all = TurnsOfTravel(valve);
  if (!(turns >= 0.0 && turns <= all)) {
    throw SettingError(Cat("valve ", Quoted(valve.name), ": ", FormatDecimal(turns, 6),
                           " turns; expected 0 (shut) to ", FormatDecimal(all, 6),
                           " (fully open)."));
  }
  return turns / all;
}

}  // namespace handwheel
