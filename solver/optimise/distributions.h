#pragma once

// The distributions that intervals and tests are read from.

namespace handwheel {

// x with P(X <= x) = probability, 0 < probability < 1. Student's with `freedom` degrees, >= 1.
double NormalQuantile(double probability);
double StudentQuantile(double probability, double freedom);

// P(X > chi_square), chi-square with `freedom` degrees, >= 1.
double ChiSquareTail(double chi_square, double freedom);

}  // namespace handwheel
