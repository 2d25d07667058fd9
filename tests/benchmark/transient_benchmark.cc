#include <benchmark/benchmark.h>

#include <string>

#include "handwheel/transient.h"

// How fast waves are followed: pipe reaches advanced by one step, a second.

namespace handwheel {
namespace {

Pipe Line(const std::string& name, const std::string& from, const std::string& to, double length,
          double bore) {
  Pipe pipe;
  pipe.name = name;
  pipe.from = from;
  pipe.to = to;
  pipe.length = length;
  pipe.bore = bore;
  pipe.wave_speed = 1200.0;
  return pipe;
}

// A header of `count` pipes with a valve into a tank at every fifth joint: a plant of 100 pipes has
// 20 valves, a pump with a check valve, and lengths from 12 to 60 m.
Network Plant(int count) {
  Network plant;
  Vessel tank;
  tank.name = "tank";
  tank.level = 3.0;
  plant.vessels.push_back(tank);
  const auto point = [&](const std::string& name) {
    Junction junction;
    junction.name = name;
    plant.junctions.push_back(junction);
  };
  for (const char* name : {"P-1 in", "P-1 out", "n0"}) point(name);
  plant.pipes.push_back(Line("L-in", "tank", "P-1 in", 12.0, 0.2));
  Pump pump;
  pump.name = "P-1";
  pump.from = "P-1 in";
  pump.to = "P-1 out";
  pump.curve = {{0.0, 50.0}, {0.04, 45.0}, {0.08, 30.0}};
  pump.rpm = 1450.0;
  pump.inertia = 1.5;
  plant.pumps.push_back(pump);
  CheckValve check_valve;
  check_valve.name = "NRV-1";
  check_valve.from = "P-1 out";
  check_valve.to = "n0";
  check_valve.kind = "swing";
  check_valve.bore = 0.2;
  plant.check_valves.push_back(check_valve);
  for (int i = 1; i < count; ++i) {
    const std::string here = "n" + std::to_string(i), before = "n" + std::to_string(i - 1);
    point(here);
    plant.pipes.push_back(Line("L-" + std::to_string(i), before, here, 12.0 * (1 + i % 5), 0.2));
    if (i % 5 != 0 && i + 1 != count) continue;
    Vessel user;
    user.name = "user " + std::to_string(i);
    user.elevation = 10.0;
    plant.vessels.push_back(user);
    Valve valve;
    valve.name = "HV-" + std::to_string(i);
    valve.from = here;
    valve.to = user.name;
    valve.kind = "diaphragm weir";
    valve.bore = 0.04;
    valve.opening = 0.7;
    plant.valves.push_back(valve);
  }
  return plant;
}

// 60 s after the trip of the pump.
void SurgeOfAPlant(benchmark::State& state) {
  const Network plant = Plant(static_cast<int>(state.range(0)));
  TransientOptions options;
  options.duration = 60.0;
  options.time_step = 0.01;  // a reach of 12 m
  double updates = 0.0;
  for (auto _ : state) {
    const Transient run = Simulate(plant, {TripPump("P-1", 1.0)}, options);
    double reaches = 0.0;
    for (const PipeEnvelope& pipe : run.envelopes) reaches += pipe.reaches;
    updates += reaches * static_cast<double>(run.num_steps);
    benchmark::DoNotOptimize(run.balance.error);
  }
  state.counters["reach_updates/s"] = benchmark::Counter(updates, benchmark::Counter::kIsRate);
}
BENCHMARK(SurgeOfAPlant)->Arg(100)->Unit(benchmark::kMillisecond);

// The same in steps of a millisecond: 10 times as many of 10 times as many reaches.
void FineSurgeOfAPlant(benchmark::State& state) {
  const Network plant = Plant(100);
  TransientOptions options;
  options.duration = 6.0;
  options.time_step = 0.001;
  double updates = 0.0;
  for (auto _ : state) {
    const Transient run = Simulate(plant, {TripPump("P-1", 1.0)}, options);
    double reaches = 0.0;
    for (const PipeEnvelope& pipe : run.envelopes) reaches += pipe.reaches;
    updates += reaches * static_cast<double>(run.num_steps);
    benchmark::DoNotOptimize(run.balance.error);
  }
  state.counters["reach_updates/s"] = benchmark::Counter(updates, benchmark::Counter::kIsRate);
}
BENCHMARK(FineSurgeOfAPlant)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace handwheel

BENCHMARK_MAIN();
