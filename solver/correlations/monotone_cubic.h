#ifndef HANDWHEEL_CORRELATIONS_MONOTONE_CUBIC_H_
#define HANDWHEEL_CORRELATIONS_MONOTONE_CUBIC_H_

#include <cstddef>
#include <vector>

namespace handwheel {

// A once-differentiable curve through points that rises only where the points rise and falls only
// where they fall: a cubic between neighbours, straight beyond the ends. Two points give a line.
//
// Slopes at inner points are the weighted harmonic mean of the neighbouring secants, zero where
// these differ in sign: F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5, 300-304, 1984,
// eq. 5 (which fulfils the condition of F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17,
// 238-246, 1980). End slopes come from a parabola through three points, limited likewise.
class MonotoneCubic {
 public:
  // Throws std::invalid_argument unless there are as many y as x, at least two, all finite, and x
  // strictly increasing.
  MonotoneCubic(std::vector<double> x, std::vector<double> y);

  double Value(double x) const;
  double Slope(double x) const;  // dy/dx

  const std::vector<double>& x() const { return x_; }
  const std::vector<double>& y() const { return y_; }

 private:
  std::size_t Interval(double x) const;  // index of the left-hand point

  std::vector<double> x_;
  std::vector<double> y_;
  std::vector<double> slope_;  // at the points
};

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_MONOTONE_CUBIC_H_
