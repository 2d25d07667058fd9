#include <algorithm>
#include <cmath>

#include "components/law_parts.h"
#include "correlations/slurry.h"
#include "handwheel/readings.h"
#include "network/resolve.h"
#include "steady/plant_view.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

std::string Regime(double value, double laminar_to, double turbulent_from) {
  if (value == 0.0) return "at rest";
  if (value <= laminar_to) return "laminar";
  return value < turbulent_from ? "transitional" : "turbulent";
}

void ReadFlow(const Pipe& pipe, const PlantView& plant, PipeReading* reading) {
  const double bore = BoreOf(pipe);
  const double speed = std::abs(reading->velocity);
  if (plant.liquid.IsNewtonian()) {
    reading->reynolds = speed * bore / plant.liquid.KinematicViscosity();
    reading->regime = Regime(reading->reynolds, kLaminarLimit, kTurbulentLimit);
    return;
  }
  const WallStressCurve wall(RheologyOf(plant.liquid), plant.liquid.density, bore,
                             RoughnessOf(pipe) / bore);
  reading->reynolds = speed == 0.0 ? 0.0 : wall.GeneralisedReynolds(speed);
  reading->regime = Regime(speed, wall.laminar_limit_velocity(), wall.turbulent_limit_velocity());
}

double LowestPressure(const Pipe& pipe, const PlantView& plant) {
  const double lowest = std::min(plant.Absolute(pipe.from), plant.Absolute(pipe.to));
  if (!pipe.high_point) return lowest;
  const double head = 0.5 * (plant.Head(pipe.from) + plant.Head(pipe.to));
  const double at_high_point =
      (head - *pipe.high_point) * plant.Weight() + plant.network.site.atmospheric_pressure;
  return std::min(lowest, at_high_point);
}

double DepositionVelocity(const Pipe& pipe, const PlantView& plant) {
  const std::optional<Solids>& solids = plant.liquid.solids;
  if (!solids || solids->d50 <= 0.0) return kNaN;
  return WaspDepositionVelocity(solids->volume_fraction, solids->d50, BoreOf(pipe),
                                solids->density / solids->carrier_density,
                                plant.network.site.gravity);
}

PipeReading ReadPipe(const PlantView& plant, std::size_t i) {
  const Pipe& pipe = plant.network.pipes[i];
  PipeReading reading;
  reading.velocity = plant.solution.velocity()[i];
  ReadFlow(pipe, plant, &reading);
  reading.lowest_pressure = LowestPressure(pipe, plant);
  reading.deposition_velocity = DepositionVelocity(pipe, plant);
  return reading;
}

}  // namespace

std::vector<PipeReading> ReadPipes(const Solution& solution) {
  const PlantView plant(solution);
  std::vector<PipeReading> readings;
  for (std::size_t i = 0; i < plant.network.pipes.size(); ++i) {
    readings.push_back(ReadPipe(plant, i));
  }
  return readings;
}

}  // namespace handwheel
