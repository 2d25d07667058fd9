#include "correlations/water.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace handwheel {
namespace {

constexpr double kAtmosphere = 101325.0;  // [Pa]
constexpr double kGasConstant = 461.526;  // [J/(kg K)], IF97 eq. 1
constexpr double kMegapascal = 1e6;       // [Pa]

struct Term {
  int i;
  int j;
  double n;
};

// IF97 Table 2 from row 9 on. Rows 1 to 8 have i = 0: they do not bear on volume.
constexpr std::array<Term, 26> kRegion1{{
    {1, -9, 0.28319080123804e-3},     {1, -7, -0.60706301565874e-3},
    {1, -1, -0.18990068218419e-1},    {1, 0, -0.32529748770505e-1},
    {1, 1, -0.21841717175414e-1},     {1, 3, -0.52838357969930e-4},
    {2, -3, -0.47184321073267e-3},    {2, 0, -0.30001780793026e-3},
    {2, 1, 0.47661393906987e-4},      {2, 3, -0.44141845330846e-5},
    {2, 17, -0.72694996297594e-15},   {3, -4, -0.31679644845054e-4},
    {3, 0, -0.28270797985312e-5},     {3, 6, -0.85205128120103e-9},
    {4, -5, -0.22425281908000e-5},    {4, -2, -0.65171222895601e-6},
    {4, 10, -0.14341729937924e-12},   {5, -8, -0.40516996860117e-6},
    {8, -11, -0.12734301741641e-8},   {8, -6, -0.17424871230634e-9},
    {21, -29, -0.68762131295531e-18}, {23, -31, 0.14478307828521e-19},
    {29, -38, 0.26335781662795e-22},  {30, -39, -0.11947622640071e-22},
    {31, -40, 0.18228094581404e-23},  {32, -41, -0.93537087292458e-25},
}};

// R12-08 Table 2, row i, column j: factors of (1/T - 1)^i (rho - 1)^j in reduced variables.
constexpr std::array<std::array<double, 7>, 6> kViscosityOfDensity{{
    {5.20094e-1, 2.22531e-1, -2.81378e-1, 1.61913e-1, -3.25372e-2, 0.0, 0.0},
    {8.50895e-2, 9.99115e-1, -9.06851e-1, 2.57399e-1, 0.0, 0.0, 0.0},
    {-1.08374, 1.88797, -7.72479e-1, 0.0, 0.0, 0.0, 0.0},
    {-2.89555e-1, 1.26613, -4.89837e-1, 0.0, 6.98452e-2, 0.0, -4.35673e-3},
    {0.0, 0.0, -2.57040e-1, 0.0, 0.0, 8.72102e-3, 0.0},
    {0.0, 1.20573e-1, 0.0, 0.0, 0.0, 0.0, -5.93264e-4},
}};

template <std::size_t kSize>
double Polynomial(const std::array<double, kSize>& coefficients, double x) {
  double sum = 0.0;
  for (std::size_t k = kSize; k-- > 0;) sum = sum * x + coefficients[k];
  return sum;
}

}  // namespace

double WaterDensity(double temperature, double pressure) {
  constexpr double kReducingPressure = 16.53 * kMegapascal;
  constexpr double kReducingTemperature = 1386.0;  // [K]
  const double x = 7.1 - pressure / kReducingPressure;
  const double y = kReducingTemperature / temperature - 1.222;
  double gamma_pi = 0.0;  // derivative of the reduced Gibbs energy with reduced pressure
  for (const Term& term : kRegion1) {
    gamma_pi -= term.n * term.i * std::pow(x, term.i - 1) * std::pow(y, term.j);
  }
  return kReducingPressure / (kGasConstant * temperature * gamma_pi);
}

double WaterViscosity(double temperature, double density) {
  constexpr double kReference = 1e-6;  // [Pa s]
  constexpr std::array<double, 4> kDilute{1.67752, 2.20462, 0.6366564, -0.241605};
  const double t = temperature / 647.096;
  const double rho = density / 322.0;
  const double dilute = 100.0 * std::sqrt(t) / Polynomial(kDilute, 1.0 / t);
  std::array<double, 6> rows{};
  for (std::size_t i = 0; i < rows.size(); ++i) {
    rows[i] = Polynomial(kViscosityOfDensity[i], rho - 1.0);
  }
  return kReference * dilute * std::exp(rho * Polynomial(rows, 1.0 / t - 1.0));
}

double WaterVapourPressure(double temperature) {
  constexpr std::array<double, 10> n{0.11670521452767e4,  -0.72421316703206e6, -0.17073846940092e2,
                                     0.12020824702470e5,  -0.32325550322333e7, 0.14915108613530e2,
                                     -0.48232657361591e4, 0.40511340542057e6,  -0.23855557567849,
                                     0.65017534844798e3};
  const double theta = temperature + n[8] / (temperature - n[9]);
  const double a = theta * theta + n[0] * theta + n[1];
  const double b = n[2] * theta * theta + n[3] * theta + n[4];
  const double c = n[5] * theta * theta + n[6] * theta + n[7];
  const double root = 2.0 * c / (-b + std::sqrt(b * b - 4.0 * a * c));
  return kMegapascal * root * root * root * root;
}

std::optional<WaterProperties> WaterAt(double temperature) {
  constexpr double kRounding = 1e-9;  // [K]
  if (!(temperature >= kWaterMinTemperature - kRounding &&
        temperature <= kWaterMaxTemperature + kRounding)) {
    return std::nullopt;
  }
  const double vapour_pressure = WaterVapourPressure(temperature);
  const double density = WaterDensity(temperature, std::max(kAtmosphere, vapour_pressure));
  return WaterProperties{.density = density,
                         .viscosity = WaterViscosity(temperature, density),
                         .vapour_pressure = vapour_pressure};
}

}  // namespace handwheel
