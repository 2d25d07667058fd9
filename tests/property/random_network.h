#pragma once

#include <cmath>
#include <cstdint>
#include <random>
#include <string>

#include "handwheel/handwheel.h"

// Networks drawn from a seed, for tests. The same seed gives the same network on every run and
// machine with the same standard library.

namespace handwheel::testing {

class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  double Uniform(double low, double high) {
    return low + (high - low) * (static_cast<double>(engine_() >> 11) * 0x1p-53);
  }
  double LogUniform(double low, double high) {
    return std::exp(Uniform(std::log(low), std::log(high)));
  }
  bool Chance(double probability) { return Uniform(0.0, 1.0) < probability; }
  int Pick(int count) { return std::min(static_cast<int>(Uniform(0.0, count)), count - 1); }
  template <typename List>
  auto Choose(const List& list) {
    return *(std::begin(list) + Pick(static_cast<int>(std::size(list))));
  }

 private:
  std::mt19937_64 engine_;
};

inline std::string Named(const char* prefix, std::size_t i) {
  return prefix + std::to_string(i);
}

// A plant of every component kind: 5 to 300 junctions on a random tree with shortcuts, one or more
// vessels, pumps, check valves in every condition, valves at every opening, restrictions, nozzles,
// thin and thick liquids.
struct MixedOptions {
  int min_junctions = 5;
  int max_junctions = 300;
  double check_valves = 0.08;          // share of the components
  double vessels_per_junction = 0.05;  // at most, beside one to three
  bool draws = true;                   // draws and feeds; without them every plant has a solution
};

class MixedPlant {
 public:
  explicit MixedPlant(std::uint64_t seed, const MixedOptions& options = {})
      : dice_(seed), options_(options) {
    const int min_junctions = options.min_junctions, max_junctions = options.max_junctions;
    const int count = static_cast<int>(dice_.LogUniform(min_junctions, max_junctions + 1));
    DrawLiquid();
    for (int i = 0; i < count; ++i) AddJunction();
    const int vessels =
        1 + static_cast<int>(dice_.Uniform(0.0, options.vessels_per_junction * count + 2.0));
    for (int i = 0; i < vessels; ++i) AddVessel();
    for (int i = 1; i < count; ++i) Join(JunctionName(dice_.Pick(i)), JunctionName(i));
    const int shortcuts = static_cast<int>(0.4 * count);
    for (int i = 0; i < shortcuts; ++i) {
      Join(JunctionName(dice_.Pick(count)), JunctionName(dice_.Pick(count)));
    }
    const int nozzles = dice_.Chance(0.5) ? 1 + dice_.Pick(3) : 0;
    for (int i = 0; i < nozzles; ++i) AddNozzle(JunctionName(dice_.Pick(count)));
  }

  Network Take() { return std::move(network_); }

 private:
  std::string JunctionName(int i) const {
    return network_.junctions[static_cast<std::size_t>(i)].name;
  }

  void DrawLiquid() {
    network_.fluid.name = "test liquid";
    network_.fluid.density = dice_.Uniform(700.0, 1900.0);
    network_.fluid.viscosity =
        dice_.Chance(0.6) ? dice_.Uniform(0.3e-3, 2e-3) : dice_.LogUniform(2e-3, 2.0);
  }

  void AddJunction() {
    Junction junction;
    junction.name = Named("j", network_.junctions.size());
    junction.elevation = dice_.Uniform(0.0, 15.0);
    if (dice_.Chance(0.3) && options_.draws) junction.draw = dice_.LogUniform(1e-6, 3e-3);
    if (dice_.Chance(0.05) && options_.draws) junction.feed = dice_.LogUniform(1e-6, 3e-3);
    network_.junctions.push_back(junction);
  }

  // Joined by a pipe, so that most draws stay within reach.
  void AddVessel() {
    Vessel vessel;
    vessel.name = Named("v", network_.vessels.size());
    vessel.elevation = dice_.Uniform(0.0, 20.0);
    vessel.level = dice_.Uniform(0.0, 8.0);
    vessel.gas_pressure = dice_.Chance(0.3) ? dice_.Uniform(-0.3e5, 3e5) : 0.0;
    network_.vessels.push_back(vessel);
    AddPipe(vessel.name, JunctionName(dice_.Pick(static_cast<int>(network_.junctions.size()))));
  }

  void Join(const std::string& from, const std::string& to) {
    if (dice_.Chance(options_.check_valves)) return AddCheckValve(from, to);
    const double kind = dice_.Uniform(0.0, 0.92);
    if (kind < 0.75) return AddPipe(from, to);
    if (kind < 0.84) return AddValve(from, to);
    if (kind < 0.88) return AddPump(from, to);
    AddRestriction(from, to);
  }

  double Bore() { return 0.1 * std::exp(0.5 * dice_.Uniform(-1.5, 1.5)); }

  void AddPipe(const std::string& from, const std::string& to) {
    Pipe pipe;
    pipe.name = Named("p", network_.pipes.size());
    pipe.from = from;
    pipe.to = to;
    pipe.length = dice_.LogUniform(1.0, 500.0);
    pipe.bore = Bore();
    pipe.roughness = dice_.Chance(0.2) ? 0.0 : dice_.LogUniform(1e-6, 5e-4);
    if (dice_.Chance(0.3)) pipe.fittings = {{"elbow 90 long radius", 1.0 + dice_.Pick(6)}};
    if (dice_.Chance(0.2)) pipe.k = dice_.Uniform(0.1, 10.0);
    network_.pipes.push_back(pipe);
  }

  void AddValve(const std::string& from, const std::string& to) {
    static const char* kKinds[] = {"diaphragm weir", "pinch enclosed body", "gate", "globe", "ball",
                                   "butterfly"};
    Valve valve;
    valve.name = Named("hv", network_.valves.size());
    valve.from = from;
    valve.to = to;
    valve.kind = dice_.Choose(kKinds);
    valve.bore = Bore();
    valve.opening = dice_.Chance(0.1) ? 0.0 : dice_.Uniform(0.05, 1.0);
    network_.valves.push_back(valve);
  }

  void AddCheckValve(const std::string& from, const std::string& to) {
    static const char* kKinds[] = {"swing", "lift", "ball"};
    CheckValve valve;
    valve.name = Named("nrv", network_.check_valves.size());
    valve.from = from;
    valve.to = to;
    valve.kind = dice_.Choose(kKinds);
    valve.bore = Bore();
    if (dice_.Chance(0.4)) valve.cracking_pressure = dice_.LogUniform(100.0, 30e3);
    if (dice_.Chance(0.15)) valve.condition = "passing";
    if (dice_.Chance(0.10)) {
      valve.condition = "stuck open";
      valve.stuck_opening = dice_.Uniform(0.1, 1.0);
    }
    network_.check_valves.push_back(valve);
  }

  void AddPump(const std::string& from, const std::string& to) {
    Pump pump;
    pump.name = Named("pump", network_.pumps.size());
    pump.from = from;
    pump.to = to;
    const double flow = dice_.LogUniform(1e-3, 2e-2), head = dice_.Uniform(5.0, 50.0);
    if (dice_.Chance(0.5)) {
      pump.curve = {{0.0, head}, {0.5 * flow, 0.93 * head}, {flow, 0.7 * head}};
    } else {
      pump.coefficients = {head, 0.3 * head / (flow * flow), 2.0};
    }
    pump.running = dice_.Chance(0.8);
    if (dice_.Chance(0.3)) pump.speed = dice_.Uniform(0.4, 1.1);
    network_.pumps.push_back(pump);
  }

  void AddRestriction(const std::string& from, const std::string& to) {
    Restriction restriction;
    restriction.name = Named("r", network_.restrictions.size());
    restriction.from = from;
    restriction.to = to;
    if (dice_.Chance(0.5)) {
      restriction.k = dice_.LogUniform(0.5, 500.0);
      restriction.bore = Bore();
    } else {
      restriction.rated_drop = dice_.LogUniform(1e3, 1e5);
      restriction.rated_flow = dice_.LogUniform(1e-3, 1e-2);
    }
    network_.restrictions.push_back(restriction);
  }

  void AddNozzle(const std::string& from) {
    Nozzle nozzle;
    nozzle.name = Named("nz", network_.nozzles.size());
    nozzle.from = from;
    nozzle.bore = dice_.Uniform(0.005, 0.05);
    nozzle.k = dice_.Uniform(1.0, 3.0);
    network_.nozzles.push_back(nozzle);
  }

  Dice dice_;
  MixedOptions options_;
  Network network_;
};

// A rectangular grid of pipes with random edges removed down to 1.4 components a junction, 1 % of
// fixed heads, log-normal bores and lengths, 5 % check valves and 5 % valves. Check valves stand
// only on edges that close loops, so that every draw stays within reach of a vessel.
struct GridOptions {
  int junctions = 1000;
  bool check_valves = true;  // 5 % of the components
  bool pumps = false;        // 2 % of the components
  bool still = false;        // equal heads, no draws: nothing flows
  bool laminar = false;      // an oil of 1 Pa·s
  double leak_resistance =
      0.0;  // > 0: half the grid hangs on restrictions of this drop/flow² [s²/m⁵]
  double short_circuits = 0.0;  // share of components at 1e-12 of their resistance
};

class GridPlant {
 public:
  GridPlant(std::uint64_t seed, const GridOptions& options) : dice_(seed), options_(options) {
    network_.fluid.name = "test liquid";
    network_.fluid.density = options.laminar ? 900.0 : 998.2;
    network_.fluid.viscosity = options.laminar ? 1.0 : 1.0e-3;
    width_ = static_cast<int>(std::ceil(std::sqrt(options.junctions)));
    AddJunctions();
    AddVessels();
    AddEdges();
  }

  Network Take() { return std::move(network_); }

 private:
  int count() const { return options_.junctions; }
  bool BehindLeaks(int i) const { return options_.leak_resistance > 0.0 && i >= count() / 2; }

  void AddJunctions() {
    network_.junctions.resize(static_cast<std::size_t>(count()));
    for (int i = 0; i < count(); ++i) {
      Junction& junction = network_.junctions[static_cast<std::size_t>(i)];
      junction.name = Named("j", static_cast<std::size_t>(i));
      const bool draws = dice_.Chance(0.3) && !options_.still && !BehindLeaks(i);
      if (draws) junction.draw = dice_.LogUniform(1e-5, 1e-3);
    }
  }

  void AddVessels() {
    const int vessels = std::max(1, count() / 100);
    for (int i = 0; i < vessels; ++i) {
      Vessel vessel;
      vessel.name = Named("v", static_cast<std::size_t>(i));
      vessel.level = options_.still ? 50.0 : dice_.Uniform(40.0, 60.0);
      network_.vessels.push_back(vessel);
      int joined = dice_.Pick(count());
      if (options_.leak_resistance > 0.0) joined /= 2;
      AddPipe(vessel.name, Name(joined));
    }
  }

  std::string Name(int i) const { return network_.junctions[static_cast<std::size_t>(i)].name; }

  // Each junction keeps its link to the left or, in the first column, upwards, so that all hang
  // together.
  void AddEdges() {
    for (int i = 1; i < count(); ++i) {
      const int left = i % width_ ? i - 1 : -1, up = i - width_;
      const bool keep_left = left >= 0;
      if (keep_left) AddEdge(left, i, /*closes_loop=*/false);
      if (up < 0) continue;
      if (!keep_left || dice_.Chance(0.42)) AddEdge(up, i, /*closes_loop=*/keep_left);
    }
  }

  void AddEdge(int a, int b, bool closes_loop) {
    if (BehindLeaks(a) != BehindLeaks(b)) return AddLeak(Name(a), Name(b));
    if (dice_.Chance(0.5)) std::swap(a, b);
    const double kind = dice_.Uniform(0.0, 1.0);
    if (kind < options_.short_circuits) return AddShortCircuit(Name(a), Name(b));
    if (options_.check_valves && closes_loop && kind < 0.17 + options_.short_circuits) {
      return AddCheckValve(Name(a), Name(b));
    }
    if (kind > 0.95) return AddValve(Name(a), Name(b));
    if (options_.pumps && kind > 0.93) return AddPump(Name(a), Name(b));
    AddPipe(Name(a), Name(b));
  }

  double Bore() { return 0.15 * std::exp(0.4 * dice_.Uniform(-2.0, 2.0)); }

  void AddPipe(const std::string& from, const std::string& to) {
    Pipe pipe;
    pipe.name = Named("p", network_.pipes.size());
    pipe.from = from;
    pipe.to = to;
    pipe.length = 50.0 * std::exp(0.6 * dice_.Uniform(-2.0, 2.0));
    pipe.bore = Bore();
    pipe.roughness = 1e-4;
    network_.pipes.push_back(std::move(pipe));
  }

  void AddCheckValve(const std::string& from, const std::string& to) {
    CheckValve valve;
    valve.name = Named("nrv", network_.check_valves.size());
    valve.from = from;
    valve.to = to;
    valve.kind = "swing";
    valve.bore = Bore();
    network_.check_valves.push_back(std::move(valve));
  }

  void AddValve(const std::string& from, const std::string& to) {
    Valve valve;
    valve.name = Named("hv", network_.valves.size());
    valve.from = from;
    valve.to = to;
    valve.kind = "diaphragm weir";
    valve.bore = Bore();
    valve.opening = dice_.Uniform(0.1, 1.0);
    network_.valves.push_back(std::move(valve));
  }

  void AddPump(const std::string& from, const std::string& to) {
    Pump pump;
    pump.name = Named("pump", network_.pumps.size());
    pump.from = from;
    pump.to = to;
    pump.curve = {{0.0, 20.0}, {0.01, 18.0}, {0.02, 12.0}};
    pump.running = !options_.still;
    network_.pumps.push_back(std::move(pump));
  }

  void AddLeak(const std::string& from, const std::string& to) {
    // drop/flow² = k / (2 g A²) at the leak's nominal bore of 10 mm.
    const double area = 0.25 * 3.14159265358979 * 0.01 * 0.01;
    AddRestriction(from, to, options_.leak_resistance * 2.0 * kStandardGravity * area * area, 0.01);
  }

  void AddShortCircuit(const std::string& from, const std::string& to) {
    AddRestriction(from, to, 1e-12 * 10.0, Bore());  // a pipe of this grid has a K of about 10
  }

  void AddRestriction(const std::string& from, const std::string& to, double k, double bore) {
    Restriction restriction;
    restriction.name = Named("r", network_.restrictions.size());
    restriction.from = from;
    restriction.to = to;
    restriction.k = k;
    restriction.bore = bore;
    network_.restrictions.push_back(std::move(restriction));
  }

  Dice dice_;
  GridOptions options_;
  int width_ = 0;
  Network network_;
};

}  // namespace handwheel::testing
