#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <vector>

#include "handwheel/transient.h"
#include "steady/plan.h"
#include "transient/elastic_pipes.h"
#include "transient/pipe_grid.h"
#include "transient/point_solver.h"

namespace handwheel {

// What the recorder looks at after every step.
struct PlantState {
  const Plan& plan;
  const PointSolver& points;
  const ElasticPipes& pipes;
  const std::vector<int>& elastic_of;     // by pipe: its number among the elastic ones, or -1
  const std::vector<double>& pump_speed;  // by pump
  const std::vector<double>& level;       // by vessel [m]
};

// Keeps histories, extremes, the log and the balance of the liquid.
class Recorder {
 public:
  Recorder(const Network& network, const PipeGrid& grid, const TransientOptions& options,
           Transient* into);

  void Start(const PlantState& state);
  // After step number `step` (from 1).
  void Step(std::size_t step, const PlantState& state);
  // A draw counts at both ends of a step: as it was, and as it is.
  void Spilled(double volume) { into_->balance.spilled += volume; }
  // A part says no more than some twenty things.
  void Log(double time, const std::string& name, std::string message);
  void Finish(const PlantState& state);

 private:
  std::size_t NodeOf(std::size_t point) const;
  void Keep(double time, const PlantState& state);
  void LookAtExtremes(double time, const PlantState& state);
  void LookAtFlows(const PlantState& state, double theta);
  double Outflow(const PlantState& state, double* came_in, double* went_out) const;
  double Stored(const PlantState& state) const;
  void AddEnvelopes(const PlantState& state);

  const Network& network_;
  const PipeGrid& grid_;
  Transient* into_;
  std::size_t stride_;
  std::size_t last_kept_ = 0;
  double stored_at_start_ = 0.0;
  double in_before_ = 0.0, out_before_ = 0.0;
  double came_in_ = 0.0, went_out_ = 0.0;
  std::map<std::string, int> said_;
};

// Elevations of the places of a pipe: straight between its ends, by way of its high point if it has
// one.
std::vector<double> ElevationsAlong(const Pipe& pipe, double from, double to, int reaches);

}  // namespace handwheel
