#pragma once

#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

// The parts of a plant as plain data. SI throughout; the unit stands in brackets. Flow is positive
// from `from` to `to`. A value left empty is derived as its comment says.

namespace handwheel {

// --- Points ------------------------------------------------------------------------------------

// Holds a pressure. head = elevation + level + gas_pressure / (density * g)
struct Vessel {
  std::string name{};
  double elevation = 0.0;        // of its bottom [m]
  double level = 0.0;            // of the liquid above the bottom [m]
  double gas_pressure = 0.0;     // above the liquid, gauge [Pa]
  std::optional<double> area{};  // of the liquid surface [m²]; only a run in time uses it

  bool operator==(const Vessel&) const = default;
};

// A point without storage: what flows in flows out, less `draw`, plus `feed`.
struct Junction {
  std::string name{};
  double elevation = 0.0;  // [m]
  double draw = 0.0;       // taken out of the network [m³/s], >= 0
  double feed = 0.0;       // put into the network [m³/s], >= 0

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
  double opening = 1.0;          // fraction of travel, 0 shut .. 1 fully open
  std::optional<double> kv{};    // water at 1 bar drop [m³/s], full opening
  std::optional<double> cv{};    // water at 1 psi drop [m³/s], full opening
  std::optional<double> k{};     // on the velocity head in the bore, full opening [-]
  std::vector<std::array<double, 2>> curve{};  // (opening, relative coefficient), rising to (1, 1)
  std::string normally{};                      // "open", "closed" or empty

  bool operator==(const Valve&) const = default;
};

// Lets flow pass from `from` to `to` only. Forward drop: the cracking pressure at no flow, growing
// to the full-open loss.
struct CheckValve {
  std::string name{}, from{}, to{};
  std::string kind{};            // "swing", "lift", "ball"
  std::optional<double> bore{};  // [m]; else the nominal bore of size
  std::string size{};
  std::string condition = "sound";   // "sound", "passing", "stuck open"
  std::optional<double> kv{}, cv{};  // full-open coefficient [m³/s], as for Valve
  std::optional<double> k{};         // full-open, on the velocity head in the bore [-]
  double cracking_pressure = 0.0;    // [Pa]
  std::optional<double>
      leak_kv;                 // when passing [m³/s at 1 bar]; else a hole of 1 % of the bore area
  double stuck_opening = 1.0;  // when stuck open: fraction of the full flow coefficient, > 0

  bool operator==(const CheckValve&) const = default;
};

// Head against flow by points or as  head = a - b * flow^c  (coefficients a [m], b, c in SI), at
// full speed; other speeds by the affinity laws. Stopped, it is a resistance both ways.
struct Pump {
  std::string name{}, from{}, to{};
  std::vector<std::array<double, 2>> curve{};           // (flow [m³/s], head [m]), head falling
  std::optional<std::array<double, 3>> coefficients{};  // a, b, c
  bool running = true;
  double speed = 1.0;                  // fraction of the speed of the curve
  std::optional<double> rated_flow{};  // [m³/s]; else where flow * head is largest on the curve
  // Stopped: drop = stopped_k * rated_head * (flow / rated_flow)². About 0.5 to 1 for a radial pump
  // with its rotor held when nothing is known (common practice, no source).
  double stopped_k = 0.75;

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

  bool operator==(const Restriction&) const = default;
};

// Discharge to atmosphere; never draws air in. Loses one velocity head in its bore at k = 1.
struct Nozzle {
  std::string name{}, from{};
  std::optional<double> bore{};
  std::string size{};
  double k = 1.0;                     // on the velocity head in the bore, exit included [-]
  std::optional<double> elevation{};  // [m]; else that of `from`

  bool operator==(const Nozzle&) const = default;
};

}  // namespace handwheel
