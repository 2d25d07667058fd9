#pragma once

#include <cmath>
#include <memory>

#include "components/loss_law.h"
#include "correlations/rheology.h"
#include "correlations/valve_sizing.h"

namespace handwheel {

// Laminar wall stress against velocity in one bore, whatever the true regime: what the laminar part
// of fittings and valves goes by. Odd, once differentiable, finite slope at rest: below
// WallStressCurve::kCreepVelocity an odd cubic, as there.
class LaminarStressCurve {
 public:
  LaminarStressCurve(const Rheology& rheology, double bore) : laminar_(rheology), bore_(bore) {
    const Point at = Above(kCreep);
    cube_ = (at.slope - at.stress / kCreep) / (2.0 * kCreep * kCreep);
    line_ = at.stress / kCreep - cube_ * kCreep * kCreep;
  }

  struct Point {
    double stress;  // [Pa]
    double slope;   // d stress / d velocity [Pa s/m]
  };
  Point At(double velocity) const {
    const double speed = std::abs(velocity);
    if (speed < kCreep) {
      const double cube = cube_ * speed * speed;
      return {velocity * (line_ + cube), line_ + 3.0 * cube};
    }
    const Point at = Above(speed);
    return {std::copysign(at.stress, velocity), at.slope};
  }

 private:
  static constexpr double kCreep = WallStressCurve::kCreepVelocity;

  Point Above(double speed) const {
    const LaminarWallStress::Point at = laminar_.At(8.0 * speed / bore_);
    return {at.stress, at.index * at.stress / speed};
  }

  LaminarWallStress laminar_;
  double bore_;        // [m]
  double line_ = 0.0;  // creep: stress = V (line_ + cube_ V²)
  double cube_ = 0.0;
};

// A pipe of a liquid that is not Newtonian:
//   drop = [ 4 tau_w L/D + K rho V²/2 + K1 tau_lam/16 ] / (rho g)
// The last term is K1/Re of the fittings with Re = 8 rho V²/tau_lam.
struct RheologyPipeLaw {
  struct Data {
    WallStressCurve wall;
    LaminarStressCurve laminar;
    double area;       // [m²]
    double per_wall;   // drop / wall stress [m/Pa]
    double per_k1;     // drop / laminar stress [m/Pa]
    double quadratic;  // of the K terms, drop / V² [s²/m]
  };
  std::shared_ptr<const Data> data;

  DropSlope At(double q) const {
    const double v = q / data->area;
    const WallStressCurve::Point wall = data->wall.At(v);
    DropSlope at{data->per_wall * wall.stress + data->quadratic * v * std::abs(v),
                 data->per_wall * wall.slope + 2.0 * data->quadratic * std::abs(v)};
    if (data->per_k1 > 0.0) {
      const LaminarStressCurve::Point laminar = data->laminar.At(v);
      at.drop += data->per_k1 * laminar.stress;
      at.slope += data->per_k1 * laminar.slope;
    }
    at.slope /= data->area;
    return at;
  }
};

// A valve for such a liquid: ViscousLossLaw with the apparent viscosity of laminar flow in its
// throat, where the nominal shear rate is K^(3/4) times that in the bore (a throat of d loses about
// (D/d)⁴ velocity heads of the bore D, and the rate goes as 1/d³). The standard behind FR has
// Newtonian liquids in mind; the extension is ours.
struct RheologyLossLaw {
  struct Data {
    LaminarStressCurve laminar_stress;
    ViscousFactor factor;
    double r;           // turbulent [s²/m⁵]
    double area;        // [m²]
    double density;     // [kg/m³]
    double rev_per_re;  // valve Reynolds number / (8 rho V²/tau_lam) of one viscosity
    double throat;      // shear rate in the throat / in the bore [-], >= 1
  };
  std::shared_ptr<const Data> data;

  DropSlope At(double q) const {
    const double v = q / data->area;
    LaminarStressCurve::Point stress = data->laminar_stress.At(v * data->throat);
    stress.slope *= data->throat;
    // Rev tau_lam / V²
    const double rev_v2 = data->rev_per_re * 8.0 * data->density * data->throat;
    const double rev = v == 0.0 ? 0.0 : rev_v2 * v * v / std::abs(stress.stress);
    if (rev <= data->factor.laminar_to) {
      const double fr = data->factor.laminar;
      const double ratio = data->r * data->area * data->area / (fr * fr * rev_v2);
      return {ratio * stress.stress, ratio * stress.slope / data->area};
    }
    const ViscousFactor::Value at = data->factor.At(rev);
    const double drop = data->r * q * std::abs(q) / (at.fr * at.fr);
    const double local_index = stress.slope * v / stress.stress;
    return {drop, drop / q * (2.0 - 2.0 * at.dlnfr_dlnrev * (2.0 - local_index))};
  }
};

}  // namespace handwheel
