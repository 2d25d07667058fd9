#pragma once

#include <limits>
#include <string>
#include <vector>

#include "handwheel/steady.h"

namespace handwheel {

// What a practitioner reads off the parts of a plant in one steady state: estimates, as the
// solution is. NaN: undetermined, or not to be told from what the network gives. Pressures go by
// the heads of the solution, which are total heads: of a stream at 2 m/s the static pressure is
// 2 kPa less (water).

struct PipeReading {
  double velocity = 0.0;  // from -> to [m/s]
  std::string regime{};   // "at rest", "laminar", "transitional", "turbulent"
  double reynolds = 0.0;  // [-]; of a liquid that is not Newtonian 8 rho V² / laminar wall stress
  // Lowest along it: at an end, or at the high point, whose head lies midway between the ends'
  // [Pa].
  double lowest_pressure = 0.0;  // absolute [Pa]
  // Below it solids settle, after Wasp [m/s]: no better than 30 %. NaN without solids or their d50.
  double deposition_velocity = 0.0;
};

struct ValveReading {
  double opening = 0.0;     // fraction of travel
  double turns_open = 0.0;  // of the handwheel from shut, counter-clockwise
  double turns_in = 0.0;    // from fully open, clockwise: turns_open + turns_in is the whole travel
  double travel = 0.0;      // of the stem from shut [m]; 0 of a quarter turn
  double kv_m3_per_h = 0.0;       // as it stands, a leaking seat included; 0: shut
  double reynolds_factor = 0.0;   // FR [-]: flow over that of a turbulent stream; NaN at rest
  double recovery_factor = 0.0;   // FL [-]
  double inlet_pressure = 0.0;    // absolute, at the end that liquid comes from [Pa]
  double outlet_pressure = 0.0;   // absolute, at the other [Pa]
  double drop_ratio = 0.0;        // xF = drop / (inlet - vapour pressure) [-]; NaN at rest
  double cavitation_ratio = 0.0;  // xFz [-]: cavitation becomes audible where xF exceeds it
  double choked_drop = 0.0;       // from which it passes no more [Pa]; NaN where shut or leaking
  bool choked = false;
  double leak = 0.0;  // to the open air [m³/s]
};

struct CheckValveReading {
  // "shut", "floating", "full open"; "passing" (its seat, disc down), "stuck open".
  std::string disc{};
  // 0 shut .. 1 full open. Floating: velocity over min_velocity, an estimate; makers' curves
  // differ.
  double lift = 0.0;
  double min_velocity = 0.0;       // that lifts it fully [m/s]
  double velocity_margin = 0.0;    // velocity / min_velocity [-]
  double cracking_pressure = 0.0;  // [Pa]
  double full_lift_drop = 0.0;     // drop that lifts it fully [Pa]
};

struct PumpReading {
  double head = 0.0;         // gained [m]
  double speed = 0.0;        // fraction of the speed of its curve; 0 stopped
  double efficiency = 0.0;   // [-], as pumped; NaN: no data, or no pumping
  double shaft_power = 0.0;  // [W]; NaN as efficiency
  // From the pressure at `from`. Its head is a total head: no velocity head is added.
  double npsh_available = 0.0;          // [m]
  double npsh_required = 0.0;           // [m]; NaN without a curve, or stopped
  double npsh_margin = 0.0;             // available less required [m]
  double flow_over_best = 0.0;          // flow over that of best efficiency at this speed [-]
  bool best_flow_is_estimated = false;  // where flow * head is largest on the curve
  std::string region{};  // "preferred", "allowable", "outside"; empty where it has no meaning
  double specific_speed = 0.0;  // per stage [rev/min, m³/s, m]; NaN without rpm
  // Of viscosity, ANSI/HI 9.6.7 [-]; 1 where it does not matter or rpm is not given.
  double flow_factor = 1.0, head_factor = 1.0, efficiency_factor = 1.0;
  bool viscosity_within_method = true;
  // Liquid pushed back through it: the speed at which its rotor would spin in reverse if nothing
  // held it, over full speed [-]. 0: no liquid runs back.
  double reverse_speed = 0.0;
};

struct RegulatorReading {
  double held_pressure = 0.0;  // gauge, at the point it watches [Pa]; NaN of a flow limit
  double opening = 0.0;        // share of its full coefficient in use; 1 wide open
};

struct ReliefValveReading {
  double excess = 0.0;      // what lifts it less set_pressure [Pa]
  double lift = 0.0;        // 0 shut .. 1 fully open, in proportion to excess: an estimate
  double rated_flow = 0.0;  // fully open, at set_pressure and overpressure [m³/s]
};

// By kind, each in network order.
struct Readings {
  std::vector<PipeReading> pipes{};
  std::vector<ValveReading> valves{};
  std::vector<CheckValveReading> check_valves{};
  std::vector<PumpReading> pumps{};
  std::vector<RegulatorReading> regulators{};
  std::vector<ReliefValveReading> relief_valves{};
};

Readings TakeReadings(const Solution& solution);
std::vector<PipeReading> ReadPipes(const Solution& solution);
std::vector<ValveReading> ReadValves(const Solution& solution);
std::vector<CheckValveReading> ReadCheckValves(const Solution& solution);
std::vector<PumpReading> ReadPumps(const Solution& solution);
std::vector<RegulatorReading> ReadRegulators(const Solution& solution);
std::vector<ReliefValveReading> ReadReliefValves(const Solution& solution);

// --- Handwheels: clockwise shuts -----------------------------------------------------------------

// From shut to fully open: `turns` of the valve, else by its travel, else by its kind and size
// (within 50 %: common practice). A lever: 0.25. Throws NetworkError without kind or size.
double TurnsOfTravel(const Valve& valve);
double StemTravelOf(const Valve& valve);  // shut to open [m]; 0 of a quarter turn
// Turns from shut at an opening, and back. Throw SettingError beyond the travel.
double TurnsFromOpening(const Valve& valve, double opening);
double OpeningFromTurns(const Valve& valve, double turns);

}  // namespace handwheel
