#include "optimise/settings_starts.h"

#include <algorithm>
#include <cmath>

namespace handwheel {
namespace {

// The next prime number after `prime`.
int NextPrime(int prime) {
  const auto divides = [](int n) {
    for (int d = 2; d * d <= n; ++d) {
      if (n % d == 0) return true;
    }
    return false;
  };
  do ++prime;
  while (divides(prime));
  return prime;
}

// Its digits in a base mirrored at the point: van der Corput's sequence, from 0 to 1.
double Mirrored(int index, int base) {
  double share = 1.0, value = 0.0;
  for (; index > 0; index /= base) {
    share /= base;
    value += share * (index % base);
  }
  return value;
}

struct Span {
  double from, to;
};

Span SpanOf(const Varied& varied) {
  Span span{varied.lower, varied.upper};
  if (!std::isfinite(span.from)) span.from = std::min(varied.present, span.to) - varied.size;
  if (!std::isfinite(span.to)) span.to = std::max(varied.present, span.from) + varied.size;
  return span;
}

}  // namespace

std::vector<std::vector<double>> SpreadStarts(const std::vector<Varied>& varied, int count) {
  std::vector<std::vector<double>> starts(1);
  for (const Varied& one : varied) {
    starts[0].push_back(std::clamp(one.present, one.lower, one.upper));
  }
  for (int index = 1; index < count; ++index) {
    std::vector<double> start;
    int base = 1;
    for (const Varied& one : varied) {
      base = NextPrime(base);
      const Span span = SpanOf(one);
      start.push_back(span.from + Mirrored(index, base) * (span.to - span.from));
    }
    starts.push_back(std::move(start));
  }
  return starts;
}

}  // namespace handwheel
