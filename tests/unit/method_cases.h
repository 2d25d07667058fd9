#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "handwheel/errors.h"
#include "handwheel/handwheel.h"
#include "property/random_network.h"

// Networks with known answers, awkward ones among them, for every method to solve.

namespace handwheel::testing {

struct MethodCase {
  std::string name;
  Network network;
  std::vector<std::pair<std::string, double>> flows;  // [m³/s]
  double tolerance;                                   // of the flows, relative to the largest
  std::vector<std::string> shut_in = {};              // points
  std::vector<double> initial_flow = {};
};

// The linear branch of a restriction starts at 1e-6 of its rated flow; every flow below is over
// 1e-2 of that, so the square law holds to 0.5e-8. Methods stop at 1e-9 of a step.
inline constexpr double kSquareLaw = 2e-8;
// A check valve adds 1/Re of its loss; Re is over 1e5 below.
inline constexpr double kCheckValveLaw = 2e-5;

class CaseNetwork {
 public:
  CaseNetwork() {
    network_.fluid.name = "test water";
    network_.fluid.density = 1000.0;
    network_.fluid.viscosity = 1e-3;
  }
  CaseNetwork& Vessel(const std::string& name, double head) {
    handwheel::Vessel vessel;
    vessel.name = name;
    vessel.level = head;
    network_.vessels.push_back(vessel);
    return *this;
  }
  CaseNetwork& Junction(const std::string& name, double draw = 0.0) {
    handwheel::Junction junction;
    junction.name = name;
    (draw < 0.0 ? junction.feed : junction.draw) = std::abs(draw);
    network_.junctions.push_back(junction);
    return *this;
  }
  // drop = k flow²
  CaseNetwork& Square(const std::string& name, const std::string& from, const std::string& to,
                      double k, double rated_flow = 1.0) {
    Restriction part;
    part.name = name;
    part.from = from;
    part.to = to;
    part.rated_flow = rated_flow;
    part.rated_drop = k * rated_flow * rated_flow * 1000.0 * kStandardGravity;
    network_.restrictions.push_back(part);
    return *this;
  }
  // drop = k/(2 g A²) flow² but for 1/Re of it
  CaseNetwork& CheckValve(const std::string& name, const std::string& from, const std::string& to,
                          double bore = 0.1, double cracking_head = 0.0) {
    handwheel::CheckValve valve;
    valve.name = name;
    valve.from = from;
    valve.to = to;
    valve.kind = "swing";
    valve.bore = bore;
    valve.k = 2.0;
    valve.cracking_pressure = cracking_head * 1000.0 * kStandardGravity;
    network_.check_valves.push_back(valve);
    return *this;
  }
  static double CheckValveResistance(double bore = 0.1) {
    const double area = 0.25 * 3.14159265358979324 * bore * bore;
    return 2.0 / (2.0 * kStandardGravity * area * area);
  }
  CaseNetwork& ShutValve(const std::string& name, const std::string& from, const std::string& to) {
    Valve valve;
    valve.name = name;
    valve.from = from;
    valve.to = to;
    valve.kind = "gate";
    valve.bore = 0.1;
    valve.opening = 0.0;
    network_.valves.push_back(valve);
    return *this;
  }
  // gain = a - b flow²
  CaseNetwork& Pump(const std::string& name, const std::string& from, const std::string& to,
                    double a, double b) {
    handwheel::Pump pump;
    pump.name = name;
    pump.from = from;
    pump.to = to;
    pump.coefficients = {a, b, 2.0};
    network_.pumps.push_back(pump);
    return *this;
  }
  operator Network() const { return network_; }

 private:
  Network network_;
};

// h = k Q², 10 from node 1 to node 4: by antisymmetry Q12 = Q34 = 20/3, Q13 = Q24 = Q23 = 10/3.
inline MethodCase Bridge() {
  CaseNetwork network;
  network.Vessel("1", 100.0).Junction("2").Junction("3").Junction("4", 10.0);
  network.Square("12", "1", "2", 1.0).Square("13", "1", "3", 5.0).Square("23", "2", "3", 1.0);
  network.Square("24", "2", "4", 5.0).Square("34", "3", "4", 1.0);
  return {.name = "bridge",
          .network = network,
          .flows = {{"12", 20.0 / 3.0},
                    {"13", 10.0 / 3.0},
                    {"23", 10.0 / 3.0},
                    {"24", 10.0 / 3.0},
                    {"34", 20.0 / 3.0}},
          .tolerance = kSquareLaw};
}

// Variable friction between three reservoirs of 30, 18 and 9 m: water of 1.007e-6 m²/s, g 9.806,
// L 3000/600/1000 m, D 1/0.45/0.6 m, roughness/D 2e-4/2e-3/1e-3. The data are those of V. L.
// Streeter and E. B. Wylie's three-reservoir example; the flows are a solution of the
// Colebrook-White and continuity equations by bisection on the junction head, to the digits given.
inline MethodCase ThreeReservoirs() {
  Network network;
  network.site.gravity = 9.806;
  network.fluid.name = "test water";
  network.fluid.density = 998.0;
  network.fluid.kinematic_viscosity = 1.007e-6;
  network.junctions.push_back({.name = "j"});
  const double level[] = {30.0, 18.0, 9.0}, length[] = {3000.0, 600.0, 1000.0};
  const double bore[] = {1.0, 0.45, 0.6}, relative[] = {2e-4, 2e-3, 1e-3};
  for (std::size_t i = 0; i < 3; ++i) {
    Vessel vessel;
    vessel.name = Named("v", i + 1);
    vessel.level = level[i];
    network.vessels.push_back(vessel);
    Pipe pipe;
    pipe.name = Named("L-", i + 1);
    pipe.from = vessel.name;
    pipe.to = "j";
    pipe.length = length[i];
    pipe.bore = bore[i];
    pipe.roughness = relative[i] * bore[i];
    network.pipes.push_back(pipe);
  }
  return {.name = "three reservoirs",
          .network = network,
          .flows = {{"L-1", 1.197730485}, {"L-2", -0.3292192935}, {"L-3", -0.8685111913}},
          .tolerance = 2e-9};
}

// From rest, the fat check valve out of the lowest vessel is the branch of the forest and bars both
// loops, although "a" could feed "c" through the other two.
inline MethodCase BarredLoops() {
  CaseNetwork network;
  network.Vessel("a", 10.0).Vessel("b", 2.0).Vessel("c", 5.0).Junction("z");
  network.CheckValve("a-z", "a", "z").CheckValve("b-z", "b", "z", 0.3).CheckValve("z-c", "z", "c");
  const double q = std::sqrt(5.0 / (2.0 * CaseNetwork::CheckValveResistance()));
  return {.name = "loops barred by a resting branch",
          .network = network,
          .flows = {{"a-z", q}, {"b-z", 0.0}, {"z-c", q}},
          .tolerance = kCheckValveLaw,
          .initial_flow = {0.0, 0.0, 0.0}};
}

// The same across two zones.
inline MethodCase BarredLoopsAcrossZones() {
  CaseNetwork network;
  network.Vessel("a", 10.0).Vessel("b", 2.0).Vessel("c", 4.0).Vessel("d", 9.5);
  network.Junction("y").Junction("z");
  network.CheckValve("a-y", "a", "y").CheckValve("b-y", "b", "y", 0.3);
  network.CheckValve("y-z", "y", "z");
  network.CheckValve("z-c", "z", "c").CheckValve("z-d", "z", "d", 0.3);
  const double q = std::sqrt(6.0 / (3.0 * CaseNetwork::CheckValveResistance()));
  return {.name = "loops barred across two zones",
          .network = network,
          .flows = {{"a-y", q}, {"b-y", 0.0}, {"y-z", q}, {"z-c", q}, {"z-d", 0.0}},
          .tolerance = kCheckValveLaw,
          .initial_flow = std::vector<double>(5, 0.0)};
}

inline std::vector<MethodCase> MethodCases() {
  std::vector<MethodCase> cases{Bridge(), ThreeReservoirs(), BarredLoops(),
                                BarredLoopsAcrossZones()};
  const auto add = [&](MethodCase made) { cases.push_back(std::move(made)); };

  add({"parallel parts between two vessels, no junction",
       CaseNetwork()
           .Vessel("a", 9.0)
           .Vessel("b", 0.0)
           .Square("1", "a", "b", 1.0)
           .Square("2", "a", "b", 1.0)
           .Square("3", "b", "a", 4.0),
       {{"1", 3.0}, {"2", 3.0}, {"3", -1.5}},
       kSquareLaw});
  // n parts of k between the ends share the flow as 1/sqrt(k).
  add({"parallel parts to a draw",
       CaseNetwork()
           .Vessel("a", 50.0)
           .Junction("j", 6.0)
           .Square("1", "a", "j", 1.0)
           .Square("2", "a", "j", 1.0)
           .Square("3", "a", "j", 0.25)
           .Square("4", "a", "j", 0.25),
       {{"1", 1.0}, {"2", 1.0}, {"3", 2.0}, {"4", 2.0}},
       kSquareLaw});
  // The pump's ring carries what its curve gives at no head.
  add({"self-loops",
       CaseNetwork()
           .Vessel("a", 5.0)
           .Junction("j", 1.0)
           .Square("feed", "a", "j", 1.0)
           .Square("passive", "j", "j", 3.0)
           .Square("at the vessel", "a", "a", 3.0)
           .CheckValve("one way", "j", "j")
           .Pump("driven", "j", "j", 20.0, 5.0),
       {{"feed", 1.0}, {"passive", 0.0}, {"at the vessel", 0.0}, {"one way", 0.0}, {"driven", 2.0}},
       kSquareLaw});
  add({"islands",
       CaseNetwork()
           .Vessel("a", 5.0)
           .Junction("j", 1.0)
           .Square("feed", "a", "j", 1.0)
           .Junction("i")
           .Junction("k")
           .Square("i-k", "i", "k", 1.0)
           .Square("k-i", "k", "i", 1.0)
           .Junction("m")
           .Junction("n")
           .Pump("m-n", "m", "n", 20.0, 4.0)
           .Square("n-m", "n", "m", 1.0)
           .Junction("alone"),
       {{"feed", 1.0}, {"i-k", 0.0}, {"k-i", 0.0}, {"m-n", 2.0}, {"n-m", 2.0}},
       kSquareLaw,
       {"i", "k", "m", "n", "alone"}});
  add({"no flow anywhere",
       CaseNetwork()
           .Vessel("a", 5.0)
           .Vessel("b", 5.0)
           .Junction("j")
           .Junction("k")
           .Square("1", "a", "j", 1.0)
           .Square("2", "j", "b", 1.0)
           .Square("3", "j", "k", 1.0)
           .Square("4", "k", "b", 1.0),
       {{"1", 0.0}, {"2", 0.0}, {"3", 0.0}, {"4", 0.0}},
       1e-6});
  add({"everything shut",
       CaseNetwork()
           .Vessel("a", 5.0)
           .Vessel("b", 1.0)
           .Junction("j")
           .Junction("k")
           .ShutValve("1", "a", "j")
           .ShutValve("2", "k", "b")
           .Square("3", "j", "k", 1.0),
       {{"1", 0.0}, {"2", 0.0}, {"3", 0.0}},
       0.0,
       {"j", "k"}});
  add({"check valve holding",
       CaseNetwork()
           .Vessel("a", 1.0)
           .Vessel("b", 5.0)
           .Junction("j")
           .CheckValve("nrv", "a", "j")
           .Square("2", "j", "b", 1.0),
       {{"nrv", 0.0}, {"2", 0.0}},
       0.0});
  const double r = CaseNetwork::CheckValveResistance();
  add({"check valve opening",
       CaseNetwork()
           .Vessel("a", 5.0)
           .Vessel("b", 1.0)
           .Junction("j")
           .CheckValve("nrv", "a", "j")
           .Square("2", "j", "b", r, 0.1),
       {{"nrv", std::sqrt(2.0 / r)}, {"2", std::sqrt(2.0 / r)}},
       kCheckValveLaw});
  add({"check valve held by its cracking head",
       CaseNetwork()
           .Vessel("a", 5.0)
           .Vessel("b", 1.0)
           .Junction("j")
           .CheckValve("nrv", "a", "j", 0.1, 4.5)
           .Square("2", "j", "b", r, 0.1),
       {{"nrv", 0.0}, {"2", 0.0}},
       0.0});
  add({"check valves in opposition, facing",
       CaseNetwork()
           .Vessel("a", 5.0)
           .Vessel("b", 1.0)
           .Junction("j")
           .CheckValve("1", "a", "j")
           .CheckValve("2", "b", "j"),
       {{"1", 0.0}, {"2", 0.0}},
       0.0,
       {"j"}});
  add({"check valves in opposition, back to back",
       CaseNetwork()
           .Vessel("a", 5.0)
           .Vessel("b", 1.0)
           .Junction("j")
           .CheckValve("1", "j", "a")
           .CheckValve("2", "j", "b"),
       {{"1", 0.0}, {"2", 0.0}},
       0.0,
       {"j"}});
  add({"every check valve holding around a zone",
       CaseNetwork()
           .Vessel("a", 5.0)
           .Vessel("b", 6.0)
           .Junction("j")
           .Junction("k")
           .Junction("l")
           .Square("1", "j", "k", 1.0)
           .Square("2", "k", "l", 1.0)
           .Square("3", "l", "j", 1.0)
           .CheckValve("4", "j", "a")
           .CheckValve("5", "k", "b")
           .CheckValve("6", "l", "b", 0.3),
       {{"1", 0.0}, {"2", 0.0}, {"3", 0.0}, {"4", 0.0}, {"5", 0.0}, {"6", 0.0}},
       0.0,
       {"j", "k", "l"}});
  // A draw behind two check valves, the fatter one from the lower vessel.
  add({"draw fed by the higher of two vessels",
       CaseNetwork()
           .Vessel("a", 9.0)
           .Vessel("b", 2.0)
           .Junction("j", 0.01)
           .CheckValve("a-j", "a", "j")
           .CheckValve("b-j", "b", "j", 0.3),
       {{"a-j", 0.01}, {"b-j", 0.0}},
       1e-9});
  // From the feed through the check valve against 40 m more than anywhere else.
  add({"feed lifting a check valve",
       CaseNetwork()
           .Vessel("low", 1.0)
           .Vessel("high", 41.0)
           .Junction("j", -0.01)
           .CheckValve("j-high", "j", "high")
           .CheckValve("low-j", "low", "j", 0.3),
       {{"j-high", 0.01}, {"low-j", 0.0}},
       1e-9});
  return cases;
}

inline void ExpectSolved(const MethodCase& wanted, const Solution& solution) {
  ASSERT_TRUE(solution.converged()) << wanted.name << ": " << solution.summary().message;
  double largest = 0.0;
  for (const auto& [name, flow] : wanted.flows) largest = std::max(largest, std::abs(flow));
  // Where nothing flows the tolerance is that of the mass balance.
  const double tolerance = std::max(wanted.tolerance * largest, 1e-9);
  for (const auto& [name, flow] : wanted.flows) {
    EXPECT_NEAR(solution.Flow(name), flow, tolerance) << wanted.name << ": " << name;
  }
  for (std::size_t i = 0; i < solution.point_names().size(); ++i) {
    const std::string& point = solution.point_names()[i];
    const bool shut_in =
        std::find(wanted.shut_in.begin(), wanted.shut_in.end(), point) != wanted.shut_in.end();
    EXPECT_EQ(solution.shut_in()[i], shut_in) << wanted.name << ": " << point;
    EXPECT_EQ(std::isnan(solution.head()[i]), shut_in) << wanted.name << ": " << point;
  }
}

// Solves by newton and by `solve`, which takes a network and options, on random plants from the
// seeds first to last, and compares flows to 1e-6 of the largest.
template <typename SolveFunction>
void ExpectAgreementWithNewton(std::uint64_t first, std::uint64_t last, int max_junctions,
                               const SolveFunction& solve) {
  int compared = 0;
  for (std::uint64_t seed = first; seed <= last; ++seed) {
    const Network network = MixedPlant(seed, {.max_junctions = max_junctions}).Take();
    // At the default 1e-6 m a nearly level ring leaves flows open by more than the 1e-6 asked here.
    const SteadyOptions options{.head_tolerance = 1e-9};
    Solution newton;
    try {
      newton = Solve(network, options);
    } catch (const NetworkError&) {
      continue;  // draws cut off at random; the refusal has its own tests
    }
    ASSERT_TRUE(newton.converged()) << "seed " << seed;
    const Solution other = solve(network, options);
    ASSERT_TRUE(other.converged()) << "seed " << seed << ": " << other.summary().message;
    double largest = 1e-9, difference = 0.0;
    for (std::size_t l = 0; l < newton.flow().size(); ++l) {
      largest = std::max(largest, std::abs(newton.flow()[l]));
      difference = std::max(difference, std::abs(newton.flow()[l] - other.flow()[l]));
    }
    EXPECT_LE(difference, 1e-6 * largest) << "seed " << seed;
    ++compared;
  }
  EXPECT_GE(compared, static_cast<int>(last - first + 1) * 2 / 3) << "too few were solvable";
}

}  // namespace handwheel::testing
