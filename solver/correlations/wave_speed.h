#ifndef HANDWHEEL_CORRELATIONS_WAVE_SPEED_H_
#define HANDWHEEL_CORRELATIONS_WAVE_SPEED_H_

#include <optional>
#include <string_view>

#include "correlations/cited.h"

// How fast pressure waves run in liquid-filled pipe, and what that needs.
namespace handwheel {

// What keeps a pipe from stretching along its axis.
enum class Restraint { kAnchored, kAnchoredUpstream, kExpansionJoints };
std::string_view RestraintName(Restraint restraint);  // "anchored", "anchored upstream", ...
std::optional<Restraint> RestraintFromName(std::string_view name);

// A pipe's wall as a wave feels it.
struct ElasticWall {
  double bore;             // inside diameter D [m]
  double thickness;        // e [m], > 0
  double elastic_modulus;  // E [Pa]
  double poisson_ratio;    // mu [-]
  Restraint restraint = Restraint::kAnchored;
};

// c1 [-], thick-walled form, for every D/e:
//   (2e/D)(1 + mu) + D/(D + e) (1 - mu²)   anchored throughout
//   ...            + D/(D + e) (1 - mu/2)  anchored at the upstream end only
//   ...            + D/(D + e)             expansion joints throughout
// Source: E. B. Wylie and V. L. Streeter, Fluid Transients, and M. H. Chaudhry, Applied Hydraulic
// Transients, both from memory.
double RestraintFactor(const ElasticWall& wall);

// a [m/s] = sqrt( (K/rho) / (1 + c1 (K/E)(D/e)) ).
//   bulk_modulus K  of the liquid [Pa]
//   density rho     [kg/m³]
// Free gas slows waves a good deal (0.1 % at 3 bar absolute in DN100 steel: to 509 m/s); it is not
// in here. Same sources.
double WaveSpeed(double bulk_modulus, double density, const ElasticWall& wall);
// The same in a rigid pipe: sqrt(K/rho).
double WaveSpeedInRigidPipe(double bulk_modulus, double density);

// Young's modulus [Pa] and Poisson's ratio [-] of a pipe material (the names of roughness.h); of
// plastics that of quick changes. nullptr for an unknown name.
struct WallMaterial {
  std::string_view name;
  double elastic_modulus;  // [Pa]
  double poisson_ratio;    // [-]
  Source source;
};
const WallMaterial* FindWallMaterial(std::string_view name);

// Bulk modulus of water [Pa] by temperature [K], from the speed of sound: 1.97e9 at 0 degC, 2.19e9
// at 20, 2.37e9 at 60, 2.28e9 at 100; held beyond both ends. From memory.
double WaterBulkModulus(double temperature);

// K [Pa] of a liquid by name, near 20 degC; that of water, said to be common practice, for one that
// is not known.
Cited BulkModulusOf(std::string_view liquid, double temperature);

// dp [Pa] = rho a dV: N. Joukowsky, 1898. See also SlamPressure() in check_valve_kind.h.
// Of a wave arriving in pipe 1 at a junction of pipes of areas A_i and wave speeds a_i, the share
// that goes on is s = 2 (A1/a1) / sum(Ai/ai), and what returns r = s - 1.

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_WAVE_SPEED_H_
