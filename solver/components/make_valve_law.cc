#include <algorithm>
#include <string>

#include "components/law_parts.h"
#include "components/make_law.h"
#include "components/valve_throttle.h"
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

// K1 over K of the two-K method, from memory of W. B. Hooper, Chem. Eng., 24 August 1981: check
// valves, swing 1500/1.5, lift 2000/10 (a ball taken like it); standard globe valve 1500/4 for a
// regulator.
constexpr double kSwingK1OverK = 1000.0, kLiftK1OverK = 200.0, kRegulatorK1OverK = 375.0;
// Coefficients below this share of the full one are round-off of an opening of 0.
constexpr double kShutShare = 1e-9;

// What a shut seat passes: its own coefficient, else by a standard's rate, else a hole. May be 0.
template <typename Part>
FlowCoefficient SeatLeakCoefficient(const Part& valve, double bore, FlowCoefficient rated) {
  if (valve.leak_kv) return FlowCoefficient::FromKv(*valve.leak_kv * 3600.0);
  if (valve.leakage.empty()) return HoleCoefficient(kPassingHole, bore);
  const double nominal = NominalBore(valve.size).value_or(bore);
  const TestedSeat seat{
      .nominal_bore = nominal,
      .nominal_inches = NominalInches(valve.size).value_or(nominal),
      .rated = rated,
      .test_drop = valve.rating ? kTestOverRating * *valve.rating : kUsualTestDrop};
  return *SeatLeak(valve.leakage, seat);
}

// --- Valves set by hand -------------------------------------------------------------------------

MonotoneCubic CharacteristicOf(const Valve& valve, const ValveKind& kind) {
  if (valve.curve.empty()) {
    const bool by_rangeability = kind.name == "control equal-percentage" && valve.rangeability;
    return by_rangeability ? EqualPercentage(*valve.rangeability) : RelativeCoefficient(kind);
  }
  std::vector<double> openings, relative;
  for (const auto& [h, c] : valve.curve) {
    openings.push_back(h);
    relative.push_back(c);
  }
  return MonotoneCubic(std::move(openings), std::move(relative));
}

FlowCoefficient FullOpenCoefficient(const Valve& valve, const ValveKind& kind, double bore) {
  if (const auto given = CoefficientGiven(valve.kv, valve.cv)) return *given;
  return FlowCoefficient::FromK(valve.k ? *valve.k : kind.full_open_k, bore);
}

// A pure square law, whatever the opening: linear only below a millionth of the flow at 1 m.
LossLaw ChokingLoss(double k, double bore, const LawContext& context) {
  LossLaw law = LossFromK(k, bore, context);
  law.q_linear = 1e-6 / std::sqrt(law.r);
  return law;
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

// --- A valve against its opening ---------------------------------------------------------------

ValveTrim::ValveTrim(const Valve& valve, double bore)
    : kind_(FindValveKind(valve.kind)),
      characteristic_(CharacteristicOf(valve, *kind_)),
      full_(FullOpenCoefficient(valve, *kind_, bore)),
      most_opening_(valve.condition == "sleeve not reopening"
                        ? valve.stuck_opening
                        : std::numeric_limits<double>::infinity()),
      fl_(valve.fl) {
  if (valve.condition == "blocked" || valve.condition == "sleeve collapsed") {
    kept_ = 1.0 - valve.blockage;
  }
  if (valve.condition == "passing" || valve.condition == "diaphragm cut") {
    passing_ = SeatLeakCoefficient(valve, bore, full_).av();
  }
}

FlowCoefficient ValveTrim::CoefficientAt(double opening) const {
  const double standing = StandingOpening(opening);
  const double share = standing > 0.0 ? characteristic_.Value(standing) * kept_ : 0.0;
  return FlowCoefficient::FromAv((share > kShutShare ? share * full_.av() : 0.0) + passing_);
}

double ValveTrim::RecoveryAt(double opening) const {
  if (fl_) return *fl_;
  const double standing = StandingOpening(opening);
  double recovery = PressureRecovery(*kind_, standing);
  if (standing <= plain_to_) return std::min(recovery, 1.0);
  const double share = characteristic_.Value(standing);
  if (share <= 0.0) return recovery;
  constexpr int kSteps = 40;
  for (int i = 1; i < kSteps; ++i) {
    const double below = standing * i / kSteps;
    recovery =
        std::max(recovery, PressureRecovery(*kind_, below) * characteristic_.Value(below) / share);
  }
  return std::min(recovery, 1.0);
}

double ValveTrim::LeastRecovery() const {
  if (fl_) return *fl_;
  return std::min({PressureRecovery(*kind_, 0.0), PressureRecovery(*kind_, 1.0), 1.0});
}

// Up to there the coefficient times FL rises all the way.
void ValveTrim::FindPlainRecovery() {
  constexpr int kSteps = 1000;
  double last = 0.0;
  for (int i = 1; i <= kSteps; ++i) {
    const double opening = static_cast<double>(i) / kSteps;
    const double choked = PressureRecovery(*kind_, opening) * characteristic_.Value(opening);
    if (choked < last) return;
    plain_to_ = opening;
    last = choked;
  }
}

ValveThrottle::ValveThrottle(const Valve& valve, const LawContext& context)
    : context_(context),
      bore_(BoreOf(valve)),
      area_(AreaOf(bore_)),
      trim_(valve, bore_),
      full_k_(trim_.full().K(bore_)) {
  if (valve.pipe_bore) reducers_ = ReducersAround(bore_, *valve.pipe_bore, *valve.pipe_bore);
  // The trim factor is at most that at the loosest, and the Reynolds number falls with FL.
  const double most_trim = ViscousTrimFactor({.full_open = full_k_, .at_opening = 1e-12});
  turbulent_from_ = ViscousFactor(most_trim, trim_.LeastRecovery()).turbulent_from;
}

ValveThrottle::Plain ValveThrottle::PlainAt(double opening) const {
  const FlowCoefficient standing = trim_.CoefficientAt(opening);
  constexpr double kInfinity = std::numeric_limits<double>::infinity();
  if (standing.av() <= 0.0) return {kInfinity, 1.0, kInfinity, 0.0};
  const double k = standing.K(bore_), fl = trim_.RecoveryAt(opening);
  return {.k = k,
          .fl = fl,
          .r = ResistanceOf(k + reducers_.Losses()),
          .rev_per_flow = ValveReynoldsRatio(k, fl, trim_.kind().style_modifier.value) * bore_ /
                          (area_ * context_.liquid.KinematicViscosity())};
}

LossLaw ValveThrottle::ChokingLossAt(const Plain& at) const {
  const double recovery =
      CombinedRecoveryFactor(at.k, at.fl, reducers_) / PipingGeometryFactor(at.k, reducers_);
  return ChokingLoss((at.k + reducers_.Losses()) / (recovery * recovery), bore_, context_);
}

ViscousLossLaw ValveThrottle::ViscousLawAt(const Plain& at) const {
  const ViscousFactor factor(TrimFactorOf(at), at.fl);
  return {.r = at.r,
          .rev_per_flow = at.rev_per_flow,
          .factor = factor,
          .laminar = at.r / (factor.laminar * factor.laminar * at.rev_per_flow)};
}

ViscousLossLaw ValveThrottle::LawAboveLaminar(const Plain& at) const {
  return {.r = at.r,
          .rev_per_flow = at.rev_per_flow,
          .factor = ViscousFactor::AboveLaminar(TrimFactorOf(at), at.fl),
          .laminar = std::numeric_limits<double>::quiet_NaN()};
}

Law ValveThrottle::LawOf(const Plain& at) const {
  if (context_.liquid.IsNewtonian()) return ViscousLawAt(at);
  return RheologyLossLaw{std::make_shared<const RheologyLossLaw::Data>(RheologyLossLaw::Data{
      .laminar_stress = LaminarStressCurve(RheologyOf(context_.liquid), bore_),
      .factor = ViscousFactor(TrimFactorOf(at), at.fl),
      .r = at.r,
      .area = area_,
      .density = context_.liquid.density,
      .rev_per_re = ValveReynoldsRatio(at.k, at.fl, trim_.kind().style_modifier.value),
      .throat = std::max(1.0, std::pow(at.k, 0.75))})};
}

ComponentLaw ValveThrottle::LawAt(double opening) const {
  const Plain at = PlainAt(opening);
  if (std::isinf(at.k)) return {ShutLaw{}, 0.0, area_};
  return {LawOf(at), StartFlow(bore_), area_, Choke{ChokingLossAt(at)}};
}

double LossCoefficient(const Valve& valve, double bore) {
  return ValveTrim(valve, bore).CoefficientAt(valve.opening).K(bore);
}

double StandingOpening(const Valve& valve) {
  const bool stuck = valve.condition == "sleeve not reopening";
  return stuck ? std::min(valve.opening, valve.stuck_opening) : valve.opening;
}

double RecoveryFactor(const Valve& valve) {
  return ValveTrim(valve, BoreOf(valve)).RecoveryAt(valve.opening);
}

ComponentLaw MakeLaw(const Valve& valve, const LawContext& context) {
  return ValveThrottle(valve, context).LawAt(valve.opening);
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
  LossLaw full = LossFromCoefficient(coefficient, bore, context);
  AddViscousLoss(valve.kind == "swing" ? kSwingK1OverK : kLiftK1OverK, bore, context, &full);
  const OneWayLaw sound = SoundLaw(valve, full, bore, context);
  ComponentLaw made{sound, StartFlow(bore), AreaOf(bore)};
  if (valve.condition == "passing") {
    const FlowCoefficient leak = SeatLeakCoefficient(valve, bore, coefficient);
    // A measured leak has viscosity in it already; what little is left is linear below Re 1 in it.
    const bool is_measured = valve.leak_kv || !valve.leakage.empty();
    const LossLaw law = is_measured ? LossFromCoefficient(leak, BoreOfCoefficient(leak), context)
                                    : LeakFromCoefficient(leak, context);
    if (leak.av() > 0.0) made.law = PassingLaw{sound, law};
  }
  if (valve.condition == "stuck open") made.law = Scaled(full, valve.stuck_opening);
  return made;
}

// --- Regulators and relief valves ---------------------------------------------------------------

namespace {

Control ControlOf(const Regulator& regulator, const LawContext& context) {
  if (regulator.kind == "flow-limiting") return LimitFlow{*regulator.set_flow};
  constexpr double kExactSlope = 1e-6;  // [s/m²]
  double slope = kExactSlope;
  if (regulator.droop > 0.0) slope += regulator.droop / context.Weight() / *regulator.rated_flow;
  const bool at_to = regulator.kind == "pressure-reducing";
  return HoldPressure{at_to, *regulator.set_pressure, LinearLaw{slope, 0.0}};
}

}  // namespace

ComponentLaw MakeLaw(const Regulator& regulator, const LawContext& context) {
  const double bore = BoreOf(regulator);
  const auto given = CoefficientGiven(regulator.kv, regulator.cv);
  LossLaw open = given ? LossFromCoefficient(*given, bore, context)
                       : LossFromK(regulator.k.value_or(kRegulatorOpenK), bore, context);
  AddViscousLoss(kRegulatorK1OverK, bore, context, &open);
  return {OneWayLaw::WithoutCracking(open), StartFlow(bore), AreaOf(bore),
          ControlOf(regulator, context)};
}

ComponentLaw MakeLaw(const ReliefValve& valve, const LawContext& context) {
  const auto given = CoefficientGiven(valve.kv, valve.cv);
  const FlowCoefficient full =
      given ? *given
            : FlowCoefficient::FromAv(kReliefDischarge * std::numbers::sqrt2 * *valve.area);
  const LossLaw open = LeakFromCoefficient(full, context);
  const double set = valve.set_pressure / context.Weight();
  const double full_lift = set * (1.0 + valve.overpressure);
  const double rated_flow = open.FlowAt(full_lift);
  if (!valve.balanced) {
    return {OneWayLaw::Proportional(open, set, full_lift), rated_flow, std::nullopt};
  }
  const LinearLaw droop{(full_lift - set) / rated_flow, 0.0};
  return {OneWayLaw::WithoutCracking(open), rated_flow, std::nullopt,
          HoldPressure{/*at_to=*/false, valve.set_pressure, droop}};
}

}  // namespace handwheel
