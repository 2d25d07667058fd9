#include "components/make_law.h"

#include <limits>

#include "components/law_parts.h"
#include "correlations/fittings.h"
#include "handwheel/units.h"
#include "network/resolve.h"

namespace handwheel {

std::optional<FlowCoefficient> CoefficientGiven(const std::optional<double>& kv,
                                                const std::optional<double>& cv) {
  if (kv) return FlowCoefficient::FromKv(*kv * 3600.0);
  if (cv) return FlowCoefficient::FromCv(FromSi(*cv, Dimension::kFlow, "gpm"));
  return std::nullopt;
}

Rheology RheologyOf(const Liquid& liquid) {
  return {.yield_stress = liquid.yield_stress,
          .consistency = liquid.consistency > 0.0 ? liquid.consistency : liquid.viscosity,
          .index = liquid.index};
}

namespace {

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

Law RheologyLaw(const Pipe& pipe, double bore, const MinorLosses& minor,
                const LawContext& context) {
  const double area = AreaOf(bore);
  const Rheology rheology = RheologyOf(context.liquid);
  // K1/Re of Newtonian flow is K1 tau/16 of any: linear = K1 nu/(2 g D A) for the liquid's nominal
  // viscosity, from which K1 is taken back.
  const double k1 =
      minor.linear * 2.0 * context.gravity * bore * area / context.liquid.KinematicViscosity();
  return RheologyPipeLaw{std::make_shared<const RheologyPipeLaw::Data>(RheologyPipeLaw::Data{
      .wall = WallStressCurve(rheology, context.liquid.density, bore, RoughnessOf(pipe) / bore),
      .laminar = LaminarStressCurve(rheology, bore),
      .area = area,
      .per_wall = 4.0 * pipe.length / bore / context.Weight(),
      .per_k1 = k1 / 16.0 / context.Weight(),
      .quadratic = minor.quadratic * area * area})};
}

Law PipeLawOf(const Pipe& pipe, double bore, const LawContext& context) {
  const MinorLosses minor = MinorLossesOf(pipe, bore, context);
  if (pipe.friction_factor) {
    LossLaw law = LossFromK(*pipe.friction_factor * pipe.length / bore, bore, context);
    law.r += minor.quadratic;
    law.linear = minor.linear;
    law.fade = std::numeric_limits<double>::infinity();
    return law;
  }
  if (pipe.hazen_williams_c) {
    return HazenWilliamsLaw{HazenWilliams(pipe.length, bore, *pipe.hazen_williams_c), minor.linear,
                            minor.quadratic};
  }
  if (!context.liquid.IsNewtonian()) return RheologyLaw(pipe, bore, minor, context);
  return DarcyLaw(pipe, bore, minor, context);
}

}  // namespace

ComponentLaw MakeLaw(const Pipe& pipe, const LawContext& context) {
  const double bore = BoreOf(pipe);
  return {PipeLawOf(pipe, bore, context), StartFlow(bore), AreaOf(bore)};
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
  return {OneWayLaw::WithoutCracking(LossFromK(nozzle.k, bore, context)), StartFlow(bore),
          AreaOf(bore)};
}

}  // namespace handwheel
