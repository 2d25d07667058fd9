#include "optimise/distributions.h"

#include <cmath>
#include <unsupported/Eigen/SpecialFunctions>

namespace handwheel {
namespace {

double NormalCdf(double x) {
  return 0.5 * std::erfc(-x / std::sqrt(2.0));
}

// Abramowitz & Stegun, Handbook of Mathematical Functions, 1964, 26.7.1: by the incomplete beta
// function.
double StudentCdf(double x, double freedom) {
  const double tail = Eigen::numext::betainc(0.5 * freedom, 0.5, freedom / (freedom + x * x));
  return x < 0.0 ? 0.5 * tail : 1.0 - 0.5 * tail;
}

// Where a rising function passes `level`, by halves to the last digits. Symmetric about 0.
template <typename Cdf>
double Quantile(const Cdf& cdf, double level) {
  if (level < 0.5) return -Quantile(cdf, 1.0 - level);
  double low = 0.0, high = 1.0;
  while (cdf(high) < level && high < 1e12) high *= 2.0;
  for (int i = 0; i < 100; ++i) {
    const double middle = 0.5 * (low + high);
    (cdf(middle) < level ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace

double NormalQuantile(double probability) {
  return Quantile(NormalCdf, probability);
}

double StudentQuantile(double probability, double freedom) {
  return Quantile([freedom](double x) { return StudentCdf(x, freedom); }, probability);
}

double ChiSquareTail(double chi_square, double freedom) {
  return Eigen::numext::igammac(0.5 * freedom, 0.5 * chi_square);
}

}  // namespace handwheel
