#pragma once

#include <optional>

#include "components/control.h"
#include "components/law.h"
#include "handwheel/components.h"
#include "handwheel/network.h"

namespace handwheel {

// What every component of one network shares.
struct LawContext {
  Liquid liquid;
  double gravity;  // [m/s²]
  ModelChoices model;

  double Weight() const { return liquid.density * gravity; }  // [Pa/m]
};

// A component as the solvers see it.
struct ComponentLaw {
  Law law;
  double start_flow;                    // to begin iterating with [m³/s]
  std::optional<double> area;           // of the bore [m²]; empty where the component has none
  std::optional<Control> control = {};  // what may hold it back beside its law
};

// Throw NetworkError for data that Network::Validate would have refused.
ComponentLaw MakeLaw(const Pipe& pipe, const LawContext& context);
ComponentLaw MakeLaw(const Valve& valve, const LawContext& context);
ComponentLaw MakeLaw(const CheckValve& check_valve, const LawContext& context);
ComponentLaw MakeLaw(const Pump& pump, const LawContext& context);
ComponentLaw MakeLaw(const Restriction& restriction, const LawContext& context);
ComponentLaw MakeLaw(const Nozzle& nozzle, const LawContext& context);
ComponentLaw MakeLaw(const Regulator& regulator, const LawContext& context);
ComponentLaw MakeLaw(const ReliefValve& relief_valve, const LawContext& context);

// From one side of a valve with a cut diaphragm to the open air; empty for any other.
std::optional<ComponentLaw> MakeVentLaw(const Valve& valve, const LawContext& context);

// K [-] on the velocity head in the bore, as the valve stands, reducers apart; infinite if it is
// shut. Of a check valve: fully open.
double LossCoefficient(const Valve& valve, double bore);
double LossCoefficient(const CheckValve& check_valve, double bore);

// The opening that the valve's condition leaves of what its handwheel says.
double StandingOpening(const Valve& valve);
// FL [-] there.
double RecoveryFactor(const Valve& valve);

// Where a check valve cracks, and where its disc reaches full lift [Pa]; cracking < full_lift
// unless both are 0. k is its full-open loss coefficient.
struct CheckValveDrops {
  double cracking = 0.0;
  double full_lift = 0.0;
};
CheckValveDrops DropsOf(const CheckValve& check_valve, double k, double density);

}  // namespace handwheel
