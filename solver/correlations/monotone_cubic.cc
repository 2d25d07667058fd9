#include "correlations/monotone_cubic.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace handwheel {
namespace {

void Check(const std::vector<double>& x, const std::vector<double>& y) {
  if (x.size() != y.size()) throw std::invalid_argument("MonotoneCubic: as many y as x needed");
  if (x.size() < 2) throw std::invalid_argument("MonotoneCubic: at least two points needed");
  for (std::size_t i = 0; i < x.size(); ++i) {
    if (!std::isfinite(x[i]) || !std::isfinite(y[i])) {
      throw std::invalid_argument("MonotoneCubic: points must be finite");
    }
    if (i > 0 && x[i] <= x[i - 1]) {
      throw std::invalid_argument("MonotoneCubic: x must increase strictly");
    }
  }
}

// h1, s1 are width and secant of the end interval; h2, s2 of its neighbour.
double EndSlope(double h1, double s1, double h2, double s2) {
  const double parabola = ((2.0 * h1 + h2) * s1 - h1 * s2) / (h1 + h2);
  if (parabola * s1 <= 0.0) return 0.0;
  if (s1 * s2 <= 0.0 && std::abs(parabola) > 3.0 * std::abs(s1)) return 3.0 * s1;
  return parabola;
}

double InnerSlope(double h1, double s1, double h2, double s2) {
  if (s1 * s2 <= 0.0) return 0.0;
  const double w1 = h1 + 2.0 * h2;
  const double w2 = 2.0 * h1 + h2;
  return (w1 + w2) / (w1 / s1 + w2 / s2);
}

}  // namespace

MonotoneCubic::MonotoneCubic(std::vector<double> x, std::vector<double> y)
    : x_(std::move(x)), y_(std::move(y)) {
  Check(x_, y_);
  const std::size_t n = x_.size();
  std::vector<double> width(n - 1);
  std::vector<double> secant(n - 1);
  for (std::size_t i = 0; i + 1 < n; ++i) {
    width[i] = x_[i + 1] - x_[i];
    secant[i] = (y_[i + 1] - y_[i]) / width[i];
  }
  slope_.assign(n, secant[0]);
  if (n == 2) return;
  slope_[0] = EndSlope(width[0], secant[0], width[1], secant[1]);
  slope_[n - 1] = EndSlope(width[n - 2], secant[n - 2], width[n - 3], secant[n - 3]);
  for (std::size_t i = 1; i + 1 < n; ++i) {
    slope_[i] = InnerSlope(width[i - 1], secant[i - 1], width[i], secant[i]);
  }
}

std::size_t MonotoneCubic::Interval(double x) const {
  const auto right = std::upper_bound(x_.begin() + 1, x_.end() - 1, x);
  return static_cast<std::size_t>(right - x_.begin()) - 1;
}

double MonotoneCubic::Value(double x) const {
  if (x <= x_.front()) return y_.front() + slope_.front() * (x - x_.front());
  if (x >= x_.back()) return y_.back() + slope_.back() * (x - x_.back());
  const std::size_t i = Interval(x);
  const double width = x_[i + 1] - x_[i];
  const double t = (x - x_[i]) / width;
  const double u = 1.0 - t;
  return y_[i] * u * u * (1.0 + 2.0 * t) + y_[i + 1] * t * t * (3.0 - 2.0 * t) +
         width * t * u * (slope_[i] * u - slope_[i + 1] * t);
}

double MonotoneCubic::Slope(double x) const {
  if (x <= x_.front()) return slope_.front();
  if (x >= x_.back()) return slope_.back();
  const std::size_t i = Interval(x);
  const double width = x_[i + 1] - x_[i];
  const double t = (x - x_[i]) / width;
  const double u = 1.0 - t;
  return 6.0 * t * u * (y_[i + 1] - y_[i]) / width + slope_[i] * u * (u - 2.0 * t) +
         slope_[i + 1] * t * (t - 2.0 * u);
}

}  // namespace handwheel
