#pragma once

#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

// The parts of a plant as plain data. SI throughout; the unit stands in brackets. Flow is positive
// from `from` to `to`. A value left empty is derived as its comment says.

namespace handwheel {

// `x` and `y`, given both, pin the middle of a part on diagrams: right of and below a common
// origin on the sheet [m]. Nothing else looks at them.

// --- Points ------------------------------------------------------------------------------------

// Holds a pressure. head = elevation + level + gas_pressure / (density * g)
struct Vessel {
  std::string name{};
  double elevation = 0.0;     // of its bottom [m]
  double level = 0.0;         // of the liquid above the bottom [m]
  double gas_pressure = 0.0;  // above the liquid, gauge [Pa]
  // Only a run in time (transient.h) uses these.
  std::optional<double> area{};    // of the liquid surface [m²]; without it the level stands
  std::optional<double> height{};  // of the wall above the bottom [m]; liquid above it spills
  std::optional<double> x{}, y{};

  bool operator==(const Vessel&) const = default;
};

// A point without storage: what flows in flows out, less `draw`, plus `feed`.
struct Junction {
  std::string name{};
  double elevation = 0.0;  // [m]
  double draw = 0.0;       // taken out of the network [m³/s], >= 0
  double feed = 0.0;       // put into the network [m³/s], >= 0
  std::optional<double> x{}, y{};

  bool operator==(const Junction&) const = default;
};

// --- Components between two points ---------------------------------------------------------------

// Darcy-Weisbach by default; `friction_factor` fixes the Darcy factor, `hazen_williams_c` selects
// the Hazen-Williams law instead.
struct Pipe {
  std::string name{}, from{}, to{};
  double length = 0.0;                // [m], > 0
  std::optional<double> bore{};       // inside diameter [m]; else from size and schedule
  std::string size{};                 // "DN80" or "NPS 3"
  std::string schedule{};             // "10S", "40" (the default), "80"
  std::optional<double> roughness{};  // absolute [m]; else from material
  std::string material{};             // "commercial steel" if neither is given
  std::vector<std::pair<std::string, double>> fittings{};  // trade name, count
  double k = 0.0;  // further loss coefficient on the velocity head in the bore [-], >= 0
  std::optional<double> friction_factor{};   // Darcy [-]
  std::optional<double> hazen_williams_c{};  // [-]
  double lining = 0.0;                       // thickness of a lining that narrows the bore [m]
  // Elevation of the highest point between the ends, taken to lie at mid-length [m]; only advice
  // (vapour pressure) looks at it.
  std::optional<double> high_point{};
  std::optional<double> rating{};        // highest gauge pressure allowed [Pa]
  std::optional<double> max_velocity{};  // advice warns above it [m/s]; 5 m/s unless given
  // How fast pressure waves run; only a run in time (transient.h) uses these.
  std::optional<double> wave_speed{};       // [m/s]; else from bore, wall, material and liquid
  std::optional<double> wall{};             // thickness [m]; else from size and schedule
  std::optional<double> elastic_modulus{};  // of the wall [Pa]; else from material
  // "anchored", "anchored upstream" or "expansion joints"; empty: anchored.
  std::string restraint{};
  std::optional<double> x{}, y{};

  bool operator==(const Pipe&) const = default;
};

// A valve set by hand or by an actuator. Its loss at full opening comes from the first given of
// kv, cv, k, and else from its kind and bore; `curve` maps opening to the flow coefficient
// relative to full opening, and else the kind's own characteristic applies. Opening 0 is shut.
struct Valve {
  std::string name{}, from{}, to{};
  std::string kind{};            // "diaphragm weir", "pinch enclosed body", "gate", ...
  std::optional<double> bore{};  // [m]; else the nominal bore of size
  std::string size{};            // "DN80"
  double lining = 0.0;           // thickness of a lining that narrows the bore [m]
  double opening = 1.0;          // fraction of travel, 0 shut .. 1 fully open
  std::optional<double> kv{};    // water at 1 bar drop [m³/s], full opening
  std::optional<double> cv{};    // water at 1 psi drop [m³/s], full opening
  std::optional<double> k{};     // on the velocity head in the bore, full opening [-]
  std::vector<std::array<double, 2>> curve{};  // (opening, relative coefficient), rising to (1, 1)
  // Bore of the pipe at both ends, if wider than the valve's: reducers then cost pressure [m].
  std::optional<double> pipe_bore{};
  std::optional<double> fl{};      // liquid pressure recovery factor FL [-]; else of the kind
  std::optional<double> xfz{};     // pressure ratio at which cavitation sets in [-]; else estimated
  std::optional<double> turns{};   // of the handwheel over the whole travel; else of the kind
  std::optional<double> travel{};  // of the stem, shut to open [m]; else of the kind
  // Least share of the full coefficient at which the valve still throttles is 1/rangeability; of an
  // equal-percentage valve also the base of its characteristic.
  std::optional<double> rangeability{};
  std::string normally{};  // "open", "closed" or empty

  // "sound", "passing" (the shut seat leaks), "blocked", "diaphragm cut", "sleeve not reopening",
  // "sleeve collapsed".
  std::string condition = "sound";
  double blockage = 0.5;  // when blocked, or a sleeve collapsed: share of the coefficient lost
  std::string leakage{};  // when passing or cut: a standard's rate, such as "ISO 5208 D"
  // When passing or cut: of the shut seat [m³/s at 1 bar]; else from leakage; else a hole of 1 % of
  // the bore area.
  std::optional<double> leak_kv{};
  // Diaphragm cut: of the way past stem and bonnet to the open air [m³/s at 1 bar]; else a hole of
  // 0.1 % of the bore area.
  std::optional<double> vent_kv{};
  double stuck_opening = 0.1;  // sleeve not reopening: it opens no further than this
  // Lowest gauge pressure that sleeve, diaphragm or liner tolerates [Pa]; else by kind.
  std::optional<double> min_pressure{};
  std::optional<double> rating{};  // highest gauge pressure allowed [Pa]
  std::optional<double> x{}, y{};

  bool operator==(const Valve&) const = default;
};

// Lets flow pass from `from` to `to` only. Forward drop: the cracking pressure at no flow, growing
// through the floating range to that of the full-open coefficient at the minimum velocity.
struct CheckValve {
  std::string name{}, from{}, to{};
  std::string kind{};            // "swing", "lift", "lift horizontal", "lift vertical", "ball"
  std::optional<double> bore{};  // [m]; else the nominal bore of size
  std::string size{};
  std::string orientation{};         // "horizontal", "vertical up", "vertical down" or empty
  std::string assist = "none";       // "none", "spring", "weight"
  std::string condition = "sound";   // "sound", "passing", "stuck open"
  std::optional<double> kv{}, cv{};  // full-open coefficient [m³/s], as for Valve
  std::optional<double> k{};         // full-open, on the velocity head in the bore [-]
  std::optional<double> cracking_pressure{};  // [Pa]; else by kind, assist and orientation
  std::optional<double> min_velocity{};       // that holds the disc fully open [m/s]; else by kind
  std::string leakage{};  // when passing: a standard's rate, "API 598 metal check"
  std::optional<double>
      leak_kv{};  // when passing [m³/s at 1 bar]; else from leakage; else a hole of 1 % of the bore
  double stuck_opening = 1.0;  // when stuck open: fraction of the full flow coefficient, > 0
  // From the reversal of the flow to shut [s]; else by kind and assist. Only a run in time uses it.
  std::optional<double> closing_lag{};
  std::optional<double> rating{};  // highest gauge pressure allowed [Pa]
  std::optional<double> x{}, y{};

  bool operator==(const CheckValve&) const = default;
};

// Head against flow by points or as  head = a - b * flow^c  (coefficients a [m], b, c in SI), at
// full speed; other speeds by the affinity laws. Stopped, it is a resistance both ways. A positive
// displacement pump gives `displacement` less what slips back through its clearances.
struct Pump {
  std::string name{}, from{}, to{};
  std::string kind = "centrifugal";                     // or "positive displacement"
  std::vector<std::array<double, 2>> curve{};           // (flow [m³/s], head [m]); see the rules
  std::optional<std::array<double, 3>> coefficients{};  // a, b, c
  bool running = true;
  double speed = 1.0;           // fraction of the speed of the curve
  std::optional<double> rpm{};  // speed of the curve [rev/min]
  double stages = 1.0;          // equal ones in series, that make up the curve
  // At best efficiency [m³/s]; else the top of `efficiency`, else where flow * head is largest.
  std::optional<double> rated_flow{};
  std::vector<std::array<double, 2>> efficiency{};  // (flow [m³/s], fraction)
  std::vector<std::array<double, 2>> npsh{};        // required: (flow [m³/s], head [m])
  std::optional<double> min_flow{};                 // least allowed continuously [m³/s]
  std::optional<double> rated_power{};              // of the motor [W]
  std::string rotor = "held";                       // when stopped: "held" or "free" to spin
  // Stopped: drop = stopped_k * rated_head * (flow / rated_flow)²; else by rotor.
  std::optional<double> stopped_k{};
  std::optional<double> displacement{};  // at full speed, nothing slipping [m³/s]
  std::optional<double> slip{};          // flow lost at rated_pressure [m³/s]; else 5 %
  double rated_pressure = 1e6;           // pressure rise that `slip` belongs to [Pa]
  // Of all that turns with it, motor and liquid too, at its speed [kg m²]; else estimated. Only a
  // run in time uses it.
  std::optional<double> inertia{};
  std::optional<double> x{}, y{};

  bool operator==(const Pump&) const = default;
};

// A fixed resistance: orifice, strainer, exchanger, hose. One of: k (with bore or size), kv, cv, or
// rated_drop at rated_flow.
struct Restriction {
  std::string name{}, from{}, to{};
  std::optional<double> k{};
  std::optional<double> bore{};
  std::string size{};
  std::optional<double> kv{}, cv{};    // [m³/s], as for Valve
  std::optional<double> rated_drop{};  // [Pa]
  std::optional<double> rated_flow{};  // [m³/s]
  std::optional<double> rating{};      // highest gauge pressure allowed [Pa]
  std::optional<double> x{}, y{};

  bool operator==(const Restriction&) const = default;
};

// Discharge to atmosphere; never draws air in. Loses one velocity head in its bore at k = 1.
struct Nozzle {
  std::string name{}, from{};
  std::optional<double> bore{};
  std::string size{};
  double k = 1.0;                     // on the velocity head in the bore, exit included [-]
  std::optional<double> elevation{};  // [m]; else that of `from`
  std::optional<double> x{}, y{};

  bool operator==(const Nozzle&) const = default;
};

// Sets itself to hold a pressure or limit a flow; wide open where it cannot, and never passes
// liquid backwards.
//   "pressure-reducing"  holds set_pressure at `to` by closing
//   "back-pressure"      holds set_pressure at `from` by closing
//   "flow-limiting"      passes set_flow at most
struct Regulator {
  std::string name{}, from{}, to{};
  std::string kind{};
  std::optional<double> bore{};
  std::string size{};
  std::optional<double> kv{}, cv{}, k{};  // wide open, as for Valve; K of a globe valve if none
  std::optional<double> set_pressure{};   // gauge, at the point held [Pa]
  std::optional<double> set_flow{};       // [m³/s]
  // How far the pressure held departs from set_pressure, towards more opening, when rated_flow
  // passes; in proportion to the flow [Pa]. 0: holds exactly.
  double droop = 0.0;
  std::optional<double> rated_flow{};  // that `droop` belongs to [m³/s]
  std::optional<double> rating{};      // highest gauge pressure allowed [Pa]
  std::optional<double> x{}, y{};

  bool operator==(const Regulator&) const = default;
};

// Opens when the pressure at `from` exceeds that at `to` by set_pressure; fully open, and passing
// its rated capacity, at set_pressure * (1 + overpressure). Shut below; its blow-down is not
// modelled.
struct ReliefValve {
  std::string name{}, from{};
  std::string to{};                  // empty: the open air at the elevation of `from`
  double set_pressure = 0.0;         // [Pa], > 0
  double overpressure = 0.1;         // fraction of set_pressure
  bool balanced = false;             // back pressure does not hold it shut
  std::optional<double> kv{}, cv{};  // fully open, as for Valve
  std::optional<double> area{};      // of its orifice [m²], with a discharge coefficient of 0.65
  std::optional<double> x{}, y{};

  bool operator==(const ReliefValve&) const = default;
};

}  // namespace handwheel
