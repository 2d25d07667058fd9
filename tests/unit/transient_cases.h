#pragma once

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "handwheel/handwheel.h"
#include "handwheel/transient.h"

// Plants of one line, on which transient flow has closed forms. C: constructed check, closed form;
// no publication needed. Numbers with g = 9.81 m/s², as the closed forms have them.

namespace handwheel::transient_cases {

inline constexpr double kFrictionless = 1e-12;  // Darcy factor: a property cannot be 0

// Thin, so that laws are square from the smallest flows on, and far from boiling unless asked.
inline Network Empty(double gravity = 9.81) {
  Network plant;
  plant.site.gravity = gravity;
  plant.fluid.name = "test liquid";
  plant.fluid.density = 1000.0;
  plant.fluid.viscosity = 1e-9;
  plant.fluid.vapour_pressure = 0.0;
  return plant;
}

inline double AreaOfBore(double bore) {
  return std::numbers::pi / 4.0 * bore * bore;
}

inline Pipe Line(const std::string& name, const std::string& from, const std::string& to,
                 double length, double bore, double wave_speed, double friction_factor) {
  Pipe pipe;
  pipe.name = name;
  pipe.from = from;
  pipe.to = to;
  pipe.length = length;
  pipe.bore = bore;
  pipe.friction_factor = friction_factor;
  pipe.wave_speed = wave_speed;
  return pipe;
}

// Its flow coefficient goes straight with its opening; chokes nowhere here.
inline Valve StraightValve(const std::string& name, const std::string& from, const std::string& to,
                           double bore, double k) {
  Valve valve;
  valve.name = name;
  valve.from = from;
  valve.to = to;
  valve.kind = "gate";
  valve.bore = bore;
  valve.k = k;
  valve.curve = {{0.0, 0.0}, {1.0, 1.0}};
  valve.fl = 1.0;
  return valve;
}

inline Vessel Tank(const std::string& name, double head) {
  Vessel vessel;
  vessel.name = name;
  vessel.elevation = head;
  return vessel;
}

inline Junction Point(const std::string& name, double elevation = 0.0) {
  Junction junction;
  junction.name = name;
  junction.elevation = elevation;
  return junction;
}

// A tank, a pipe, and a valve into another tank: K of the valve such that `velocity` passes.
struct OneLine {
  double length, bore, wave_speed, friction_factor, head, velocity;
  double head_behind = 0.0;
  double gravity = 9.81;

  Network Plant() const {
    Network plant = Empty(gravity);
    plant.vessels = {Tank("tank", head), Tank("sink", head_behind)};
    plant.vessels[0].elevation = 0.0;
    plant.vessels[0].level = head;
    plant.junctions = {Point("end")};
    plant.pipes = {Line("L-1", "tank", "end", length, bore, wave_speed, friction_factor)};
    const double velocity_head = velocity * velocity / (2.0 * gravity);
    const double left = head - head_behind - friction_factor * length / bore * velocity_head;
    plant.valves = {StraightValve("HV-1", "end", "sink", bore, left / velocity_head)};
    return plant;
  }
};

inline std::size_t RowAt(const Transient& run, double time) {
  std::size_t best = 0;
  for (std::size_t i = 0; i < run.time.size(); ++i) {
    if (std::abs(run.time[i] - time) < std::abs(run.time[best] - time)) best = i;
  }
  return best;
}
inline double HeadAt(const Transient& run, const std::string& point, double time) {
  return run.Head(point)[RowAt(run, time)];
}
inline double FlowAt(const Transient& run, const std::string& component, double time) {
  return run.Flow(component)[RowAt(run, time)];
}

}  // namespace handwheel::transient_cases
