#include "correlations/friction.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "correlations/dual.h"

namespace handwheel {
namespace {

constexpr std::array kAllFormulas{
    FrictionFormula::kColebrook, FrictionFormula::kChurchill,     FrictionFormula::kSwameeJain,
    FrictionFormula::kHaaland,   FrictionFormula::kSerghides,     FrictionFormula::kMoody,
    FrictionFormula::kBlasius,   FrictionFormula::kPrandtlSmooth, FrictionFormula::kFullyRough};

const std::vector<double> kRoughnesses{0.0,  1e-9, 1e-6, 1e-5, 1e-4, 3e-4, 1e-3,
                                       3e-3, 1e-2, 2e-2, 3e-2, 4e-2, 5e-2};

std::vector<double> LogSpaced(double from, double to, int count) {
  std::vector<double> values;
  for (int i = 0; i < count; ++i) {
    values.push_back(from * std::pow(to / from, static_cast<double>(i) / (count - 1)));
  }
  return values;
}

bool NeedsRoughness(FrictionFormula formula) {
  return formula == FrictionFormula::kFullyRough;
}

void ExpectRelative(double actual, double expected, double tolerance, const std::string& where) {
  EXPECT_NEAR(actual, expected, tolerance * std::abs(expected)) << where;
}

std::string At(double re, double r) {
  return "re = " + std::to_string(re) + ", r = " + std::to_string(r);
}

// ---- Colebrook-White ----

// The equation itself, solved in 40-digit arithmetic and rounded to 12 digits (a computation of
// C. F. Colebrook's equation of 1939, not a published table).
constexpr std::array<double, 8> kGridRe{4000, 1e4, 3e4, 1e5, 3e5, 1e6, 1e7, 1e8};
struct GridRow {
  double r;
  std::array<double, 8> f;
};
constexpr std::array<GridRow, 13> kGrid{{
    {0,
     {0.0399070140556, 0.0308829503535, 0.0234829545942, 0.0179897730843, 0.0144630324772,
      0.0116450409980, 0.00810266943087, 0.00594046635164}},
    {1e-6,
     {0.0399080294462, 0.0308844980914, 0.0234856853322, 0.0179951931933, 0.0144736496214,
      0.0116681555135, 0.00821318040426, 0.00643255651969}},
    {1e-5,
     {0.0399171668504, 0.0308984230520, 0.0235102360824, 0.0180438028951, 0.0145682256889,
      0.0118695448279, 0.00899571174483, 0.00818755910268}},
    {5e-5,
     {0.0399577533817, 0.0309602101534, 0.0236187917908, 0.0182562206121, 0.0149688657607,
      0.0126488772286, 0.0108597450537, 0.0105780793620}},
    {1e-4,
     {0.0400084312336, 0.0310372122010, 0.0237532264446, 0.0185138660775, 0.0154306061102,
      0.0134414376925, 0.0121660809589, 0.0119990505554}},
    {2e-4,
     {0.0401096034800, 0.0311904527788, 0.0240180362128, 0.0190054352220, 0.0162529048569,
      0.0146832342794, 0.0138384958319, 0.0137407149925}},
    {5e-4,
     {0.0404116697049, 0.0316442358663, 0.0247824093289, 0.0203270001582, 0.0182099494108,
      0.0172067298441, 0.0167525439724, 0.0167043872261}},
    {1e-3,
     {0.0409103898628, 0.0323818063631, 0.0259697346977, 0.0221745359445, 0.0206032924750,
      0.0199434658405, 0.0196670524321, 0.0196386328374}},
    {2e-3,
     {0.0418909128169, 0.0337937313585, 0.0280936396020, 0.0251066458884, 0.0240245911453,
      0.0236069903982, 0.0234393633119, 0.0234223847482}},
    {5e-3,
     {0.0447112363172, 0.0376298619756, 0.0332445400229, 0.0313063829371, 0.0306893054110,
      0.0304650258209, 0.0303772745925, 0.0303684603482}},
    {1e-2,
     {0.0490822694479, 0.0431265847068, 0.0398223060364, 0.0385035435273, 0.0381062179897,
      0.0379647418762, 0.0379098257518, 0.0379043233874}},
    {2e-2,
     {0.0569585225954, 0.0522749140644, 0.0499101909358, 0.0490265482806, 0.0487679028036,
      0.0486766927076, 0.0486414152427, 0.0486378845268}},
    {5e-2,
     {0.0769868348892, 0.0738012756385, 0.0723135299573, 0.0717809294411, 0.0716275609436,
      0.0715737538599, 0.0715529818409, 0.0715509040911}},
}};

TEST(Colebrook, MatchesTheHighPrecisionGridToItsLastDigit) {
  for (const GridRow& row : kGrid) {
    for (std::size_t i = 0; i < kGridRe.size(); ++i) {
      const double expected = row.f[i];
      // Half a unit of the twelfth digit, and a little for rounding.
      const double last_digit = std::pow(10.0, std::floor(std::log10(expected)) - 11.0);
      EXPECT_NEAR(ColebrookFrictionFactor(kGridRe[i], row.r), expected, 0.51 * last_digit)
          << At(kGridRe[i], row.r);
    }
  }
}

TEST(Colebrook, FulfilsItsOwnEquationToRoundOff) {
  for (double re : LogSpaced(1e3, 1e12, 400)) {
    for (double r : kRoughnesses) {
      const double x = 1.0 / std::sqrt(ColebrookFrictionFactor(re, r));
      const double right = -2.0 * std::log10(r / 3.7 + 2.51 * x / re);
      EXPECT_NEAR(x, right, 4e-15 * x) << At(re, r);
    }
  }
}

TEST(Colebrook, GeneralNumberTypesGetTheSameValueAndTheDerivative) {
  for (double re : LogSpaced(4e3, 1e9, 60)) {
    for (double r : kRoughnesses) {
      const Dual f = ColebrookFrictionFactor(Dual(re, re), Dual(r));
      const Friction expected = ColebrookFriction(re, r);
      ExpectRelative(f.value, expected.f, 1e-14, At(re, r));
      EXPECT_NEAR(f.slope / f.value, expected.dlnf_dlnre, 1e-13) << At(re, r);
    }
  }
}

TEST(RoughLog, StaysWithinItsStatedError) {
  for (double v : LogSpaced(1e-14, 1e3, 20001)) {
    EXPECT_NEAR(RoughLog(v), std::log(v), 4.5e-4) << v;
  }
}

// ---- Explicit formulas ----

// The formulas evaluated independently to 10 digits (not published values).
TEST(ExplicitFormulas, MatchIndependentEvaluation) {
  struct Row {
    double re, r, colebrook, churchill, swamee_jain, haaland, serghides;
  };
  constexpr std::array<Row, 10> kRows{{
      {4000, 0, 0.03990701406, 0.04058973296, 0.04055149073, 0.04042284933, 0.03990694940},
      {1e4, 1e-4, 0.03103721220, 0.03117815715, 0.03114870033, 0.03099034348, 0.03103682653},
      {1e4, 1e-2, 0.04312658471, 0.04404362284, 0.04404179482, 0.04304490352, 0.04312658470},
      {1e5, 0, 0.01798977308, 0.01787482163, 0.01786257789, 0.01782493920, 0.01798921725},
      {1e5, 1e-4, 0.01851386608, 0.01846262457, 0.01845244531, 0.01826505301, 0.01851358983},
      {1e5, 1e-3, 0.02217453594, 0.02234323551, 0.02234241216, 0.02196621401, 0.02217453137},
      {1e6, 1e-4, 0.01344143769, 0.01350820275, 0.01350770276, 0.01332615954, 0.01344143207},
      {1e6, 1e-2, 0.03796474188, 0.03799149951, 0.03801187503, 0.03803617767, 0.03796474188},
      {1e7, 1e-5, 0.008995711745, 0.009058892928, 0.009058546402, 0.008957983306, 0.008995707021},
      {1e8, 5e-2, 0.07155090409, 0.07150321374, 0.07155156428, 0.07169423555, 0.07155090409},
  }};
  constexpr double kTenDigits = 0.6e-11;  // half a unit of the last digit, and rounding
  for (const Row& row : kRows) {
    const std::string where = At(row.re, row.r);
    EXPECT_NEAR(ColebrookFrictionFactor(row.re, row.r), row.colebrook, kTenDigits) << where;
    EXPECT_NEAR(ChurchillFrictionFactor(row.re, row.r), row.churchill, kTenDigits) << where;
    EXPECT_NEAR(SwameeJainFrictionFactor(row.re, row.r), row.swamee_jain, kTenDigits) << where;
    EXPECT_NEAR(HaalandFrictionFactor(row.re, row.r), row.haaland, kTenDigits) << where;
    EXPECT_NEAR(SerghidesFrictionFactor(row.re, row.r), row.serghides, kTenDigits) << where;
  }
}

// Likewise, for r = 0, 1e-4 and 1e-2.
TEST(ExplicitFormulas, ChurchillMatchesIndependentEvaluationThroughTransition) {
  struct Row {
    double re;
    std::array<double, 3> f;
  };
  constexpr std::array<Row, 9> kRows{{
      {100, {0.64, 0.64, 0.64}},
      {1000, {0.064, 0.064, 0.064}},
      {2000, {0.03204331743, 0.03204331876, 0.03204338515}},
      {2300, {0.0308400984, 0.03084094414, 0.03088111483}},
      {2500, {0.03514509163, 0.03515134789, 0.0354459488}},
      {3000, {0.04297465632, 0.04304899257, 0.04794933126}},
      {3500, {0.04226232424, 0.04236967391, 0.05140706523}},
      {4000, {0.04058973296, 0.04070551551, 0.05057834555}},
      {5000, {0.03788724209, 0.03801500404, 0.04861068976}},
  }};
  constexpr std::array<double, 3> kR{0.0, 1e-4, 1e-2};
  for (const Row& row : kRows) {
    for (std::size_t i = 0; i < kR.size(); ++i) {
      ExpectRelative(ChurchillFrictionFactor(row.re, kR[i]), row.f[i], 2e-9, At(row.re, kR[i]));
    }
  }
}

using Formula = double (*)(const double& re, const double& r);

double WorstDeviation(double re_from, double re_to, double r_from, double r_to, bool with_smooth,
                      Formula formula) {
  std::vector<double> roughnesses = LogSpaced(r_from, r_to, 61);
  if (with_smooth) roughnesses.push_back(0.0);
  double worst = 0.0;
  for (double re : LogSpaced(re_from, re_to, 121)) {
    for (double r : roughnesses) {
      worst = std::max(worst, std::abs(formula(re, r) / ColebrookFrictionFactor(re, r) - 1.0));
    }
  }
  return worst;
}

// The bounds the header states; the lower ones keep it from overstating them.
TEST(ExplicitFormulas, DeviateFromColebrookAsStated) {
  const auto worst = [](Formula formula) {
    return WorstDeviation(4e3, 1e8, 1e-6, 0.05, true, formula);
  };
  const double serghides = worst(&SerghidesFrictionFactor<double>);
  const double haaland = worst(&HaalandFrictionFactor<double>);
  const double churchill = worst(&ChurchillFrictionFactor<double>);
  const double swamee_jain = worst(&SwameeJainFrictionFactor<double>);
  const double moody = worst(&Moody1947FrictionFactor<double>);
  EXPECT_LT(serghides, 0.00004);
  EXPECT_GT(serghides, 0.00002);
  EXPECT_LT(haaland, 0.015);
  EXPECT_GT(haaland, 0.013);
  EXPECT_LT(churchill, 0.032);
  EXPECT_GT(churchill, 0.030);
  EXPECT_LT(swamee_jain, 0.035);
  EXPECT_GT(swamee_jain, 0.033);
  EXPECT_LT(moody, 0.16);
  EXPECT_GT(moody, 0.14);
}

TEST(ExplicitFormulas, DeviateLessInsideTheRangesTheirAuthorsState) {
  const double swamee_jain =
      WorstDeviation(5e3, 1e8, 1e-6, 0.01, false, &SwameeJainFrictionFactor<double>);
  EXPECT_LT(swamee_jain, 0.029);
  EXPECT_GT(swamee_jain, 0.027);
  EXPECT_LT(WorstDeviation(4e3, 1e7, 1e-6, 0.01, true, &Moody1947FrictionFactor<double>), 0.06);
}

TEST(SmoothPipe, PrandtlFulfilsItsOwnEquation) {
  for (double re : LogSpaced(4e3, 1e9, 100)) {
    const double x = 1.0 / std::sqrt(PrandtlSmoothFrictionFactor(re));
    EXPECT_NEAR(x, 2.0 * std::log10(re / x) - 0.8, 5e-15 * x) << re;
  }
}

TEST(SmoothPipe, BlasiusIsItsPowerLaw) {
  EXPECT_DOUBLE_EQ(BlasiusFrictionFactor(1e4), 0.03164);
  for (double re : LogSpaced(4e3, 1e5, 20)) {
    // Blasius is the usual approximation to Prandtl here: within 3 %.
    ExpectRelative(BlasiusFrictionFactor(re), PrandtlSmoothFrictionFactor(re), 0.03, At(re, 0));
  }
}

TEST(FullyRough, IsTheLimitOfColebrook) {
  for (double r : {1e-5, 1e-4, 1e-3, 1e-2, 5e-2}) {
    ExpectRelative(ColebrookFrictionFactor(1e12, r), FullyRoughFrictionFactor(r), 1e-5,
                   At(1e12, r));
  }
}

TEST(Serghides, SurvivesAFirstGuessThatIsTheRoot) {
  // The three steps coincide where the first is 12/2.51.
  const double re = 1e5;
  const double r = 3.7 * (std::pow(10.0, -6.0 / 2.51) - 12.0 / re);
  for (double nudge : {-1e-15, 0.0, 1e-15}) {
    const double factor = SerghidesFrictionFactor(re, r * (1.0 + nudge));
    ExpectRelative(factor, ColebrookFrictionFactor(re, r), 1e-12, At(re, r));
  }
}

// ---- Published examples ----

// M. R. Lindeburg, Civil Engineering Reference Manual, Example 17.2: table 0.0287, Swamee-Jain
// 0.0288, Colebrook 0.0287, all printed to four places.
TEST(Published, LindeburgExample17_2) {
  EXPECT_NEAR(ColebrookFrictionFactor(4e5, 0.004), 0.0287, 0.0001);
  EXPECT_NEAR(SwameeJainFrictionFactor(4e5, 0.004), 0.0288, 0.0001);
}

// L. F. Moody, Trans. ASME 66, 1944, repeated as White, Fluid Mechanics, Example 6.6 (memory): 0.02
// read from the chart, hence 2 %.
TEST(Published, MoodyAsphaltedCastIron) {
  ExpectRelative(ColebrookFrictionFactor(2.7e5, 0.0008), 0.02, 0.02, "");
}

// DOE-HDBK-1012/3-92, Darcy friction factor example (memory): 0.04 from the chart, hence 2 %.
TEST(Published, DoeHandbookFrictionFactor) {
  ExpectRelative(ColebrookFrictionFactor(4e4, 0.01), 0.04, 0.02, "");
}

// R. S. Brodkey and H. C. Hershey, Transport Phenomena, Example 10.4: Fanning factors 0.0045,
// 0.0053, 0.0080, two digits, the second from the chart.
TEST(Published, BrodkeyHersheyExample10_4) {
  const double r = 4.57e-5 / 0.06;
  ExpectRelative(ColebrookFrictionFactor(1e5, 0.0), 4 * 0.0045, 0.003, "smooth");
  ExpectRelative(ColebrookFrictionFactor(1e5, r), 4 * 0.0053, 0.01, "re = 1e5");
  ExpectRelative(ColebrookFrictionFactor(1e4, r), 4 * 0.0080, 0.003, "re = 1e4");
}

// N. de Nevers, Fluid Mechanics for Chemical Engineers, Example 6.3: Fanning 0.004689 by Moody's
// formula of 1947, which itself is 1.3 % below Colebrook here.
TEST(Published, DeNeversExample6_3) {
  ExpectRelative(Moody1947FrictionFactor(1e5, 0.0002), 4 * 0.004689, 0.0002, "Moody 1947");
  ExpectRelative(ColebrookFrictionFactor(1e5, 0.0002), 4 * 0.004689, 0.015, "Colebrook");
}

// White, Fluid Mechanics, Example 6.9 (memory): oil, 8 m of head in 100 m of 0.3 m pipe, r =
// 0.0002, nu = 2e-5 m²/s, g = 9.81; Q = 0.342 m³/s. Three digits: 0.15 %.
TEST(ColebrookFlow, MatchesWhiteExample6_9) {
  const double flow = ColebrookFlow(0.08, 0.3, 0.0002 * 0.3, 2e-5, 9.81);
  ExpectRelative(flow, 0.342, 0.0015, "");
}

// V. L. Streeter and E. B. Wylie, Fluid Mechanics, riveted steel example (memory): 6 m of head in
// 300 m of 0.3 m pipe, roughness 3 mm, nu = 1.13e-6 m²/s, g = 9.806; 0.1245 m³/s with f read as
// 0.038: 0.3 %.
TEST(ColebrookFlow, MatchesStreeterWylieRivetedSteel) {
  ExpectRelative(ColebrookFlow(0.02, 0.3, 3e-3, 1.13e-6, 9.806), 0.1245, 0.003, "");
}

TEST(ColebrookFlow, InvertsTheHeadLossOfColebrook) {
  const double bore = 0.0779, roughness = 4.5e-5, nu = 1.0e-6, g = 9.80665;
  for (double velocity : {0.06, 0.5, 2.0, 8.0}) {
    const double f = ColebrookFrictionFactor(velocity * bore / nu, roughness / bore);
    const double gradient = f / bore * velocity * velocity / (2.0 * g);
    const double area = 0.25 * std::numbers::pi * bore * bore;
    ExpectRelative(ColebrookFlow(gradient, bore, roughness, nu), velocity * area, 1e-14, "");
  }
}

// ---- The whole curve ----

// The cubic evaluated independently (not published values).
TEST(PipeFriction, MatchesIndependentEvaluationInTransition) {
  struct Row {
    double r;
    std::array<double, 6> f;
    double end_slope;
  };
  constexpr std::array<double, 6> kRe{2000, 2300, 2500, 3000, 3500, 4000};
  constexpr std::array<Row, 4> kRows{{
      {0, {0.032, 0.030163084, 0.030921855, 0.035278771, 0.039255642, 0.039907014}, -0.29571952},
      {1e-4, {0.032, 0.030169921, 0.030938257, 0.035328498, 0.039339421, 0.040008431}, -0.29388239},
      {1e-3, {0.032, 0.030230376, 0.031083453, 0.035770064, 0.040084771, 0.040910390}, -0.27824441},
      {1e-2, {0.032, 0.030748683, 0.032340646, 0.039702442, 0.046844106, 0.049082269}, -0.17928575},
  }};
  for (const Row& row : kRows) {
    for (std::size_t i = 0; i < kRe.size(); ++i) {
      EXPECT_NEAR(ColebrookFriction(kRe[i], row.r).f, row.f[i], 0.6e-9) << At(kRe[i], row.r);
    }
    EXPECT_NEAR(ColebrookFriction(4000, row.r).dlnf_dlnre, row.end_slope, 0.6e-8);
  }
}

TEST(PipeFriction, IsLaminarBelow2000) {
  for (FrictionFormula formula : kAllFormulas) {
    if (formula == FrictionFormula::kChurchill) continue;
    for (double re : {1e-6, 1.0, 500.0, 2000.0}) {
      const Friction friction = DarcyFriction(formula, re, 1e-3);
      EXPECT_DOUBLE_EQ(friction.f, 64.0 / re);
      EXPECT_EQ(friction.dlnf_dlnre, -1.0);
    }
  }
}

TEST(PipeFriction, ChurchillIsLaminarWithin0_2PercentUpTo2000) {
  for (double re : LogSpaced(1e-6, 2000, 200)) {
    ExpectRelative(DarcyFriction(FrictionFormula::kChurchill, re, 1e-3).f, 64.0 / re, 0.002,
                   At(re, 1e-3));
  }
}

TEST(PipeFriction, IsTheNamedFormulaFrom4000) {
  const double re = 2.3e5, r = 4e-4;
  const auto f = [&](FrictionFormula formula) { return DarcyFriction(formula, re, r).f; };
  EXPECT_DOUBLE_EQ(f(FrictionFormula::kColebrook), ColebrookFrictionFactor(re, r));
  EXPECT_DOUBLE_EQ(f(FrictionFormula::kChurchill), ChurchillFrictionFactor(re, r));
  EXPECT_DOUBLE_EQ(f(FrictionFormula::kSwameeJain), SwameeJainFrictionFactor(re, r));
  EXPECT_DOUBLE_EQ(f(FrictionFormula::kHaaland), HaalandFrictionFactor(re, r));
  EXPECT_DOUBLE_EQ(f(FrictionFormula::kSerghides), SerghidesFrictionFactor(re, r));
  EXPECT_DOUBLE_EQ(f(FrictionFormula::kMoody), Moody1947FrictionFactor(re, r));
  EXPECT_DOUBLE_EQ(f(FrictionFormula::kBlasius), BlasiusFrictionFactor(re));
  EXPECT_NEAR(f(FrictionFormula::kPrandtlSmooth), PrandtlSmoothFrictionFactor(re), 1e-16);
  EXPECT_DOUBLE_EQ(f(FrictionFormula::kFullyRough), FullyRoughFrictionFactor(r));
}

// The Reynolds numbers at which one law gives way to another.
std::vector<double> Borders(FrictionFormula formula, double r) {
  if (formula == FrictionFormula::kChurchill) return {10.0};
  double upper = kTurbulentLimit;
  if (formula == FrictionFormula::kFullyRough) {
    upper = std::max(upper, 64.0 / FullyRoughFrictionFactor(r));
  }
  return {kLaminarLimit, upper};
}

TEST(PipeFriction, ValueAndSlopeMeetAtEveryBorder) {
  for (FrictionFormula formula : kAllFormulas) {
    for (double r : kRoughnesses) {
      if (NeedsRoughness(formula) && r == 0.0) continue;
      const PipeFriction pipe(formula, r);
      for (double border : Borders(formula, r)) {
        const Friction below = pipe.At(border * (1.0 - 1e-12));
        const Friction above = pipe.At(border * (1.0 + 1e-12));
        const std::string where = std::string(FrictionFormulaName(formula)) + ", " + At(border, r);
        // 2e-12 of ln re apart, at slopes of order 1 and curvatures up to 30.
        ExpectRelative(below.f, above.f, 1e-11, where);
        EXPECT_NEAR(below.dlnf_dlnre, above.dlnf_dlnre, 1e-10) << where;
      }
    }
  }
}

TEST(PipeFriction, SlopeMatchesDifferencesOnBothSidesOfEveryBorder) {
  constexpr double kStep = 1e-5;  // of ln re
  for (FrictionFormula formula : kAllFormulas) {
    for (double r : kRoughnesses) {
      if (NeedsRoughness(formula) && r == 0.0) continue;
      const PipeFriction pipe(formula, r);
      std::vector<double> points = LogSpaced(1e-3, 1e9, 97);
      for (double border : Borders(formula, r)) {
        for (double side : {1.0 - 2 * kStep, 1.0 + 2 * kStep}) points.push_back(border * side);
      }
      for (double re : points) {
        const double low = pipe.At(re * std::exp(-kStep)).f;
        const double high = pipe.At(re * std::exp(kStep)).f;
        // Round-off of 1e-15/1e-5 and a third derivative (up to 1e3 in Churchill's) times 1e-10/6.
        EXPECT_NEAR(pipe.At(re).dlnf_dlnre, std::log(high / low) / (2 * kStep), 2e-8)
            << FrictionFormulaName(formula) << ", " << At(re, r);
      }
    }
  }
}

// Head loss goes as f re², so it rises strictly with flow where d ln f / d ln re > -2.
TEST(PipeFriction, HeadLossRisesWithFlowEverywhere) {
  for (FrictionFormula formula : kAllFormulas) {
    for (double r : kRoughnesses) {
      const PipeFriction pipe(formula, r);
      std::vector<double> points = LogSpaced(1e-6, 1e9, 600);
      for (double re : LogSpaced(1500, 6e4, 600)) points.push_back(re);
      std::sort(points.begin(), points.end());
      double last = 0.0;
      for (double re : points) {
        const Friction friction = pipe.At(re);
        const std::string where = std::string(FrictionFormulaName(formula)) + ", " + At(re, r);
        ASSERT_GT(friction.f, 0.0) << where;
        ASSERT_GT(friction.dlnf_dlnre, -2.0 + 0.5) << where;
        ASSERT_GE(friction.f * re * re, last) << where;
        last = friction.f * re * re;
      }
    }
  }
}

TEST(PipeFriction, FullyRoughWithoutRoughnessIsLaminarThroughout) {
  const PipeFriction pipe(FrictionFormula::kFullyRough, 0.0);
  EXPECT_DOUBLE_EQ(pipe.At(1e6).f, 64.0 / 1e6);
}

TEST(FrictionFormulaNames, GoBothWays) {
  EXPECT_EQ(FrictionFormulaNames().size(), kAllFormulas.size());
  for (FrictionFormula formula : kAllFormulas) {
    EXPECT_EQ(FrictionFormulaFromName(FrictionFormulaName(formula)), formula);
  }
  EXPECT_EQ(FrictionFormulaFromName("fully rough"), FrictionFormula::kFullyRough);
  EXPECT_EQ(FrictionFormulaFromName("Colebrook"), std::nullopt);
}

}  // namespace
}  // namespace handwheel
