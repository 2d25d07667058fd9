#include "correlations/roughness.h"

#include <array>

namespace handwheel {
namespace {

struct Material {
  std::string_view name;
  double roughness;  // [m]
};

// Sources: Moody: L. F. Moody, Trans. ASME 66, 671-684, 1944. White: F. M. White, Fluid Mechanics,
// Table 6.1. Cengel: Y. A. Cengel and J. M. Cimbala, Fluid Mechanics, Ch. 8. Geankoplis: C. J.
// Geankoplis, Transport Processes and Unit Operations, Ch. 2. "memory": recalled from that source,
// not checked against a copy.
constexpr std::array<Material, 19> kMaterials{{
    {"commercial steel", 0.045e-3},    // 0.045-0.046: Moody; Geankoplis (4.6e-5 m)
    {"wrought iron", 0.045e-3},        // with commercial steel: Moody
    {"stainless steel", 0.002e-3},     // Cengel; White (memory)
    {"sheet steel", 0.05e-3},          // White (memory)
    {"rusted steel", 2.0e-3},          // White (memory)
    {"riveted steel", 3.0e-3},         // typical of 0.9-9: Moody, White (memory)
    {"galvanised iron", 0.15e-3},      // Moody (memory)
    {"cast iron", 0.26e-3},            // White, Cengel; 0.25 in some books
    {"asphalted cast iron", 0.12e-3},  // Moody
    {"concrete", 1.0e-3},              // middle of 0.3-3: Moody (memory)
    {"smoothed concrete", 0.04e-3},    // White (memory)
    {"wood stave", 0.5e-3},            // middle of 0.18-0.9: White (memory)
    {"rubber lined", 0.01e-3},         // rubber, smoothed: White (memory)
    {"glass", 0.0015e-3},              // drawn tubing, 0-0.0015: Moody (memory)
    {"copper", 0.0015e-3},             // drawn tubing: Moody (memory)
    {"PVC", 0.0015e-3},                // 0.0015-0.007 for these four: common practice, no source
    {"HDPE", 0.007e-3},
    {"FRP", 0.005e-3},
    {"PTFE lined", 0.0015e-3},
}};

}  // namespace

std::optional<double> RoughnessOf(std::string_view material) {
  for (const Material& row : kMaterials) {
    if (row.name == material) return row.roughness;
  }
  return std::nullopt;
}

std::vector<std::string> MaterialNames() {
  std::vector<std::string> names;
  names.reserve(kMaterials.size());
  for (const Material& row : kMaterials) names.emplace_back(row.name);
  return names;
}

}  // namespace handwheel
