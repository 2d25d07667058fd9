#pragma once

#include <optional>

#include "components/law.h"
#include "handwheel/components.h"
#include "handwheel/network.h"

namespace handwheel {

// What every component of one network shares.
struct LawContext {
  Liquid liquid;
  double gravity;  // [m/s²]
  ModelChoices model;
};

// A component as the solvers see it.
struct ComponentLaw {
  Law law;
  double start_flow;           // to begin iterating with [m³/s]
  std::optional<double> area;  // of the bore [m²]; empty where the component has none
};

// Throw NetworkError for data that Network::Validate would have refused.
ComponentLaw MakeLaw(const Pipe& pipe, const LawContext& context);
ComponentLaw MakeLaw(const Valve& valve, const LawContext& context);
ComponentLaw MakeLaw(const CheckValve& check_valve, const LawContext& context);
ComponentLaw MakeLaw(const Pump& pump, const LawContext& context);
ComponentLaw MakeLaw(const Restriction& restriction, const LawContext& context);
ComponentLaw MakeLaw(const Nozzle& nozzle, const LawContext& context);

}  // namespace handwheel
