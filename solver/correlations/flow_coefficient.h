#ifndef HANDWHEEL_CORRELATIONS_FLOW_COEFFICIENT_H_
#define HANDWHEEL_CORRELATIONS_FLOW_COEFFICIENT_H_

#include <cmath>
#include <numbers>

namespace handwheel {

// How readily a valve passes liquid in turbulent flow without choking:
//   Q [m³/s] = av sqrt(dp [Pa] / rho [kg/m³])
//   kv  [m³/h] of water at 15 °C with a drop of 1 bar
//   cv  [US gal/min] of the same with a drop of 1 psi
// Water weighs kReferenceDensity here, so kv relates to relative density G = rho/999.1, as
// IEC 60534-2-1 has it, and K = N2 d⁴/kv² with N2 = 0.00160032 (d in mm). The relations
// av = 2.7778e-5 kv and N2 = 0.00159888, also in print, take 1000 kg/m³: K 0.09 % lower.
class FlowCoefficient {
 public:
  static constexpr double kReferenceDensity = 999.1;  // [kg/m³]

  static FlowCoefficient FromAv(double av) { return FlowCoefficient(av); }
  static FlowCoefficient FromKv(double kv_m3_per_h) {
    return FlowCoefficient(kv_m3_per_h * AvPerKv());
  }
  static FlowCoefficient FromCv(double cv_us_gpm) { return FlowCoefficient(cv_us_gpm * AvPerCv()); }
  // From the resistance coefficient K [-] on the velocity head in a bore [m].
  static FlowCoefficient FromK(double k, double bore) {
    return FlowCoefficient(std::numbers::sqrt2 * Area(bore) / std::sqrt(k));
  }

  double av() const { return av_; }              // [m²]
  double kv() const { return av_ / AvPerKv(); }  // [m³/h]
  double cv() const { return av_ / AvPerCv(); }  // [US gal/min]

  // Resistance coefficient K [-] on the velocity head in a bore [m]; infinite if av() is 0.
  double K(double bore) const {
    const double ratio = Area(bore) / av_;
    return 2.0 * ratio * ratio;
  }

 private:
  static constexpr double kBar = 1e5;                          // [Pa]
  static constexpr double kPsi = 6894.757293168361;            // [Pa]
  static constexpr double kHour = 3600.0;                      // [s]
  static constexpr double kUsGpm = 231.0 * 1.6387064e-5 / 60;  // [m³/s], 231 in³ a minute

  explicit FlowCoefficient(double av) : av_(av) {}

  static double AvPerKv() { return std::sqrt(kReferenceDensity / kBar) / kHour; }
  static double AvPerCv() { return std::sqrt(kReferenceDensity / kPsi) * kUsGpm; }
  static double Area(double bore) { return 0.25 * std::numbers::pi * bore * bore; }

  double av_;  // [m²]
};

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_FLOW_COEFFICIENT_H_
