#include "correlations/wave_speed.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace handwheel {
namespace {

constexpr double kGiga = 1e9;
constexpr Trust kWaveFromMemory = Trust::kFromMemory;
constexpr Trust kWavePractice = Trust::kCommonPractice;

constexpr std::string_view kWaveBooks = "M. H. Chaudhry; E. B. Wylie and V. L. Streeter";
constexpr std::string_view kSteelShellBears =
    "the steel shell bears it: a soft lining adds no stiffness (common practice)";

// Middle of the ranges in print.
constexpr std::array<WallMaterial, 19> kWallMaterials{{
    {"commercial steel", 207 * kGiga, 0.29, {kWaveFromMemory, kWaveBooks}},
    {"wrought iron", 190 * kGiga, 0.28, {kWavePractice, "a little below steel"}},
    {"stainless steel",
     193 * kGiga,
     0.29,
     {Trust::kSeen, "a table of solid mechanics constants, 304/316"}},
    {"sheet steel", 207 * kGiga, 0.29, {kWaveFromMemory, kWaveBooks}},
    {"rusted steel", 207 * kGiga, 0.29, {kWaveFromMemory, kWaveBooks}},
    {"riveted steel", 207 * kGiga, 0.29, {kWaveFromMemory, kWaveBooks}},
    {"galvanised iron", 207 * kGiga, 0.29, {kWaveFromMemory, kWaveBooks}},
    {"cast iron", 110 * kGiga, 0.25, {kWaveFromMemory, kWaveBooks}},
    {"asphalted cast iron", 110 * kGiga, 0.25, {kWaveFromMemory, kWaveBooks}},
    {"concrete", 25 * kGiga, 0.12, {kWaveFromMemory, kWaveBooks}},
    {"smoothed concrete", 25 * kGiga, 0.12, {kWaveFromMemory, kWaveBooks}},
    {"wood stave", 10 * kGiga, 0.3, {kWavePractice, "along the grain of softwood; hoops differ"}},
    {"rubber lined", 207 * kGiga, 0.29, {kWavePractice, kSteelShellBears}},
    {"glass", 60 * kGiga, 0.24, {kWaveFromMemory, kWaveBooks}},
    {"copper", 120 * kGiga, 0.34, {kWaveFromMemory, kWaveBooks}},
    {"PVC", 3.0 * kGiga, 0.46, {kWaveFromMemory, kWaveBooks}},
    {"HDPE", 0.9 * kGiga, 0.46, {kWaveFromMemory, kWaveBooks}},
    {"FRP", 18 * kGiga, 0.3, {kWaveFromMemory, kWaveBooks}},
    {"PTFE lined", 207 * kGiga, 0.29, {kWavePractice, kSteelShellBears}},
}};

struct RestraintRow {
  Restraint restraint;
  std::string_view name;
};
constexpr std::array<RestraintRow, 3> kRestraints{{
    {Restraint::kAnchored, "anchored"},
    {Restraint::kAnchoredUpstream, "anchored upstream"},
    {Restraint::kExpansionJoints, "expansion joints"},
}};

// Celsius and GPa: from the speed of sound 1402, 1447, 1482, 1509, 1529, 1543, 1551, 1555, 1543
// m/s.
constexpr std::array<std::array<double, 2>, 9> kWaterModulus{{{0.0, 1.97},
                                                              {10.0, 2.09},
                                                              {20.0, 2.19},
                                                              {30.0, 2.27},
                                                              {40.0, 2.32},
                                                              {50.0, 2.35},
                                                              {60.0, 2.37},
                                                              {80.0, 2.35},
                                                              {100.0, 2.28}}};

}  // namespace

std::string_view RestraintName(Restraint restraint) {
  for (const RestraintRow& row : kRestraints) {
    if (row.restraint == restraint) return row.name;
  }
  return "";
}

std::optional<Restraint> RestraintFromName(std::string_view name) {
  for (const RestraintRow& row : kRestraints) {
    if (row.name == name) return row.restraint;
  }
  return std::nullopt;
}

double RestraintFactor(const ElasticWall& wall) {
  const double mu = wall.poisson_ratio, d = wall.bore, e = wall.thickness;
  double along = 1.0;
  if (wall.restraint == Restraint::kAnchored) along = 1.0 - mu * mu;
  if (wall.restraint == Restraint::kAnchoredUpstream) along = 1.0 - 0.5 * mu;
  return 2.0 * e / d * (1.0 + mu) + d / (d + e) * along;
}

double WaveSpeed(double bulk_modulus, double density, const ElasticWall& wall) {
  const double give =
      RestraintFactor(wall) * (bulk_modulus / wall.elastic_modulus) * (wall.bore / wall.thickness);
  return std::sqrt(bulk_modulus / density / (1.0 + give));
}

double WaveSpeedInRigidPipe(double bulk_modulus, double density) {
  return std::sqrt(bulk_modulus / density);
}

const WallMaterial* FindWallMaterial(std::string_view name) {
  const auto found = std::find_if(kWallMaterials.begin(), kWallMaterials.end(),
                                  [&](const WallMaterial& row) { return row.name == name; });
  return found == kWallMaterials.end() ? nullptr : &*found;
}

double WaterBulkModulus(double temperature) {
  const double celsius = temperature - 273.15;
  if (celsius <= kWaterModulus.front()[0]) return kWaterModulus.front()[1] * kGiga;
  for (std::size_t i = 1; i < kWaterModulus.size(); ++i) {
    if (celsius > kWaterModulus[i][0]) continue;
    const double share =
        (celsius - kWaterModulus[i - 1][0]) / (kWaterModulus[i][0] - kWaterModulus[i - 1][0]);
    return (kWaterModulus[i - 1][1] + share * (kWaterModulus[i][1] - kWaterModulus[i - 1][1])) *
           kGiga;
  }
  return kWaterModulus.back()[1] * kGiga;
}

Cited BulkModulusOf(std::string_view liquid, double temperature) {
  if (liquid == "water") {
    return {WaterBulkModulus(temperature),
            {kWaveFromMemory, "speed of sound in water by temperature"}};
  }
  if (liquid == "seawater") {
    return {2.34 * kGiga, {Trust::kSeen, "two public engineering tables, near 20 degC"}};
  }
  return {2.2 * kGiga, {kWavePractice, "taken as that of water"}};
}

}  // namespace handwheel
