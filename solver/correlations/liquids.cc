#include "correlations/liquids.h"

#include <array>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

#include "correlations/monotone_cubic.h"
#include "correlations/water.h"

namespace handwheel {
namespace {

constexpr double kZeroCelsius = 273.15;  // [K]
constexpr double kRounding = 1e-9;       // [K] and [-]

bool IsWithin(const LiquidRange& range, double temperature, double fraction) {
  return temperature >= range.min_temperature - kRounding &&
         temperature <= range.max_temperature + kRounding && fraction >= 0.0 &&
         fraction <= range.max_fraction + kRounding;
}

double Interpolate(std::vector<double> x, std::vector<double> y, double at) {
  return MonotoneCubic(std::move(x), std::move(y)).Value(at);
}

template <std::size_t kSize>
std::vector<double> ToVector(const std::array<double, kSize>& values) {
  return {values.begin(), values.end()};
}

// A property by temperature [°C] (columns) of solutions of given mass fraction (rows).
template <std::size_t kRows, std::size_t kColumns>
struct Table {
  std::array<double, kColumns> celsius;
  std::array<double, kRows> fraction;
  std::array<std::array<double, kColumns>, kRows> value;
};

// ---- Sea water ----

// Density [kg/m³] at temperature t [°C, scale of 1968] and practical salinity s.
double EquationOfState1980(double t, double s) {
  const double water =
      999.842594 +
      t * (6.793952e-2 +
           t * (-9.095290e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9))));
  const double a =
      8.24493e-1 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)));
  const double b = -5.72466e-3 + t * (1.0227e-4 - t * 1.6546e-6);
  return water + s * (a + std::sqrt(s) * b + s * 4.8314e-4);
}

double SeawaterDensity(double temperature, double salinity) {
  constexpr double kPracticalPerFraction = 1000.0 * 35.0 / 35.16504;
  constexpr double kScale1968 = 1.00024;  // t68/t90
  return EquationOfState1980(kScale1968 * (temperature - kZeroCelsius),
                             kPracticalPerFraction * salinity);
}

// Viscosity over that of water.
double SharqawyRelativeViscosity(double temperature, double salinity) {
  const double t = temperature - kZeroCelsius;
  const double a = 1.541 + t * (1.998e-2 - t * 9.52e-5);
  const double b = 7.974 + t * (-7.561e-2 + t * 4.724e-4);
  return 1.0 + salinity * (a + salinity * b);
}

double WaterMoleFraction(double salinity) {
  constexpr double kSaltMolarMass = 31.404;   // [g/mol] of ions
  constexpr double kWaterMolarMass = 18.015;  // [g/mol]
  const double water = (1.0 - salinity) / kWaterMolarMass;
  return water / (water + salinity / kSaltMolarMass);
}

// ---- Solutions ----

// ln of viscosity [Pa s] is interpolated by temperature along each row of a table [mPa s], then by
// mass fraction, from water on.
template <std::size_t kRows, std::size_t kColumns>
double TableViscosity(const Table<kRows, kColumns>& table, double temperature, double fraction,
                      double water_viscosity) {
  std::vector<double> fractions{0.0};
  std::vector<double> ln_viscosities{std::log(water_viscosity)};
  for (std::size_t row = 0; row < kRows; ++row) {
    std::vector<double> ln_row;
    for (double mpas : table.value[row]) ln_row.push_back(std::log(1e-3 * mpas));
    fractions.push_back(table.fraction[row]);
    ln_viscosities.push_back(
        Interpolate(ToVector(table.celsius), std::move(ln_row), temperature - kZeroCelsius));
  }
  return std::exp(Interpolate(std::move(fractions), std::move(ln_viscosities), fraction));
}

// Density [kg/m³] over that of water at the same temperature, which varies less than either.
template <std::size_t kColumns>
double RelativeDensity(const std::array<double, kColumns>& celsius,
                       const std::array<double, kColumns>& density, double temperature) {
  std::vector<double> ratio;
  for (std::size_t i = 0; i < kColumns; ++i) {
    ratio.push_back(density[i] / WaterAt(celsius[i] + kZeroCelsius)->density);
  }
  return Interpolate(ToVector(celsius), std::move(ratio), temperature - kZeroCelsius);
}

constexpr double FractionOfCausticMolality(double mol_per_kg) {
  return 39.997 * mol_per_kg / (1000.0 + 39.997 * mol_per_kg);
}

// Published table of NaOH(aq) at 1 bar by molality 1, 2, 4 and 6 mol/kg (advancedthermo.com,
// electrolyte tables; seen).
constexpr Table<4, 5> kCausticDensity{{10, 25, 55, 70, 85},
                                      {FractionOfCausticMolality(1), FractionOfCausticMolality(2),
                                       FractionOfCausticMolality(4), FractionOfCausticMolality(6)},
                                      {{{1043.40, 1039.11, 1026.10, 1017.90, 1008.78},
                                        {1083.15, 1077.87, 1063.43, 1055.03, 1046.09},
                                        {1154.37, 1147.76, 1131.24, 1122.43, 1113.57},
                                        {1216.77, 1208.66, 1191.21, 1181.92, 1172.27}}}};

// Handbook values at 20 °C (memory).
constexpr std::array<double, 3> kStrongCausticFraction{0.30, 0.40, 0.50};
constexpr std::array<double, 3> kStrongCausticDensity{1327.9, 1430.0, 1525.3};

// After Laliberté 2007 (memory).
constexpr Table<5, 3> kCausticViscosity{
    {20, 40, 60},
    {0.10, 0.20, 0.30, 0.40, 0.50},
    {{{1.77, 1.08, 0.74}, {4.7, 2.4, 1.5}, {13.3, 5.8, 3.2}, {35, 12.6, 6.1}, {81, 24, 10.1}}}};

double CausticDensity(double temperature, double fraction, double water_density) {
  constexpr double kHandbookTemperature = kZeroCelsius + 20.0;
  std::vector<double> fractions{0.0};
  std::vector<double> densities{water_density};
  for (std::size_t row = 0; row < kCausticDensity.fraction.size(); ++row) {
    fractions.push_back(kCausticDensity.fraction[row]);
    densities.push_back(water_density * RelativeDensity(kCausticDensity.celsius,
                                                        kCausticDensity.value[row], temperature));
  }
  const double strongest_at_20 =
      WaterAt(kHandbookTemperature)->density *
      RelativeDensity(kCausticDensity.celsius, kCausticDensity.value.back(), kHandbookTemperature);
  const double expansion = densities.back() / strongest_at_20;
  for (std::size_t i = 0; i < kStrongCausticFraction.size(); ++i) {
    fractions.push_back(kStrongCausticFraction[i]);
    densities.push_back(kStrongCausticDensity[i] * expansion);
  }
  return Interpolate(std::move(fractions), std::move(densities), fraction);
}

// Handbook values (memory): at 20 °C, and by temperature.
constexpr std::array<double, 13> kAcidFraction{0.05, 0.10, 0.20, 0.30, 0.40, 0.50, 0.60,
                                               0.70, 0.80, 0.90, 0.96, 0.98, 1.00};
constexpr std::array<double, 13> kAcidDensity{1031.7, 1066.1, 1139.4, 1218.5, 1302.8,
                                              1395.1, 1498.3, 1610.5, 1727.2, 1814.4,
                                              1835.5, 1836.1, 1830.5};
constexpr Table<11, 4> kAcidDensityByTemperature{
    {0, 20, 40, 60},
    {0.10, 0.20, 0.30, 0.40, 0.50, 0.60, 0.70, 0.80, 0.90, 0.98, 1.00},
    {{{1073.5, 1066.1, 1057.0, 1046.0},
      {1151.0, 1139.4, 1127.5, 1115.3},
      {1232.6, 1218.5, 1204.6, 1190.7},
      {1317.9, 1302.8, 1288.0, 1273.2},
      {1411.0, 1395.1, 1379.5, 1364.4},
      {1515.4, 1498.3, 1481.6, 1465.6},
      {1629.3, 1610.5, 1592.5, 1575.3},
      {1748.2, 1727.2, 1706.9, 1687.3},
      {1836.1, 1814.4, 1793.3, 1772.9},
      {1856.7, 1836.1, 1816.3, 1797.6},
      {1851.7, 1830.5, 1810.7, 1792.2}}}};

// After Vinal and Craig 1933 (memory).
constexpr Table<5, 4> kAcidViscosity{{0, 10, 20, 30},
                                     {0.10, 0.20, 0.30, 0.40, 0.50},
                                     {{{2.16, 1.595, 1.228, 0.976},
                                       {2.71, 2.010, 1.545, 1.225},
                                       {3.52, 2.600, 2.006, 1.596},
                                       {4.70, 3.48, 2.70, 2.16},
                                       {6.52, 4.86, 3.79, 3.07}}}};

// Density over that at 20 °C.
double AcidExpansion(double temperature, double fraction, double water_expansion) {
  const auto& table = kAcidDensityByTemperature;
  std::vector<double> fractions{0.0};
  std::vector<double> expansions{water_expansion};
  for (std::size_t row = 0; row < table.fraction.size(); ++row) {
    std::vector<double> expansion;
    for (double density : table.value[row]) expansion.push_back(density / table.value[row][1]);
    fractions.push_back(table.fraction[row]);
    expansions.push_back(
        Interpolate(ToVector(table.celsius), std::move(expansion), temperature - kZeroCelsius));
  }
  return Interpolate(std::move(fractions), std::move(expansions), fraction);
}

double AcidDensity(double temperature, double fraction, double water_density) {
  const double water_at_20 = WaterAt(kZeroCelsius + 20.0)->density;
  std::vector<double> fractions = ToVector(kAcidFraction);
  std::vector<double> densities = ToVector(kAcidDensity);
  fractions.insert(fractions.begin(), 0.0);
  densities.insert(densities.begin(), water_at_20);
  return Interpolate(std::move(fractions), std::move(densities), fraction) *
         AcidExpansion(temperature, fraction, water_density / water_at_20);
}

}  // namespace

std::optional<LiquidProperties> SeawaterAt(double temperature, double salinity) {
  if (!IsWithin(kSeawaterRanges.density, temperature, salinity)) return std::nullopt;
  const WaterProperties water = WaterAt(temperature).value();
  return LiquidProperties{
      .density = SeawaterDensity(temperature, salinity),
      .viscosity = water.viscosity * SharqawyRelativeViscosity(temperature, salinity),
      .vapour_pressure = water.vapour_pressure * WaterMoleFraction(salinity)};
}

std::optional<LiquidProperties> SodiumHydroxideAt(double temperature, double mass_fraction) {
  if (!IsWithin(kSodiumHydroxideRanges.density, temperature, mass_fraction)) return std::nullopt;
  const WaterProperties water = WaterAt(temperature).value();
  LiquidProperties liquid{.density = CausticDensity(temperature, mass_fraction, water.density),
                          .viscosity = std::nullopt,
                          .vapour_pressure = water.vapour_pressure};
  if (IsWithin(kSodiumHydroxideRanges.viscosity, temperature, mass_fraction)) {
    liquid.viscosity =
        TableViscosity(kCausticViscosity, temperature, mass_fraction, water.viscosity);
  }
  return liquid;
}

std::optional<LiquidProperties> SulphuricAcidAt(double temperature, double mass_fraction) {
  if (!IsWithin(kSulphuricAcidRanges.density, temperature, mass_fraction)) return std::nullopt;
  const WaterProperties water = WaterAt(temperature).value();
  LiquidProperties liquid{.density = AcidDensity(temperature, mass_fraction, water.density),
                          .viscosity = std::nullopt,
                          .vapour_pressure = water.vapour_pressure};
  if (IsWithin(kSulphuricAcidRanges.viscosity, temperature, mass_fraction)) {
    liquid.viscosity = TableViscosity(kAcidViscosity, temperature, mass_fraction, water.viscosity);
  }
  return liquid;
}

}  // namespace handwheel
