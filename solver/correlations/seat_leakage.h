#ifndef HANDWHEEL_CORRELATIONS_SEAT_LEAKAGE_H_
#define HANDWHEEL_CORRELATIONS_SEAT_LEAKAGE_H_

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "correlations/cited.h"
#include "correlations/flow_coefficient.h"

namespace handwheel {

// What standards of testing let a shut seat pass. A new valve may pass this much and no more; one
// in service often passes more, and a shut check valve is no isolation whatever its rate.
struct LeakageRate {
  std::string_view name;  // "API 598 metal check", "ISO 5208 D", "FCI 70-2 class IV", ...
  std::string_view what;  // the rate in words
  Source source;
};

const LeakageRate* FindLeakageRate(std::string_view name);  // nullptr: no such rate
std::vector<std::string> LeakageRateNames();

struct TestedSeat {
  double nominal_bore = 0.0;    // [m], the DN number: 0.080 for DN 80. ISO 5208 counts in it,
  double nominal_inches = 0.0;  // [m], the NPS number: 0.0762 for NPS 3. API, MSS and FCI in this.
  // Fully open; of use only to FCI 70-2 (IEC 60534-4) classes II to IV.
  FlowCoefficient rated = FlowCoefficient::FromAv(0.0);
  // Drop over the shut seat in the test [Pa]. API 598, MSS SP-61 and ISO 5208 test with water at
  // 1.1 x the rating at ambient temperature, class V at the highest service drop. Classes II to IV
  // do not use it; class VI is tested with 50 psi of air whatever the rating.
  double test_drop = 0.0;
};

// What a rate allows in its test [m³/s]: of water; for class VI of air at 15 °C and 1 atm; for
// classes II to IV the share of what the rated coefficient passes at test_drop.
std::optional<double> LeakFlowInTest(std::string_view name, const TestedSeat& seat);

// The flow coefficient of a seat that just passes the test, as a hole of fixed area: leak at
// another drop goes as the square root of the drop. (Real leak paths are partly laminar, and class
// V itself has leak in proportion to drop: between the two laws the leak at a tenth of the test
// drop differs threefold.) Class VI from air by the choked flow of an ideal gas through the same
// hole. nullopt: no rate of that name.
std::optional<FlowCoefficient> SeatLeak(std::string_view name, const TestedSeat& seat);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_SEAT_LEAKAGE_H_
