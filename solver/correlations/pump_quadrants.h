#ifndef HANDWHEEL_CORRELATIONS_PUMP_QUADRANTS_H_
#define HANDWHEEL_CORRELATIONS_PUMP_QUADRANTS_H_

// A pump that does not pump: all four quadrants of flow and speed, and how fast it runs down.
namespace handwheel {

// --- Complete characteristics
// ----------------------------------------------------------------------

// With flow v, speed n, head h and torque b over their rated values,
//   x = pi + atan2(v, n),   h = (n² + v²) WH(x),   b = (n² + v²) WB(x),
// x from 0 to 2 pi: up to pi/2 a turbine (n < 0, v < 0), to pi braking (n > 0, v < 0), to 3 pi/2
// pumping, to 2 pi pumping in reverse rotation. P. Suter's form.
double QuadrantAngle(double flow, double speed);

// WH and WB of one machine, 89 points, straight between. Only two are at hand: ns 147 (mixed flow,
// US 7600) and ns 261 (axial, US 13500), both from memory. A radial pump is neither: outside its
// own curve it is taken like the mixed-flow machine, an estimate.
class QuadrantTable {
 public:
  explicit QuadrantTable(bool axial) : axial_(axial) {}
  double Head(double angle) const;       // WH [-]
  double HeadSlope(double angle) const;  // [1/rad]
  double Torque(double angle) const;     // WB [-]
  double specific_speed() const { return axial_ ? 261.0 : 147.0; }

 private:
  bool axial_;
};

// By ns [rev/min, m³/s, m]; up to 204, midway, the mixed-flow machine.
QuadrantTable NearestQuadrants(double specific_speed);

// --- Inertia
// ---------------------------------------------------------------------------------------

// [kg m²] of a pump with its shaft and the liquid in it: 1.5e7 (P/N³)^0.9556, and of its motor:
// 118 (P/N)^1.48, P [kW], N [rev/min]. Sources: an article on the estimation of a pump's moment of
// inertia (seen), which goes back to A. R. D. Thorley; the motor's from memory.
double PumpInertia(double shaft_power, double rpm);   // [W], [rev/min]
double MotorInertia(double shaft_power, double rpm);  // likewise

// Tm [s] = I w²/P, w the angular speed: with torque as the square of the speed, half speed is
// reached after Tm: n = 1/(1 + t/Tm).
double MechanicalTime(double inertia, double rpm, double shaft_power);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_PUMP_QUADRANTS_H_
