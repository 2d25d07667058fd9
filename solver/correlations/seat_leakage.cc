#include "correlations/seat_leakage.h"

#include <array>
#include <cmath>
#include <cstddef>

#include "units/numbers.h"

namespace handwheel {
namespace {

constexpr double kPsi = 6894.757293168361;      // [Pa]
constexpr double kMlPerMin = 1e-6 / 60.0;       // [m³/s]
constexpr double kDropPerMin = kMlPerMin / 16;  // [m³/s]; API 598 takes 16 drops to 1 ml

enum class Basis {
  kPerInch,        // factor [m³/s] per inch of NPS
  kPerInchAbove2,  // likewise, and none to NPS 2
  kPerBore,        // factor [m²/s] per metre of DN
  kOfRated,        // factor [-] of the rated flow coefficient
  kPerInchAndPsi,  // factor [m³/s] per inch of NPS and psi of drop
  kClassVI,        // air, by a table
};

struct Row {
  LeakageRate rate;
  Basis basis;
  double factor;
};

constexpr Source kApi598{Trust::kSeen, "API 598, as listed on two valve-service pages"};
constexpr Source kMss{Trust::kFromMemory,
                      "MSS SP-61; a listing seen has the same in drops (16 a minute at NPS 6)"};
constexpr Source kIso5208{Trust::kFromMemory,
                          "ISO 5208, liquid; a listing seen reproduces every row in drops"};
constexpr Source kFci{Trust::kSeen, "FCI 70-2 (the same as IEC 60534-4), as listed on two pages"};
constexpr Source kFciVI{Trust::kDerived,
                        "from the air leak of FCI 70-2 class VI (listing seen) by choked flow of "
                        "an ideal gas; between listed ports by the square of the diameter"};

// mm³/s per mm of DN is 1e-6 m²/s.
constexpr Row Iso(std::string_view name, std::string_view what, double mm3_per_s_per_mm) {
  return {{name, what, kIso5208}, Basis::kPerBore, mm3_per_s_per_mm * 1e-6};
}

constexpr std::string_view kShareII = "0.5 % of the rated flow coefficient";
constexpr std::string_view kShareIII = "0.1 % of the rated flow coefficient";
constexpr std::string_view kShareIV = "0.01 % of the rated flow coefficient";
constexpr std::string_view kRateV = "0.0005 ml/min of water per inch of port and psi of drop";
constexpr std::string_view kRateVI = "0.15 ml/min of air (1 in port) to 28.4 ml/min (16 in)";

constexpr std::array kRows = std::to_array<Row>({
    {{"API 598 resilient", "none", kApi598}, Basis::kPerInch, 0.0},
    {{"API 598 metal seat", "2 drops a minute per inch of NPS above NPS 2, none to NPS 2", kApi598},
     Basis::kPerInchAbove2,
     2.0 * kDropPerMin},
    {{"API 598 metal check", "3 ml/min per inch of NPS", kApi598},
     Basis::kPerInch,
     3.0 * kMlPerMin},
    {{"MSS SP-61", "10 ml/h per inch of NPS", kMss}, Basis::kPerInch, 10.0 / 60.0 * kMlPerMin},
    Iso("ISO 5208 A", "none visible", 0.0),
    Iso("ISO 5208 AA", "0.006 mm3/s per mm of DN", 0.006),
    Iso("ISO 5208 B", "0.01 mm3/s per mm of DN", 0.01),
    Iso("ISO 5208 C", "0.03 mm3/s per mm of DN", 0.03),
    Iso("ISO 5208 CC", "0.08 mm3/s per mm of DN", 0.08),
    Iso("ISO 5208 D", "0.1 mm3/s per mm of DN", 0.1),
    Iso("ISO 5208 E", "0.3 mm3/s per mm of DN", 0.3),
    Iso("ISO 5208 EE", "0.39 mm3/s per mm of DN", 0.39),
    Iso("ISO 5208 F", "1 mm3/s per mm of DN", 1.0),
    Iso("ISO 5208 G", "2 mm3/s per mm of DN", 2.0),
    {{"FCI 70-2 class II", kShareII, kFci}, Basis::kOfRated, 5e-3},
    {{"FCI 70-2 class III", kShareIII, kFci}, Basis::kOfRated, 1e-3},
    {{"FCI 70-2 class IV", kShareIV, kFci}, Basis::kOfRated, 1e-4},
    {{"FCI 70-2 class V", kRateV, kFci}, Basis::kPerInchAndPsi, 5e-4 * kMlPerMin},
    {{"FCI 70-2 class VI", kRateVI, kFciVI}, Basis::kClassVI, 0.0},
    {{"IEC 60534-4 class II", kShareII, kFci}, Basis::kOfRated, 5e-3},
    {{"IEC 60534-4 class III", kShareIII, kFci}, Basis::kOfRated, 1e-3},
    {{"IEC 60534-4 class IV", kShareIV, kFci}, Basis::kOfRated, 1e-4},
    {{"IEC 60534-4 class V", kRateV, kFci}, Basis::kPerInchAndPsi, 5e-4 * kMlPerMin},
    {{"IEC 60534-4 class VI", kRateVI, kFciVI}, Basis::kClassVI, 0.0},
});

const Row* FindRow(std::string_view name) {
  for (const Row& row : kRows) {
    if (row.rate.name == name) return &row;
  }
  return nullptr;
}

// FCI 70-2 class VI: ml/min of air at 50 psi by port [in] (listing seen, that of FCI 70-3, which
// has the same figures). The least port stands for all smaller ones; between ports, and beyond the
// largest, the leak goes linearly with, and as, the square of the diameter (from memory of the
// standard's note).
struct PortLeak {
  double port_in;
  double ml_per_min;
};
constexpr std::array<PortLeak, 12> kClassVI{{{1.0, 0.15},
                                             {1.5, 0.30},
                                             {2.0, 0.45},
                                             {2.5, 0.60},
                                             {3.0, 0.90},
                                             {4.0, 1.70},
                                             {6.0, 4.00},
                                             {8.0, 6.75},
                                             {10.0, 11.1},
                                             {12.0, 16.0},
                                             {14.0, 21.6},
                                             {16.0, 28.4}}};

double ClassVIAirLeak(double port_in) {
  if (port_in <= kClassVI.front().port_in) return kClassVI.front().ml_per_min * kMlPerMin;
  const double square = port_in * port_in;
  for (std::size_t i = 1; i < kClassVI.size(); ++i) {
    const PortLeak& small = kClassVI[i - 1];
    const PortLeak& large = kClassVI[i];
    if (port_in > large.port_in) continue;
    const double from = small.port_in * small.port_in;
    const double share = (square - from) / (large.port_in * large.port_in - from);
    return (small.ml_per_min + share * (large.ml_per_min - small.ml_per_min)) * kMlPerMin;
  }
  const PortLeak& last = kClassVI.back();
  return last.ml_per_min * square / (last.port_in * last.port_in) * kMlPerMin;
}

// Av [m²] of the hole that passes so much air [m³/s at 15 °C, 1 atm] from 50 psi gauge to
// atmosphere. Choked (pressure ratio 0.23): mass flow = 0.6847 a p/sqrt(R T), gamma = 1.4; and
// Av = sqrt(2) a for liquid.
double AvPassingAir(double air_flow) {
  constexpr double kAtmosphere = 101325.0;        // [Pa]
  constexpr double kGasConstant = 287.05;         // [J/(kg K)]
  constexpr double kTemperature = 288.15;         // [K]
  constexpr double kChokedFlowFunction = 0.6847;  // [-]
  const double rt = kGasConstant * kTemperature;
  const double mass_flow = air_flow * kAtmosphere / rt;
  const double area =
      mass_flow * std::sqrt(rt) / (kChokedFlowFunction * (kAtmosphere + 50.0 * kPsi));
  return std::sqrt(2.0) * area;
}

double FlowInTest(const Row& row, const TestedSeat& seat) {
  const double inches = seat.nominal_inches / kInch;
  switch (row.basis) {
    case Basis::kPerInchAbove2:
      if (inches <= 2.0) return 0.0;
      break;
    case Basis::kPerInch:
      break;
    case Basis::kPerBore:
      return row.factor * seat.nominal_bore;
    case Basis::kOfRated:
      return row.factor * seat.rated.av() *
             std::sqrt(seat.test_drop / FlowCoefficient::kReferenceDensity);
    case Basis::kPerInchAndPsi:
      return row.factor * inches * seat.test_drop / kPsi;
    case Basis::kClassVI:
      return ClassVIAirLeak(inches);
  }
  return row.factor * inches;
}

}  // namespace

const LeakageRate* FindLeakageRate(std::string_view name) {
  const Row* row = FindRow(name);
  return row ? &row->rate : nullptr;
}

std::vector<std::string> LeakageRateNames() {
  std::vector<std::string> names;
  names.reserve(kRows.size());
  for (const Row& row : kRows) names.emplace_back(row.rate.name);
  return names;
}

std::optional<double> LeakFlowInTest(std::string_view name, const TestedSeat& seat) {
  const Row* row = FindRow(name);
  if (!row) return std::nullopt;
  return FlowInTest(*row, seat);
}

std::optional<FlowCoefficient> SeatLeak(std::string_view name, const TestedSeat& seat) {
  const Row* row = FindRow(name);
  if (!row) return std::nullopt;
  if (row->basis == Basis::kOfRated) return FlowCoefficient::FromAv(row->factor * seat.rated.av());
  const double flow = FlowInTest(*row, seat);
  if (row->basis == Basis::kClassVI) return FlowCoefficient::FromAv(AvPassingAir(flow));
  if (flow == 0.0) return FlowCoefficient::FromAv(0.0);
  return FlowCoefficient::FromAv(flow *
                                 std::sqrt(FlowCoefficient::kReferenceDensity / seat.test_drop));
}

}  // namespace handwheel
