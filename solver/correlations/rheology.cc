#include "correlations/rheology.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <type_traits>

#include "correlations/dual.h"

namespace handwheel {
namespace {

static_assert(std::is_trivially_copyable_v<WallStressCurve>);

// Newton's steps below settle quadratically: after a step this small, the next is round-off.
constexpr double kLastStep = 1e-8;
constexpr int kMaxSteps = 100;  // about 5 are taken; this only bounds the loop

// The three terms of the flow formula, with phi = tau_y/tau_w and u = 1 - phi:
//   G = 4n (tau_w/K)^(1/n) u^(1+1/n) B,  B = u²/(3n+1) + 2 u phi/(2n+1) + phi²/(n+1)
double FlowShape(double n, double u, double phi) {
  return u * u / (3.0 * n + 1.0) + 2.0 * u * phi / (2.0 * n + 1.0) + phi * phi / (n + 1.0);
}

// d ln G / d ln z, z = tau_w/tau_y - 1 = u/phi. Written out, the terms that cancel in it (from the
// powers of z and 1 + z) are gone and what is left is all positive.
double ShearRateSlope(double n, double u, double phi) {
  const double a = 3.0 * n + 1.0;
  const double b = 2.0 * n + 1.0;
  const double c = n + 1.0;
  const double top = u * u / (a * b) + 2.0 * u * phi / (b * c) + phi * phi / c;
  return 1.0 / n + phi * top / FlowShape(n, u, phi);
}

// Root of an increasing function that returns value and slope. If it is concave and the start at or
// left of the root, or convex and right of it, the steps never pass the root and need no guard.
template <typename Function>
double NewtonRoot(double start, const Function& function) {
  double x = start;
  for (int i = 0; i < kMaxSteps; ++i) {
    const Dual f = function(x);
    const double step = f.value / f.slope;
    x -= step;
    if (std::abs(step) <= kLastStep) break;
  }
  return x;
}

// Dodge's and Metzner's smooth term A, as 1/sqrt(f) = -2 log10 A:
//   ln A = offset - power ln[ Re (f/4)^(1-n/2) ]
struct SmoothTerm {
  double offset;
  double power;
};

SmoothTerm PrintedSmoothTerm(double n) {
  return {0.2 * kHalfLn10 * std::pow(n, -1.2), std::pow(n, -0.75)};
}

SmoothTerm SmoothTermMeetingColebrook(double n) {
  const SmoothTerm printed = PrintedSmoothTerm(n);
  return {printed.offset + (std::log(0.5 * 2.51) - 0.2 * kHalfLn10), printed.power};
}

// With y = (ln 10 / 2)/sqrt(f) the law reads  y + ln(a + C y^q) = 0,  a = r/3.7,  q = (2-n)/n^0.75.
// In x = ln y its left-hand side is convex and increasing, and the root lies left of the root with
// a alone and of two bounds on the root with C y^q alone.
Friction DodgeMetzner(const SmoothTerm& term, double re, double n, double r) {
  const double q = term.power * (2.0 - n);
  const double ln_c =
      term.offset - term.power * std::log(re) - 0.5 * q * std::log(0.25 * kHalfLn10Squared);
  const double a = r / kRoughnessScale;

  double start = -ln_c / q;
  if (-ln_c > 1.0) start = std::min(start, std::log(-ln_c));
  if (a > 0.0) start = std::min(start, std::log(-std::log(a)));
  double smooth_share = 0.0;  // C y^q / (a + C y^q)
  const double x = NewtonRoot(start, [&](double at) {
    const double y = std::exp(at);
    const double smooth = std::exp(ln_c + q * at);
    smooth_share = smooth / (a + smooth);
    return Dual(y + std::log(a + smooth), y + q * smooth_share);
  });
  const double y = std::exp(x);
  return {kHalfLn10Squared / (y * y), -2.0 * smooth_share * term.power / (y + q * smooth_share)};
}

}  // namespace

// ---- Textbook pieces ----

double MetznerReedReynolds(const Rheology& rheology, double density, double velocity, double bore) {
  const double n = rheology.index;
  const double wall_rate = (3.0 * n + 1.0) / (4.0 * n) * 8.0 * velocity / bore;
  return 8.0 * density * velocity * velocity / (rheology.consistency * std::pow(wall_rate, n));
}

double HerschelBulkleyFlow(double wall_stress, const Rheology& rheology, double radius) {
  if (!(wall_stress > rheology.yield_stress)) return 0.0;
  const double n = rheology.index;
  const double excess = wall_stress - rheology.yield_stress;
  const double phi = rheology.yield_stress / wall_stress;
  const double u = excess / wall_stress;
  const double rate = std::pow(excess / rheology.consistency, 1.0 / n);
  return std::numbers::pi * radius * radius * radius * n * rate * u * FlowShape(n, u, phi);
}

double BuckinghamReinerFanning(double re, double he) {
  // In units in which mu_p = rho = D = 1: V = Re, tau_y = He.
  const Rheology rheology{.yield_stress = he, .consistency = 1.0, .index = 1.0};
  return 2.0 * LaminarWallStress(rheology).At(8.0 * re).stress / (re * re);
}

double HanksCriticalReynolds(double he) {
  if (he == 0.0) return 2100.0;
  // With u = 1 - phi: u³ He/16800 + u - 1 = 0, a cubic with one real root; then the formula for
  // Re_c with the factor (1-phi)² taken out of its bracket, free of cancellation.
  const double a = std::sqrt(3.0 * he / 16800.0);
  const double u = 2.0 / a * std::sinh(std::asinh(1.5 * a) / 3.0);
  const double phi = he / 16800.0 * u * u * u;
  return 700.0 * (3.0 + phi * (2.0 + phi)) / u;
}

double RyanJohnsonCriticalReynolds(double index) {
  const double n = index;
  const double wall = 1.0 + 3.0 * n;
  return 6464.0 * n * std::pow(2.0 + n, (2.0 + n) / (1.0 + n)) / (wall * wall);
}

double DarbyMelsonFanning(double re, double he) {
  const double a = -1.47 * (1.0 + 0.146 * std::exp(-2.9e-5 * he));
  return std::pow(10.0, a) * std::pow(re, -0.193);
}

double DodgeMetznerFanning(double re, double index) {
  return 0.25 * DodgeMetzner(PrintedSmoothTerm(index), re, index, 0.0).f;
}

Friction RoughDodgeMetznerFriction(double re, double index, double r) {
  return DodgeMetzner(SmoothTermMeetingColebrook(index), re, index, r);
}

// ---- Laminar flow ----

LaminarWallStress::LaminarWallStress(const Rheology& rheology)
    : rheology_(rheology),
      ln_consistency_(std::log(rheology.consistency)),
      ln_rate_scale_(std::log(4.0 * rheology.index) +
                     std::log(rheology.yield_stress / rheology.consistency) / rheology.index) {}

LaminarWallStress::Excess LaminarWallStress::AtExcess(double x) const {
  const double n = rheology_.index;
  const double z = std::exp(x);
  const double phi = 1.0 / (1.0 + z);
  const double u = z * phi;
  return {.ratio = z,
          .ln_rate = ln_rate_scale_ + (1.0 + 1.0 / n) * x + std::log(phi * FlowShape(n, u, phi)),
          .rate_slope = ShearRateSlope(n, u, phi),
          .sheared = u};
}

LaminarWallStress::Point LaminarWallStress::At(double shear_rate) const {
  const double n = rheology_.index;
  const double ln_rate = std::log(shear_rate);
  if (rheology_.yield_stress == 0.0) {
    const double ln_wall_rate = ln_rate + std::log((3.0 * n + 1.0) / (4.0 * n));
    return {std::exp(ln_consistency_ + n * ln_wall_rate), n};
  }
  // ln G is concave in x. Its asymptotes for small and large x lie above it, so the root lies right
  // of both their roots.
  const double target = ln_rate - ln_rate_scale_;
  const double small = (target + std::log(n + 1.0)) / (1.0 + 1.0 / n);
  const double large = n * (target + std::log(3.0 * n + 1.0));
  const double x = NewtonRoot(std::max(small, large), [&](double at) {
    const Excess excess = AtExcess(at);
    return Dual(excess.ln_rate - ln_rate, excess.rate_slope);
  });
  const Excess excess = AtExcess(x);
  return {rheology_.yield_stress + rheology_.yield_stress * excess.ratio,
          excess.sheared / excess.rate_slope};
}

double LaminarWallStress::LaminarLimit(double density, double bore) const {
  const double n = rheology_.index;
  const double ln_limit = std::log(2000.0 + 875.0 * (1.0 - n));
  const double ln_inertia = std::log(density * bore * bore);
  const double a = 3.0 * n + 1.0;
  if (rheology_.yield_stress == 0.0) {
    // Re' = rho D² G^(2-n) / (8 K ((3n+1)/(4n))^n)
    const double ln_re = ln_inertia - std::log(8.0) - ln_consistency_ - n * std::log(a / (4.0 * n));
    return std::exp((ln_limit - ln_re) / (2.0 - n));
  }
  // The limit on Re' and the flow formula together, with z = tau_w/tau_y - 1:
  //   z^(1+2/n) / (1+z)² = limit (3n+1)² K^(2/n) / (2 n² rho D² tau_y^(2/n-1)),
  // whose logarithm is concave in x = ln z, like ln G.
  const double target =
      ln_limit + std::log(8.0 * a * a * rheology_.yield_stress) - ln_inertia - 2.0 * ln_rate_scale_;
  const double start = std::max(target / (2.0 / n + 1.0), target / (2.0 / n - 1.0));
  const double x = NewtonRoot(start, [&](double at) {
    const double z = std::exp(at);
    return Dual((2.0 / n + 1.0) * at - 2.0 * std::log1p(z) - target,
                2.0 / n + 1.0 - 2.0 * z / (1.0 + z));
  });
  return std::exp(AtExcess(x).ln_rate);
}

// ---- The whole curve ----

WallStressCurve::WallStressCurve(const Rheology& rheology, double density, double bore,
                                 double relative_roughness)
    : laminar_(rheology),
      friction_(FrictionFormula::kColebrook, relative_roughness),
      density_(density),
      bore_(bore),
      relative_roughness_(relative_roughness) {
  if (rheology.IsNewtonian()) {
    laminar_limit_ = kLaminarLimit * rheology.consistency / (density * bore);
    turbulent_limit_ = kTurbulentLimit * rheology.consistency / (density * bore);
    return;
  }
  // The clamp keeps squares finite where an index near 2 sends the limit out of all bounds.
  laminar_limit_ = std::clamp(0.125 * bore * laminar_.LaminarLimit(density, bore), 1e-100, 1e100);
  FitTransition();
  FitCreep();
}

void WallStressCurve::FitTransition() {
  start_ = Laminar(laminar_limit_);
  const double width = TransitionWidth();
  turbulent_limit_ = laminar_limit_ * std::exp(width);
  const Local end = Turbulent(turbulent_limit_);
  const double mean = std::log(end.stress / start_.stress) / width;
  square_ = (3.0 * mean - 2.0 * start_.index - end.index) / width;
  cube_ = (start_.index + end.index - 2.0 * mean) / (width * width);
}

bool WallStressCurve::JoinsMonotonically(double width) const {
  const Local end = Turbulent(laminar_limit_ * std::exp(width));
  const double mean = std::log(end.stress / start_.stress) / width;
  return std::max(start_.index, end.index) <= 3.0 * mean;
}

// ln of turbulent over laminar limit. The mean slope tends to that of the turbulent stress, between
// 1 and 2, as the width grows: so a width that joins exists. Where the mean is a third of the end
// slope it rises with the width, at 2/width times the end slope, faster than the end slope does; so
// there is one least width, found by bisection, and it moves continuously with the data.
double WallStressCurve::TransitionWidth() const {
  double below = std::numbers::ln2 / (2.0 - rheology().index);
  if (JoinsMonotonically(below)) return below;
  double above = 1.25 * below;
  while (!JoinsMonotonically(above)) {
    below = above;
    above *= 1.25;
  }
  for (double middle = 0.5 * (below + above); middle > below && middle < above;
       middle = 0.5 * (below + above)) {
    (JoinsMonotonically(middle) ? above : below) = middle;
  }
  return above;
}

// stress = V (s + c V²) that meets the laminar curve in value and slope. Its slope runs from
// (3 - n')/2 to n' times stress/V at the border, n' being the slope in logarithms there: positive.
void WallStressCurve::FitCreep() {
  constexpr double kShareOfLaminar = 1e-3;
  creep_velocity_ = std::min(kCreepVelocity, kShareOfLaminar * laminar_limit_);
  const Local border = Laminar(creep_velocity_);
  const double ratio = border.stress / creep_velocity_;
  creep_slope_ = 0.5 * (3.0 - border.index) * ratio;
  creep_cube_ = 0.5 * (border.index - 1.0) * ratio / (creep_velocity_ * creep_velocity_);
}

WallStressCurve::Point WallStressCurve::At(double velocity) const {
  const Point point = AtSpeed(std::abs(velocity));
  return velocity < 0.0 ? Point{-point.stress, point.slope} : point;
}

WallStressCurve::Point WallStressCurve::AtSpeed(double speed) const {
  if (rheology().IsNewtonian()) return Newtonian(speed);
  if (speed < creep_velocity_) return Creep(speed);
  const Local local = speed <= laminar_limit_    ? Laminar(speed)
                      : speed < turbulent_limit_ ? Transition(speed)
                                                 : Turbulent(speed);
  return {local.stress, local.index * local.stress / speed};
}

WallStressCurve::Point WallStressCurve::Newtonian(double speed) const {
  const double viscosity = rheology().consistency;
  if (speed <= laminar_limit_) {
    const double slope = 8.0 * viscosity / bore_;
    return {slope * speed, slope};
  }
  const Friction friction = friction_.At(density_ * speed * bore_ / viscosity);
  const double impulse = 0.125 * friction.f * density_ * speed;
  return {impulse * speed, impulse * (2.0 + friction.dlnf_dlnre)};
}

WallStressCurve::Point WallStressCurve::Creep(double speed) const {
  const double cubic = creep_cube_ * speed * speed;
  return {speed * (creep_slope_ + cubic), creep_slope_ + 3.0 * cubic};
}

WallStressCurve::Local WallStressCurve::Transition(double speed) const {
  const double length = std::log(speed / laminar_limit_);
  const double ln_ratio = length * (start_.index + length * (square_ + cube_ * length));
  return {start_.stress * std::exp(ln_ratio),
          start_.index + length * (2.0 * square_ + 3.0 * cube_ * length)};
}

WallStressCurve::Local WallStressCurve::Turbulent(double speed) const {
  const double n = rheology().index;
  const double re = MetznerReedReynolds(rheology(), density_, speed, bore_);
  const Friction friction =
      n == 1.0 ? friction_.At(re) : RoughDodgeMetznerFriction(re, n, relative_roughness_);
  return {0.125 * density_ * speed * speed * friction.f, 2.0 + (2.0 - n) * friction.dlnf_dlnre};
}

double WallStressCurve::GeneralisedReynolds(double velocity) const {
  const double speed = std::abs(velocity);
  if (rheology().IsNewtonian()) return density_ * speed * bore_ / rheology().consistency;
  if (speed == 0.0) return 0.0;
  return 8.0 * density_ * speed * speed / Laminar(speed).stress;
}

}  // namespace handwheel
