#pragma once

#include <vector>

namespace handwheel {

// How far to follow the changes that a fixed-point iteration asks for: one factor for all, from the
// last two changes; exact after three rounds for one unknown (B. M. Irons and R. C. Tuck, Int. J.
// Numer. Methods Eng. 1, 275-277, 1969).
class Relaxation {
 public:
  // Forgets the changes so far: the iteration is another one from here.
  void Restart() { last_change_.clear(); }

  // Takes the change of each unknown; 1 the first time, and where their number differs.
  double Next(const std::vector<double>& change);

 private:
  double factor_ = 1.0;
  std::vector<double> last_change_;
};

}  // namespace handwheel
