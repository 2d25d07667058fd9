#ifndef HANDWHEEL_CORRELATIONS_RHEOLOGY_H_
#define HANDWHEEL_CORRELATIONS_RHEOLOGY_H_

#include "correlations/friction.h"

// Pipe flow of liquids that are not Newtonian. Throughout:
//   nominal shear rate G = 8 V / D  [1/s], what a Newtonian liquid would have at the wall
//   wall stress tau_w = dp D / (4 L) [Pa]
//   Darcy friction factor f = 8 tau_w / (rho V²) [-]; a name with "Fanning" means f/4
namespace handwheel {

// stress = yield_stress + consistency * rate^index (Herschel-Bulkley). Without a yield stress a
// power law; with index 1 a Bingham liquid of plastic viscosity `consistency`; with both Newtonian.
struct Rheology {
  double yield_stress = 0.0;  // [Pa] >= 0
  double consistency = 0.0;   // [Pa s^index] > 0
  double index = 1.0;         // [-]

  bool IsNewtonian() const { return index == 1.0 && yield_stress == 0.0; }

  bool operator==(const Rheology&) const = default;
};

inline constexpr double kMinFlowIndex = 0.1;
inline constexpr double kMaxFlowIndex = 1.9;  // at 2 the Reynolds number stops rising with velocity

// ---- Textbook pieces ----

// Re = rho V^(2-n) D^n / [ 8^(n-1) K ((3n+1)/(4n))^n ], for which laminar f = 64/Re. Leaves the
// yield stress aside. Density [kg/m³], velocity [m/s], bore [m].
// Source: A. B. Metzner and J. C. Reed, AIChE J. 1, 434-440, 1955.
double MetznerReedReynolds(const Rheology& rheology, double density, double velocity, double bore);

// Laminar flow [m³/s] that a wall stress [Pa] drives through a pipe of given radius [m]; exact.
// None unless the wall stress exceeds the yield stress.
double HerschelBulkleyFlow(double wall_stress, const Rheology& rheology, double radius);

// Of a Bingham liquid, from Re = rho V D / mu_p and the Hedström number He = rho tau_y D² / mu_p²:
//   f = (16/Re) [ 1 + He/(6 Re) - He⁴/(3 f³ Re⁷) ] (Fanning), solved to round-off; re > 0, he >= 0.
// Source: E. Buckingham, Proc. ASTM 21, 1154-1161, 1921; M. Reiner, Kolloid-Z. 39, 80-87, 1926.
double BuckinghamReinerFanning(double re, double he);

// Re = rho V D / mu_p up to which Bingham flow is laminar; 2100 at he = 0:
//   phi/(1-phi)³ = He/16800,  Re_c = He (1 - 4 phi/3 + phi⁴/3) / (8 phi)
// Source: R. W. Hanks, AIChE J. 9, 306-309, 1963.
double HanksCriticalReynolds(double he);

// Metzner-Reed Reynolds number up to which a power law liquid flows laminar; 2100 at n = 1:
//   6464 n (2+n)^((2+n)/(1+n)) / (1+3n)²
// Source: N. W. Ryan and M. M. Johnson, AIChE J. 5, 433-435, 1959.
double RyanJohnsonCriticalReynolds(double index);

// Turbulent flow of a Bingham liquid in smooth pipe, Fanning:
//   f = 10^a Re^-0.193,  a = -1.47 [ 1 + 0.146 exp(-2.9e-5 He) ]
// Source: R. Darby and J. Melson, Chem. Eng. 88(26), 59-61, 1981, with the constant -1.47 that is
// printed in R. Darby, Chemical Engineering Fluid Mechanics, 2nd ed., 2001 (1981: -1.378; both from
// memory). As he -> 0 it does not tend to Newtonian flow, and for re >= 2000 it lies below
// Newtonian smooth pipe of the plastic viscosity by 17 % or more, whatever he. WallStressCurve
// never goes below that, and so does not use it.
double DarbyMelsonFanning(double re, double he);

// Turbulent flow of a power law liquid in smooth pipe, Fanning, solved to round-off:
//   1/sqrt(f) = 4 n^-0.75 log10( Re f^(1-n/2) ) - 0.4 n^-1.2,  Re of Metzner and Reed
// Measured by its authors for n 0.36 to 1. For 0 < n < 2.
// Source: D. W. Dodge and A. B. Metzner, AIChE J. 5, 189-204, 1959.
double DodgeMetznerFanning(double re, double index);

// The same as a Darcy factor, with roughness brought in the way Colebrook did it:
//   1/sqrt(f) = -2 log10( r/3.7 + A ),  A = s 10^(0.1 n^-1.2) [ Re (f/4)^(1-n/2) ]^(-n^-0.75)
// s = 2.51/(2 x 10^0.1) = 0.997 makes n = 1 Colebrook-White itself, at a cost to f of up to 0.13 %.
// That and the roughness term are ours: no measurement stands behind r > 0 but at n = 1. r < 0.1.
// Law: dlnf_dlnre > -2/(2-n), so wall stress rises strictly with velocity.
Friction RoughDodgeMetznerFriction(double re, double index, double r);

// ---- Laminar flow, exact ----

// Wall stress against nominal shear rate: the inverse of the Herschel-Bulkley flow formula (with
// index 1 Buckingham's and Reiner's, without yield stress Metzner's and Reed's), to round-off for
// every ratio of yield stress to wall stress. Index kMinFlowIndex to 2.
class LaminarWallStress {
 public:
  explicit LaminarWallStress(const Rheology& rheology);

  struct Point {
    double stress = 0.0;  // [Pa]
    double index = 0.0;   // n' = d ln stress / d ln G [-]
  };
  Point At(double shear_rate) const;  // shear_rate [1/s] > 0

  // The shear rate [1/s] up to which flow is laminar; see WallStressCurve. Density
  // [kg/m³], bore [m].
  double LaminarLimit(double density, double bore) const;

  const Rheology& rheology() const { return rheology_; }

 private:
  // With a yield stress, everything is explicit in x = ln(tau_w/tau_y - 1).
  struct Excess {
    double ratio = 0.0;       // e^x
    double ln_rate = 0.0;     // ln G
    double rate_slope = 0.0;  // d ln G / d x; falls from 1 + 1/n to 1/n
    double sheared = 0.0;     // 1 - tau_y/tau_w, share of the radius outside the plug
  };
  Excess AtExcess(double x) const;

  Rheology rheology_;
  double ln_consistency_ = 0.0;
  double ln_rate_scale_ = 0.0;  // ln[ 4n (tau_y/K)^(1/n) ]
};

// ---- The whole curve ----

// Wall stress of one liquid in one pipe against velocity V [m/s]: odd, once differentiable,
// strictly increasing, with finite slope above zero at rest, and continuous in every property of
// liquid and pipe. No allocation; free to copy.
//
// Newtonian: PipeFriction with Colebrook-White, to rounding. Otherwise, for V > 0:
//   creep       V < creep_velocity(): an odd cubic. A yield stress makes the true curve vertical at
//               rest, index < 1 gives it infinite and index > 1 zero slope. So a stress below the
//               yield stress drives up to 1e-6 m/s here, where it should drive nothing.
//   laminar     exact, up to laminar_limit_velocity()
//   transition  a cubic in ln stress against ln V, meeting both neighbours in value and slope
//   turbulent   from turbulent_limit_velocity()
//
// Laminar limit. In terms of Re' = 8 rho V² / tau_w, tau_w being laminar,
//   Re' = [2000 + 875 (1-n)] u B(u)² / B(1)²,   u = 1 - tau_y/tau_w,
//   B(u) = u²/(3n+1) + 2 u (1-u)/(2n+1) + (1-u)²/(n+1)
// R. Darby (2001) prints 2100 + 875 (1-n) for power law liquids; the shift lets n = 1 meet the
// Newtonian 2000. The factor behind it is what the criterion of Hanks (1963) and of Ryan and
// Johnson (1959), the largest rho v |dv/dr| R / tau_w in the section, gives with a yield stress
// over without; derived here. At n = 1 it is Hanks's with 16000 for his 16800: 2000
// without yield stress.
//
// Turbulent limit. At 2^(1/(2-n)) times the laminar limit velocity: twice the Metzner-Reed
// Reynolds number, 4000 if Newtonian. Where the laminar stress there passes or nears the turbulent
// one (large yield stress, small index), the limit moves out to the least velocity at which both
// end slopes of the cubic are up to three times its mean slope; that keeps it increasing:
// F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17, 238-246, 1980.
//
// Turbulent stress. RoughDodgeMetznerFriction at the Metzner-Reed Reynolds number, leaving the
// yield stress aside: Colebrook-White at the plastic viscosity of a Bingham liquid. Darby-Melson
// tends to that at large He but for its constants, and lies below it everywhere. Dodge and Metzner
// evaluate their index n' = d ln tau_w / d ln G on the laminar curve: with a yield stress n'
// vanishes as the wall stress nears it, their formula runs away, and the stress falls with
// velocity.
class WallStressCurve {
 public:
  static constexpr double kCreepVelocity = 1e-6;  // [m/s]

  // density [kg/m³], bore [m], relative_roughness k/D [-] 0 to 0.1; index kMinFlowIndex to
  // kMaxFlowIndex. Not checked.
  WallStressCurve(const Rheology& rheology, double density, double bore, double relative_roughness);

  struct Point {
    double stress = 0.0;  // [Pa], of the sign of the velocity
    double slope = 0.0;   // d stress / d velocity [Pa s/m]
  };
  Point At(double velocity) const;

  double creep_velocity() const { return creep_velocity_; }             // [m/s]; 0 if Newtonian
  double laminar_limit_velocity() const { return laminar_limit_; }      // [m/s]
  double turbulent_limit_velocity() const { return turbulent_limit_; }  // [m/s]

  // 8 rho V² / tau_w [-] of laminar flow at this speed, whether or not it is laminar: rho V D / mu
  // if Newtonian, Metzner's and Reed's for a power law.
  double GeneralisedReynolds(double velocity) const;

 private:
  using Local = LaminarWallStress::Point;  // stress, and the slope of ln stress against ln V

  const Rheology& rheology() const { return laminar_.rheology(); }
  Local Laminar(double speed) const { return laminar_.At(8.0 * speed / bore_); }
  Local Transition(double speed) const;
  Local Turbulent(double speed) const;
  Point Newtonian(double speed) const;
  Point Creep(double speed) const;
  Point AtSpeed(double speed) const;
  bool JoinsMonotonically(double width) const;
  double TransitionWidth() const;
  void FitTransition();
  void FitCreep();

  LaminarWallStress laminar_;
  PipeFriction friction_;  // of Newtonian flow
  double density_;         // [kg/m³]
  double bore_;            // [m]
  double relative_roughness_;
  double creep_velocity_ = 0.0;   // [m/s]
  double laminar_limit_ = 0.0;    // [m/s]
  double turbulent_limit_ = 0.0;  // [m/s]
  // Creep: stress = V (creep_slope_ + creep_cube_ V²).
  double creep_slope_ = 0.0;
  double creep_cube_ = 0.0;
  // Transition: ln(stress/start_.stress) = L (start_.index + L (square_ + cube_ L)),
  // L = ln(V/laminar_limit_).
  Local start_{};
  double square_ = 0.0;
  double cube_ = 0.0;
};

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_RHEOLOGY_H_
