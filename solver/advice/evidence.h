#pragma once

#include <optional>
#include <string>
#include <vector>

#include "advice/paths.h"
#include "advice/thresholds.h"
#include "handwheel/readings.h"
#include "steady/plant_view.h"

namespace handwheel {

// What every rule looks at.
struct Evidence {
  explicit Evidence(const Solution& solution)
      : plant(solution), readings(TakeReadings(solution)), paths(plant) {}

  PlantView plant;
  Readings readings;
  Paths paths;
};

// One part, as a rule sees it.
template <typename Part, typename Reading>
struct Item {
  const Part& part;
  const Reading& reading;
  std::size_t component;  // in network order
  const Evidence& evidence;

  double Flow() const { return evidence.plant.solution.flow()[component]; }          // [m³/s]
  double Velocity() const { return evidence.plant.solution.velocity()[component]; }  // [m/s]
  // The drop as a pressure [Pa].
  double Drop() const {
    return evidence.plant.solution.drop()[component] * evidence.plant.Weight();
  }
  FlowState State() const { return evidence.plant.solution.state()[component]; }
  const Liquid& liquid() const { return evidence.plant.liquid; }
};
using PipeItem = Item<Pipe, PipeReading>;
using ValveItem = Item<Valve, ValveReading>;
using CheckValveItem = Item<CheckValve, CheckValveReading>;
using PumpItem = Item<Pump, PumpReading>;
using RegulatorItem = Item<Regulator, RegulatorReading>;
using ReliefValveItem = Item<ReliefValve, ReliefValveReading>;
struct PointItem {
  std::size_t point;
  const Evidence& evidence;

  const std::string& name() const { return evidence.plant.solution.point_names()[point]; }
  double Absolute() const {  // pressure [Pa]
    return evidence.plant.solution.pressure()[point] +
           evidence.plant.network.site.atmospheric_pressure;
  }
};

// A rule finds one thing about one part, or nothing. It leaves Advice::component to be filled in.
using MaybeAdvice = std::optional<Advice>;

}  // namespace handwheel
