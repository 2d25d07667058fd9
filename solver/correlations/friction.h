#ifndef HANDWHEEL_CORRELATIONS_FRICTION_H_
#define HANDWHEEL_CORRELATIONS_FRICTION_H_

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>

#include "handwheel/friction_formula.h"

// Darcy friction factors f [-] (four times the Fanning factor). Throughout:
//   re  Reynolds number         [-]
//   r   relative roughness k/D  [-]
// "Within x % of Colebrook-White" is measured in friction_test.cc over 4e3 <= re <= 1e8, r = 0 and
// 1e-6 <= r <= 0.05. The formulas are templated so that dual numbers such as ceres::Jet pass
// through them. PipeFriction, below, is the whole curve with its slope.
namespace handwheel {

inline constexpr double kLaminarLimit = 2000.0;    // Re up to which f = 64/Re
inline constexpr double kTurbulentLimit = 4000.0;  // Re from which the turbulent formula holds

// ---- Implicit formulas: a logarithmic law of the wall, y + ln(a + c y) = 0 ----

// y = (ln 10 / 2) / sqrt(f), and p = c / (a + (1 + y) c); then d ln f / d ln Re = -2 p.
template <typename T>
struct LogLawRoot {
  T y;
  T p;
};

// A first guess only needs a rough logarithm: 4.5e-4 off at most, for normal v > 0. It is the
// exponent of v plus a cubic fitted to ln m, 1 <= m < 2.
inline double RoughLog(double v) {
  const std::uint64_t bits = std::bit_cast<std::uint64_t>(v);
  const double exponent = static_cast<double>(static_cast<int>(bits >> 52) - 1023);
  const double m = std::bit_cast<double>((bits & 0x000FFFFFFFFFFFFFULL) | 0x3FF0000000000000ULL);
  const double ln_m = -1.49278318 + m * (2.11264465 + m * (-0.729111 + m * 0.1096908));
  return exponent * std::numbers::ln2 + ln_m;
}
template <typename T>
T RoughLog(const T& v) {
  using std::log;
  return log(v);
}

// The correction to y, given w = a + c y and ln_w. With d the true correction and s = c/w the
// equation reads d + ln(1 + s d) = -(y + ln_w); its power series in the right-hand side is used
// up to the third power, so the error goes as the fourth power of the guess's.
template <typename T>
T LogLawCorrection(const T& y, const T& c, const T& w, const T& ln_w) {
  const T p = c / (w + c);
  const T residual = y + ln_w;
  const T u = -(p * residual);
  const T series = 1.0 + p * u * (0.5 + u * (0.5 * p - 1.0 / 3.0));
  return (p - 1.0) * residual * series;
}

// Root of y + ln(a + c y) = 0, to round-off for 2e-13 < c < 2e-3 and a <= 0.03 (Reynolds numbers
// of 1e3 to 1e13). One full logarithm; the same operations whatever the arguments.
template <typename T>
LogLawRoot<T> SolveLogLaw(const T& a, const T& c) {
  using std::log;
  constexpr double kTypicalRoot = 9.0;  // roots lie between 3 and 25
  T y = -RoughLog(T(a + c * kTypicalRoot));
  T w = a + c * y;
  y = y + LogLawCorrection(y, c, w, T(RoughLog(w)));
  w = a + c * y;
  y = y + LogLawCorrection(y, c, w, T(log(w)));
  return {y, c / (a + c * (1.0 + y))};
}

inline constexpr double kHalfLn10 = 0.5 * std::numbers::ln10;
inline constexpr double kHalfLn10Squared = kHalfLn10 * kHalfLn10;

// Colebrook-White:  1/sqrt(f) = -2 log10( r/3.7 + 2.51/(Re sqrt(f)) ),  re >= 1e3.
// Solved to round-off; trusted from re = 4000.
// Source: C. F. Colebrook, J. Inst. Civ. Eng. 11, 133-156, 1939.
inline constexpr double kColebrookScale = 2.51 / kHalfLn10;
inline constexpr double kRoughnessScale = 3.7;

template <typename T>
T ColebrookFrictionFactor(const T& re, const T& r) {
  const T y = SolveLogLaw(T(r / kRoughnessScale), T(kColebrookScale / re)).y;
  return kHalfLn10Squared / (y * y);
}

// Prandtl's law of smooth pipe:  1/sqrt(f) = 2 log10(Re sqrt(f)) - 0.8,  re >= 4e3.
// Colebrook-White at r = 0 with 10^0.4 = 2.5119 in place of 2.51.
// Source: L. Prandtl and J. Nikuradse, VDI-Forschungsheft 356, 1932.
template <typename T>
T PrandtlSmoothFrictionFactor(const T& re) {
  constexpr double kScale = 2.5118864315095801 / kHalfLn10;
  const T y = SolveLogLaw(T(0.0), T(kScale / re)).y;
  return kHalfLn10Squared / (y * y);
}

// ---- Explicit formulas ----

// Fully rough flow:  f = 0.25 / log10(r/3.7)^2,  r > 0. The limit of Colebrook-White as re grows.
// Source: T. von Karman, 1930.
template <typename T>
T FullyRoughFrictionFactor(const T& r) {
  using std::log10;
  const T s = log10(r / kRoughnessScale);
  return 0.25 / (s * s);
}

// Smooth pipe, 4e3 <= re <= 1e5:  f = 0.3164 / Re^0.25.
// Source: H. Blasius, Forsch. Ing.-Wes. 131, 1913.
template <typename T>
T BlasiusFrictionFactor(const T& re) {
  using std::sqrt;
  return 0.3164 / sqrt(T(sqrt(re)));
}

// f = 0.0055 [ 1 + (2e4 r + 1e6/Re)^(1/3) ]. Meant for r <= 0.01 and re <= 1e7: within there
// 6 % of Colebrook-White; 16 % at re = 1e8 in smooth pipe.
// Source: L. F. Moody, Mech. Eng. 69, 1005-1006, 1947.
template <typename T>
T Moody1947FrictionFactor(const T& re, const T& r) {
  using std::cbrt;
  return 0.0055 * (1.0 + cbrt(T(2e4 * r + 1e6 / re)));
}

// f = 0.25 / log10( r/3.7 + 5.74/Re^0.9 )^2. The authors state 5e3 <= re <= 1e8, 1e-6 <= r <= 1e-2.
// Within 3.5 % of Colebrook-White; inside the authors' range within 2.9 %.
// Source: P. K. Swamee and A. K. Jain, J. Hydraul. Div. ASCE 102(5), 657-664, 1976.
template <typename T>
T SwameeJainFrictionFactor(const T& re, const T& r) {
  using std::log10, std::pow;
  const T s = log10(r / kRoughnessScale + 5.74 / pow(re, 0.9));
  return 0.25 / (s * s);
}

// 1/sqrt(f) = -1.8 log10[ (r/3.7)^1.11 + 6.9/Re ]. Within 1.5 % of Colebrook-White.
// Source: S. E. Haaland, J. Fluids Eng. 105, 89-90, 1983.
template <typename T>
T HaalandFrictionFactor(const T& re, const T& r) {
  using std::log10, std::pow;
  const T s = 1.8 * log10(pow(T(r / kRoughnessScale), 1.11) + 6.9 / re);
  return 1.0 / (s * s);
}

// Three fixed-point steps and Aitken's extrapolation of them. Within 0.004 % of Colebrook-White.
// Source: T. K. Serghides, Chem. Eng. 91(5), 63-64, 1984.
template <typename T>
T SerghidesFrictionFactor(const T& re, const T& r) {
  using std::log10;
  const T k = r / kRoughnessScale;
  const T a = -2.0 * log10(k + 12.0 / re);
  const T b = -2.0 * log10(k + 2.51 * a / re);
  const T c = -2.0 * log10(k + 2.51 * b / re);
  const T second_difference = c - 2.0 * b + a;
  // The steps coincide when the first guess happens to be the root.
  const T x = second_difference == T(0.0) ? c : T(a - (b - a) * (b - a) / second_difference);
  return 1.0 / (x * x);
}

// Every regime:  f = 8 [ (8/Re)^12 + (A + B)^-1.5 ]^(1/12),
//   A = [2.457 ln( 1/((7/Re)^0.9 + 0.27 r) )]^16,  B = (37530/Re)^16,  1 <= re <= 1e9.
// Within 3.2 % of Colebrook-White (worst at re = 4e3); 64/Re to 0.2 % up to re = 2000.
// Source: S. W. Churchill, Chem. Eng. 84(24), 91-92, 1977.
template <typename T>
T ChurchillFrictionFactor(const T& re, const T& r) {
  using std::log, std::pow;
  const T a = pow(T(-2.457 * log(pow(T(7.0 / re), 0.9) + 0.27 * r)), 16.0);
  const T b = pow(T(37530.0 / re), 16.0);
  return 8.0 * pow(T(pow(T(8.0 / re), 12.0) + pow(T(a + b), -1.5)), 1.0 / 12.0);
}

// Flow [m³/s] that a hydraulic gradient drives through turbulent pipe, with no iteration:
//   Q = -(pi/sqrt 2) D² sqrt(g D S) log10[ (k/D)/3.7 + 2.51 nu / (D sqrt(2 g D S)) ]
//   gradient S            head loss a length of pipe [m/m], > 0
//   bore D, roughness k   [m]
//   kinematic_viscosity   [m²/s]
//   gravity               [m/s²]
// Colebrook-White rearranged exactly; it holds if the flow found has Re >= 4000.
template <typename T>
T ColebrookFlow(const T& gradient, const T& bore, const T& roughness, const T& kinematic_viscosity,
                double gravity = 9.80665) {
  using std::log10, std::sqrt;
  const T scale = sqrt(T(gravity * bore * gradient));  // [m/s]
  const T argument = roughness / (kRoughnessScale * bore) +
                     2.51 * kinematic_viscosity / (std::numbers::sqrt2 * bore * scale);
  return -(std::numbers::pi / std::numbers::sqrt2) * bore * bore * scale * log10(argument);
}

// ---- The whole curve ----

struct Friction {
  double f = 0.0;           // [-]
  double dlnf_dlnre = 0.0;  // [-]
};

// The friction curve of one pipe, for 0 < re < infinity, once differentiable:
//   re <= 2000   64/Re
//   between      a cubic in ln f against ln Re that meets both neighbours in value and slope
//   re >= 4000   the named formula
// kChurchill alone is used for every re. kFullyRough puts the second border at 64/f if that is
// higher, because a rough factor below 64/Re would let the head loss fall with flow; with r = 0
// that border is at infinity (and nothing but 64/Re remains), so refuse r = 0 to that formula.
// Law: dlnf_dlnre > -2 everywhere, so head loss rises strictly with flow.
class PipeFriction {
 public:
  PipeFriction(FrictionFormula formula, double r);

  Friction At(double re) const {
    if (formula_ == FrictionFormula::kColebrook && re >= kTurbulentLimit) {
      return ColebrookTurbulent(re);
    }
    if (formula_ == FrictionFormula::kChurchill) return ByFormula(re);
    if (re <= kLaminarLimit) return {64.0 / re, -1.0};
    return re < turbulent_limit_ ? Transition(re) : ByFormula(re);
  }

  // Of the cubic between: ln(f Re / 64) = L² (square + cube L), L = ln(re/2000).
  double square() const { return square_; }
  double cube() const { return cube_; }

 private:
  Friction ColebrookTurbulent(double re) const {
    const LogLawRoot<double> root = SolveLogLaw(r_ / kRoughnessScale, kColebrookScale / re);
    return {kHalfLn10Squared / (root.y * root.y), -2.0 * root.p};
  }
  Friction ByFormula(double re) const;
  Friction Transition(double re) const;

  FrictionFormula formula_;
  double r_;
  double turbulent_limit_ = kTurbulentLimit;  // [-] a Reynolds number
  double square_ = 0.0;
  double cube_ = 0.0;
};

// One value of the same curve; PipeFriction does less work for many values of one pipe.
Friction DarcyFriction(FrictionFormula formula, double re, double r);

inline Friction ColebrookFriction(double re, double r) {
  return DarcyFriction(FrictionFormula::kColebrook, re, r);
}

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_FRICTION_H_
