#include "handwheel/friction_formula.h"

#include <array>

namespace handwheel {
namespace {

struct NamedFormula {
  FrictionFormula formula;
  std::string_view name;
};

constexpr std::array<NamedFormula, 9> kFormulas{{
    {FrictionFormula::kColebrook, "colebrook"},
    {FrictionFormula::kChurchill, "churchill"},
    {FrictionFormula::kSwameeJain, "swamee-jain"},
    {FrictionFormula::kHaaland, "haaland"},
    {FrictionFormula::kSerghides, "serghides"},
    {FrictionFormula::kMoody, "moody"},
    {FrictionFormula::kBlasius, "blasius"},
    {FrictionFormula::kPrandtlSmooth, "smooth"},
    {FrictionFormula::kFullyRough, "fully rough"},
}};

}  // namespace

std::string_view FrictionFormulaName(FrictionFormula formula) {
  for (const NamedFormula& row : kFormulas) {
    if (row.formula == formula) return row.name;
  }
  return {};
}

std::optional<FrictionFormula> FrictionFormulaFromName(std::string_view name) {
  for (const NamedFormula& row : kFormulas) {
    if (row.name == name) return row.formula;
  }
  return std::nullopt;
}

std::vector<std::string> FrictionFormulaNames() {
  std::vector<std::string> names;
  names.reserve(kFormulas.size());
  for (const NamedFormula& row : kFormulas) names.emplace_back(row.name);
  return names;
}

}  // namespace handwheel
