#pragma once

#include <array>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "handwheel/components.h"
#include "handwheel/fluid.h"
#include "handwheel/friction_formula.h"

namespace handwheel {

inline constexpr double kStandardGravity = 9.80665;      // [m/s²]
inline constexpr double kStandardAtmosphere = 101325.0;  // [Pa]

struct Site {
  double gravity = kStandardGravity;                  // [m/s²]
  double atmospheric_pressure = kStandardAtmosphere;  // absolute [Pa]
  bool operator==(const Site&) const = default;
};

// Choices that hold for every pipe of the network.
struct ModelChoices {
  FrictionFormula friction = FrictionFormula::kColebrook;
  std::string fittings = "three-K";  // "two-K", "three-K", "equivalent length"
  bool operator==(const ModelChoices&) const = default;
};

// One entry of a row: a bare SI number or text with a unit.
using Scalar = std::variant<double, std::string>;

// Rows of two: points of a curve ({"20 m3/h", "28 m"}) or fittings ({"elbow 90 long radius", 4.0}).
using Rows = std::vector<std::array<Scalar, 2>>;

// What a property can be set to: true, 0.4 (SI), text such as "12 m3/h" or "stuck open", or rows.
using Value = std::variant<bool, double, std::string, Rows>;

// Pairs of "component.property" and value, applied in order: {"HV-3.opening", 0.4}.
using Settings = std::vector<std::pair<std::string, Value>>;

// A named set of settings.
struct Case {
  std::string name{};
  std::string note{};
  Settings set{};
  bool operator==(const Case&) const = default;
};

// A whole plant as plain data. Points are ordered vessels, junctions; components are ordered pipes,
// valves, check valves, pumps, restrictions, nozzles, regulators, relief valves, each kind in the
// order given. Every result array follows this "network order".
struct Network {
  std::string title{};
  std::string story{};  // a few sentences for the reader; no effect
  Site site{};
  ModelChoices model{};
  Fluid fluid{};

  std::vector<Vessel> vessels{};
  std::vector<Junction> junctions{};

  std::vector<Pipe> pipes{};
  std::vector<Valve> valves{};
  std::vector<CheckValve> check_valves{};
  std::vector<Pump> pumps{};
  std::vector<Restriction> restrictions{};
  std::vector<Nozzle> nozzles{};
  std::vector<Regulator> regulators{};
  std::vector<ReliefValve> relief_valves{};

  std::vector<Case> cases{};

  // Throws NetworkError for the first thing that is wrong: a value out of range, a missing or
  // contradictory value, a duplicate or dangling name, a case that sets what does not exist.
  void Validate() const;

  // Throw SettingError for an unknown component, property or unfit value, with a suggestion.
  void Apply(std::string_view target, const Value& value);
  void Apply(const Settings& settings);
  // Throws NetworkError if no case has that name.
  const Case& FindCase(std::string_view name) const;
  void ApplyCase(std::string_view name) { Apply(FindCase(name).set); }

  // The present value of "component.property", SI where it has a unit; empty text if not given.
  Value Get(std::string_view target) const;

  std::vector<std::string> PointNames() const;      // network order
  std::vector<std::string> ComponentNames() const;  // network order

  // Adds one part from its property texts or SI numbers, as the file reader does:
  // AddPart("pipe", {{"name", "L-1"}, {"from", "a"}, {"to", "b"}, {"length", "38 m"}, ...}).
  // Throws NetworkError for an unknown kind or property or an unfit value.
  void AddPart(std::string_view kind, const Settings& properties);

  bool operator==(const Network&) const = default;
};

// "vessel", "junction", "pipe", "valve", "check_valve", "pump", "restriction", "nozzle",
// "regulator", "relief_valve".
std::vector<std::string> PartKinds();

}  // namespace handwheel
