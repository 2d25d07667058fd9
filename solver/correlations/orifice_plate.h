#ifndef HANDWHEEL_CORRELATIONS_ORIFICE_PLATE_H_
#define HANDWHEEL_CORRELATIONS_ORIFICE_PLATE_H_

#include <string>
#include <vector>

namespace handwheel {

enum class PressureTappings { kCorner, kRadius, kFlange };  // kRadius: D upstream, D/2 downstream

// Square-edged concentric orifice plate after ISO 5167-2:2003. b = bore/pipe_bore throughout.
struct OrificePlate {
  double pipe_bore = 0.0;  // D [m]
  double bore = 0.0;       // d [m]
  PressureTappings tappings = PressureTappings::kCorner;

  double DiameterRatio() const { return bore / pipe_bore; }

  // C [-] at a Reynolds number in the pipe, by M. J. Reader-Harris and J. E. Gallagher, eq. (4) of
  // the standard (from memory). Mass flow = C/sqrt(1 - b⁴) (pi/4) d² sqrt(2 dp rho). Below the
  // limits of the standard it goes on but grows without bound as re falls.
  double DischargeCoefficient(double re) const;

  // The limits of the standard that are broken, a sentence each; none: C holds to its uncertainty.
  std::vector<std::string> BrokenLimits(double re) const;

  // Of C within the limits, relative [-], two standard deviations.
  double Uncertainty(double re) const;
};

// Loss of total pressure over the pressure difference at the tappings [-], eq. (7) of the standard.
double PermanentLossRatio(double diameter_ratio, double discharge_coefficient);
// Loss coefficient K [-] on the velocity head in the pipe: (sqrt(1 - b⁴ (1 - C²))/(C b²) - 1)². The
// same loss as PermanentLossRatio().
double OrificePlateK(double diameter_ratio, double discharge_coefficient);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_ORIFICE_PLATE_H_
