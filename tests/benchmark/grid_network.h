#ifndef HANDWHEEL_TESTS_BENCHMARK_GRID_NETWORK_H_
#define HANDWHEEL_TESTS_BENCHMARK_GRID_NETWORK_H_

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <random>
#include <vector>

namespace handwheel {

// A made-up piping network as plain arrays: a square grid of nodes from which random links are
// taken away, keeping it connected, until links / nodes = 1.4; 1 % of the nodes hold a fixed head.
// Bores and lengths are log-normal. The same arguments give the same network on every platform
// (no standard distribution is used: theirs differ between libraries).
struct GridNetwork {
  int num_nodes = 0;                // junctions and fixed heads
  std::vector<int> from, to;        // node indexes, one per link
  std::vector<double> length;       // [m]
  std::vector<double> bore;         // [m]
  std::vector<double> conductance;  // [m²/s], of laminar flow of water in that pipe
  std::vector<bool> is_fixed;       // one per node
};

class GridNetworkRandom {
 public:
  explicit GridNetworkRandom(std::uint64_t seed) : engine_(seed) {}
  double Uniform() { return (static_cast<double>(engine_() >> 11) + 0.5) * 0x1.0p-53; }  // (0, 1)
  int Below(int limit) { return static_cast<int>(Uniform() * limit); }
  double LogNormal(double median, double log_deviation) {
    constexpr double kTwoPi = 6.283185307179586;
    const double normal = std::sqrt(-2.0 * std::log(Uniform())) * std::cos(kTwoPi * Uniform());
    return median * std::exp(log_deviation * normal);
  }

 private:
  std::mt19937_64 engine_;
};

inline GridNetwork MakeGridNetwork(int num_nodes, std::uint64_t seed = 1) {
  GridNetworkRandom random(seed);
  GridNetwork network;
  network.num_nodes = num_nodes;
  const int width =
      std::max(1, static_cast<int>(std::lround(std::sqrt(static_cast<double>(num_nodes)))));
  struct Edge {
    int a, b;
  };
  std::vector<Edge> edges;
  for (int i = 0; i < num_nodes; ++i) {
    if ((i + 1) % width != 0 && i + 1 < num_nodes) edges.push_back({i, i + 1});
    if (i + width < num_nodes) edges.push_back({i, i + width});
  }
  for (size_t k = edges.size(); k > 1; --k) {
    std::swap(edges[k - 1], edges[static_cast<size_t>(random.Below(static_cast<int>(k)))]);
  }

  // A random spanning tree first, then the next edges until there are enough.
  std::vector<int> root(static_cast<size_t>(num_nodes));
  for (size_t i = 0; i < root.size(); ++i) root[i] = static_cast<int>(i);
  const auto find = [&root](int i) {
    while (root[static_cast<size_t>(i)] != i) {
      int& up = root[static_cast<size_t>(i)];
      up = root[static_cast<size_t>(up)];
      i = up;
    }
    return i;
  };
  std::vector<Edge> spare, kept;
  for (const Edge& edge : edges) {
    const int a = find(edge.a), b = find(edge.b);
    if (a == b) {
      spare.push_back(edge);
    } else {
      root[static_cast<size_t>(a)] = b;
      kept.push_back(edge);
    }
  }
  const auto num_links = static_cast<size_t>(1.4 * num_nodes);
  for (size_t k = 0; k < spare.size() && kept.size() < num_links; ++k) kept.push_back(spare[k]);

  constexpr double kGravity = 9.80665;            // [m/s²]
  constexpr double kKinematicViscosity = 1.0e-6;  // [m²/s]
  constexpr double kPi = 3.141592653589793;
  for (const Edge& edge : kept) {
    const double length = random.LogNormal(30.0, 0.8);
    const double bore = random.LogNormal(0.080, 0.5);
    network.from.push_back(edge.a);
    network.to.push_back(edge.b);
    network.length.push_back(length);
    network.bore.push_back(bore);
    // Hagen-Poiseuille: flow = pi g d^4 / (128 nu l) * head drop.
    network.conductance.push_back(kPi * kGravity * bore * bore * bore * bore /
                                  (128.0 * kKinematicViscosity * length));
  }
  network.is_fixed.assign(static_cast<size_t>(num_nodes), false);
  for (int left = std::max(1, num_nodes / 100); left > 0;) {
    const auto i = static_cast<size_t>(random.Below(num_nodes));
    if (network.is_fixed[i]) continue;
    network.is_fixed[i] = true;
    --left;
  }
  return network;
}

}  // namespace handwheel

#endif  // HANDWHEEL_TESTS_BENCHMARK_GRID_NETWORK_H_
