#ifndef HANDWHEEL_CORRELATIONS_FITTINGS_H_
#define HANDWHEEL_CORRELATIONS_FITTINGS_H_

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace handwheel {

enum class FittingMethod {
  kTwoK,              // Hooper 1981:  K = K1/Re + Kinf (1 + 1/D[in])
  kThreeK,            // Darby 2001:   K = K1/Re + Ki (1 + Kd/Dn[in]^0.3)
  kEquivalentLength,  // K = fT L/D, fT the fully rough factor of clean steel in that bore
};

// The name used in files: "two-K", "three-K", "equivalent length".
std::string_view FittingMethodName(FittingMethod method);
std::optional<FittingMethod> FittingMethodFromName(std::string_view name);
std::vector<std::string> FittingMethodNames();

// K = k_over_re / Re + k_constant, on the velocity head in the pipe.
struct FittingLoss {
  double k_over_re = 0.0;   // [-]
  double k_constant = 0.0;  // [-]
  // Whose constants these are: not the method asked for where that has none for the fitting.
  FittingMethod method = FittingMethod::kThreeK;

  double K(double re) const { return k_over_re / re + k_constant; }
};

// bore          [m], of the pipe the fitting is in
// nominal_bore  [m], its nominal size, DN or NPS (only three-K uses it)
// A fitting without constants in the method asked for takes the first it has of three-K, two-K,
// equivalent length. Every fitting has at least one. nullopt: no fitting of that name.
std::optional<FittingLoss> FittingLossFor(std::string_view name, FittingMethod method, double bore,
                                          double nominal_bore);
std::vector<std::string> FittingNames();

// Fully rough Darcy factor of clean commercial steel, roughness 0.0018 in, in a bore [m].
double CleanSteelFrictionFactor(double bore);

// A sudden change between two bores [m], the smaller first; K on the smaller pipe's velocity head.
// Expansion: (1 - b²)², b = small/large; the momentum balance of Borda and Carnot.
double SuddenExpansionK(double small_bore, double large_bore);
// Contraction: 0.5 (1 - b²); common practice. White has 0.42 (1 - b²) up to b = 0.76.
double SuddenContractionK(double small_bore, double large_bore);

}  // namespace handwheel

#endif  // HANDWHEEL_CORRELATIONS_FITTINGS_H_
