#include <algorithm>
#include <string>

#include "components/law_parts.h"
#include "components/make_law.h"
#include "correlations/check_valve_kind.h"
#include "correlations/pipe_sizes.h"
#include "correlations/seat_leakage.h"
#include "correlations/valve_characteristic.h"
#include "correlations/valve_sizing.h"
#include "network/resolve.h"

namespace handwheel {
namespace {

// Share of the bore's area of a shut seat that passes, where nothing else is said: the relief-study
// practice for a leaking check valve (a tenth of the bore) reported from API 521, seen second-hand.
constexpr double kPassingHole = 0.01;
// The way past stem and bonnet of a cut diaphragm: common practice, no source.
constexpr double kVentHole = 0.001;
// Where a rate of a standard is asked of a part without a rating: the seat test of a PN 10 valve.
constexpr double kUsualTestDrop = 11e5;  // [Pa]
constexpr double kTestOverRating = 1.1;
constexpr double kReliefDischarge = 0.65;  // API 520-I, certified liquid valves, from memory
constexpr double kRegulatorOpenK = 6.0;    // as a globe valve; see valve_characteristic.cc

// A shut seat that passes: by its own coefficient, else by a standard's rate, else a hole.
template <typename Part>
LossLaw SeatLeakLoss(const Part& valve, double bore, FlowCoefficient rated,
                     const LawContext& context) {
  if (valve.leak_kv) {
    return LeakFromCoefficient(FlowCoefficient::FromKv(*valve.leak_kv * 3600.0), context);
  }
  if (!valve.leakage.empty()) {
    const double nominal = NominalBore(valve.size).value_or(bore);
    const TestedSeat seat{
        .nominal_bore = nominal,
        .nominal_inches = NominalInches(valve.size).value_or(nominal),
        .rated = rated,
        .test_drop = valve.rating ? kTestOverRating * *valve.rating : kUsualTestDrop};
    const FlowCoefficient leak = *SeatLeak(valve.leakage, seat);
    if (leak.av() > 0.0) return LeakFromCoefficient(leak, context);
    return {0.0, 0.0};  // a rate of none
  }
  // Linear below Reynolds number 1 in the bore.
  return LossFromCoefficient(HoleCoefficient(kPassingHole, bore), bore, context);
}

// --- Valves set by hand -------------------------------------------------------------------------

double RelativeCoefficientOf(const Valve& valve, const ValveKind& kind, double opening) {
  if (valve.curve.empty()) return RelativeCoefficient(kind).Value(opening);
  std::vector<double> openings, relative;
  for (const auto& [h, c] : valve.curve) {
    openings.push_back(h);
    relative.push_back(c);
  }
  return MonotoneCubic(std::move(openings), std::move(relative)).Value(opening);
}

FlowCoefficient FullOpenCoefficient(const Valve& valve, const ValveKind& kind, double bore) {
  if (const auto given = CoefficientGiven(valve.kv, valve.cv)) return *given;
  return FlowCoefficient::FromK(valve.k ? *valve.k : kind.full_open_k, bore);
}

// Flow coefficient over that fully open, as the valve stands: opening, and what its condition takes
// away. 0: shut.
double StandingCoefficient(const Valve& valve, const ValveKind& kind) {
  double opening = valve.opening;
  if (valve.condition == "sleeve not reopening") opening = std::min(opening, valve.stuck_opening);
  if (opening <= 0.0) return 0.0;
  const double relative = RelativeCoefficientOf(valve, kind, opening);
  const bool blocked = valve.condition == "blocked" || valve.condition == "sleeve collapsed";
  return blocked ? relative * (1.0 - valve.blockage) : relative;
}

double RecoveryFactor(const Valve& valve, const ValveKind& kind) {
  return valve.fl ? *valve.fl : PressureRecovery(kind, valve.opening);
}

// The law of a valve of some loss coefficient on its bore, reducers apart.
Law ThrottleLaw(const Valve& valve, const ValveKind& kind, const TrimResistance& resistance,
                double reducers_k, double bore, const LawContext& context) {
  const double k = resistance.at_opening;
  const double fl = RecoveryFactor(valve, kind);
  const double rev_per_re = ValveReynoldsRatio(k, fl, kind.style_modifier.value);
  const ViscousFactor factor(ViscousTrimFactor(resistance), fl);
  const double area = AreaOf(bore);
  const double r = (k + reducers_k) / (2.0 * context.gravity * area * area);
  if (!context.liquid.IsNewtonian()) {
    return RheologyLossLaw{std::make_shared<const RheologyLossLaw::Data>(RheologyLossLaw::Data{
        .laminar_stress = LaminarStressCurve(RheologyOf(context.liquid), bore),
        .factor = factor,
        .r = r,
        .area = area,
        .density = context.liquid.density,
        .rev_per_re = rev_per_re})};
  }
  const double rev_per_flow = rev_per_re * bore / (area * context.liquid.KinematicViscosity());
  return ViscousLossLaw{.r = r,
                        .rev_per_flow = rev_per_flow,
                        .factor = factor,
                        .laminar = r / (factor.laminar * factor.laminar * rev_per_flow)};
}

// --- Check valves -------------------------------------------------------------------------------

FlowCoefficient FullOpenCoefficient(const CheckValve& valve, double bore) {
  if (const auto given = CoefficientGiven(valve.kv, valve.cv)) return *given;
  return FlowCoefficient::FromK(
      valve.k ? *valve.k : FullOpenK(*FindCheckValveKind(valve.kind), bore), bore);
}

OneWayLaw SoundLaw(const CheckValve& valve, const LossLaw& full, double bore,
                   const LawContext& context) {
  const CheckValveDrops drops = DropsOf(
      valve, full.r * 2.0 * context.gravity * AreaOf(bore) * AreaOf(bore), context.liquid.density);
  return OneWayLaw::Floating(full, drops.cracking / context.Weight(),
                             drops.full_lift / context.Weight());
}

}  // namespace

CheckValveDrops DropsOf(const CheckValve& valve, double k, double density) {
  const CheckValveKind& kind = *FindCheckValveKind(valve.kind);
  const ClosingAid aid = *ClosingAidFromName(valve.assist);
  const Orientation orientation =
      OrientationFromName(valve.orientation).value_or(Orientation::kHorizontal);
  CheckValveDrops drops;
  drops.cracking = valve.cracking_pressure.value_or(CrackingPressure(kind, aid, orientation));
  drops.full_lift = FullLiftDrop(
      k, density, valve.min_velocity.value_or(MinimumVelocity(kind, density)), drops.cracking, aid);
  return drops;
}

double LossCoefficient(const CheckValve& valve, double bore) {
  return FullOpenCoefficient(valve, bore).K(bore);
}

double LossCoefficient(const Valve& valve, double bore) {
  const ValveKind& kind = *FindValveKind(valve.kind);
  const double relative = StandingCoefficient(valve, kind);
  return FullOpenCoefficient(valve, kind, bore).K(bore) / (relative * relative);
}

ComponentLaw MakeLaw(const Valve& valve, const LawContext& context) {
  const double bore = BoreOf(valve);
  const ValveKind& kind = *FindValveKind(valve.kind);
  const FlowCoefficient full = FullOpenCoefficient(valve, kind, bore);
  const double relative = StandingCoefficient(valve, kind);
  const double k = full.K(bore) / (relative * relative);  // infinite if shut
  if (valve.condition == "passing" || valve.condition == "diaphragm cut") {
    const LossLaw leak = SeatLeakLoss(valve, bore, full, context);
    const double open_r = k / (2.0 * context.gravity * AreaOf(bore) * AreaOf(bore));
    if (leak.r > 0.0 && leak.r < open_r) return {leak, StartFlow(bore), AreaOf(bore)};
  }
  if (relative <= 0.0) return {ShutLaw{}, 0.0, AreaOf(bore)};
  Reducers reducers;
  if (valve.pipe_bore) reducers = ReducersAround(bore, *valve.pipe_bore, *valve.pipe_bore);
  ComponentLaw made{ThrottleLaw(valve, kind, {.full_open = full.K(bore), .at_opening = k},
                                reducers.Losses(), bore, context),
                    StartFlow(bore), AreaOf(bore)};
  const double recovery = CombinedRecoveryFactor(k, RecoveryFactor(valve, kind), reducers) /
                          PipingGeometryFactor(k, reducers);
  made.control = Choke{LossFromK((k + reducers.Losses()) / (recovery * recovery), bore, context)};
  return made;
}

std::optional<ComponentLaw> MakeVentLaw(const Valve& valve, const LawContext& context) {
  if (valve.condition != "diaphragm cut") return std::nullopt;
  const double bore = BoreOf(valve);
  const FlowCoefficient whole = valve.vent_kv ? FlowCoefficient::FromKv(*valve.vent_kv * 3600.0)
                                              : HoleCoefficient(kVentHole, bore);
  const LossLaw half = LeakFromCoefficient(FlowCoefficient::FromAv(0.5 * whole.av()), context);
  // Air is not drawn in: a line under vacuum would draw some.
  return ComponentLaw{OneWayLaw::WithoutCracking(half), kVentHole * StartFlow(bore), std::nullopt};
}

ComponentLaw MakeLaw(const CheckValve& valve, const LawContext& context) {
  const double bore = BoreOf(valve);
  const FlowCoefficient coefficient = FullOpenCoefficient(valve, bore);
  const LossLaw full = LossFromCoefficient(coefficient, bore, context);
  const OneWayLaw sound = SoundLaw(valve, full, bore, context);
  ComponentLaw made{sound, StartFlow(bore), AreaOf(bore)};
  if (valve.condition == "passing") {
    const LossLaw leak = SeatLeakLoss(valve, bore, coefficient, context);
    if (leak.r > 0.0) made.law = PassingLaw{sound, leak};
  }
  if (valve.condition == "stuck open") made.law = Scaled(full, valve.stuck_opening);
  return made;
}

// --- Regulators and relief valves ---------------------------------------------------------------

ComponentLaw MakeLaw(const Regulator& regulator, const LawContext& context) {
  const double bore = BoreOf(regulator);
  const auto given = CoefficientGiven(regulator.kv, regulator.cv);
  const LossLaw open = given ? LossFromCoefficient(*given, bore, context)
                             : LossFromK(regulator.k.value_or(kRegulatorOpenK), bore, context);
  ComponentLaw made{OneWayLaw::WithoutCracking(open), StartFlow(bore), AreaOf(bore)};
  if (regulator.kind == "flow-limiting") {
    made.control = LimitFlow{*regulator.set_flow};
    return made;
  }
  constexpr double kExactSlope = 1e-6;  // [s/m²]
  double slope = kExactSlope;
  if (regulator.droop > 0.0) slope += regulator.droop / context.Weight() / *regulator.rated_flow;
  const bool at_to = regulator.kind == "pressure-reducing";
  made.control = HoldPressure{at_to, *regulator.set_pressure, LinearLaw{slope, 0.0}};
  return made;
}

ComponentLaw MakeLaw(const ReliefValve& valve, const LawContext& context) {
  const auto given = CoefficientGiven(valve.kv, valve.cv);
  const FlowCoefficient full =
      given ? *given
            : FlowCoefficient::FromAv(kReliefDischarge * std::numbers::sqrt2 * *valve.area);
  const double bore = BoreOfCoefficient(full);
  const LossLaw open = LossFromCoefficient(full, bore, context);
  const double set = valve.set_pressure / context.Weight();
  const double full_lift = set * (1.0 + valve.overpressure);
  const double rated_flow = open.FlowAt(full_lift);
  if (!valve.balanced) {
    return {OneWayLaw::Floating(open, set, full_lift), rated_flow, std::nullopt};
  }
  ComponentLaw made{OneWayLaw::WithoutCracking(open), rated_flow, std::nullopt};
  made.control = HoldPressure{/*at_to=*/false, valve.set_pressure,
                              LinearLaw{(full_lift - set) / rated_flow, 0.0}};
  return made;
}

}  // namespace handwheel
