#ifndef HANDWHEEL_CORRELATIONS_DUAL_H_
#define HANDWHEEL_CORRELATIONS_DUAL_H_

#include <cmath>

namespace handwheel {

// A number with one derivative, for exact slopes of templated correlations:
// seed the variable with slope 1 (or with its own value, for a slope against its logarithm).
struct Dual {
  double value = 0.0;
  double slope = 0.0;

  constexpr Dual(double v = 0.0, double s = 0.0) : value(v), slope(s) {}

  constexpr Dual operator-() const { return {-value, -slope}; }

  friend constexpr Dual operator+(const Dual& a, const Dual& b) {
    return {a.value + b.value, a.slope + b.slope};
  }
  friend constexpr Dual operator-(const Dual& a, const Dual& b) {
    return {a.value - b.value, a.slope - b.slope};
  }
  friend constexpr Dual operator*(const Dual& a, const Dual& b) {
    return {a.value * b.value, a.slope * b.value + a.value * b.slope};
  }
  friend constexpr Dual operator/(const Dual& a, const Dual& b) {
    const double quotient = a.value / b.value;
    return {quotient, (a.slope - quotient * b.slope) / b.value};
  }
  friend constexpr bool operator==(const Dual& a, const Dual& b) { return a.value == b.value; }

  friend Dual log(const Dual& a) { return {std::log(a.value), a.slope / a.value}; }
  friend Dual log10(const Dual& a) {
    return {std::log10(a.value), a.slope / (a.value * std::log(10.0))};
  }
  friend Dual sqrt(const Dual& a) {
    const double root = std::sqrt(a.value);
    return {root, 0.5 * a.slope / root};
  }
  friend Dual cbrt(const Dual& a) {
    const double root = std::cbrt(a.value);
    return {root, a.slope / (3.0 * root * root)};
  }
  friend Dual pow(const Dual& a, double exponent) {
    return {std::pow(a.value, exponent), exponent * std::pow(a.value, exponent - 1.0) * a.slope};
  }
};

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_DUAL_H_
