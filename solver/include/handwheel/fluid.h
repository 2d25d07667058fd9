#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace handwheel {

// Solids that settle, carried by a liquid.
struct Solids {
  double volume_fraction = 0.0;  // of the mixture [-]
  double density = 0.0;          // of the grains [kg/m³]
  double d50 = 0.0;              // grain size that half by mass is finer than [m]; 0: not given
  double carrier_density = 0.0;  // [kg/m³]
};

// Properties at the one temperature of a network. Shear stress = yield_stress + consistency *
// rate^index; a Newtonian liquid has index 1, no yield stress, and its viscosity as consistency.
struct Liquid {
  double density = 0.0;                 // of the mixture [kg/m³]
  double viscosity = 0.0;               // dynamic; plastic viscosity of a Bingham liquid [Pa·s]
  double vapour_pressure = 0.0;         // absolute [Pa]
  double critical_pressure = 22.064e6;  // absolute; water's unless given [Pa]
  double yield_stress = 0.0;            // [Pa]
  double consistency = 0.0;             // [Pa·s^index]; 0: the viscosity
  double index = 1.0;                   // flow behaviour index [-]
  std::optional<Solids> solids{};
  double KinematicViscosity() const { return viscosity / density; }  // [m²/s]
  bool IsNewtonian() const { return index == 1.0 && yield_stress == 0.0; }
};

// What the user says about the liquid. "water", "seawater", "sodium hydroxide" and "sulphuric acid"
// bring what is not given from cited tables at `temperature` and `strength`; any other name needs a
// density and one of the two viscosities (or a consistency).
struct Fluid {
  std::string name = "water";
  double temperature = 293.15;                  // [K]
  std::optional<double> strength{};             // mass of the solute in mass of the solution [-]
  std::optional<double> density{};              // [kg/m³]
  std::optional<double> viscosity{};            // dynamic [Pa·s]
  std::optional<double> kinematic_viscosity{};  // [m²/s]
  std::optional<double> vapour_pressure{};      // absolute [Pa]; 0 if a named liquid gives none
  std::optional<double> critical_pressure{};    // absolute [Pa]; water's unless given
  std::optional<double> bulk_modulus{};         // [Pa]; else by name. Only a run in time uses it
  // Tables by temperature [K], rising; never extrapolated.
  std::vector<std::array<double, 2>> density_table{};          // [kg/m³]
  std::vector<std::array<double, 2>> viscosity_table{};        // dynamic [Pa·s]
  std::vector<std::array<double, 2>> vapour_pressure_table{};  // absolute [Pa]
  // Not Newtonian: stress = yield_stress + consistency * rate^index.
  std::optional<double> yield_stress{};  // [Pa]
  std::optional<double> consistency{};   // [Pa·s^index]; with an index
  std::optional<double> index{};         // [-]
  // Settling slurry: density and viscosity above are then those of the carrier.
  std::optional<double> solids{};          // mass of solids in mass of the mixture [-]
  std::optional<double> solids_density{};  // [kg/m³]
  std::optional<double> d50{};             // [m]

  // Throws NetworkError (component "fluid") if something needed is missing, contradictory, or a
  // liquid is asked for outside the range of its tables.
  Liquid Resolve() const;

  bool operator==(const Fluid&) const = default;
};

}  // namespace handwheel
