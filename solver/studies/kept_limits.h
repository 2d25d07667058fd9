#pragma once

#include <string>
#include <vector>

#include "handwheel/steady.h"

namespace handwheel {

// Something that the advice warns of, as a number and what it is to keep to: for questions that
// look for settings and shall not trade one trouble for another.
struct LimitReading {
  enum class Kind {
    kThrottling,      // opening over the least one for throttling; of a shut valve nothing [-]
    kCavitation,      // xF over the ratio from which the advice is sure [-]
    kLift,            // velocity over that of full lift; of a valve at rest nothing [-]
    kLeastFlow,       // flow over the pump's least continuous flow [-]
    kLeastShare,      // flow over that of best efficiency [-]
    kGreatestShare,   // the same
    kNpsh,            // available less wanted [m]
    kMotor,           // shaft power over rated power [-]
    kVelocity,        // over the highest allowed [-]
    kSettling,        // velocity over the deposition velocity; of a line at rest nothing [-]
    kVapourPressure,  // absolute pressure less vapour pressure [Pa]
    kRating,          // pressure over rating [-]
  };
  Kind kind = Kind::kCavitation;
  std::string part{};  // component or point
  double value = 0.0;  // NaN: says nothing in this state
  bool at_least = false;
  // The strictest first: beyond it the advice has a note or a warning, beyond the last a warning.
  std::vector<double> thresholds{};
  double size = 1.0;  // above 0: a change that matters
};

// Those of one network are the same and in the same order in all of its states.
std::vector<LimitReading> LimitsOf(const Solution& solution);

// What the value is to keep to where nothing may get worse: the strictest threshold that `present`
// keeps; where it keeps none, `present` itself.
double KeptThreshold(const LimitReading& present);

// "P-1 would run short of NPSH", or of what is beyond its last threshold already: "NRV-1 flutters
// already and would get worse".
std::string BeyondInWords(const LimitReading& limit, double threshold);

}  // namespace handwheel
