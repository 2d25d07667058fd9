#pragma once

#include <optional>
#include <string>
#include <vector>

#include "handwheel/network.h"
#include "handwheel/transient.h"

namespace handwheel {

// How fast waves run in a pipe, and where that comes from.
struct WaveSpeedBasis {
  double wave_speed;     // [m/s]
  std::string basis;     // "given", "estimated: ..."
  bool assumed = false;  // something was taken for want of data
};
WaveSpeedBasis WaveSpeedOf(const Pipe& pipe, const Network& network, const Liquid& liquid);

// How one pipe is worked out.
struct PipeColumn {
  ColumnModel model;
  int reaches = 0;               // elastic
  double wave_speed = 0.0;       // of the pipe [m/s]
  double wave_speed_used = 0.0;  // length / (reaches * time step); NaN unless elastic
  std::string basis;
  bool assumed = false;
};

// The time step, and every pipe cut into reaches that are exactly a step long.
struct PipeGrid {
  double time_step = 0.0;  // [s]
  std::size_t num_steps = 0;
  std::vector<PipeColumn> pipes;  // by pipe
};

// Throws SettingError: for a pipe that is asked to be elastic and cannot be within the bound, more
// steps than allowed, or the name of a pipe that does not exist.
PipeGrid MakeGrid(const Network& network, const Liquid& liquid, const TransientOptions& options);

}  // namespace handwheel
