#include "correlations/friction.h"

#include <algorithm>
#include <type_traits>

#include "correlations/dual.h"

namespace handwheel {
namespace {

static_assert(std::is_trivially_copyable_v<PipeFriction> && sizeof(PipeFriction) <= 64,
              "one pipe's friction is meant to fit a cache line");

// Below this, Churchill's formula is 64/Re to round-off, while its sixteenth powers may overflow.
constexpr double kChurchillMinRe = 10.0;

template <typename T>
T FrictionFactor(FrictionFormula formula, const T& re, const T& r) {
  switch (formula) {
    case FrictionFormula::kChurchill:
      return ChurchillFrictionFactor(re, r);
    case FrictionFormula::kSwameeJain:
      return SwameeJainFrictionFactor(re, r);
    case FrictionFormula::kHaaland:
      return HaalandFrictionFactor(re, r);
    case FrictionFormula::kSerghides:
      return SerghidesFrictionFactor(re, r);
    case FrictionFormula::kMoody:
      return Moody1947FrictionFactor(re, r);
    case FrictionFormula::kBlasius:
      return BlasiusFrictionFactor(re);
    case FrictionFormula::kPrandtlSmooth:
      return PrandtlSmoothFrictionFactor(re);
    case FrictionFormula::kFullyRough:
      return FullyRoughFrictionFactor(r);
    case FrictionFormula::kColebrook:
      break;
  }
  return ColebrookFrictionFactor(re, r);
}

Friction FormulaFriction(FrictionFormula formula, double re, double r) {
  if (formula == FrictionFormula::kChurchill && re < kChurchillMinRe) return {64.0 / re, -1.0};
  const Dual f = FrictionFactor(formula, Dual(re, /*d re / d ln re=*/re), Dual(r));
  return {f.value, f.slope / f.value};
}

}  // namespace

PipeFriction::PipeFriction(FrictionFormula formula, double r) : formula_(formula), r_(r) {
  if (formula == FrictionFormula::kChurchill) return;
  if (formula == FrictionFormula::kFullyRough) {
    turbulent_limit_ = std::max(kTurbulentLimit, 64.0 / FullyRoughFrictionFactor(r));
    if (!std::isfinite(turbulent_limit_)) return;
  }
  const Friction end = ByFormula(turbulent_limit_);
  const double width = std::log(turbulent_limit_ / kLaminarLimit);
  const double rise = std::log(end.f * turbulent_limit_ / 64.0) / (width * width);
  const double end_slope = (end.dlnf_dlnre + 1.0) / width;
  square_ = 3.0 * rise - end_slope;
  cube_ = (end_slope - 2.0 * rise) / width;
}

Friction PipeFriction::ByFormula(double re) const {
  return formula_ == FrictionFormula::kColebrook ? ColebrookTurbulent(re)
                                                 : FormulaFriction(formula_, re, r_);
}

Friction PipeFriction::Transition(double re) const {
  const double length = std::log(re / kLaminarLimit);
  const double ln_ratio = length * length * (square_ + cube_ * length);
  return {64.0 / re * std::exp(ln_ratio), -1.0 + length * (2.0 * square_ + 3.0 * cube_ * length)};
}

Friction DarcyFriction(FrictionFormula formula, double re, double r) {
  return PipeFriction(formula, r).At(re);
}

}  // namespace handwheel
