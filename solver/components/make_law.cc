#include "components/make_law.h"

#include <algorithm>
#include <numbers>

#include "correlations/fittings.h"
#include "correlations/flow_coefficient.h"
#include "correlations/valve_characteristic.h"
#include "handwheel/units.h"
#include "network/resolve.h"

namespace handwheel {
namespace {

constexpr double kStartVelocity = 1.0;  // [m/s]

double AreaOf(double bore) {
  return std::numbers::pi / 4.0 * bore * bore;
}

// The flow at Reynolds number 1 [m³/s]: below it a square law is made linear.
double LinearFlow(double bore, const LawContext& context) {
  return std::numbers::pi / 4.0 * bore * context.liquid.KinematicViscosity();
}

LossLaw LossFromK(double k, double bore, const LawContext& context) {
  const double area = AreaOf(bore);
  return {k / (2.0 * context.gravity * area * area), LinearFlow(bore, context)};
}

// Q = Av sqrt(dp/rho), so drop = dp/(rho g) = Q²/(Av² g).
LossLaw LossFromCoefficient(FlowCoefficient coefficient, double bore, const LawContext& context) {
  const double av = coefficient.av();
  return {1.0 / (av * av * context.gravity), LinearFlow(bore, context)};
}

// The bore through which one velocity head passes what the coefficient passes: a length scale for
// parts that give none.
double BoreOfCoefficient(FlowCoefficient coefficient) {
  return std::sqrt(coefficient.av() / std::numbers::sqrt2 * 4.0 / std::numbers::pi);
}

std::optional<FlowCoefficient> CoefficientGiven(const std::optional<double>& kv,
                                                const std::optional<double>& cv) {
  if (kv) return FlowCoefficient::FromKv(*kv * 3600.0);
  if (cv) return FlowCoefficient::FromCv(FromSi(*cv, Dimension::kFlow, "gpm"));
  return std::nullopt;
}

LossLaw Scaled(LossLaw loss, double relative_coefficient) {
  loss.r /= relative_coefficient * relative_coefficient;
  return loss;
}

double StartFlow(double bore) {
  return kStartVelocity * AreaOf(bore);
}

// --- Pipe ---------------------------------------------------------------------------------------

struct MinorLosses {
  double linear;     // [s/m²]
  double quadratic;  // [s²/m⁵]
};

MinorLosses MinorLossesOf(const Pipe& pipe, double bore, const LawContext& context) {
  const FittingMethod method = *FittingMethodFromName(context.model.fittings);
  double k = pipe.k, k_over_re = 0.0;
  for (const auto& [name, count] : pipe.fittings) {
    const FittingLoss loss = *FittingLossFor(name, method, bore, NominalSizeOf(pipe));
    k += count * loss.k_constant;
    k_over_re += count * loss.k_over_re;
  }
  const double area = AreaOf(bore);
  const double velocity_head = 1.0 / (2.0 * context.gravity * area * area);
  const double re_per_flow = bore / (area * context.liquid.KinematicViscosity());
  return {k_over_re / re_per_flow * velocity_head, k * velocity_head};
}

Law DarcyLaw(const Pipe& pipe, double bore, const MinorLosses& minor, const LawContext& context) {
  const double area = AreaOf(bore);
  const double nu = context.liquid.KinematicViscosity();
  const double turbulent = pipe.length / bore / (2.0 * context.gravity * area * area);
  const double re_per_flow = bore / (area * nu);
  const FrictionFormula formula = context.model.friction;
  return PipeLaw{.friction = PipeFriction(formula, RoughnessOf(pipe) / bore),
                 .re_per_flow = re_per_flow,
                 .laminar = 64.0 / re_per_flow * turbulent,
                 .turbulent = turbulent,
                 .minor_linear = minor.linear,
                 .minor_quadratic = minor.quadratic,
                 .laminar_limit = formula == FrictionFormula::kChurchill ? 1.0 : kLaminarLimit};
}

Law PipeLawOf(const Pipe& pipe, double bore, const LawContext& context) {
  const MinorLosses minor = MinorLossesOf(pipe, bore, context);
  if (pipe.friction_factor) {
    LossLaw square = LossFromK(*pipe.friction_factor * pipe.length / bore, bore, context);
    square.r += minor.quadratic;
    return FixedFactorLaw{square, minor.linear};
  }
  if (pipe.hazen_williams_c) {
    return HazenWilliamsLaw{HazenWilliams(pipe.length, bore, *pipe.hazen_williams_c), minor.linear,
                            minor.quadratic};
  }
  return DarcyLaw(pipe, bore, minor, context);
}

// --- Valves -------------------------------------------------------------------------------------

double RelativeCoefficientOf(const Valve& valve, const ValveKind& kind) {
  if (valve.curve.empty()) return RelativeCoefficient(kind).Value(valve.opening);
  std::vector<double> opening, relative;
  for (const auto& [h, c] : valve.curve) {
    opening.push_back(h);
    relative.push_back(c);
  }
  return MonotoneCubic(std::move(opening), std::move(relative)).Value(valve.opening);
}

LossLaw FullOpenLoss(const Valve& valve, const ValveKind& kind, double bore,
                     const LawContext& context) {
  if (const auto given = CoefficientGiven(valve.kv, valve.cv)) {
    return LossFromCoefficient(*given, bore, context);
  }
  return LossFromK(valve.k ? *valve.k : kind.full_open_k, bore, context);
}

// Full-open K = n fT by body form. n as listed in the fT method's tables (from memory) for swing
// 100 and lift 600, and for an in-line ball check 150 from a widely reproduced list of equivalent
// lengths.
double CheckValveFullOpenK(const std::string& kind, double bore) {
  const double n = kind == "swing" ? 100.0 : kind == "lift" ? 600.0 : 150.0;
  return n * CleanSteelFrictionFactor(bore);
}

LossLaw FullOpenLoss(const CheckValve& valve, double bore, const LawContext& context) {
  if (const auto given = CoefficientGiven(valve.kv, valve.cv)) {
    return LossFromCoefficient(*given, bore, context);
  }
  return LossFromK(valve.k ? *valve.k : CheckValveFullOpenK(valve.kind, bore), bore, context);
}

// A passing seat without a given coefficient: a sharp-edged hole of 1 % of the bore area,
// contraction coefficient 0.62. The 1 % is the relief-study practice for a leaking check valve (10
// % of the bore) reported from API 521, seen second-hand.
LossLaw LeakLoss(const CheckValve& valve, double bore, const LawContext& context) {
  if (valve.leak_kv) {
    // Linear below Reynolds number 1 in the leak, not in the bore: a tight seat passes less.
    const FlowCoefficient leak = FlowCoefficient::FromKv(*valve.leak_kv * 3600.0);
    return LossFromCoefficient(leak, BoreOfCoefficient(leak), context);
  }
  constexpr double kHole = 0.62 * 0.01;
  return LossFromK(1.0 / (kHole * kHole), bore, context);
}

}  // namespace

ComponentLaw MakeLaw(const Pipe& pipe, const LawContext& context) {
  const double bore = BoreOf(pipe);
  return {PipeLawOf(pipe, bore, context), StartFlow(bore), AreaOf(bore)};
}

ComponentLaw MakeLaw(const Valve& valve, const LawContext& context) {
  const double bore = BoreOf(valve);
  const ValveKind& kind = *FindValveKind(valve.kind);
  const double relative = valve.opening > 0.0 ? RelativeCoefficientOf(valve, kind) : 0.0;
  if (relative <= 0.0) return {ShutLaw{}, 0.0, AreaOf(bore)};
  return {Scaled(FullOpenLoss(valve, kind, bore, context), relative), StartFlow(bore),
          AreaOf(bore)};
}

ComponentLaw MakeLaw(const CheckValve& valve, const LawContext& context) {
  const double bore = BoreOf(valve);
  const LossLaw full = FullOpenLoss(valve, bore, context);
  const OneWayLaw sound{full, valve.cracking_pressure / (context.liquid.density * context.gravity)};
  ComponentLaw made{sound, StartFlow(bore), AreaOf(bore)};
  if (valve.condition == "passing") made.law = PassingLaw{sound, LeakLoss(valve, bore, context)};
  if (valve.condition == "stuck open") made.law = Scaled(full, valve.stuck_opening);
  return made;
}

ComponentLaw MakeLaw(const Pump& pump, const LawContext&) {
  std::vector<double> flow, head;
  for (const auto& [q, h] : pump.curve) {
    flow.push_back(q);
    head.push_back(h);
  }
  const PumpCurve curve = pump.coefficients ? PumpCurve::ByCoefficients((*pump.coefficients)[0],
                                                                        (*pump.coefficients)[1],
                                                                        (*pump.coefficients)[2])
                                            : PumpCurve::ByPoints(std::move(flow), std::move(head));
  const double rated_flow = pump.rated_flow.value_or(curve.BestFlow());
  const double rated_head = curve.GainAt(rated_flow).drop;
  const double resistance = pump.stopped_k * std::max(rated_head, 0.01 * curve.shutoff_head()) /
                            (rated_flow * rated_flow);
  if (!pump.running || pump.speed == 0.0) {
    // No bore to take a Reynolds number from: linear below a millionth of the rated flow.
    return {LossLaw{resistance, 1e-6 * rated_flow}, rated_flow, std::nullopt};
  }
  return {PumpLaw{curve, pump.speed, resistance}, rated_flow * pump.speed, std::nullopt};
}

ComponentLaw MakeLaw(const Restriction& restriction, const LawContext& context) {
  const std::optional<double> bore = BoreOf(restriction);
  std::optional<double> area;
  if (bore) area = AreaOf(*bore);
  if (restriction.k) {
    return {LossFromK(*restriction.k, *bore, context), StartFlow(*bore), area};
  }
  if (restriction.rated_drop) {
    const double q = *restriction.rated_flow;
    const double drop = *restriction.rated_drop / (context.liquid.density * context.gravity);
    return {LossLaw{drop / (q * q), bore ? LinearFlow(*bore, context) : 1e-6 * q}, q, area};
  }
  const FlowCoefficient given = *CoefficientGiven(restriction.kv, restriction.cv);
  const double scale = bore.value_or(BoreOfCoefficient(given));
  return {LossFromCoefficient(given, scale, context), StartFlow(scale), area};
}

ComponentLaw MakeLaw(const Nozzle& nozzle, const LawContext& context) {
  const double bore = BoreOf(nozzle);
  return {OneWayLaw{LossFromK(nozzle.k, bore, context), 0.0}, StartFlow(bore), AreaOf(bore)};
}

}  // namespace handwheel
