#include "handwheel/fluid.h"

#include <array>
#include <cmath>
#include <initializer_list>
#include <string_view>
#include <utility>

#include "correlations/liquids.h"
#include "correlations/monotone_cubic.h"
#include "correlations/rheology.h"
#include "correlations/slurry.h"
#include "correlations/water.h"
#include "handwheel/errors.h"
#include "handwheel/units.h"
#include "text/cat.h"
#include "text/layout.h"
#include "text/number.h"
#include "text/suggest.h"

namespace handwheel {
namespace {

using Table = std::vector<std::array<double, 2>>;

constexpr double kCelsiusZero = 273.15;  // [K]
// The same temperature in two units may differ by rounding.
constexpr double kRounding = 1e-9;          // [K]
constexpr double kMaxVolumeFraction = 0.6;  // of solids [-]: as far as the viscosity is known

[[noreturn]] void Refuse(std::string_view key, const std::string& text) {
  throw NetworkError(Cat("fluid: ", key, " ", text), "fluid", std::string(key));
}

std::string ShownTemperature(double temperature) {
  return Cat(FormatDecimal(temperature - kCelsiusZero, 6), " degC");
}

// --- What is given -------------------------------------------------------------------------------

void CheckAboveZero(std::string_view key, const std::optional<double>& value, Dimension dimension) {
  if (!value || (std::isfinite(*value) && *value > 0.0)) return;
  Refuse(key,
         Cat(FormatQuantity(*value, dimension, SiUnit(dimension)), "; expected a value above 0."));
}

void CheckNotNegative(std::string_view key, const std::optional<double>& value,
                      Dimension dimension) {
  if (!value || (std::isfinite(*value) && *value >= 0.0)) return;
  Refuse(key, Cat(FormatQuantity(*value, dimension, SiUnit(dimension)), "; expected 0 or more."));
}

void CheckFraction(std::string_view key, const std::optional<double>& value, bool is_one_allowed) {
  if (!value || (*value >= 0.0 && (is_one_allowed ? *value <= 1.0 : *value < 1.0))) return;
  Refuse(key, Cat(FormatDecimal(*value), "; expected a value from 0 to ",
                  is_one_allowed ? "1." : "less than 1."));
}

void CheckRanges(const Fluid& fluid) {
  CheckAboveZero("density", fluid.density, Dimension::kDensity);
  CheckAboveZero("viscosity", fluid.viscosity, Dimension::kDynamicViscosity);
  CheckAboveZero("kinematic_viscosity", fluid.kinematic_viscosity, Dimension::kKinematicViscosity);
  CheckNotNegative("vapour_pressure", fluid.vapour_pressure, Dimension::kPressure);
  CheckAboveZero("critical_pressure", fluid.critical_pressure, Dimension::kPressure);
  CheckFraction("strength", fluid.strength, true);
  CheckNotNegative("yield_stress", fluid.yield_stress, Dimension::kPressure);
  CheckAboveZero("consistency", fluid.consistency, Dimension::kNumber);
  if (fluid.index && !(*fluid.index >= kMinFlowIndex && *fluid.index <= kMaxFlowIndex)) {
    Refuse("index", Cat(FormatDecimal(*fluid.index), "; expected a value from ",
                        FormatDecimal(kMinFlowIndex), " to ", FormatDecimal(kMaxFlowIndex), "."));
  }
  CheckFraction("solids", fluid.solids, false);
  CheckAboveZero("solids_density", fluid.solids_density, Dimension::kDensity);
  CheckAboveZero("d50", fluid.d50, Dimension::kLength);
}

void CheckTable(std::string_view key, const Table& table, Dimension dimension) {
  if (table.size() == 1) Refuse(key, "has one point; expected at least two.");
  for (std::size_t i = 0; i < table.size(); ++i) {
    CheckAboveZero(key, table[i][0], Dimension::kTemperature);
    CheckAboveZero(key, table[i][1], dimension);
    if (i == 0 || table[i][0] > table[i - 1][0]) continue;
    Refuse(key,
           Cat("has ", ShownTemperature(table[i][0]), " after ", ShownTemperature(table[i - 1][0]),
               "; temperatures must rise from point to point."));
  }
}

// Ways to say the same thing.
void CheckRivals(std::initializer_list<std::pair<std::string_view, bool>> rivals) {
  std::string_view first;
  for (const auto& [key, is_given] : rivals) {
    if (is_given && !first.empty()) {
      Refuse(key, Cat("and ", first, " are both given; give one of them."));
    }
    if (is_given) first = key;
  }
}

bool HasDensity(const Fluid& fluid) {
  return fluid.density || !fluid.density_table.empty();
}

bool HasVapourPressure(const Fluid& fluid) {
  return fluid.vapour_pressure || !fluid.vapour_pressure_table.empty();
}

bool HasViscosity(const Fluid& fluid) {
  return fluid.viscosity || fluid.kinematic_viscosity || !fluid.viscosity_table.empty() ||
         fluid.consistency;
}

void CheckNeighbours(const Fluid& fluid) {
  CheckRivals(
      {{"density", fluid.density.has_value()}, {"density_table", !fluid.density_table.empty()}});
  CheckRivals({{"viscosity", fluid.viscosity.has_value()},
               {"kinematic_viscosity", fluid.kinematic_viscosity.has_value()},
               {"viscosity_table", !fluid.viscosity_table.empty()},
               {"consistency", fluid.consistency.has_value()}});
  CheckRivals({{"vapour_pressure", fluid.vapour_pressure.has_value()},
               {"vapour_pressure_table", !fluid.vapour_pressure_table.empty()}});
  const auto need = [](std::string_view key, bool is_given, std::string_view other,
                       bool is_other_given) {
    if (is_given && !is_other_given) Refuse(key, Cat("has no meaning without ", other, "."));
  };
  need("index", fluid.index.has_value(), "consistency", fluid.consistency.has_value());
  need("solids_density", fluid.solids_density.has_value(), "solids", fluid.solids.has_value());
  need("d50", fluid.d50.has_value(), "solids", fluid.solids.has_value());
  if (fluid.consistency && !fluid.index) {
    Refuse("consistency", "needs index, the power of the shear rate that it belongs to.");
  }
  if (fluid.solids && !fluid.solids_density) {
    Refuse("solids", "needs solids_density, that of the grains.");
  }
}

void CheckGiven(const Fluid& fluid) {
  CheckRanges(fluid);
  CheckTable("density_table", fluid.density_table, Dimension::kDensity);
  CheckTable("viscosity_table", fluid.viscosity_table, Dimension::kDynamicViscosity);
  CheckTable("vapour_pressure_table", fluid.vapour_pressure_table, Dimension::kPressure);
  CheckNeighbours(fluid);
}

// --- Tables --------------------------------------------------------------------------------------

void CheckWithin(std::string_view key, const Table& table, double temperature) {
  const double first = table.front()[0], last = table.back()[0];
  if (temperature >= first - kRounding && temperature <= last + kRounding) return;
  Refuse("temperature",
         Cat(ShownTemperature(temperature), " is outside the ", key, "; expected ",
             FormatDecimal(first - kCelsiusZero, 6), " to ", ShownTemperature(last), "."));
}

// Through the points of a table, and exact there; `logarithmic` for what spans decades.
double ValueAt(std::string_view key, const Table& table, double temperature, bool logarithmic) {
  CheckWithin(key, table, temperature);
  std::vector<double> x, y;
  for (const auto& [at, value] : table) {
    if (std::abs(temperature - at) <= kRounding) return value;
    x.push_back(at);
    y.push_back(logarithmic ? std::log(value) : value);
  }
  const double value = MonotoneCubic(std::move(x), std::move(y)).Value(temperature);
  return logarithmic ? std::exp(value) : value;
}

// --- Liquids that bring their own properties -----------------------------------------------------

constexpr std::string_view kWater = "water";

struct KnownSolution {
  std::string_view name;
  std::optional<LiquidProperties> (*at)(double temperature, double strength);
  LiquidRanges ranges;
  std::optional<double> usual_strength;
};

// Standard sea water has 35 g of salt in a kilogram.
constexpr std::array kSolutions = std::to_array<KnownSolution>({
    {"seawater", &SeawaterAt, kSeawaterRanges, 0.035},
    {"sodium hydroxide", &SodiumHydroxideAt, kSodiumHydroxideRanges, std::nullopt},
    {"sulphuric acid", &SulphuricAcidAt, kSulphuricAcidRanges, std::nullopt},
});

const KnownSolution* FindSolution(std::string_view name) {
  for (const KnownSolution& solution : kSolutions) {
    if (solution.name == name) return &solution;
  }
  return nullptr;
}

// `"seawater", "sodium hydroxide" and "sulphuric acid"`
std::string AllSolutions() {
  std::vector<std::string> names;
  for (const KnownSolution& solution : kSolutions) names.push_back(Quoted(solution.name));
  return ListInWords(names);
}

Liquid Water(const Fluid& fluid) {
  const auto water = WaterAt(fluid.temperature);
  if (!water) {
    Refuse("temperature", Cat(ShownTemperature(fluid.temperature),
                              " is outside what is known of liquid water; expected 0.01 to 150 "
                              "degC."));
  }
  return {water->density, water->viscosity, water->vapour_pressure};
}

// Says which bound is broken, and that `key` may be given instead.
[[noreturn]] void RefuseOutside(const KnownSolution& solution, std::string_view key,
                                const LiquidRange& range, double temperature, double strength) {
  const bool too_cold = !(temperature >= range.min_temperature - kRounding);
  const bool too_hot = !(temperature <= range.max_temperature + kRounding);
  const std::string known =
      Cat(" is outside what is known of the ", key, " of ", solution.name, "; expected ");
  const std::string instead = Cat(", or give a ", key, ".");
  if (too_cold || too_hot) {
    Refuse("temperature", Cat(ShownTemperature(temperature), known,
                              FormatDecimal(range.min_temperature - kCelsiusZero, 6), " to ",
                              ShownTemperature(range.max_temperature), instead));
  }
  Refuse("strength",
         Cat(FormatDecimal(strength), known, "0 to ", FormatDecimal(range.max_fraction), instead));
}

// Of an aqueous solution of unknown strength: water's own vapour pressure is an upper bound.
Liquid AsVolatileAsWater(double temperature) {
  Liquid liquid;
  if (const auto water = WaterAt(temperature)) liquid.vapour_pressure = water->vapour_pressure;
  return liquid;
}

// Only what is not given must be known at that temperature and strength.
Liquid Dissolved(const Fluid& fluid, const KnownSolution& solution) {
  const auto strength = fluid.strength ? fluid.strength : solution.usual_strength;
  if (!strength) {
    if (HasDensity(fluid) && HasViscosity(fluid)) return AsVolatileAsWater(fluid.temperature);
    Refuse("strength", Cat("is missing; ", Quoted(solution.name),
                           " needs its mass in that of the solution, such as \"32 %\", or a "
                           "density and a viscosity."));
  }
  const auto own = solution.at(fluid.temperature, *strength);
  const auto outside = [&](std::string_view key, const LiquidRange& range) {
    RefuseOutside(solution, key, range, fluid.temperature, *strength);
  };
  const LiquidRanges& ranges = solution.ranges;
  if (!own && !HasDensity(fluid)) outside("density", ranges.density);
  if (!(own && own->viscosity) && !HasViscosity(fluid)) outside("viscosity", ranges.viscosity);
  if (!own && !HasVapourPressure(fluid)) outside("vapour_pressure", ranges.density);
  if (!own) return {};
  return {own->density, own->viscosity.value_or(0.0), own->vapour_pressure};
}

std::string WhoHasADensity(std::string_view name) {
  NearestWord nearest(name);
  nearest.Offer(kWater);
  for (const KnownSolution& solution : kSolutions) nearest.Offer(solution.name);
  if (nearest.found_one()) return Cat("; did you mean ", Quoted(nearest.best()), "?");
  return Cat(" (only ", Quoted(kWater), ", ", AllSolutions(), " have their own).");
}

// Of any other liquid nothing is known.
void CheckOtherLiquid(const Fluid& fluid) {
  if (!HasDensity(fluid)) {
    Refuse("density",
           Cat("is missing; ", Quoted(fluid.name), " needs a density", WhoHasADensity(fluid.name)));
  }
  if (!HasViscosity(fluid)) {
    Refuse("viscosity",
           Cat("is missing; ", Quoted(fluid.name), " needs a viscosity or a kinematic_viscosity."));
  }
}

Liquid OwnProperties(const Fluid& fluid) {
  if (const KnownSolution* solution = FindSolution(fluid.name)) return Dissolved(fluid, *solution);
  if (fluid.strength) {
    Refuse("strength",
           Cat("has no meaning for ", Quoted(fluid.name), "; only ", AllSolutions(), " have one."));
  }
  if (fluid.name == kWater) return Water(fluid);
  CheckOtherLiquid(fluid);
  return {};
}

// --- From what is given to a Liquid --------------------------------------------------------------

// What the viscosity of a liquid is taken at where its index is not 1: the nominal rate 8 V/D of
// about 1 m/s in a bore of 80 mm.
constexpr double kShearRate = 100.0;  // [1/s]

void TakeGiven(const Fluid& fluid, Liquid* liquid) {
  const double t = fluid.temperature;
  if (fluid.density) liquid->density = *fluid.density;
  if (!fluid.density_table.empty()) {
    liquid->density = ValueAt("density_table", fluid.density_table, t, false);
  }
  if (fluid.viscosity) liquid->viscosity = *fluid.viscosity;
  if (fluid.kinematic_viscosity) liquid->viscosity = *fluid.kinematic_viscosity * liquid->density;
  if (!fluid.viscosity_table.empty()) {
    liquid->viscosity = ValueAt("viscosity_table", fluid.viscosity_table, t, true);
  }
  if (fluid.vapour_pressure) liquid->vapour_pressure = *fluid.vapour_pressure;
  if (!fluid.vapour_pressure_table.empty()) {
    liquid->vapour_pressure =
        ValueAt("vapour_pressure_table", fluid.vapour_pressure_table, t, true);
  }
  if (fluid.critical_pressure) liquid->critical_pressure = *fluid.critical_pressure;
}

void TakeRheology(const Fluid& fluid, Liquid* liquid) {
  liquid->yield_stress = fluid.yield_stress.value_or(0.0);
  liquid->index = fluid.index.value_or(1.0);
  liquid->consistency = fluid.consistency.value_or(liquid->viscosity);
  liquid->viscosity = liquid->consistency * std::pow(kShearRate, liquid->index - 1.0);
}

// Settling solids add volume and thicken the liquid that carries them; its yield stress is left.
void AddSolids(const Fluid& fluid, Liquid* liquid) {
  const double carrier_density = liquid->density;
  const double ratio = *fluid.solids_density / carrier_density;
  if (!(ratio > 1.0)) {
    Refuse("solids_density", Cat(FormatDecimal(*fluid.solids_density, 6),
                                 " kg/m3 is not above the ", FormatDecimal(carrier_density, 6),
                                 " kg/m3 of the liquid; only solids that sink are known."));
  }
  const double volume_fraction = SolidsVolumeFraction(*fluid.solids, ratio);
  if (!(volume_fraction <= kMaxVolumeFraction)) {
    Refuse("solids",
           Cat(FormatDecimal(*fluid.solids), " take ", FormatDecimal(volume_fraction, 3),
               " of the volume; expected ", FormatDecimal(kMaxVolumeFraction), " of it or less."));
  }
  liquid->density *= MixtureDensityRatio(volume_fraction, ratio);
  const double thickening = SuspensionRelativeViscosity(volume_fraction);
  liquid->viscosity *= thickening;
  liquid->consistency *= thickening;
  liquid->solids = Solids{.volume_fraction = volume_fraction,
                          .density = *fluid.solids_density,
                          .d50 = fluid.d50.value_or(0.0),
                          .carrier_density = carrier_density};
}

}  // namespace

Liquid Fluid::Resolve() const {
  CheckGiven(*this);
  Liquid liquid = OwnProperties(*this);
  TakeGiven(*this, &liquid);
  TakeRheology(*this, &liquid);
  if (solids && *solids > 0.0) AddSolids(*this, &liquid);
  return liquid;
}

}  // namespace handwheel
