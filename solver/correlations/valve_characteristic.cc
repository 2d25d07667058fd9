#include "correlations/valve_characteristic.h"

#include <array>
#include <utility>

namespace handwheel {
namespace {

// Perry: local-loss table of R. H. Perry and D. W. Green, Perry's Chemical Engineers' Handbook:
// K fully open, 3/4, 1/2 and 1/4 open, or by angle; the relative coefficient is sqrt(K_full/K).
// Zappe: R. W. Zappe, Valve Selection Handbook. Below the least published opening a curve runs to
// zero; there it is a guess.

// Perry, diaphragm valve: K 2.3, 2.6, 4.3, 21.
constexpr std::array<CharacteristicPoint, 5> kWeir{
    {{0.0, 0.0}, {0.25, 0.3309}, {0.5, 0.7314}, {0.75, 0.9405}, {1.0, 1.0}}};

// Common practice, no source; trust to 0.12.
constexpr std::array<CharacteristicPoint, 11> kStraightThrough{{{0.0, 0.0},
                                                                {0.1, 0.08},
                                                                {0.2, 0.19},
                                                                {0.25, 0.25},
                                                                {0.3, 0.31},
                                                                {0.4, 0.45},
                                                                {0.5, 0.59},
                                                                {0.6, 0.72},
                                                                {0.75, 0.87},
                                                                {0.9, 0.97},
                                                                {1.0, 1.0}}};

// From geometry: a round sleeve of constant perimeter squeezed between two bars to a gap of h bores
// keeps the area a = 2 h - h²; K = 0.2 + (1/(Cc a) - 1)², contraction Cc = 0.62 + 0.38 a³. Zappe
// says the same in words: hardly any control before the sleeve is half pinched.
constexpr std::array<CharacteristicPoint, 13> kPinch{{{0.0, 0.0},
                                                      {0.05, 0.0288},
                                                      {0.1, 0.0599},
                                                      {0.2, 0.1321},
                                                      {0.3, 0.2263},
                                                      {0.4, 0.3567},
                                                      {0.5, 0.5337},
                                                      {0.6, 0.7384},
                                                      {0.7, 0.9033},
                                                      {0.75, 0.9524},
                                                      {0.8, 0.9806},
                                                      {0.9, 0.9988},
                                                      {1.0, 1.0}}};

// Perry, gate valve: K 0.17, 0.9, 4.5, 24. Other published tables differ by a factor up to 4 in K.
constexpr std::array<CharacteristicPoint, 5> kGate{
    {{0.0, 0.0}, {0.25, 0.0842}, {0.5, 0.1944}, {0.75, 0.4346}, {1.0, 1.0}}};

// Perry, globe valve with plug disc: K 9.0, 13, 36, 112.
constexpr std::array<CharacteristicPoint, 5> kGlobe{
    {{0.0, 0.0}, {0.25, 0.2835}, {0.5, 0.5}, {0.75, 0.8321}, {1.0, 1.0}}};

// Perry, plug cock turned by 60, 40, 20, 10 and 5 of 90 degrees: K 206, 17.3, 1.56, 0.29, 0.05, the
// last taken as fully open.
constexpr std::array<CharacteristicPoint, 7> kQuarterTurnPlug{{{0.0, 0.0},
                                                               {30.0 / 90.0, 0.0156},
                                                               {50.0 / 90.0, 0.0538},
                                                               {70.0 / 90.0, 0.1790},
                                                               {80.0 / 90.0, 0.4152},
                                                               {85.0 / 90.0, 1.0},
                                                               {1.0, 1.0}}};

// Perry, butterfly turned by 60, 40, 20, 10 and 5 of 90 degrees: K 118, 10.8, 1.54, 0.52, 0.24;
// fully open 0.2 assumed.
constexpr std::array<CharacteristicPoint, 7> kButterfly{{{0.0, 0.0},
                                                         {30.0 / 90.0, 0.0412},
                                                         {50.0 / 90.0, 0.1361},
                                                         {70.0 / 90.0, 0.3604},
                                                         {80.0 / 90.0, 0.6202},
                                                         {85.0 / 90.0, 0.9129},
                                                         {1.0, 1.0}}};

constexpr std::array<CharacteristicPoint, 2> kLinear{{{0.0, 0.0}, {1.0, 1.0}}};

// Equal percentage with a rangeability of 50 (30 to 50 are usual): 50^(h-1) from h = 0.05 up, and
// from there to zero at shut, where the law itself would leave 2 %.
constexpr std::array<CharacteristicPoint, 21> kEqualPercentage{
    {{0.0, 0.0},       {0.05, 0.024321}, {0.1, 0.029575},  {0.15, 0.035965}, {0.2, 0.043734},
     {0.25, 0.053183}, {0.3, 0.064673},  {0.35, 0.078645}, {0.4, 0.095635},  {0.45, 0.116296},
     {0.5, 0.141421},  {0.55, 0.171974}, {0.6, 0.209128},  {0.65, 0.254308}, {0.7, 0.309249},
     {0.75, 0.376060}, {0.8, 0.457305},  {0.85, 0.556102}, {0.9, 0.676243},  {0.95, 0.822340},
     {1.0, 1.0}}};

// Sources of the full-open K (all referred to the velocity head in a bore equal to the DN).
constexpr std::array kKinds = std::to_array<ValveKind>({
    {"diaphragm weir", 2.3, kWeir},                          // Perry; Zappe has 2.0-3.5 (memory)
    {"diaphragm straight-through", 0.75, kStraightThrough},  // middle of Zappe's 0.6-0.9 (memory)
    {"pinch enclosed body", 0.2, kPinch},  // 0.1-0.3 on the sleeve's bore: common practice
    {"pinch open frame", 0.2, kPinch},     // likewise
    {"gate", 0.17, kGate},                 // Perry; Zappe has 0.1-0.3
    // Perry, bevel or composition seat (the plug disc of the curve: 9.0); Zappe has 4-10.
    {"globe", 6.0, kGlobe},
    {"angle", 3.0, kGlobe},            // Zappe has 2.0-5.0 cast, 1.5-3.0 forged
    {"ball", 0.05, kQuarterTurnPlug},  // full bore; 0.05 in text-book tables, 0.1 in Zappe
    {"butterfly", 0.2, kButterfly},    // assumed with the curve; Zappe has 0.2-1.5 by thickness
    {"plug", 0.05, kQuarterTurnPlug},  // Perry
    {"needle", 10.0, kLinear},  // within Zappe's 5-13 of small forged globes; common practice
    {"control linear", 6.0, kLinear},                     // body as a globe valve: common practice
    {"control equal-percentage", 6.0, kEqualPercentage},  // likewise
});

}  // namespace

const ValveKind* FindValveKind(std::string_view name) {
  for (const ValveKind& kind : kKinds) {
    if (kind.name == name) return &kind;
  }
  return nullptr;
}

std::vector<std::string> ValveKindNames() {
  std::vector<std::string> names;
  names.reserve(kKinds.size());
  for (const ValveKind& kind : kKinds) names.emplace_back(kind.name);
  return names;
}

MonotoneCubic RelativeCoefficient(const ValveKind& kind) {
  std::vector<double> opening;
  std::vector<double> coefficient;
  for (const CharacteristicPoint& point : kind.characteristic) {
    opening.push_back(point.opening);
    coefficient.push_back(point.relative_coefficient);
  }
  return MonotoneCubic(std::move(opening), std::move(coefficient));
}

}  // namespace handwheel
