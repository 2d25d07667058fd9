#include "transient/recorder.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace handwheel {

std::vector<double> ElevationsAlong(const Pipe& pipe, double from, double to, int reaches) {
  std::vector<double> elevation;
  for (int i = 0; i <= reaches; ++i) {
    const double share = static_cast<double>(i) / reaches;
    double here = from + share * (to - from);
    if (pipe.high_point) {
      const double top = *pipe.high_point;
      here =
          share < 0.5 ? from + 2.0 * share * (top - from) : top + (2.0 * share - 1.0) * (to - top);
    }
    elevation.push_back(here);
  }
  return elevation;
}

Recorder::Recorder(const Network& network, const PipeGrid& grid, const TransientOptions& options,
                   Transient* into)
    : network_(network), grid_(grid), into_(into) {
  constexpr double kRows = 2000.0;
  const double every = options.record_every.value_or(options.duration / kRows);
  stride_ = static_cast<std::size_t>(std::max(1.0, std::round(every / grid.time_step)));
  into_->point_names = network.PointNames();
  into_->component_names = network.ComponentNames();
  for (const Pump& pump : network.pumps) into_->pump_names.push_back(pump.name);
  for (const Vessel& vessel : network.vessels) into_->vessel_names.push_back(vessel.name);
  const std::size_t rows = grid.num_steps / stride_ + 2;
  into_->time.reserve(rows);
  into_->head.reserve(rows * into_->point_names.size());
  into_->pressure.reserve(rows * into_->point_names.size());
  into_->flow.reserve(rows * into_->component_names.size());
  into_->flow_to.reserve(rows * into_->component_names.size());
  into_->speed.reserve(rows * into_->pump_names.size());
  into_->level.reserve(rows * into_->vessel_names.size());
}

// Vessels come first among the points, but behind the junctions among the nodes of a plan.
std::size_t Recorder::NodeOf(std::size_t point) const {
  const std::size_t vessels = network_.vessels.size(), junctions = network_.junctions.size();
  return point < vessels ? junctions + point : point - vessels;
}

void Recorder::Start(const PlantState& state) {
  for (std::size_t p = 0; p < into_->point_names.size(); ++p) {
    const std::size_t node = NodeOf(p);
    const double pressure =
        (state.points.head()[node] - state.plan.elevation[node]) * state.plan.Weight();
    into_->extremes.push_back(
        {.name = into_->point_names[p], .highest = pressure, .lowest = pressure});
  }
  stored_at_start_ = Stored(state);
  Outflow(state, &in_before_, &out_before_);
  Keep(0.0, state);
}

void Recorder::Step(std::size_t step, const PlantState& state) {
  const double time = static_cast<double>(step) * grid_.time_step;
  LookAtExtremes(time, state);
  LookAtFlows(state, state.points.theta());
  into_->num_steps = step;
  if (step % stride_ == 0) {
    Keep(time, state);
    last_kept_ = step;
  }
}

void Recorder::Keep(double time, const PlantState& state) {
  into_->time.push_back(time);
  for (std::size_t p = 0; p < into_->point_names.size(); ++p) {
    const std::size_t node = NodeOf(p);
    const double head = state.points.head()[node];
    into_->head.push_back(head);
    into_->pressure.push_back((head - state.plan.elevation[node]) * state.plan.Weight());
  }
  for (std::size_t l = 0; l < into_->component_names.size(); ++l) {
    const int elastic = l < state.elastic_of.size() ? state.elastic_of[l] : -1;
    if (elastic >= 0) {
      const auto pipe = static_cast<std::size_t>(elastic);
      into_->flow.push_back(state.pipes.FlowFrom(pipe));
      into_->flow_to.push_back(state.pipes.FlowTo(pipe));
    } else {
      const double flow = state.points.flow(static_cast<int>(l));
      into_->flow.push_back(flow);
      into_->flow_to.push_back(flow);
    }
  }
  into_->speed.insert(into_->speed.end(), state.pump_speed.begin(), state.pump_speed.end());
  into_->level.insert(into_->level.end(), state.level.begin(), state.level.end());
}

void Recorder::LookAtExtremes(double time, const PlantState& state) {
  const double weight = state.plan.Weight();
  for (std::size_t p = 0; p < into_->extremes.size(); ++p) {
    const std::size_t node = NodeOf(p);
    const double pressure = (state.points.head()[node] - state.plan.elevation[node]) * weight;
    PointExtremes& extremes = into_->extremes[p];
    if (pressure > extremes.highest) {
      extremes.highest = pressure;
      extremes.highest_at = time;
    }
    if (pressure < extremes.lowest) {
      extremes.lowest = pressure;
      extremes.lowest_at = time;
    }
  }
}

// What comes in from, and goes out to, where the plan ends [m³/s].
double Recorder::Outflow(const PlantState& state, double* came_in, double* went_out) const {
  *came_in = *went_out = 0.0;
  const auto add = [&](double outflow) {
    (outflow > 0.0 ? *went_out : *came_in) += std::abs(outflow);
  };
  for (double draw : state.plan.net_draw) add(draw);
  const std::size_t junctions = network_.junctions.size(), vessels = network_.vessels.size();
  for (int i = state.plan.num_free; i < state.plan.num_nodes(); ++i) {
    const std::size_t vessel = static_cast<std::size_t>(i) - junctions;
    if (vessel < vessels && network_.vessels[vessel].area) continue;
    add(state.points.NetInflow(i));
  }
  return *went_out - *came_in;
}

void Recorder::LookAtFlows(const PlantState& state, double theta) {
  double in = 0.0, out = 0.0;
  Outflow(state, &in, &out);
  came_in_ += grid_.time_step * (theta * in + (1.0 - theta) * in_before_);
  went_out_ += grid_.time_step * (theta * out + (1.0 - theta) * out_before_);
  in_before_ = in;
  out_before_ = out;
}

double Recorder::Stored(const PlantState& state) const {
  double stored = state.pipes.Stored() - state.points.CavityVolume();
  for (std::size_t v = 0; v < network_.vessels.size(); ++v) {
    if (network_.vessels[v].area) stored += *network_.vessels[v].area * state.level[v];
  }
  return stored;
}

void Recorder::Log(double time, const std::string& name, std::string message) {
  constexpr int kMost = 20;
  int& said = said_[name];
  if (++said > kMost) return;
  if (said == kMost) message += " (more of it is left out)";
  into_->log.push_back({time, name, std::move(message)});
}

void Recorder::AddEnvelopes(const PlantState& state) {
  for (std::size_t p = 0; p < network_.pipes.size(); ++p) {
    const Pipe& pipe = network_.pipes[p];
    const PipeColumn& column = grid_.pipes[p];
    PipeEnvelope envelope{.name = pipe.name,
                          .model = column.model,
                          .reaches = column.reaches,
                          .wave_speed = column.wave_speed,
                          .wave_speed_used = column.wave_speed_used,
                          .basis = column.basis};
    const auto from = static_cast<std::size_t>(state.plan.from[p]);
    const auto to = static_cast<std::size_t>(state.plan.to[p]);
    const int reaches = std::max(1, column.reaches);
    envelope.elevation =
        ElevationsAlong(pipe, state.plan.elevation[from], state.plan.elevation[to], reaches);
    for (int i = 0; i <= reaches; ++i) {
      envelope.distance.push_back(pipe.length * static_cast<double>(i) / reaches);
    }
    if (const int elastic = state.elastic_of[p]; elastic >= 0) {
      const auto e = static_cast<std::size_t>(elastic);
      const std::size_t places = static_cast<std::size_t>(reaches) + 1;
      envelope.highest.assign(state.pipes.Highest(e), state.pipes.Highest(e) + places);
      envelope.lowest.assign(state.pipes.Lowest(e), state.pipes.Lowest(e) + places);
      envelope.largest_cavity = state.pipes.LargestCavity(e);
    } else {
      const std::size_t junctions = network_.junctions.size(), vessels = network_.vessels.size();
      for (const std::size_t node : {from, to}) {
        const std::size_t point = node < junctions ? vessels + node : node - junctions;
        const PointExtremes& extremes = into_->extremes[point];
        const double elevation = state.plan.elevation[node], weight = state.plan.Weight();
        envelope.highest.push_back(elevation + extremes.highest / weight);
        envelope.lowest.push_back(elevation + extremes.lowest / weight);
      }
    }
    into_->envelopes.push_back(std::move(envelope));
  }
}

void Recorder::Finish(const PlantState& state) {
  if (last_kept_ != into_->num_steps) {
    Keep(static_cast<double>(into_->num_steps) * grid_.time_step, state);
  }
  for (std::size_t p = 0; p < into_->extremes.size(); ++p) {
    into_->extremes[p].largest_cavity = state.points.LargestCavity(static_cast<int>(NodeOf(p)));
  }
  AddEnvelopes(state);
  LiquidBalance& balance = into_->balance;
  balance.came_in = came_in_;
  balance.went_out = went_out_;
  balance.stored_more = Stored(state) - stored_at_start_;
  balance.through = came_in_ + went_out_;
  balance.error = came_in_ - went_out_ - balance.spilled - balance.stored_more;
}

}  // namespace handwheel
