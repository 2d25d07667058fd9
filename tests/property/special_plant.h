#pragma once

#include <algorithm>

#include "correlations/check_valve_kind.h"
#include "correlations/valve_characteristic.h"
#include "property/random_network.h"

namespace handwheel::testing {

// A MixedPlant with everything the trade knows added at random: thirteen kinds of valve in every
// condition, lined bodies and reducers; check valves with springs and weights; pumps that droop,
// are stopped with a free rotor, pump viscous liquid or displace it; regulators of all kinds and
// relief valves in place of pipes; liquids that are not Newtonian.
class SpecialPlant {
 public:
  explicit SpecialPlant(std::uint64_t seed, const MixedOptions& options = {})
      : dice_(seed * 7919 + 1), network_(MixedPlant(seed, options).Take()) {
    ChangeLiquid();
    for (Valve& valve : network_.valves) Change(&valve);
    for (CheckValve& valve : network_.check_valves) Change(&valve);
    for (Pump& pump : network_.pumps) Change(&pump);
    ReplacePipes();
    AddReliefValves();
  }

  Network Take() { return std::move(network_); }

 private:
  void ChangeLiquid() {
    Fluid& fluid = network_.fluid;
    fluid.vapour_pressure = dice_.Uniform(0.0, 20e3);
    const double kind = dice_.Uniform(0.0, 1.0);
    if (kind < 0.6) return;
    if (kind < 0.8) {
      fluid.yield_stress = dice_.LogUniform(0.1, 50.0);  // Bingham, with the viscosity as it is
      if (kind < 0.7) return;
    }
    fluid.viscosity.reset();
    fluid.consistency = dice_.LogUniform(0.01, 5.0);
    fluid.index = dice_.Uniform(0.3, 1.4);
  }

  void Change(Valve* valve) {
    const std::vector<std::string> kinds = ValveKindNames();
    valve->kind = dice_.Choose(kinds);
    if (dice_.Chance(0.2)) valve->lining = 0.03 * *valve->bore;
    if (dice_.Chance(0.2)) valve->pipe_bore = dice_.Uniform(1.0, 2.0) * *valve->bore;
    if (dice_.Chance(0.3)) valve->condition = dice_.Chance(0.5) ? "passing" : "blocked";
    if (valve->kind.starts_with("diaphragm") && dice_.Chance(0.3)) {
      valve->condition = "diaphragm cut";
    }
    if (valve->kind.starts_with("pinch") && dice_.Chance(0.3)) {
      valve->condition = dice_.Chance(0.5) ? "sleeve not reopening" : "sleeve collapsed";
    }
  }

  void Change(CheckValve* valve) {
    const std::vector<std::string> kinds = CheckValveKindNames();
    static const char* kAids[] = {"none", "spring", "weight"};
    static const char* kWays[] = {"", "horizontal", "vertical up", "vertical down"};
    valve->kind = dice_.Choose(kinds);
    valve->assist = dice_.Choose(kAids);
    valve->orientation = dice_.Choose(kWays);
    if (dice_.Chance(0.7)) valve->cracking_pressure.reset();
    if (dice_.Chance(0.2)) valve->min_velocity = dice_.Uniform(0.3, 3.0);
    if (dice_.Chance(0.3))
      valve->leakage = dice_.Chance(0.5) ? "ISO 5208 F" : "API 598 metal check";
  }

  void Change(Pump* pump) {
    const double kind = dice_.Uniform(0.0, 1.0);
    if (kind < 0.2) {
      pump->kind = "positive displacement";
      pump->curve.clear();
      pump->coefficients.reset();
      pump->displacement = dice_.LogUniform(1e-4, 1e-2);
      return;
    }
    if (kind < 0.4 && !pump->curve.empty()) pump->curve[0][1] *= 0.85;  // droops
    if (kind < 0.6) pump->rotor = "free";
    if (dice_.Chance(0.5)) pump->rpm = 1450.0;
  }

  void ReplacePipes() {
    std::vector<Pipe> kept;
    for (Pipe& pipe : network_.pipes) {
      const bool at_vessel = pipe.from.starts_with("v") || pipe.to.starts_with("v");
      if (at_vessel || !dice_.Chance(0.06)) {
        kept.push_back(std::move(pipe));
        continue;
      }
      AddRegulator(pipe);
    }
    network_.pipes = std::move(kept);
  }

  void AddRegulator(const Pipe& in_place_of) {
    static const char* kKinds[] = {"pressure-reducing", "back-pressure", "flow-limiting"};
    Regulator regulator;
    regulator.name = Named("reg", network_.regulators.size());
    regulator.from = in_place_of.from;
    regulator.to = in_place_of.to;
    regulator.kind = dice_.Choose(kKinds);
    regulator.bore = *in_place_of.bore;
    if (regulator.kind == "flow-limiting") {
      regulator.set_flow = dice_.LogUniform(1e-4, 1e-2);
    } else {
      regulator.set_pressure = dice_.Uniform(0.0, 3e5);
      if (dice_.Chance(0.3)) {
        regulator.droop = dice_.Uniform(1e3, 3e4);
        regulator.rated_flow = dice_.LogUniform(1e-4, 1e-2);
      }
    }
    network_.regulators.push_back(std::move(regulator));
  }

  void AddReliefValves() {
    const int count = dice_.Pick(4);
    const int junctions = static_cast<int>(network_.junctions.size());
    for (int i = 0; i < count; ++i) {
      ReliefValve valve;
      valve.name = Named("rv", network_.relief_valves.size());
      valve.from = network_.junctions[static_cast<std::size_t>(dice_.Pick(junctions))].name;
      if (dice_.Chance(0.3)) {
        valve.to = network_.junctions[static_cast<std::size_t>(dice_.Pick(junctions))].name;
        if (valve.to == valve.from) valve.to.clear();
      }
      valve.set_pressure = dice_.LogUniform(0.2e5, 10e5);
      valve.balanced = dice_.Chance(0.5);
      valve.area = dice_.LogUniform(1e-5, 1e-3);
      network_.relief_valves.push_back(std::move(valve));
    }
  }

  Dice dice_;
  Network network_;
};

}  // namespace handwheel::testing
