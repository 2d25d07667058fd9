#include "correlations/fittings.h"

#include <array>
#include <cmath>

#include "correlations/friction.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

struct TwoK {
  double k1;
  double k_infinity;
};
struct ThreeK {
  double k1;
  double ki;
  double kd;
};
struct Fitting {
  std::string_view name;
  std::optional<TwoK> two_k;
  std::optional<ThreeK> three_k;
  std::optional<double> length_over_bore;
};

constexpr std::nullopt_t kNone = std::nullopt;

// two-K: W. B. Hooper, Chem. Eng. 88, 96-100, 24 Aug 1981 (constants from memory).
// three-K: R. Darby, Chemical Engineering Fluid Mechanics, 2nd ed., 2001, Table 7-3.
// L/D: the same table of Darby where it has the fitting; rows marked (a) from lists reproduced in
// many handbooks, author unknown. r/D is the bend radius at the axis over the bore.
constexpr std::array kFittings = std::to_array<Fitting>({
    {"elbow 90 threaded", TwoK{800, 0.40}, ThreeK{800, 0.14, 4.0}, 30},  // r/D 1
    {"elbow 90 threaded long radius", TwoK{800, 0.20}, ThreeK{800, 0.071, 4.2}, 16},
    {"elbow 90 flanged", TwoK{800, 0.25}, ThreeK{800, 0.091, 4.0}, 20},  // or welded, r/D 1
    // r/D 1.5. Darby gives that radius for threaded elbows only.
    {"elbow 90 long radius", TwoK{800, 0.20}, ThreeK{800, 0.071, 4.2}, 16},
    {"bend 90 r/D 2", kNone, ThreeK{800, 0.056, 3.9}, 12},
    {"bend 90 r/D 4", kNone, ThreeK{800, 0.066, 3.9}, 14},
    {"bend 90 r/D 6", kNone, ThreeK{800, 0.075, 4.2}, 17},
    {"mitre 90 one weld", TwoK{1000, 1.15}, ThreeK{1000, 0.27, 4.0}, 60},
    {"mitre 90 two welds", TwoK{800, 0.35}, ThreeK{800, 0.068, 4.1}, 15},
    {"mitre 90 three welds", TwoK{800, 0.30}, ThreeK{800, 0.035, 4.2}, 8},
    {"mitre 90 four welds", TwoK{800, 0.27}, kNone, kNone},
    {"mitre 90 five welds", TwoK{800, 0.25}, kNone, kNone},
    {"elbow 45", TwoK{500, 0.20}, ThreeK{500, 0.071, 4.2}, 16},
    {"elbow 45 long radius", TwoK{500, 0.15}, ThreeK{500, 0.052, 4.0}, kNone},
    {"mitre 45 one weld", TwoK{500, 0.25}, ThreeK{500, 0.086, 4.0}, 15},
    {"mitre 45 two welds", TwoK{500, 0.15}, ThreeK{500, 0.052, 4.0}, 6},
    {"street elbow 90", kNone, kNone, 50},      // (a)
    {"street elbow 45", kNone, kNone, 26},      // (a)
    {"square corner elbow", kNone, kNone, 57},  // (a)
    {"return bend threaded", TwoK{1000, 0.60}, ThreeK{1000, 0.23, 4.0}, 50},
    {"return bend flanged", TwoK{1000, 0.35}, ThreeK{1000, 0.12, 4.0}, kNone},  // r/D 1
    {"return bend long radius", TwoK{1000, 0.30}, ThreeK{1000, 0.10, 4.0}, kNone},
    {"tee branch threaded", TwoK{500, 0.70}, ThreeK{500, 0.274, 4.0}, 60},
    {"tee branch threaded long radius", TwoK{800, 0.40}, ThreeK{800, 0.14, 4.0}, kNone},
    {"tee branch flanged", TwoK{800, 0.80}, ThreeK{800, 0.28, 4.0}, 60},
    {"tee branch stub-in", TwoK{1000, 1.00}, ThreeK{1000, 0.34, 4.0}, 60},
    {"tee run threaded", TwoK{200, 0.10}, ThreeK{200, 0.091, 4.0}, 20},
    // Hooper's 0.50 is ten times Darby's 0.050 and one of the two may be a misprint.
    {"tee run flanged", TwoK{150, 0.50}, ThreeK{150, 0.050, 4.0}, 20},
    {"tee run stub-in", TwoK{100, 0.00}, ThreeK{100, 0.0, 0.0}, 20},
    {"gate valve", TwoK{300, 0.10}, ThreeK{300, 0.037, 3.9}, 8},
    {"gate valve port 0.9", TwoK{500, 0.15}, kNone, kNone},  // seat bore over pipe bore
    {"gate valve port 0.8", TwoK{1000, 0.25}, kNone, kNone},
    {"ball valve", TwoK{300, 0.10}, ThreeK{300, 0.015, 3.5}, 3},
    {"plug valve", TwoK{300, 0.10}, ThreeK{300, 0.084, 3.9}, 18},
    {"plug valve three-way run", kNone, ThreeK{300, 0.14, 4.0}, 30},
    {"plug valve three-way branch", kNone, ThreeK{500, 0.41, 4.0}, 90},
    {"globe valve", TwoK{1500, 4.00}, ThreeK{1500, 1.70, 3.6}, 340},
    {"globe valve Y-pattern", TwoK{1000, 2.00}, ThreeK{950, 0.25, 4.0}, 55},
    {"angle valve", TwoK{1000, 2.00}, ThreeK{1000, 0.69, 4.0}, 150},
    {"diaphragm valve weir", TwoK{1000, 2.00}, ThreeK{1000, 0.69, 4.9}, 149},  // (a)
    {"butterfly valve", TwoK{800, 0.25}, kNone, kNone},
    {"swing check", TwoK{1500, 1.50}, ThreeK{1500, 0.46, 4.0}, 100},
    {"lift check", TwoK{2000, 10.0}, ThreeK{2000, 2.85, 3.8}, 600},
    {"tilting disc check", TwoK{1000, 0.50}, kNone, kNone},
    {"ball check in-line", kNone, kNone, 150},  // (a)
    {"foot valve poppet", kNone, kNone, 420},   // (a)
    {"foot valve hinged", kNone, kNone, 75},    // (a)
});

// Vessel connections: K is the same for every size and, for entrances, K1 = 160 (Hooper).
// 0.5 and 1.0 are common practice; re-entrant 1.0 after Borda, 0.78 to 1.0 in print; rounded with a
// radius of 0.15 bores or more: 0.03 to 0.04 (memory). The exit loses one velocity head.
struct Connection {
  std::string_view name;
  double k1;
  double k;
};
constexpr std::array<Connection, 4> kConnections{{
    {"entrance sharp", 160.0, 0.5},
    {"entrance re-entrant", 160.0, 1.0},
    {"entrance rounded", 160.0, 0.04},
    {"exit", 0.0, 1.0},
}};

struct NamedMethod {
  FittingMethod method;
  std::string_view name;
};
constexpr std::array<NamedMethod, 3> kMethods{{
    {FittingMethod::kTwoK, "two-K"},
    {FittingMethod::kThreeK, "three-K"},
    {FittingMethod::kEquivalentLength, "equivalent length"},
}};

bool Has(const Fitting& fitting, FittingMethod method) {
  switch (method) {
    case FittingMethod::kTwoK:
      return fitting.two_k.has_value();
    case FittingMethod::kThreeK:
      return fitting.three_k.has_value();
    case FittingMethod::kEquivalentLength:
      break;
  }
  return fitting.length_over_bore.has_value();
}

FittingMethod MethodInUse(const Fitting& fitting, FittingMethod wanted) {
  for (FittingMethod method : {wanted, FittingMethod::kThreeK, FittingMethod::kTwoK}) {
    if (Has(fitting, method)) return method;
  }
  return FittingMethod::kEquivalentLength;
}

FittingLoss LossByMethod(const Fitting& fitting, FittingMethod method, double bore,
                         double nominal_bore) {
  switch (method) {
    case FittingMethod::kTwoK:
      return {fitting.two_k->k1, fitting.two_k->k_infinity * (1.0 + kInch / bore), method};
    case FittingMethod::kThreeK: {
      const ThreeK& k = *fitting.three_k;
      return {k.k1, k.ki * (1.0 + k.kd / std::pow(nominal_bore / kInch, 0.3)), method};
    }
    case FittingMethod::kEquivalentLength:
      break;
  }
  return {0.0, CleanSteelFrictionFactor(bore) * *fitting.length_over_bore, method};
}

}  // namespace

std::string_view FittingMethodName(FittingMethod method) {
  for (const NamedMethod& row : kMethods) {
    if (row.method == method) return row.name;
  }
  return {};
}

std::optional<FittingMethod> FittingMethodFromName(std::string_view name) {
  for (const NamedMethod& row : kMethods) {
    if (row.name == name) return row.method;
  }
  return std::nullopt;
}

std::vector<std::string> FittingMethodNames() {
  std::vector<std::string> names;
  names.reserve(kMethods.size());
  for (const NamedMethod& row : kMethods) names.emplace_back(row.name);
  return names;
}

std::optional<FittingLoss> FittingLossFor(std::string_view name, FittingMethod method, double bore,
                                          double nominal_bore) {
  for (const Fitting& fitting : kFittings) {
    if (fitting.name == name) {
      return LossByMethod(fitting, MethodInUse(fitting, method), bore, nominal_bore);
    }
  }
  for (const Connection& row : kConnections) {
    if (row.name == name) {
      // An equivalent length knows no dependence on Reynolds number.
      const double k1 = method == FittingMethod::kEquivalentLength ? 0.0 : row.k1;
      return FittingLoss{k1, row.k, method};
    }
  }
  return std::nullopt;
}

std::vector<std::string> FittingNames() {
  std::vector<std::string> names;
  names.reserve(kFittings.size());
  for (const Fitting& fitting : kFittings) names.emplace_back(fitting.name);
  for (const Connection& row : kConnections) names.emplace_back(row.name);
  return names;
}

double CleanSteelFrictionFactor(double bore) {
  constexpr double kRoughness = 0.0018 * kInch;
  return FullyRoughFrictionFactor(kRoughness / bore);
}

double SuddenExpansionK(double small_bore, double large_bore) {
  const double ratio = small_bore / large_bore;
  const double area_change = 1.0 - ratio * ratio;
  return area_change * area_change;
}

double SuddenContractionK(double small_bore, double large_bore) {
  const double ratio = small_bore / large_bore;
  return 0.5 * (1.0 - ratio * ratio);
}

}  // namespace handwheel
