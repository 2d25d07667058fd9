#include "steady/relaxation.h"

#include <cstddef>

namespace handwheel {

double Relaxation::Next(const std::vector<double>& change) {
  if (last_change_.size() != change.size()) {
    factor_ = 1.0;
  } else {
    double along = 0.0, square = 0.0;
    for (std::size_t i = 0; i < change.size(); ++i) {
      const double difference = change[i] - last_change_[i];
      along += last_change_[i] * difference;
      square += difference * difference;
    }
    if (square > 0.0) factor_ *= -along / square;
    // A regular splitting changes by a factor between 0 and 1 each round.
    if (!(factor_ >= 0.1 && factor_ <= 100.0)) factor_ = 1.0;
  }
  last_change_ = change;
  return factor_;
}

}  // namespace handwheel
