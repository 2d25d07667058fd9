#ifndef HANDWHEEL_FRICTION_FORMULA_H_
#define HANDWHEEL_FRICTION_FORMULA_H_

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace handwheel {

// How a pipe's Darcy friction factor follows from Reynolds number and relative roughness.
// kChurchill covers every regime by itself. All others name the turbulent formula, used from
// Re = 4000; below 2000 the factor is 64/Re, and a smooth rising blend joins the two.
enum class FrictionFormula {
  kColebrook,      // Colebrook-White, solved to round-off; the default
  kChurchill,      // laminar, transition and turbulent in one expression
  kSwameeJain,     // explicit, within 3.5 % of Colebrook-White
  kHaaland,        // explicit, within 1.5 %
  kSerghides,      // explicit, within 0.004 %
  kMoody,          // Moody 1947, explicit, within about 16 %
  kBlasius,        // smooth pipe, Re up to 1e5; ignores roughness
  kPrandtlSmooth,  // smooth pipe, implicit; ignores roughness
  kFullyRough,     // depends on roughness alone; needs a roughness above zero
};

// The name used in files: "colebrook", "swamee-jain", ...
std::string_view FrictionFormulaName(FrictionFormula formula);
std::optional<FrictionFormula> FrictionFormulaFromName(std::string_view name);
std::vector<std::string> FrictionFormulaNames();

}  // namespace handwheel

#endif  // HANDWHEEL_FRICTION_FORMULA_H_
