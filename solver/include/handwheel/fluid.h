#pragma once

#include <optional>
#include <string>

namespace handwheel {

// Properties at the one temperature of a network.
struct Liquid {
  double density = 0.0;                                              // [kg/m³]
  double viscosity = 0.0;                                            // dynamic [Pa·s]
  double vapour_pressure = 0.0;                                      // absolute [Pa]
  double KinematicViscosity() const { return viscosity / density; }  // [m²/s]
};

// What the user says about the liquid. "water" takes what is not given from the IAPWS formulations
// (IF97 density and vapour pressure, R12-08 viscosity) at `temperature`; any other name needs a
// density and one of the two viscosities.
struct Fluid {
  std::string name = "water";
  double temperature = 293.15;                  // [K]
  std::optional<double> density{};              // [kg/m³]
  std::optional<double> viscosity{};            // dynamic [Pa·s]
  std::optional<double> kinematic_viscosity{};  // [m²/s]
  std::optional<double> vapour_pressure{};      // absolute [Pa]; 0 if a named liquid gives none

  // Throws NetworkError (component "fluid") if something needed is missing, contradictory, or
  // water is asked for outside 0.01 to 150 °C.
  Liquid Resolve() const;

  bool operator==(const Fluid&) const = default;
};

}  // namespace handwheel
