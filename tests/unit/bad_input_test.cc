#include <gtest/gtest.h>

#include <functional>
#include <limits>
#include <string>
#include <utility>
#include <vector>

#include "handwheel/errors.h"
#include "handwheel/file.h"
#include "handwheel/network.h"
#include "handwheel/units.h"

// Malformed and impossible input, each with the whole message a user gets to read.

namespace handwheel {
namespace {

using Lines = std::vector<std::pair<std::string, std::string>>;

const std::string kPoints = R"([[vessel]]
name = "tank"
[[junction]]
name = "mixer"
)";
const std::string kJunction = R"([[junction]]
name = "mixer"
)";
const std::string kPipe = R"([[pipe]]
name = "L-1"
from = "tank"
to = "mixer"
length = "38 m"
bore = "77.9 mm"
)";
const std::string kValve = R"([[valve]]
name = "HV-3"
from = "tank"
to = "mixer"
kind = "diaphragm weir"
size = "DN80"
)";
const std::string kCheckValve = R"([[check_valve]]
name = "NRV-1"
from = "tank"
to = "mixer"
kind = "swing"
size = "DN80"
)";
const std::string kPump = R"([[pump]]
name = "P-1"
from = "tank"
to = "mixer"
)";
const std::string kPumpCurve = R"(curve = [["0 m3/h", "32 m"], ["40 m3/h", "18 m"]]
)";
const std::string kRestriction = R"([[restriction]]
name = "RO-1"
from = "tank"
to = "mixer"
)";
const std::string kNozzle = R"([[nozzle]]
name = "N-1"
from = "mixer"
)";
const std::string kRegulator = R"([[regulator]]
name = "PRV-1"
from = "tank"
to = "mixer"
size = "DN50"
)";
const std::string kReliefValve = R"([[relief_valve]]
name = "PSV-1"
from = "tank"
kv = "20 m3/h"
)";
const std::string kBrine = R"([fluid]
name = "brine"
density = "1100 kg/m3"
viscosity = "1.2 mPa.s"
)";
const std::string kCase = R"([[case]]
name = "low"
)";

// The lines with some exchanged or, for an empty value, left out; others are added at the end.
std::string With(const Lines& changes, const std::string& heading, Lines lines) {
  for (const auto& [key, value] : changes) {
    bool exchanged = false;
    for (auto& line : lines) {
      if (line.first != key) continue;
      line.second = value;
      exchanged = true;
    }
    if (!exchanged) lines.emplace_back(key, value);
  }
  std::string text = kPoints + heading + "\n";
  for (const auto& [key, value] : lines) {
    if (!value.empty()) text += key + " = " + value + "\n";
  }
  return text;
}

std::string PipeWith(const Lines& changes) {
  return With(changes, "[[pipe]]",
              {{"name", R"("L-1")"},
               {"from", R"("tank")"},
               {"to", R"("mixer")"},
               {"length", R"("38 m")"},
               {"bore", R"("77.9 mm")"}});
}

std::string ValveWith(const Lines& changes) {
  return With(changes, "[[valve]]",
              {{"name", R"("HV-3")"},
               {"from", R"("tank")"},
               {"to", R"("mixer")"},
               {"kind", R"("diaphragm weir")"},
               {"size", R"("DN80")"}});
}

std::string RegulatorWith(const std::string& lines) {
  return kPoints + kRegulator + lines + "\n";
}

std::string PumpWith(const std::string& lines) {
  return kPoints + kPump + kPumpCurve + lines + "\n";
}

std::string Repeated(const std::string& text, int times) {
  std::string all;
  for (int i = 0; i < times; ++i) all += text;
  return all;
}

// A literal with zero bytes inside.
template <std::size_t size>
std::string Bytes(const char (&literal)[size]) {
  return std::string(literal, size - 1);
}

// --- Files ---------------------------------------------------------------------------------------

struct BadFile {
  std::string name;
  std::string text;
  std::string message;
};

std::string MessageOf(const std::string& text) {
  try {
    ParseNetwork(text, "plant.toml");
  } catch (const FileError& error) {
    return error.what();
  }
  return "(accepted)";
}

std::vector<BadFile> BadFiles() {
  return {
      // Values.
      {"BoreOfZero", PipeWith({{"bore", R"("0 mm")"}}),
       R"(plant.toml:10:8: pipe "L-1": bore 0 mm; expected a value above 0.)"},
      {"BoreOfNegativeNumber", PipeWith({{"bore", "-0.08"}}),
       R"(plant.toml:10:8: pipe "L-1": bore -0.08 m; expected a value above 0.)"},
      {"BoreInMillimetresWithoutUnit", PipeWith({{"bore", "80"}}),
       R"(plant.toml:10:8: pipe "L-1": bore 80 m; expected 10 m or less. A bare number is in m.)"},
      {"BoreThatIsNoQuantity", PipeWith({{"bore", R"("wide")"}}),
       R"(plant.toml:10:8: pipe "L-1": bore "wide": found no number, expected a length such as "12 m".)"},
      {"BoreThatIsTrue", PipeWith({{"bore", "true"}}),
       R"(plant.toml:10:8: pipe "L-1": bore true; expected a length such as "12 m".)"},
      {"LengthThatIsAFlow", PipeWith({{"length", R"("38 m3/h")"}}),
       R"(plant.toml:9:10: pipe "L-1": length "38 m3/h": found a flow, expected a length such as "12 m".)"},
      {"LengthInUnknownUnit", PipeWith({{"length", R"("38 metres")"}}),
       R"(plant.toml:9:10: pipe "L-1": length "38 metres": unknown unit "metres"; expected a length such as "12 m".)"},
      {"LengthInMisspeltUnit", PipeWith({{"length", R"("38 inn")"}}),
       R"(plant.toml:9:10: pipe "L-1": length "38 inn": unknown unit "inn"; did you mean "in"?)"},
      {"LengthWithDecimalComma", PipeWith({{"length", R"("38,5 m")"}}),
       R"(plant.toml:9:10: pipe "L-1": length "38,5 m": found a comma; write decimals with a point and thousands without a mark.)"},
      {"LengthInHexadecimal", PipeWith({{"length", R"("0x26 m")"}}),
       R"(plant.toml:9:10: pipe "L-1": length "0x26 m": unknown unit "x26 m"; expected a length such as "12 m".)"},
      {"LengthTooLargeToHold", PipeWith({{"length", R"("1e400 m")"}}),
       R"(plant.toml:9:10: pipe "L-1": length "1e400 m": the number is too large or too small to hold.)"},
      {"LengthNotANumber", PipeWith({{"length", "nan"}}),
       R"(plant.toml:9:10: pipe "L-1": length nan m; expected a finite number.)"},
      {"LengthInfinite", PipeWith({{"length", "inf"}}),
       R"(plant.toml:9:10: pipe "L-1": length inf m; expected a finite number.)"},
      {"LengthNotANumberAsText", PipeWith({{"length", R"("nan")"}}),
       R"(plant.toml:9:10: pipe "L-1": length "nan": found no number, expected a length such as "12 m".)"},
      {"LengthMissing", PipeWith({{"length", ""}}),
       R"(plant.toml:5:1: pipe "L-1": length is missing.)"},
      {"LengthADate", PipeWith({{"length", "2026-07-26"}}),
       R"(plant.toml:9:10: found "2026-07-26" without quotes; text needs them, and so does a number with a unit, as in "38 m".)"},
      {"LengthAList", PipeWith({{"length", "[38, 40]"}}),
       R"(plant.toml:9:10: pipe "L-1": length is a list; expected a length such as "12 m".)"},
      {"LengthATable", PipeWith({{"length", R"({ m = "38" })"}}),
       R"(plant.toml:9:10: pipe "L-1": length is a list; expected a length such as "12 m".)"},
      {"RoughnessNegative", PipeWith({{"roughness", R"("-1 mm")"}}),
       R"(plant.toml:11:13: pipe "L-1": roughness -1 mm; expected 0 or more.)"},
      {"FrictionFactorZero", PipeWith({{"friction_factor", "0"}}),
       R"(plant.toml:11:19: pipe "L-1": friction_factor 0; expected a value above 0.)"},
      {"PressureGaugeWritten", R"([[vessel]]
name = "tank"
gas_pressure = "3 barg"
)",
       R"(plant.toml:3:16: vessel "tank": gas_pressure "3 barg": write "bar"; each pressure is gauge or absolute by itself (gas_pressure is gauge, vapour_pressure and atmospheric_pressure are absolute).)"},
      {"PressureBelowVacuum", R"([[vessel]]
name = "tank"
gas_pressure = "-2 bar"
)",
       R"(plant.toml:3:16: vessel "tank": gas_pressure -200000 Pa is below a full vacuum; it is gauge: expected -101325 Pa or more.)"},
      {"LevelNegative", R"([[vessel]]
name = "tank"
level = "-1 m"
)",
       R"(plant.toml:3:9: vessel "tank": level -1 m; expected 0 or more.)"},
      {"AreaZero", R"([[vessel]]
name = "tank"
area = 0
)",
       R"(plant.toml:3:8: vessel "tank": area 0 m2; expected a value above 0.)"},
      {"DrawNegative", kPoints + R"(draw = "-2 m3/h"
)",
       R"(plant.toml:5:8: junction "mixer": draw -2 m3/h; expected 0 or more.)"},
      {"OpeningAboveOne", ValveWith({{"opening", "1.4"}}),
       R"(plant.toml:11:11: valve "HV-3": opening 1.4; expected a value from 0 to 1.)"},
      {"OpeningInPercentWithoutSign", ValveWith({{"opening", R"("40")"}}),
       R"(plant.toml:11:11: valve "HV-3": opening 40; expected a value from 0 to 1.)"},
      {"OpeningThatIsTrue", ValveWith({{"opening", "true"}}),
       R"(plant.toml:11:11: valve "HV-3": opening true; expected a value from 0 to 1.)"},
      {"KvWithoutUnit", ValveWith({{"kv", "63"}}),
       R"(plant.toml:11:6: valve "HV-3": kv 226800 m3/h lets more through than a straight bore of 80 mm (K 1.3e-06); a bare number is in m3/s, write it as in "63 m3/h".)"},
      {"CvWithoutUnit", ValveWith({{"cv", "72.8"}}),
       R"(plant.toml:11:6: valve "HV-3": cv 1.1539e+06 gpm lets more through than a straight bore of 80 mm (K 6.6e-08); a bare number is in m3/s, write it as in "63 gpm".)"},
      {"KvThatIsALength", ValveWith({{"kv", R"("63 m")"}}),
       R"(plant.toml:11:6: valve "HV-3": kv "63 m": found a length, expected a flow such as "12 m3/h".)"},
      {"CrackingPressureInMetres", kPoints + kCheckValve + R"(cracking_pressure = "0.5 m"
)",
       R"(plant.toml:11:21: check valve "NRV-1": cracking_pressure "0.5 m": found a length, expected a pressure such as "3 bar".)"},
      {"StuckOpeningZero", kPoints + kCheckValve + R"(condition = "stuck open"
stuck_opening = 0
)",
       R"(plant.toml:12:17: check valve "NRV-1": stuck_opening 0; expected a value above 0, up to 1.)"},
      {"RunningThatIsANumber", kPoints + kPump + kPumpCurve + "running = 1\n",
       R"(plant.toml:10:11: pump "P-1": running 1; expected true or false.)"},
      {"RunningThatIsText", kPoints + kPump + kPumpCurve + R"(running = "yes"
)",
       R"(plant.toml:10:11: pump "P-1": running "yes"; expected true or false.)"},
      {"StoppedKZero", kPoints + kPump + kPumpCurve + "stopped_k = 0\n",
       R"(plant.toml:10:13: pump "P-1": stopped_k 0; expected a value above 0.)"},
      {"NozzleKZero", kPoints + kNozzle + R"(bore = "20 mm"
k = 0
)",
       R"(plant.toml:9:5: nozzle "N-1": k 0; expected a value above 0.)"},
      {"TitleThatIsANumber", "title = 3\n",
       R"(plant.toml:1:9: network: title 3; expected text such as "Caustic transfer".)"},
      // Words.
      {"MaterialMisspelt", PipeWith({{"material", R"("comercial steel")"}}),
       R"(plant.toml:11:12: pipe "L-1": material "comercial steel" is unknown; did you mean "commercial steel"?)"},
      {"SizeUnknown", PipeWith({{"bore", ""}, {"size", R"("DN81")"}}),
       R"(plant.toml:10:8: pipe "L-1": size "DN81" is unknown; did you mean "DN80"?)"},
      {"SizeWithoutPrefix", PipeWith({{"bore", ""}, {"size", R"("80")"}}),
       R"(plant.toml:10:8: pipe "L-1": size "80" is unknown; did you mean "DN80"?)"},
      {"SizeThatIsANumber", PipeWith({{"bore", ""}, {"size", "80"}}),
       R"(plant.toml:10:8: pipe "L-1": size 80; expected text such as "DN80".)"},
      {"ScheduleUnknownForSize", kPoints + R"([[pipe]]
name = "L-1"
from = "tank"
to = "mixer"
length = "38 m"
size = "DN80"
schedule = "160"
)",
       R"(plant.toml:11:12: pipe "L-1": schedule "160" is unknown for "DN80"; expected "10S", "40", "80", "40S", "80S", "STD" or "XS".)"},
      {"ScheduleWithoutSize", PipeWith({{"schedule", R"("40")"}}),
       R"(plant.toml:11:12: pipe "L-1": schedule has no meaning without size.)"},
      {"FittingMisspelt", PipeWith({{"fittings", R"({ "elbow 90 long radios" = 4 })"}}),
       R"(plant.toml:11:12: pipe "L-1": fittings "elbow 90 long radios" is unknown; did you mean "elbow 90 long radius"?)"},
      {"FittingCountNegative", PipeWith({{"fittings", R"({ "elbow 45" = -1 })"}}),
       R"(plant.toml:11:12: pipe "L-1": fittings "elbow 45" -1; expected 0 or more.)"},
      {"FittingsThatAreAList", PipeWith({{"fittings", R"(["elbow 45"])"}}),
       R"(plant.toml:11:12: pipe "L-1": fittings is a list of another shape; expected names and counts.)"},
      {"FittingsThatAreText", PipeWith({{"fittings", R"("elbow 45")"}}),
       R"(plant.toml:11:12: pipe "L-1": fittings "elbow 45"; expected names and counts.)"},
      {"ValveKindMisspelt", ValveWith({{"kind", R"("diafragm weir")"}}),
       R"(plant.toml:9:8: valve "HV-3": kind "diafragm weir" is unknown; did you mean "diaphragm weir"?)"},
      {"ValveKindMissing", ValveWith({{"kind", ""}}),
       R"(plant.toml:5:1: valve "HV-3": kind is missing.)"},
      {"ValveSizeUnknown", ValveWith({{"size", R"("80 mm")"}}),
       R"(plant.toml:10:8: valve "HV-3": size "80 mm" is unknown; expected a DN or NPS size such as "DN80" or "NPS 3".)"},
      {"CheckValveKindUnknown", kPoints + R"([[check_valve]]
name = "NRV-1"
from = "tank"
to = "mixer"
kind = "tilting"
size = "DN80"
)",
       R"(plant.toml:9:8: check valve "NRV-1": kind "tilting" is unknown; expected "swing", "lift", "lift horizontal", "lift vertical" or "ball".)"},
      {"ConditionUnknown", kPoints + kCheckValve + R"(condition = "stuck"
)",
       R"(plant.toml:11:13: check valve "NRV-1": condition "stuck" is unknown; expected "sound", "passing" or "stuck open".)"},
      {"NormalPositionUnknown", ValveWith({{"normally", R"("shut")"}}),
       R"(plant.toml:11:12: valve "HV-3": normally "shut" is unknown; expected "open" or "closed".)"},
      {"FrictionFormulaMisspelt", R"([model]
friction = "colebrok"
)",
       R"(plant.toml:2:12: model: friction "colebrok" is unknown; did you mean "colebrook"?)"},
      {"FittingMethodUnknown", R"([model]
fittings = "4-K"
)",
       R"(plant.toml:2:12: model: fittings "4-K" is unknown; expected "two-K", "three-K" or "equivalent length".)"},
      {"FullyRoughWithSmoothPipe", R"([model]
friction = "fully rough"
)" + PipeWith({{"roughness", "0"}}),
       R"(plant.toml:13:13: pipe "L-1": roughness is 0, which the friction formula "fully rough" cannot take; expected a value above 0.)"},
      // Contradictions.
      {"BoreAndSize", PipeWith({{"size", R"("DN80")"}}),
       R"(plant.toml:11:8: pipe "L-1": bore and size are both given; give one of them.)"},
      {"NeitherBoreNorSize", PipeWith({{"bore", ""}}),
       R"(plant.toml:5:1: pipe "L-1": bore or size is missing.)"},
      {"RoughnessAndMaterial",
       PipeWith({{"roughness", R"("0.1 mm")"}, {"material", R"("cast iron")"}}),
       R"(plant.toml:12:12: pipe "L-1": roughness and material are both given; give one of them.)"},
      {"KvAndCv", ValveWith({{"kv", R"("63 m3/h")"}, {"cv", R"("72.8 gpm")"}}),
       R"(plant.toml:12:6: valve "HV-3": kv and cv are both given; give one of them.)"},
      {"NozzleWithoutBore", kPoints + kNozzle,
       R"(plant.toml:5:1: nozzle "N-1": bore or size is missing.)"},
      {"RestrictionWithoutLoss", kPoints + kRestriction,
       R"(plant.toml:5:1: restriction "RO-1": k, kv, cv or rated_drop is missing.)"},
      {"RestrictionWithTwoLosses", kPoints + kRestriction + R"(k = 3
kv = "10 m3/h"
bore = "50 mm"
)",
       R"(plant.toml:10:6: restriction "RO-1": k and kv are both given; give one of them.)"},
      {"RestrictionKWithoutBore", kPoints + kRestriction + "k = 3\n",
       R"(plant.toml:9:5: restriction "RO-1": k needs a bore or a size whose velocity head it multiplies.)"},
      {"RatedDropWithoutFlow", kPoints + kRestriction + R"(rated_drop = "0.3 bar"
)",
       R"(plant.toml:9:14: restriction "RO-1": rated_drop needs rated_flow, the flow that it belongs to.)"},
      {"RatedFlowWithoutDrop", kPoints + kRestriction + R"(kv = "10 m3/h"
rated_flow = "10 m3/h"
)",
       R"(plant.toml:10:14: restriction "RO-1": rated_flow has no meaning without rated_drop.)"},
      {"PumpWithoutCurve", kPoints + kPump,
       R"(plant.toml:5:1: pump "P-1": curve or coefficients is missing.)"},
      {"PumpWithCurveAndCoefficients",
       kPoints + kPump + kPumpCurve + "coefficients = [32, 4500, 2]\n",
       R"(plant.toml:10:16: pump "P-1": curve and coefficients are both given; give one of them.)"},
      // Curves.
      {"PumpHeadRises", kPoints + kPump + R"(curve = [["0 m3/h", "28 m"], ["20 m3/h", "32 m"]]
)",
       R"(plant.toml:9:9: pump "P-1": curve: head must fall with flow at the end; it still rises from 28 m at 0 m3/h to 32 m at 20 m3/h.)"},
      {"PumpHeadLevel", kPoints + kPump + "curve = [[0, 32], [0.01, 32]]\n",
       R"(plant.toml:9:9: pump "P-1": curve: head must fall with flow; it stays level from 32 m at 0 m3/h to 32 m at 36 m3/h.)"},
      {"PumpFlowFalls", kPoints + kPump + R"(curve = [["20 m3/h", "32 m"], ["0 m3/h", "28 m"]]
)",
       R"(plant.toml:9:9: pump "P-1": curve: point 2 has flow 0 m3/h after 20 m3/h; flows must rise from point to point.)"},
      {"PumpCurveOfOnePoint", kPoints + kPump + R"(curve = [["0 m3/h", "32 m"]]
)",
       R"(plant.toml:9:9: pump "P-1": curve has one point; expected at least two.)"},
      {"PumpCurveFlowIsAPressure",
       kPoints + kPump + R"(curve = [["0 bar", "32 m"], ["40 m3/h", "18 m"]]
)",
       R"(plant.toml:9:9: pump "P-1": curve: point 1: "0 bar": found a pressure, expected a flow such as "12 m3/h".)"},
      {"PumpCurveOfTriples", kPoints + kPump + "curve = [[0, 32, 1], [1, 20, 1]]\n",
       R"(plant.toml:9:9: pump "P-1": curve is a list of another shape; expected a list of points such as ["20 m3/h", "28 m"].)"},
      {"PumpCoefficientsTwo", kPoints + kPump + "coefficients = [32, 4500]\n",
       R"(plant.toml:9:16: pump "P-1": coefficients is a list of another shape; expected three numbers, a, b and c.)"},
      {"PumpCoefficientExponentBelowOne", kPoints + kPump + "coefficients = [32, 4500, 0.5]\n",
       R"(plant.toml:9:16: pump "P-1": coefficients: c is 0.5; in head = a - b flow^c, expected c of 1 or more.)"},
      {"PumpCoefficientNegative", kPoints + kPump + "coefficients = [32, -4500, 2]\n",
       R"(plant.toml:9:16: pump "P-1": coefficients: b is -4500; in head = a - b flow^c, expected b above 0.)"},
      {"ValveCurveNotFromShut", ValveWith({{"curve", "[[0.1, 0], [1, 1]]"}}),
       R"(plant.toml:11:9: valve "HV-3": curve; expected its first point at opening 0 and its last at [1, 1].)"},
      {"ValveCurveNotToFullyOpen", ValveWith({{"curve", "[[0, 0], [0.9, 1]]"}}),
       R"(plant.toml:11:9: valve "HV-3": curve ends at [0.9, 1]; expected its last point at [1, 1].)"},
      {"ValveCurveFalls", ValveWith({{"curve", "[[0, 0], [0.5, 0.8], [0.7, 0.6], [1, 1]]"}}),
       R"(plant.toml:11:9: valve "HV-3": curve: point 3 has coefficient 0.6 after 0.8; it must not fall with opening.)"},
      {"ValveCurveOpeningRepeats",
       ValveWith({{"curve", "[[0, 0], [0.5, 0.6], [0.5, 0.8], [1, 1]]"}}),
       R"(plant.toml:11:9: valve "HV-3": curve: point 3 has opening 0.5 after 0.5; openings must rise.)"},
      {"ValveCurveBeyondOne", ValveWith({{"curve", "[[0, 0], [0.5, 1.2], [1, 1]]"}}),
       R"(plant.toml:11:9: valve "HV-3": curve: point 2: 1.2; expected a value from 0 to 1.)"},
      // Linings and bores.
      {"LiningNegative", PipeWith({{"lining", R"("-3 mm")"}}),
       R"(plant.toml:11:10: pipe "L-1": lining -3 mm; expected 0 or more.)"},
      {"LiningThatFillsThePipe", PipeWith({{"lining", R"("39 mm")"}}),
       R"(plant.toml:11:10: pipe "L-1": lining 39 mm leaves nothing of a bore of 77.9 mm; expected less than half of it.)"},
      {"LiningThatFillsTheValve", ValveWith({{"lining", R"("40 mm")"}}),
       R"(plant.toml:11:10: valve "HV-3": lining 40 mm leaves nothing of a bore of 80 mm; expected less than half of it.)"},
      {"PipeBoreNarrowerThanTheValve", ValveWith({{"pipe_bore", R"("78 mm")"}}),
       R"(plant.toml:11:13: valve "HV-3": pipe_bore 78 mm is narrower than the valve's 80 mm; leave it out where there are no reducers.)"},
      {"PipeRatingZero", PipeWith({{"rating", "0"}}),
       R"(plant.toml:11:10: pipe "L-1": rating 0 Pa; expected a value above 0.)"},
      {"MaxVelocityThatIsAFlow", PipeWith({{"max_velocity", R"("5 m3/h")"}}),
       R"(plant.toml:11:16: pipe "L-1": max_velocity "5 m3/h": found a flow, expected a velocity such as "1.5 m/s".)"},
      // Valves: what they are like and what is wrong with them.
      {"RecoveryFactorAboveOne", ValveWith({{"fl", "1.1"}}),
       R"(plant.toml:11:6: valve "HV-3": fl 1.1; expected a value above 0, up to 1.)"},
      {"CavitationRatioZero", ValveWith({{"xfz", "0"}}),
       R"(plant.toml:11:7: valve "HV-3": xfz 0; expected a value above 0, up to 1.)"},
      {"TurnsZero", ValveWith({{"turns", "0"}}),
       R"(plant.toml:11:9: valve "HV-3": turns 0; expected a value above 0.)"},
      {"TravelThatIsANumberOfTurns", ValveWith({{"travel", R"("8 turns")"}}),
       R"(plant.toml:11:10: valve "HV-3": travel "8 turns": unknown unit "turns"; expected a length such as "12 m".)"},
      {"RangeabilityOne", ValveWith({{"rangeability", "1"}}),
       R"(plant.toml:11:16: valve "HV-3": rangeability 1; expected a value above 1.)"},
      {"ValveConditionUnknown", ValveWith({{"condition", R"("stuck")"}}),
       R"(plant.toml:11:13: valve "HV-3": condition "stuck" is unknown; expected "sound", "passing", "blocked", "diaphragm cut", "sleeve not reopening" or "sleeve collapsed".)"},
      {"ValveConditionEmpty", ValveWith({{"condition", R"("")"}}),
       R"(plant.toml:11:13: valve "HV-3": condition ""; expected text such as "sound".)"},
      {"SleeveOfADiaphragmValve", ValveWith({{"condition", R"("sleeve collapsed")"}}),
       R"(plant.toml:11:13: valve "HV-3": condition "sleeve collapsed" cannot be that of kind "diaphragm weir"; expected "sound", "passing", "blocked" or "diaphragm cut".)"},
      {"DiaphragmOfAGateValve",
       ValveWith({{"kind", R"("gate")"}, {"condition", R"("diaphragm cut")"}}),
       R"(plant.toml:11:13: valve "HV-3": condition "diaphragm cut" cannot be that of kind "gate"; expected "sound", "passing" or "blocked".)"},
      {"DiaphragmOfAPinchValve",
       ValveWith({{"kind", R"("pinch open frame")"}, {"condition", R"("diaphragm cut")"}}),
       R"(plant.toml:11:13: valve "HV-3": condition "diaphragm cut" cannot be that of kind "pinch open frame"; expected "sound", "passing", "blocked", "sleeve not reopening" or "sleeve collapsed".)"},
      {"BlockageWhole", ValveWith({{"condition", R"("blocked")"}, {"blockage", "1"}}),
       R"(plant.toml:12:12: valve "HV-3": blockage 1; expected a value from 0 to less than 1.)"},
      {"LeakageMisspelt", ValveWith({{"leakage", R"("ISO 5208D")"}}),
       R"(plant.toml:11:11: valve "HV-3": leakage "ISO 5208D" is unknown; did you mean "ISO 5208 D"?)"},
      {"LeakageAndLeakKv", ValveWith({{"leakage", R"("ISO 5208 D")"}, {"leak_kv", R"("1 L/min")"}}),
       R"(plant.toml:12:11: valve "HV-3": leakage and leak_kv are both given; give one of them.)"},
      {"StuckOpeningOfAValveAboveOne", ValveWith({{"stuck_opening", "1.2"}}),
       R"(plant.toml:11:17: valve "HV-3": stuck_opening 1.2; expected a value from 0 to 1.)"},
      {"MinPressureBelowVacuum", ValveWith({{"min_pressure", R"("-1.2 bar")"}}),
       R"(plant.toml:11:16: valve "HV-3": min_pressure -120000 Pa is below a full vacuum; it is gauge: expected -101325 Pa or more.)"},
      {"OrientationUnknown", kPoints + kCheckValve + R"(orientation = "upwards"
)",
       R"(plant.toml:11:15: check valve "NRV-1": orientation "upwards" is unknown; expected "horizontal", "vertical up" or "vertical down".)"},
      {"AssistUnknown", kPoints + kCheckValve + R"(assist = "lever"
)",
       R"(plant.toml:11:10: check valve "NRV-1": assist "lever" is unknown; expected "none", "spring" or "weight".)"},
      {"CheckValveLeakageAndLeakKv", kPoints + kCheckValve + R"(leakage = "API 598 metal check"
leak_kv = "1 L/min"
)",
       R"(plant.toml:12:11: check valve "NRV-1": leakage and leak_kv are both given; give one of them.)"},
      {"MinVelocityZero", kPoints + kCheckValve + "min_velocity = 0\n", R"(plant.toml:11:16: check valve "NRV-1": min_velocity 0 m/s; expected a value above 0.)"},
      // Pumps: more than the curve.
      {"PumpHeadRisesAgain",
       kPoints + kPump + "curve = [[0, 28], [0.01, 30], [0.02, 25], [0.03, 26]]\n",
       R"(plant.toml:9:9: pump "P-1": curve: head must fall with flow after its peak; it rises again from 25 m at 72 m3/h to 26 m at 108 m3/h.)"},
      {"PumpHeadLevelAtThePeak",
       kPoints + kPump + "curve = [[0, 28], [0.01, 30], [0.02, 30], [0.03, 26]]\n",
       R"(plant.toml:9:9: pump "P-1": curve: head must fall with flow; it stays level from 30 m at 36 m3/h to 30 m at 72 m3/h.)"},
      {"PumpHeadZeroAtFirst", kPoints + kPump + "curve = [[0, 0], [0.01, 30], [0.02, 20]]\n",
       R"(plant.toml:9:9: pump "P-1": curve starts with head 0 m; expected a head above 0.)"},
      {"PumpKindUnknown", PumpWith(R"(kind = "gear")"),
       R"(plant.toml:10:8: pump "P-1": kind "gear" is unknown; expected "centrifugal" or "positive displacement".)"},
      {"PumpKindEmpty", PumpWith(R"(kind = "")"),
       R"(plant.toml:10:8: pump "P-1": kind ""; expected text such as "centrifugal".)"},
      {"DisplacementOfACentrifugalPump", PumpWith(R"(displacement = "5 m3/h")"),
       R"(plant.toml:10:16: pump "P-1": displacement has no meaning for a centrifugal pump; give curve or coefficients, or kind "positive displacement".)"},
      {"SlipOfACentrifugalPump", PumpWith(R"(slip = "1 m3/h")"),
       R"(plant.toml:10:8: pump "P-1": slip has no meaning without displacement.)"},
      {"CurveOfADisplacementPump", PumpWith(R"(kind = "positive displacement"
displacement = "5 m3/h")"),
       R"(plant.toml:9:9: pump "P-1": curve has no meaning for a positive displacement pump; give its displacement.)"},
      {"DisplacementMissing", kPoints + kPump + R"(kind = "positive displacement"
)",
       R"(plant.toml:5:1: pump "P-1": displacement is missing; a positive displacement pump needs it.)"},
      {"SlipOfAllThatIsDisplaced", kPoints + kPump + R"(kind = "positive displacement"
displacement = "5 m3/h"
slip = "5 m3/h"
)",
       R"(plant.toml:11:8: pump "P-1": slip 5 m3/h is not less than the displacement of 5 m3/h.)"},
      {"RatedPressureZero", PumpWith("rated_pressure = 0"),
       R"(plant.toml:10:18: pump "P-1": rated_pressure 0 Pa; expected a value above 0.)"},
      {"StagesZero", PumpWith("stages = 0"),
       R"(plant.toml:10:10: pump "P-1": stages 0; expected 1 or more.)"},
      {"StagesInPart", PumpWith("stages = 2.5"),
       R"(plant.toml:10:10: pump "P-1": stages 2.5; expected a whole number.)"},
      {"RpmZero", PumpWith("rpm = 0"),
       R"(plant.toml:10:7: pump "P-1": rpm 0; expected a value above 0.)"},
      {"RotorUnknown", PumpWith(R"(rotor = "spinning")"),
       R"(plant.toml:10:9: pump "P-1": rotor "spinning" is unknown; expected "held" or "free".)"},
      {"RatedPowerThatIsACurrent", PumpWith(R"(rated_power = "15 A")"),
       R"(plant.toml:10:15: pump "P-1": rated_power "15 A": unknown unit "A"; expected a power such as "15 kW".)"},
      {"EfficiencyInPercentWithoutSign",
       PumpWith(R"(efficiency = [["5 m3/h", 40], ["20 m3/h", 65]])"),
       R"(plant.toml:10:14: pump "P-1": efficiency: point 1: 40; expected a value from 0 to 1.)"},
      {"EfficiencyZero", PumpWith(R"(efficiency = [["0 m3/h", 0], ["20 m3/h", 0]])"),
       R"(plant.toml:10:14: pump "P-1": efficiency is 0 at every point; expected one above 0.)"},
      {"EfficiencyOfOnePoint", PumpWith(R"(efficiency = [["5 m3/h", "40 %"]])"),
       R"(plant.toml:10:14: pump "P-1": efficiency has one point; expected at least two.)"},
      {"EfficiencyFlowsFall", PumpWith(R"(efficiency = [["20 m3/h", 0.65], ["5 m3/h", 0.4]])"),
       R"(plant.toml:10:14: pump "P-1": efficiency: point 2 has flow 5 m3/h after 20 m3/h; flows must rise from point to point.)"},
      {"EfficiencyANumber", PumpWith("efficiency = 0.65"),
       R"(plant.toml:10:14: pump "P-1": efficiency 0.65; expected a list of points such as ["20 m3/h", 0.65].)"},
      {"NpshFalls", PumpWith(R"(npsh = [["5 m3/h", "3 m"], ["20 m3/h", "2 m"]])"),
       R"(plant.toml:10:8: pump "P-1": npsh: point 2 has 2 m after 3 m; what a pump needs does not fall with flow.)"},
      {"NpshOfOnePoint", PumpWith(R"(npsh = [["5 m3/h", "3 m"]])"),
       R"(plant.toml:10:8: pump "P-1": npsh has one point; expected at least two.)"},
      {"NpshANumber", PumpWith(R"(npsh = "3 m")"),
       R"(plant.toml:10:8: pump "P-1": npsh "3 m"; expected a list of points such as ["20 m3/h", "2.5 m"].)"},
      // Regulators and relief valves.
      {"RegulatorKindMissing", RegulatorWith(""),
       R"(plant.toml:5:1: regulator "PRV-1": kind is missing.)"},
      {"RegulatorKindUnknown", RegulatorWith(R"(kind = "reducing")"),
       R"(plant.toml:10:8: regulator "PRV-1": kind "reducing" is unknown; expected "pressure-reducing", "back-pressure" or "flow-limiting".)"},
      {"RegulatorWithoutBore", kPoints + R"([[regulator]]
name = "PRV-1"
from = "tank"
to = "mixer"
kind = "back-pressure"
set_pressure = "3 bar"
)",
       R"(plant.toml:5:1: regulator "PRV-1": bore or size is missing.)"},
      {"SetPressureMissing", RegulatorWith(R"(kind = "pressure-reducing")"),
       R"(plant.toml:5:1: regulator "PRV-1": set_pressure is missing; a pressure-reducing regulator needs it.)"},
      {"SetPressureBelowVacuum", RegulatorWith(R"(kind = "back-pressure"
set_pressure = "-1.1 bar")"),
       R"(plant.toml:11:16: regulator "PRV-1": set_pressure -110000 Pa is below a full vacuum; it is gauge: expected -101325 Pa or more.)"},
      {"SetFlowOfAPressureRegulator", RegulatorWith(R"(kind = "back-pressure"
set_pressure = "3 bar"
set_flow = "5 m3/h")"),
       R"(plant.toml:12:12: regulator "PRV-1": set_flow has no meaning for a back-pressure regulator.)"},
      {"SetFlowMissing", RegulatorWith(R"(kind = "flow-limiting")"),
       R"(plant.toml:5:1: regulator "PRV-1": set_flow is missing; a flow-limiting regulator needs it.)"},
      {"SetPressureOfAFlowRegulator", RegulatorWith(R"(kind = "flow-limiting"
set_flow = "5 m3/h"
set_pressure = "3 bar")"),
       R"(plant.toml:12:16: regulator "PRV-1": set_pressure has no meaning for a flow-limiting regulator.)"},
      {"DroopOfAFlowRegulator", RegulatorWith(R"(kind = "flow-limiting"
set_flow = "5 m3/h"
droop = "0.2 bar")"),
       R"(plant.toml:12:9: regulator "PRV-1": droop has no meaning for a flow-limiting regulator.)"},
      {"DroopWithoutItsFlow", RegulatorWith(R"(kind = "pressure-reducing"
set_pressure = "3 bar"
droop = "0.2 bar")"),
       R"(plant.toml:12:9: regulator "PRV-1": droop needs rated_flow, the flow that it belongs to.)"},
      {"RegulatorKvWithoutUnit", RegulatorWith(R"(kind = "pressure-reducing"
set_pressure = "3 bar"
kv = 12)"),
       R"(plant.toml:12:6: regulator "PRV-1": kv 43200 m3/h lets more through than a straight bore of 50 mm (K 5.4e-06); a bare number is in m3/s, write it as in "63 m3/h".)"},
      {"ReliefPressureMissing", kPoints + kReliefValve,
       R"(plant.toml:5:1: relief valve "PSV-1": set_pressure is missing.)"},
      {"ReliefPressureNegative", kPoints + kReliefValve + R"(set_pressure = "-1 bar"
)",
       R"(plant.toml:9:16: relief valve "PSV-1": set_pressure -1 bar; expected a value above 0.)"},
      {"ReliefWithoutCapacity", kPoints + R"([[relief_valve]]
name = "PSV-1"
from = "tank"
set_pressure = "10 bar"
)",
       R"(plant.toml:5:1: relief valve "PSV-1": kv, cv or area is missing.)"},
      {"ReliefKvAndArea", kPoints + kReliefValve + R"(set_pressure = "10 bar"
area = "198 mm2"
)",
       R"(plant.toml:10:8: relief valve "PSV-1": kv and area are both given; give one of them.)"},
      {"ReliefKvWithoutUnit", kPoints + R"([[relief_valve]]
name = "PSV-1"
from = "tank"
set_pressure = "10 bar"
kv = 20
)",
       R"(plant.toml:9:6: relief valve "PSV-1": kv 20 m3/s; expected 1 m3/s or less. A bare number is in m3/s.)"},
      {"OverpressureInPercentWithoutSign", kPoints + kReliefValve + R"(set_pressure = "10 bar"
overpressure = 10
)",
       R"(plant.toml:10:16: relief valve "PSV-1": overpressure 10; expected a value above 0, up to 1.)"},
      {"ReliefToNowhere", kPoints + kReliefValve + R"(set_pressure = "10 bar"
to = "mixr"
)",
       R"(plant.toml:10:6: relief valve "PSV-1": to "mixr" is no vessel or junction; did you mean "mixer"?)"},
      // Names.
      {"NameMissing", kPoints + R"([[pipe]]
from = "tank"
to = "mixer"
length = 38
bore = 0.1
)",
       "plant.toml:5:1: pipe number 1: name is missing."},
      {"NameEmpty", kPoints + R"([[junction]]
name = ""
)",
       R"(plant.toml:6:8: junction number 2: name ""; expected text such as "mixer".)"},
      {"NameTwiceInOneKind", kPoints + kJunction,
       R"(plant.toml:6:8: junction "mixer": the name is already that of another junction; every point and component needs its own.)"},
      {"NameOfPointAndComponent", PipeWith({{"name", R"("mixer")"}}),
       R"(plant.toml:6:8: pipe "mixer": the name is already that of a junction; every point and component needs its own.)"},
      {"NameOfASection", kPoints + R"([[junction]]
name = "fluid"
)",
       R"(plant.toml:6:8: junction "fluid": the name is kept for the section of that name.)"},
      {"NameThatIsANumber", kPoints + "[[junction]]\nname = 7\n",
       R"(plant.toml:6:8: junction number 2: name 7; expected text such as "mixer".)"},
      {"EndMisspelt", PipeWith({{"to", R"("mixr")"}}),
       R"(plant.toml:8:6: pipe "L-1": to "mixr" is no vessel or junction; did you mean "mixer"?)"},
      {"EndFarFromAnyName", PipeWith({{"to", R"("neutraliser")"}}),
       R"(plant.toml:8:6: pipe "L-1": to "neutraliser" is no vessel or junction; expected "tank" or "mixer".)"},
      {"EndThatIsAPipe", kPoints + kPipe + R"([[valve]]
name = "HV-3"
from = "tank"
to = "L-1"
kind = "diaphragm weir"
size = "DN80"
)",
       R"(plant.toml:14:6: valve "HV-3": to "L-1" is a pipe; expected a vessel or a junction.)"},
      {"EndMissing", PipeWith({{"to", ""}}), R"(plant.toml:5:1: pipe "L-1": to is missing.)"},
      // Properties and headings.
      {"PropertyMisspelt", PipeWith({{"lenght", R"("38 m")"}}),
       R"(plant.toml:11:1: pipe "L-1": unknown property "lenght"; did you mean "length"?)"},
      {"PropertyOfAnotherKind", PipeWith({{"opening", "0.5"}}),
       R"(plant.toml:11:1: pipe "L-1": unknown property "opening"; none of the 23 known is near it.)"},
      {"PropertyTwice", kPoints + kPipe + R"(bore = "50 mm"
)",
       "plant.toml:11:8: not valid TOML: the same name is given twice in one table."},
      {"HeadingMisspelt", R"([[pype]]
name = "L-1"
)",
       R"(plant.toml:1:1: unknown heading "pype"; did you mean "pipe"?)"},
      {"HeadingOfOnePart", R"([pipe]
name = "L-1"
)",
       "plant.toml:1:1: [pipe] needs double brackets: [[pipe]]."},
      {"HeadingOfManyFluids", R"([[fluid]]
name = "water"
)",
       "plant.toml:1:1: [[fluid]] exists once and needs single brackets: [fluid]."},
      {"HeadingTwice", R"([fluid]
name = "water"
[fluid]
name = "brine"
)",
       "plant.toml:3:1: [fluid] is given twice."},
      {"HeadingNotClosed", R"([[pipe
name = "L-1"
)",
       R"(plant.toml:1:1: the heading "[[pipe" is not closed.)"},
      {"HeadingHalfClosed", R"([[pipe]
name = "L-1"
)",
       R"(plant.toml:1:1: the heading "[[pipe]" is not closed.)"},
      {"TopKeyUnknown", R"(titel = "x"
)",
       R"(plant.toml:1:1: network: unknown property "titel"; did you mean "title"?)"},
      {"PartWithoutHeading", R"(pipe = [{ name = "L-1" }]
)",
       R"(plant.toml:1:1: "pipe" needs a heading of its own: [[pipe]].)"},
      {"SectionWithoutHeading", R"(fluid = { name = "water" }
)",
       R"(plant.toml:1:1: "fluid" needs a heading of its own: [fluid].)"},
      {"DottedKey", R"(fluid.name = "water"
)",
       R"(plant.toml:1:1: the name "fluid.name" has a dot in it; put it in quotes, as in "HV-3.opening" = 0.4, or under a heading.)"},
      // Sections.
      {"FluidWithoutDensity", R"([fluid]
name = "brine"
)",
       R"(plant.toml:1:1: fluid: density is missing; "brine" needs a density (only "water", "seawater", "sodium hydroxide" and "sulphuric acid" have their own).)"},
      {"FluidWithoutViscosity", R"([fluid]
name = "brine"
density = "1.1 g/cm3"
)",
       R"(plant.toml:1:1: fluid: viscosity is missing; "brine" needs a viscosity or a kinematic_viscosity.)"},
      {"FluidWithTwoViscosities", R"([fluid]
viscosity = "1 cP"
kinematic_viscosity = "1 cSt"
)",
       "plant.toml:3:23: fluid: viscosity and kinematic_viscosity are both given; give one of "
       "them."},
      {"WaterTooHot", R"([fluid]
temperature = "200 degC"
)",
       "plant.toml:2:15: fluid: temperature 200 degC is outside what is known of liquid water; "
       "expected 0.01 to 150 degC."},
      {"WaterFrozen", R"([fluid]
temperature = "-5 degC"
)",
       "plant.toml:2:15: fluid: temperature -5 degC is outside what is known of liquid water; "
       "expected 0.01 to 150 degC."},
      {"TemperatureBelowZeroKelvin", "[fluid]\ntemperature = -5\n",
       "plant.toml:2:15: fluid: temperature -5 K; expected a value above 0."},
      {"StrengthInPercentWithoutSign", "[fluid]\nname = \"sodium hydroxide\"\nstrength = 32\n",
       R"(plant.toml:3:12: fluid: strength 32; expected a value from 0 to 1.)"},
      {"StrengthOfBrine", kBrine + "strength = 0.2\n",
       R"(plant.toml:5:12: fluid: strength has no meaning for "brine"; only "seawater", "sodium hydroxide" and "sulphuric acid" have one.)"},
      {"StrengthOfWater", "[fluid]\nstrength = 0.2\n",
       R"(plant.toml:2:12: fluid: strength has no meaning for "water"; only "seawater", "sodium hydroxide" and "sulphuric acid" have one.)"},
      {"StrengthMissing", "[fluid]\nname = \"sodium hydroxide\"\n",
       R"(plant.toml:1:1: fluid: strength is missing; "sodium hydroxide" needs its mass in that of the solution, such as "32 %", or a density and a viscosity.)"},
      {"AcidMisspelt", "[fluid]\nname = \"sulfuric acid\"\n",
       R"(plant.toml:1:1: fluid: density is missing; "sulfuric acid" needs a density; did you mean "sulphuric acid"?)"},
      {"DensityAndItsTable",
       kBrine + R"(density_table = [["10 degC", "1110 kg/m3"], ["30 degC", "1090 kg/m3"]]
)",
       R"(plant.toml:5:17: fluid: density and density_table are both given; give one of them.)"},
      {"ViscosityAndConsistency", kBrine + "consistency = 2\nindex = 0.6\n",
       R"(plant.toml:5:15: fluid: viscosity and consistency are both given; give one of them.)"},
      {"ConsistencyWithoutIndex", R"([fluid]
name = "sludge"
density = 1050
consistency = 2
)",
       R"(plant.toml:4:15: fluid: consistency needs index, the power of the shear rate that it belongs to.)"},
      {"IndexWithoutConsistency", kBrine + "index = 0.6\n",
       R"(plant.toml:5:9: fluid: index has no meaning without consistency.)"},
      {"IndexTooHigh", "[fluid]\nconsistency = 2\nindex = 3\n",
       R"(plant.toml:3:9: fluid: index 3; expected a value from 0.1 to 1.9.)"},
      {"YieldStressNegative", kBrine + "yield_stress = -1\n",
       R"(plant.toml:5:16: fluid: yield_stress -1 Pa; expected 0 or more.)"},
      {"TableOfOnePoint", R"([fluid]
density_table = [["10 degC", "1110 kg/m3"]]
)",
       R"(plant.toml:2:17: fluid: density_table has one point; expected at least two.)"},
      {"TableTemperaturesFall", R"([fluid]
viscosity_table = [["30 degC", "1 cP"], ["10 degC", "2 cP"]]
)",
       R"(plant.toml:2:19: fluid: viscosity_table has 10 degC after 30 degC; temperatures must rise from point to point.)"},
      {"TableOfAnotherKind", "[fluid]\ndensity_table = 3\n",
       R"(plant.toml:2:17: fluid: density_table 3; expected a list of points such as ["20 degC", "1220 kg/m3"].)"},
      {"TableValueZero", R"([fluid]
vapour_pressure_table = [["10 degC", "1 kPa"], ["30 degC", 0]]
)",
       R"(plant.toml:2:25: fluid: vapour_pressure_table: point 2: 0 Pa; expected a value above 0.)"},
      {"TemperatureOutsideATable", R"([fluid]
temperature = "50 degC"
density_table = [["10 degC", "1110 kg/m3"], ["30 degC", "1090 kg/m3"]]
)",
       R"(plant.toml:2:15: fluid: temperature 50 degC is outside the density_table; expected 10 to 30 degC.)"},
      {"CausticTooHot", R"([fluid]
name = "sodium hydroxide"
strength = "20 %"
temperature = "95 degC"
)",
       R"(plant.toml:4:15: fluid: temperature 95 degC is outside what is known of the density of sodium hydroxide; expected 10 to 85 degC, or give a density.)"},
      {"AcidTooHotForItsViscosity", R"([fluid]
name = "sulphuric acid"
strength = "30 %"
temperature = "40 degC"
)",
       R"(plant.toml:4:15: fluid: temperature 40 degC is outside what is known of the viscosity of sulphuric acid; expected 0 to 30 degC, or give a viscosity.)"},
      {"AcidTooStrongForItsViscosity", R"([fluid]
name = "sulphuric acid"
strength = "96 %"
)",
       R"(plant.toml:3:12: fluid: strength 0.96 is outside what is known of the viscosity of sulphuric acid; expected 0 to 0.5, or give a viscosity.)"},
      {"SeawaterTooSalty", R"([fluid]
name = "seawater"
strength = "20 %"
)",
       R"(plant.toml:3:12: fluid: strength 0.2 is outside what is known of the density of seawater; expected 0 to 0.042, or give a density.)"},
      {"SolidsPackedTooClosely", kBrine + "solids = 0.9\nsolids_density = 2650\n",
       R"(plant.toml:5:10: fluid: solids 0.9 take 0.789 of the volume; expected 0.6 of it or less.)"},
      {"SolidsWithoutDensity", kBrine + "solids = 0.2\n",
       R"(plant.toml:5:10: fluid: solids needs solids_density, that of the grains.)"},
      {"SolidsWhole", kBrine + "solids = 1\nsolids_density = 2650\n",
       R"(plant.toml:5:10: fluid: solids 1; expected a value from 0 to less than 1.)"},
      {"SolidsLighterThanTheirLiquid", kBrine + "solids = 0.2\nsolids_density = 1050\n",
       R"(plant.toml:6:18: fluid: solids_density 1050 kg/m3 is not above the 1100 kg/m3 of the liquid; only solids that sink are known.)"},
      {"GrainSizeWithoutSolids", kBrine + "d50 = \"0.1 mm\"\n",
       R"(plant.toml:5:7: fluid: d50 has no meaning without solids.)"},
      {"GravityZero", "[site]\ngravity = 0\n",
       "plant.toml:2:11: site: gravity 0 m/s2; expected a value above 0."},
      // Cases.
      {"CaseWithoutName", kPoints + R"([[case]]
note = "x"
)",
       "plant.toml:5:1: case number 1: name is missing."},
      {"CaseTwice", kPoints + kCase + kCase,
       R"(plant.toml:8:8: case "low": the name is already that of another case.)"},
      {"CaseSetsUnknownComponent",
       kPoints + kValve + kPump + kPumpCurve + kCase + R"(set = { "HV-33.opening" = 0.4 }
)",
       R"(plant.toml:18:27: case "low": "HV-33.opening": nothing is called "HV-33"; did you mean "HV-3"?)"},
      {"CaseSetsUnknownProperty",
       kPoints + kValve + kPump + kPumpCurve + kCase + R"(set = { "HV-3.openning" = 0.4 }
)",
       R"(plant.toml:18:27: case "low": "HV-3.openning": valve has no property "openning"; did you mean "opening"?)"},
      {"CaseSetsUnfitValue",
       kPoints + kValve + kPump + kPumpCurve + kCase +
           R"(set = { "P-1.running" = false, "HV-3.opening" = true }
)",
       R"(plant.toml:18:49: case "low": "HV-3.opening": opening true; expected a value from 0 to 1.)"},
      {"CaseSetsName",
       kPoints + kValve + kPump + kPumpCurve + kCase + R"(set = { "HV-3.name" = "x" }
)",
       R"(plant.toml:18:23: case "low": "HV-3.name": the name of a valve cannot be set.)"},
      {"CaseSetsWithoutProperty",
       kPoints + kValve + kPump + kPumpCurve + kCase + "set = { P-1 = false }\n",
       R"(plant.toml:18:15: case "low": "P-1": expected a component and a property such as "HV-3.opening".)"},
      {"CaseSetsUnquotedTarget",
       kPoints + kValve + kPump + kPumpCurve + kCase + "set = { P-1.running = false }\n",
       R"(plant.toml:18:9: the name "P-1.running" has a dot in it; put it in quotes, as in "HV-3.opening" = 0.4, or under a heading.)"},
      {"CaseMakesContradiction",
       kPoints + kValve + kPump + kPumpCurve + kCase + R"(set = { "HV-3.kv" = "9000 m3/h" }
)",
       R"(plant.toml:16:1: case "low": then valve "HV-3": kv 9000 m3/h lets more through than a straight bore of 80 mm (K 0.00081); a bare number is in m3/s, write it as in "63 m3/h".)"},
      {"CaseMakesEndDangle",
       kPoints + kValve + kPump + kPumpCurve + kCase + R"(set = { "HV-3.to" = "nowhere" }
)",
       R"(plant.toml:16:1: case "low": then valve "HV-3": to "nowhere" is no vessel or junction; expected "tank" or "mixer".)"},
      {"CaseSetNoTable", kPoints + kValve + kPump + kPumpCurve + kCase + R"(set = "HV-3"
)",
       R"(plant.toml:18:7: case "low": set; expected settings such as { "HV-3.opening" = 0.4 }.)"},
      {"CaseSettingADate",
       kPoints + kValve + kPump + kPumpCurve + kCase + R"(set = { "HV-3.opening" = 2026-07-26 }
)",
       R"(plant.toml:18:26: found "2026-07-26" without quotes; text needs them, and so does a number with a unit, as in "38 m".)"},
      {"CaseKeyUnknown", kPoints + kValve + kPump + kPumpCurve + kCase + "sets = { }\n",
       R"(plant.toml:18:1: case "low": unknown property "sets"; did you mean "set"?)"},
      {"CaseSetHeadingAstray", kPoints + R"([case.set]
"HV-3.opening" = 0.4
)",
       "plant.toml:5:1: [case.set] must stand in the [[case]] it belongs to."},
      // Syntax.
      {"TextNotClosed", R"(title = "Caustic
)",
       "plant.toml:1:9: the text that begins here lacks its closing quote."},
      {"EqualsMissing", R"(title "Caustic"
)",
       R"(plant.toml:1:7: not valid TOML (key-value pair): expected '=', saw '"'.)"},
      {"ValueMissing", "title =\n",
       R"(plant.toml:1:8: not valid TOML (key-value pair): expected value, saw '\n'.)"},
      {"TrailingJunk", R"(title = "a" b
)",
       R"(plant.toml:1:13: found "b" without quotes; text needs them, and so does a number with a unit, as in "38 m".)"},
      {"ListNotClosed", kPoints + kPump + R"(curve = [[0, 32], [1, 20]
[[case]]
name = "x"
)",
       R"(plant.toml:9:9: the bracket "[" is not closed.)"},
      {"UnitWithoutQuotes", PipeWith({{"length", "38 m"}}),
       R"(plant.toml:9:13: found "m" without quotes; text needs them, and so does a number with a unit, as in "38 m".)"},
      {"LongTextNotClosed", R"(story = """
Once
)",
       "plant.toml:1:9: the text that begins here lacks its three closing quotes."},
      {"EscapeUnknown", R"(title = "a\qb"
)",
       R"(plant.toml:1:11: unknown escape; write a backslash as \\ or put the text in single quotes.)"},
      {"PipeSizeBeyondTable", PipeWith({{"bore", ""}, {"size", R"("DN700")"}}), R"(plant.toml:10:8: pipe "L-1": size "DN700" is not in the pipe tables; give a bore.)"},
      {"FittingTwice", PipeWith({{"fittings", R"({ "elbow 45" = 1, "elbow 45" = 2 })"}}),
       "plant.toml:11:43: not valid TOML: the same name is given twice in one table."},
      {"BracketNotClosedAtEnd", kPoints + kPump + "curve = [[0, 32], [1, 20]\n",
       R"(plant.toml:9:9: the bracket "[" is not closed.)"},
      {"BracketNotOpened", "title = ]\n", R"(plant.toml:1:9: found "]" without a "[" before it.)"},
      {"BracketOfOtherKind", kPoints + kPump + "curve = [[0, 32}, [1, 20]]\n",
       R"(plant.toml:9:16: found "}" without a "{" before it.)"},
      {"LetterWithoutQuotes", "länge = 3\n",
       R"(plant.toml:1:1: found "länge" without quotes; text needs them, and so does a number with a unit, as in "38 m".)"},
      {"KeyOfStrangeCharacters", "na@me = 3\n",
       R"(plant.toml:1:1: found "na@me" without quotes; text needs them, and so does a number with a unit, as in "38 m".)"},
      {"NumberWithUnderscoreAtEnd", PipeWith({{"length", "38_"}}),
       R"(plant.toml:9:10: found "38_" without quotes; text needs them, and so does a number with a unit, as in "38 m".)"},
      {"JunkAfterHeading", "[[pipe]] x\n",
       R"(plant.toml:1:10: found "x" without quotes; text needs them, and so does a number with a unit, as in "38 m".)"},
      {"ReservedWord", "title = yes\n",
       R"(plant.toml:1:9: found "yes" without quotes; text needs them, and so does a number with a unit, as in "38 m".)"},
      {"ControlCharacter", "title = \"a\001\"\n",
       "plant.toml:1:11: not valid TOML (string): unescaped control characters other than TAB "
       "(U+0009) are explicitly prohibited."},
      {"IntegerTooLarge", PipeWith({{"length", "99999999999999999999"}}),
       "plant.toml:9:30: not valid TOML (decimal integer): '99999999999999999999' is not "
       "representable in 64 bits."},
      {"CarriageReturnAlone", "title = \"a\"\rstory = \"b\"\n",
       "plant.toml:1:12: found a carriage return alone; end lines with a line feed."},
      // Bytes.
      {"ZeroByte", Bytes("title = \"a\0b\"\n"),
       "plant.toml:1:11: found a zero byte; expected a text file."},
      {"NotUtf8", "title = \"caf\xE9\"\n",
       "plant.toml:1:13: found a byte that is not UTF-8; save the file as UTF-8 text."},
      {"Utf16", Bytes("\xFF\xFEt\0i\0t\0l\0e\0"),
       "plant.toml:1:1: found a byte that is not UTF-8; save the file as UTF-8 text."},
      {"DeepNesting", "title = " + std::string(40, '[') + std::string(40, ']'),
       "plant.toml:1:41: brackets are nested more than 32 deep."},
      {"DeepDottedKey", "a" + Repeated(".a", 100) + " = 1\n",
       R"(plant.toml:1:1: the name "a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a.a...." has a dot in it; put it in quotes, as in "HV-3.opening" = 0.4, or under a heading.)"},
  };
}

class BadFileTest : public testing::TestWithParam<BadFile> {};

TEST_P(BadFileTest, IsRefusedInTheseWords) {
  EXPECT_EQ(MessageOf(GetParam().text), GetParam().message);
}

INSTANTIATE_TEST_SUITE_P(Files, BadFileTest, testing::ValuesIn(BadFiles()),
                         [](const auto& tested) { return tested.param.name; });

TEST(BadFile, TellsFileLineAndColumnAsData) {
  try {
    ParseNetwork(PipeWith({{"bore", R"("0 mm")"}}), "plant.toml");
    FAIL() << "accepted";
  } catch (const FileError& error) {
    EXPECT_EQ(error.file(), "plant.toml");
    EXPECT_EQ(error.line(), 10);
    EXPECT_EQ(error.column(), 8);
  }
}

// The characters of a line are counted, not its bytes.
TEST(BadFile, CountsColumnsInCharacters) {
  EXPECT_EQ(MessageOf("title = \"Säure\" b\n").substr(0, 17), "plant.toml:1:17: ");
}

// --- Calls ---------------------------------------------------------------------------------------

Network SmallPlant() {
  return ParseNetwork(kPoints + kPipe + kValve + kPump + kPumpCurve + kCheckValve, "plant.toml");
}

struct BadCall {
  std::string name;
  std::function<void(Network&)> call;
  std::string message;
};

BadCall Setting(std::string name, std::string target, Value value, std::string message) {
  return {std::move(name), [target, value](Network& network) { network.Apply(target, value); },
          std::move(message)};
}

BadCall Part(std::string name, std::string kind, Settings properties, std::string message) {
  return {std::move(name),
          [kind, properties](Network& network) { network.AddPart(kind, properties); },
          std::move(message)};
}

// A network built in code that is checked afterwards.
BadCall Built(std::string name, std::function<void(Network&)> change, std::string message) {
  return {std::move(name),
          [change](Network& network) {
            change(network);
            network.Validate();
          },
          std::move(message)};
}

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

std::vector<BadCall> BadCalls() {
  return {
      Setting("SetsUnknownComponent", "HV-33.opening", 0.4,
              R"("HV-33.opening": nothing is called "HV-33"; did you mean "HV-3"?)"),
      Setting("SetsUnknownProperty", "HV-3.openning", 0.4,
              R"("HV-3.openning": valve has no property "openning"; did you mean "opening"?)"),
      Setting("SetsPropertyOfAnotherKind", "L-1.opening", 0.4,
              R"("L-1.opening": pipe has no property "opening"; none of the 22 known is near it.)"),
      Setting("SetsNothingNear", "boiler.level", 0.4,
              R"("boiler.level": nothing is called "boiler"; none of the 6 names is near it.)"),
      Setting("SetsWithoutDot", "HV-3", 0.4,
              R"("HV-3": expected a component and a property such as "HV-3.opening".)"),
      Setting("SetsWithoutProperty", "HV-3.", 0.4,
              R"("HV-3.": expected a component and a property such as "HV-3.opening".)"),
      Setting("SetsWithoutComponent", ".opening", 0.4,
              R"(".opening": expected a component and a property such as "HV-3.opening".)"),
      Setting("SetsName", "HV-3.name", "HV-4",
              R"("HV-3.name": the name of a valve cannot be set.)"),
      Setting("SetsOpeningToTrue", "HV-3.opening", true,
              R"("HV-3.opening": opening true; expected a value from 0 to 1.)"),
      Setting(
          "SetsOpeningToText", "HV-3.opening", "half",
          R"("HV-3.opening": opening "half": found no number, expected a plain number such as "0.6".)"),
      Setting(
          "SetsOpeningToNothing", "HV-3.opening", "",
          R"("HV-3.opening": opening "": found no number, expected a plain number such as "0.6".)"),
      Setting("SetsOpeningToNan", "HV-3.opening", kNan,
              R"("HV-3.opening": opening nan; expected a finite number.)"),
      Setting("SetsOpeningTooFar", "HV-3.opening", "140 %",
              R"("HV-3.opening": opening 140 %; expected a value from 0 to 1.)"),
      Setting(
          "SetsOpeningToAFlow", "HV-3.opening", "12 m3/h",
          R"("HV-3.opening": opening "12 m3/h": found a flow, expected a plain number such as "0.6".)"),
      Setting("SetsOpeningToRows", "HV-3.opening", Rows{{0.0, 1.0}},
              R"("HV-3.opening": opening is a list; expected a value from 0 to 1.)"),
      Setting("SetsRunningToNumber", "P-1.running", 1.0,
              R"("P-1.running": running 1; expected true or false.)"),
      Setting("SetsKindToNumber", "HV-3.kind", 3.0,
              R"("HV-3.kind": kind 3; expected text such as "diaphragm weir".)"),
      Setting("SetsConditionMisspelt", "NRV-1.condition", "pasing",
              R"("NRV-1.condition": condition "pasing" is unknown; did you mean "passing"?)"),
      Setting("SetsFromToNothing", "L-1.from", "",
              R"("L-1.from": from ""; expected text such as "n1".)"),
      Setting("SetsBoreToFluidName", "L-1.bore", "water",
              R"("L-1.bore": bore "water": found no number, expected a length such as "12 m".)"),
      Setting("SetsCurveToNumber", "P-1.curve", 3.0,
              R"("P-1.curve": curve 3; expected a list of points such as ["20 m3/h", "28 m"].)"),
      Setting(
          "SetsCurvePointInWrongUnit", "P-1.curve", Rows{{"0 m3/h", "32 m"}, {"20 m", "28 m"}},
          R"("P-1.curve": curve: point 2: "20 m": found a length, expected a flow such as "12 m3/h".)"),
      Setting("SetsCoefficientsInWrongOrder", "P-1.coefficients",
              Rows{{"b", 1.0}, {"a", 2.0}, {"c", 2.0}},
              R"("P-1.coefficients": coefficients is a list; expected three numbers, a, b and c.)"),
      Setting("SetsFittingUnknown", "L-1.fittings", Rows{{"elbo 45", 2.0}},
              R"("L-1.fittings": fittings "elbo 45" is unknown; did you mean "elbow 45"?)"),
      Setting("SetsFittingWithoutName", "L-1.fittings", Rows{{1.0, 2.0}},
              R"("L-1.fittings": fittings is a list; expected names and counts.)"),
      Setting("SetsTextOfBadBytes", "L-1.to", "\xFF",
              R"("L-1.to": to "\xff"; expected text in UTF-8.)"),
      Setting("SetsFluidPropertyUnknown", "fluid.densty", 1000.0,
              R"("fluid.densty": fluid has no property "densty"; did you mean "density"?)"),
      Setting(
          "SetsTemperatureAsLength", "fluid.temperature", "20 m",
          R"("fluid.temperature": temperature "20 m": found a length, expected a temperature such as "20 degC".)"),
      Setting(
          "SetsFormulaUnknown", "model.friction", "guess",
          R"("model.friction": friction "guess" is unknown; expected "colebrook", "churchill", "swamee-jain", "haaland", "serghides", "moody", "blasius", "smooth" or "fully rough".)"),
      Part("AddsUnknownKind", "pip", {{"name", "L-2"}},
           R"(unknown kind of part "pip"; did you mean "pipe"?)"),
      Part("AddsUnknownProperty", "pipe", {{"name", "L-2"}, {"lenght", "3 m"}},
           R"(pipe "L-2": unknown property "lenght"; did you mean "length"?)"),
      Part("AddsUnfitValue", "pipe", {{"name", "L-2"}, {"length", "3 bar"}},
           R"(pipe "L-2": length "3 bar": found a pressure, expected a length such as "12 m".)"),
      Part("AddsPropertyTwice", "pipe", {{"name", "L-2"}, {"length", 3.0}, {"length", 4.0}},
           R"(pipe "L-2": length is given twice.)"),
      Part("AddsNamelessWithUnfitValue", "pump", {{"speed", -1.0}},
           "pump: speed -1; expected 0 or more."),
      Built(
          "BuiltWithNegativeBore", [](Network& n) { n.pipes[0].bore = -1.0; },
          R"(pipe "L-1": bore -1 m; expected a value above 0.)"),
      Built(
          "BuiltWithNan", [](Network& n) { n.junctions[0].elevation = kNan; },
          R"(junction "mixer": elevation nan m; expected a finite number.)"),
      Built(
          "BuiltWithoutLength", [](Network& n) { n.pipes[0].length = 0.0; },
          R"(pipe "L-1": length is missing.)"),
      Built(
          "BuiltWithOpeningTooFar", [](Network& n) { n.valves[0].opening = 1.5; },
          R"(valve "HV-3": opening 1.5; expected a value from 0 to 1.)"),
      Built(
          "BuiltWithoutName", [](Network& n) { n.junctions[0].name.clear(); },
          "junction number 1: name is missing."),
      Built(
          "BuiltWithBadBytes", [](Network& n) { n.junctions[0].name = "\xC3("; },
          R"(junction "\xc3(": name "\xc3(" is not UTF-8.)"),
      Built(
          "BuiltWithDanglingEnd", [](Network& n) { n.pipes[0].from = "tnak"; },
          R"(pipe "L-1": from "tnak" is no vessel or junction; did you mean "tank"?)"),
      Built(
          "BuiltWithUnknownKind", [](Network& n) { n.valves[0].kind = "slide"; },
          R"(valve "HV-3": kind "slide" is unknown; expected "diaphragm weir", "diaphragm straight-through", "pinch enclosed body", "pinch open frame", "gate", "globe", "angle", "ball", "butterfly", "plug", "needle", "control linear" or "control equal-percentage".)"),
      Built(
          "BuiltWithTwoBores", [](Network& n) { n.valves[0].bore = 0.08; },
          R"(valve "HV-3": bore and size are both given; give one of them.)"),
      Built(
          "BuiltWithFallingValveCurve",
          [](Network& n) {
            n.valves[0].curve = {{0.0, 0.0}, {0.5, 0.9}, {1.0, 0.8}};
          },
          R"(valve "HV-3": curve: point 3 has coefficient 0.8 after 0.9; it must not fall with opening.)"),
      Built(
          "BuiltWithBadCase",
          [](Network& n) {
            n.cases.push_back({"low", "", {{"P-1.runing", false}}});
          },
          R"(case "low": "P-1.runing": pump has no property "runing"; did you mean "running"?)"),
      Built(
          "BuiltWithCaseSettingTwice",
          [](Network& n) {
            n.cases.push_back({"low", "", {{"P-1.speed", 0.5}, {"P-1.speed", 0.6}}});
          },
          R"(case "low": "P-1.speed" is set twice.)"),
      Built(
          "BuiltWithNoFittingMethod", [](Network& n) { n.model.fittings.clear(); },
          "model: fittings is missing."),
      Built(
          "BuiltWithBrineWithoutDensity", [](Network& n) { n.fluid.name = "brine"; },
          R"(fluid: density is missing; "brine" needs a density (only "water", "seawater", "sodium hydroxide" and "sulphuric acid" have their own).)"),
      {"AsksForUnknownCase", [](Network& n) { n.FindCase("low"); },
       R"(there is no case "low"; there is none.)"},
      {"GetsUnknownProperty", [](Network& n) { n.Get("HV-3.opning"); },
       R"("HV-3.opning": valve has no property "opning"; did you mean "opening"?)"},
      {"ReadsQuantityOfNothing", [](Network&) { ParseQuantity("", Dimension::kFlow); },
       R"("": found no number, expected a flow such as "12 m3/h".)"},
      {"ReadsQuantityInOtherCase", [](Network&) { ParseQuantity("80 GPM", Dimension::kFlow); },
       R"("80 GPM": unknown unit "GPM"; did you mean "gpm"?)"},
      {"ReadsQuantityOfTwoNumbers", [](Network&) { ParseQuantity("1 200 m", Dimension::kLength); },
       R"("1 200 m": unknown unit "200 m"; expected a length such as "12 m".)"},
      {"ReadsNumberWithUnit", [](Network&) { ParseQuantity("0.4 m", Dimension::kNumber); },
       R"("0.4 m": found a length, expected a plain number such as "0.6".)"},
      {"ReadsAbsolutePressure", [](Network&) { ParseQuantity("3 bar(a)", Dimension::kPressure); },
       R"~("3 bar(a)": write "bar"; each pressure is gauge or absolute by itself (gas_pressure is gauge, vapour_pressure and atmospheric_pressure are absolute).)~"},
      {"FormatsInOtherDimension", [](Network&) { FormatQuantity(1.0, Dimension::kFlow, "m"); },
       R"("m": found a length, expected a flow such as "12 m3/h".)"},
      {"FormatsInUnknownUnit", [](Network&) { FromSi(1.0, Dimension::kFlow, "barrels"); },
       R"("barrels": unknown unit "barrels"; expected a flow such as "12 m3/h".)"},
  };
}

class BadCallTest : public testing::TestWithParam<BadCall> {};

TEST_P(BadCallTest, IsRefusedInTheseWordsAndChangesNothing) {
  Network network = SmallPlant();
  const Network before = network;
  std::string message = "(accepted)";
  try {
    GetParam().call(network);
  } catch (const Error& error) {
    message = error.what();
  }
  EXPECT_EQ(message, GetParam().message);
  const bool was_built_wrong = GetParam().name.starts_with("Built");
  EXPECT_TRUE(network == before || was_built_wrong);
}

INSTANTIATE_TEST_SUITE_P(Calls, BadCallTest, testing::ValuesIn(BadCalls()),
                         [](const auto& tested) { return tested.param.name; });

TEST(BadCall, TellsComponentAndKeyAsData) {
  Network network = SmallPlant();
  network.pipes[0].bore = -1.0;
  try {
    network.Validate();
    FAIL() << "accepted";
  } catch (const NetworkError& error) {
    EXPECT_EQ(error.component(), "L-1");
    EXPECT_EQ(error.key(), "bore");
  }
}

}  // namespace
}  // namespace handwheel
