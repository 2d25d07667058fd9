#pragma once

#include <cstddef>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "handwheel/network.h"
#include "handwheel/steady.h"

// What a plant does after something happens to it: pressure waves, columns that slow down, pumps
// that run down, check valves that slam, levels that fall.
//
// Data flow: Network, events, options -> the steady state before anything happens (Solve) -> a grid
// of reaches and a time step (transient/pipe_grid.h) -> step after step, the parts that move
// (transient/moving_parts.h), then the pipes by characteristics (elastic_pipes.h), then the points
// between them (point_solver.h) -> histories, envelopes, a log and a balance of the liquid.

namespace handwheel {

// --- What happens
// ----------------------------------------------------------------------------------

enum class Happening { kTrip, kStart, kStroke, kCondition, kGasPressure, kDraw };

// One thing that happens. Made by the functions below, which say what its members mean.
struct TransientEvent {
  Happening kind = Happening::kTrip;
  std::string name{};             // of the pump, valve, check valve, vessel or junction
  double at = 0.0;                // [s], >= 0
  double over = 0.0;              // time the change takes, at an even rate [s]; 0: at once
  double value = 0.0;             // what is reached, SI
  std::string condition{};        // of kCondition
  double turns_per_second = 0.0;  // of kStroke: the rate of the handwheel instead of `over`

  bool operator==(const TransientEvent&) const = default;
};

// The motor loses its power: the pump runs down by its inertia. One of positive displacement stops
// at once.
TransientEvent TripPump(std::string pump, double at);
// The speed rises evenly to `speed` of the network (1 if that is 0).
TransientEvent StartPump(std::string pump, double at, double over = 0.0);
// A valve travels evenly to an opening.
TransientEvent StrokeValve(std::string valve, double opening, double at, double over = 0.0);
TransientEvent TurnHandwheel(std::string valve, double opening, double at, double turns_per_second);
// A valve or check valve takes on another condition: "stuck open".
TransientEvent ChangeCondition(std::string part, std::string condition, double at);
TransientEvent ChangeGasPressure(std::string vessel, double pressure, double at, double over = 0.0);
TransientEvent ChangeDraw(std::string junction, double draw, double at, double over = 0.0);

// --- How it is worked out
// --------------------------------------------------------------------------

// How the liquid of a pipe moves.
enum class ColumnModel {
  kAuto,     // elastic where a reach fits into the pipe, else rigid
  kElastic,  // pressure waves, by the method of characteristics
  kRigid,    // one rigid column with its inertia
  kSteady,   // no inertia: flow follows the heads at once; for levels over minutes and hours
};
std::string_view ColumnModelName(ColumnModel model);  // "auto", "elastic", "rigid", "steady"
std::optional<ColumnModel> ColumnModelFromName(std::string_view name);

struct TransientOptions {
  double duration = 10.0;  // [s], > 0
  // [s]; else chosen so that waves take at least `least_reaches` steps through the pipe that takes
  // them longest, every elastic pipe is a whole number of steps long within wave_speed_bound, and
  // pipes shorter than a step become rigid; without elastic pipes duration / 2000.
  std::optional<double> time_step{};
  int least_reaches = 20;
  // A pipe's wave speed is altered by up to this share, so that a step is exactly a reach (Courant
  // number 1) and nothing is smeared by interpolation. A pipe that would need more becomes rigid,
  // or is refused if it was asked to be elastic.
  double wave_speed_bound = 0.15;
  ColumnModel columns = ColumnModel::kAuto;
  std::vector<std::pair<std::string, ColumnModel>> pipes{};  // other than `columns`, by name
  // Liquid that would fall below its vapour pressure parts instead (discrete cavities).
  bool cavities = true;
  std::optional<double> record_every{};  // of histories [s]; else duration / 2000
  std::size_t max_steps = 20'000'000;    // more are refused before anything is run
  SteadyOptions steady{};                // for the state at the start
  // Told now and then; false: stop. May be empty.
  std::function<bool(double time, double duration)> progress{};

  bool IsValid(std::string* error) const;  // *error: the field, its value, the rule it breaks
};

// --- What came of it
// -------------------------------------------------------------------------------

struct LogEntry {
  double time = 0.0;      // [s]
  std::string name{};     // of the part or point
  std::string message{};  // "NRV-1 shut, catching 0.42 m/s of reverse flow: +5.1 bar at its outlet"
};

// How one pipe was worked out, and the highest and lowest heads along it.
struct PipeEnvelope {
  std::string name{};
  ColumnModel model = ColumnModel::kElastic;
  int reaches = 0;               // 0 unless elastic
  double wave_speed = 0.0;       // of the pipe [m/s]
  double wave_speed_used = 0.0;  // altered to fit the time step [m/s]; NaN unless elastic
  std::string basis{};           // where wave_speed comes from: "given", "estimated: ..."
  // From `from` to `to`: of each place the distance [m], elevation [m], highest and lowest head
  // [m].
  std::vector<double> distance{}, elevation{}, highest{}, lowest{};
  double largest_cavity = 0.0;  // of any place between its ends [m³]
};

struct PointExtremes {
  std::string name{};
  double highest = 0.0, highest_at = 0.0;  // gauge pressure [Pa], time [s]
  double lowest = 0.0, lowest_at = 0.0;
  double largest_cavity = 0.0;  // [m³]
};

// A check valve that shut against reverse flow.
struct Slam {
  std::string check_valve{};
  double time = 0.0;              // [s]
  double reverse_velocity = 0.0;  // caught, in its bore [m/s], >= 0
  double deceleration = 0.0;      // of the flow as it reversed [m/s²]
  // Of the pressure at `to` in that step [Pa]; of rigid columns rho a V, with the highest wave
  // speed.
  double rise = 0.0;
};

// Liquid, over the whole run [m³]. With exact arithmetic `error` would be 0.
struct LiquidBalance {
  double came_in = 0.0;      // from vessels that hold their level, feeds
  double went_out = 0.0;     // to the same, draws, nozzles, leaks
  double spilled = 0.0;      // over the walls of vessels
  double stored_more = 0.0;  // in vessels with an area, squeezed into pipes, less cavities
  double through = 0.0;      // of both ways, all ends: what the error is to be compared with
  double error = 0.0;        // came_in - went_out - spilled - stored_more
};

struct Transient {
  Network network;  // as it stood before anything happened
  std::vector<TransientEvent> events{};
  double duration = 0.0;   // as asked for [s]
  double time_step = 0.0;  // [s]
  std::size_t num_steps = 0;
  // Steps in which flows and heads between pipes came not within 1e-8 m of their laws, or flows not
  // within 1e-10 m³/s of their balance.
  std::size_t num_unsettled_steps = 0;
  double worst_misfit = 0.0;  // there [m]
  bool interrupted = false;
  // A check valve stopped a rigid column: its extremes of pressure, 1/time_step high, mean nothing.
  bool slam_pressures_mean_nothing = false;
  std::string ended_early{};               // why; empty: it did not, unless interrupted
  std::vector<std::string> assumptions{};  // what was estimated for want of data

  // Histories: a row per time kept, the first and last among them.
  std::vector<double> time{};  // [s]
  std::vector<std::string> point_names{}, component_names{}, pump_names{}, vessel_names{};
  std::vector<double> head{};      // by row, then point [m]
  std::vector<double> pressure{};  // gauge [Pa]
  std::vector<double> flow{};      // by row, then component, where it leaves `from` [m³/s]
  std::vector<double> flow_to{};   // where it arrives at `to`
  std::vector<double> speed{};     // by row, then pump: fraction of the speed of its curve
  std::vector<double> level{};     // by row, then vessel [m]

  std::vector<LogEntry> log{};
  std::vector<Slam> slams{};
  std::vector<PipeEnvelope> envelopes{};  // by pipe
  std::vector<PointExtremes> extremes{};  // by point
  LiquidBalance balance{};

  std::size_t num_rows() const { return time.size(); }
  // By name, a value per row. Throw NetworkError for an unknown one, with a suggestion.
  std::vector<double> Head(std::string_view point) const;
  std::vector<double> Pressure(std::string_view point) const;
  std::vector<double> Flow(std::string_view component) const;
  std::vector<double> Speed(std::string_view pump) const;
  std::vector<double> Level(std::string_view vessel) const;

  std::string Verdict() const;  // a few sentences
  std::string Report() const;   // the verdict, the log, extremes against ratings, cautions
};

// Runs the events from the steady state of the network. Throws Error for an event, option or
// network that is malformed or has no solution to start from.
//
// Elastic pipes: method of characteristics on a fixed grid at Courant number 1, friction of the
// pipes' own steady laws by the trapezoidal rule (E. B. Wylie and V. L. Streeter, Fluid Transients,
// from memory). Rigid columns: (L/gA) dQ/dt = head difference - drop, second-order backward
// differences. Between pipes, the laws of the components at every step.
// Limits: one liquid without free gas; friction as in steady flow, so that waves die down too
// slowly; cavities gather at the places of the grid, and their collapse is too sharp, most of all
// on fine grids.
Transient Simulate(const Network& network, const std::vector<TransientEvent>& events,
                   const TransientOptions& options = {});

}  // namespace handwheel
