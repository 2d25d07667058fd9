#include "network/rules.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <unordered_set>

#include "correlations/flow_coefficient.h"
#include "correlations/pipe_sizes.h"
#include "handwheel/errors.h"
#include "handwheel/units.h"
#include "network/resolve.h"
#include "text/cat.h"
#include "text/number.h"
#include "text/suggest.h"
#include "units/numbers.h"

namespace handwheel {
namespace {

using Finding = std::optional<Problem>;

// A sentence that starts with the property it is about.
template <typename... Parts>
Problem About(std::string_view key, const Parts&... rest) {
  return {std::string(key), Cat(key, rest...)};
}

// --- Sizes ---------------------------------------------------------------------------------------

Problem UnknownSize(const std::string& size) {
  NearestWord nearest(size);
  for (const std::string& known : PipeSizeNames()) nearest.Offer(known);
  const std::string with_prefix = Cat("DN", size);
  std::string better = NominalBore(with_prefix) ? with_prefix : nearest.best();
  return About("size", " ", Quoted(size), " is unknown; ",
               better.empty() ? "expected a DN or NPS size such as \"DN80\" or \"NPS 3\"."
                              : Cat("did you mean ", Quoted(better), "?"));
}

Finding CheckNominalSize(const std::string& size) {
  if (size.empty() || NominalBore(size)) return std::nullopt;
  return UnknownSize(size);
}

Finding CheckPipeSize(const Pipe& pipe) {
  if (pipe.size.empty() || FindPipeSize(pipe.size, ScheduleOf(pipe))) return std::nullopt;
  const std::vector<std::string> schedules = PipeScheduleNames(pipe.size);
  if (!schedules.empty()) {
    return About("schedule", " ", Quoted(ScheduleOf(pipe)), " is unknown for ", Quoted(pipe.size),
                 "; expected ", QuotedList(schedules), ".");
  }
  if (!NominalBore(pipe.size)) return UnknownSize(pipe.size);
  return About("size", " ", Quoted(pipe.size), " is not in the pipe tables; give a bore.");
}

std::string ShownBore(double length) {
  return Cat(FormatDecimal(FromSi(length, Dimension::kLength, "mm"), 6), " mm");
}

// A lining takes its thickness from both sides of the bore.
template <typename Part>
Finding CheckLining(const Part& part) {
  const std::optional<double> bore = UnlinedBoreIfGiven(part);
  if (!bore || 2.0 * part.lining < *bore) return std::nullopt;
  return About("lining", " ", ShownBore(part.lining), " leaves nothing of a bore of ",
               ShownBore(*bore), "; expected less than half of it.");
}

// --- Flow coefficients ---------------------------------------------------------------------------

// The straightest full-bore valves in print have K about 0.03 on their bore; below this, a
// coefficient meant in m³/h or gpm was given without its unit.
constexpr double kLeastBelievableK = 0.005;

FlowCoefficient CoefficientOf(double given, bool is_cv) {
  return is_cv ? FlowCoefficient::FromCv(FromSi(given, Dimension::kFlow, "gpm"))
               : FlowCoefficient::FromKv(given * kHour);
}

Finding CheckCoefficient(std::string_view key, const std::optional<double>& given, bool is_cv,
                         std::optional<double> bore) {
  if (!given || !bore) return std::nullopt;
  const double k = CoefficientOf(*given, is_cv).K(*bore);
  if (k >= kLeastBelievableK) return std::nullopt;
  const std::string_view unit = is_cv ? "gpm" : "m3/h";
  return About(key, " ", FormatDecimal(FromSi(*given, Dimension::kFlow, unit), 6), " ", unit,
               " lets more through than a straight bore of ", ShownBore(*bore), " (K ",
               FormatDecimal(k, 2), "); a bare number is in m3/s, write it as in \"63 ", unit,
               "\".");
}

template <typename Part>
Finding CheckCoefficients(const Part& part) {
  const std::optional<double> bore = BoreIfGiven(part);
  if (Finding finding = CheckCoefficient("kv", part.kv, false, bore)) return finding;
  return CheckCoefficient("cv", part.cv, true, bore);
}

// What a damaged part lets by is a good deal less than its open bore would.
constexpr double kLeastLeakK = 1.0;

Finding CheckLeak(std::string_view key, const std::optional<double>& given,
                  std::optional<double> bore) {
  if (!given || !bore) return std::nullopt;
  const double k = CoefficientOf(*given, false).K(*bore);
  if (k >= kLeastLeakK) return std::nullopt;
  return About(key, " ", FormatDecimal(FromSi(*given, Dimension::kFlow, "m3/h"), 6),
               " m3/h lets as much through as an open bore of ",
               FormatQuantity(*bore, Dimension::kLength, "mm"),
               "; a bare number is in m3/s, write it as in \"2 m3/h\".");
}

// --- Curves --------------------------------------------------------------------------------------

std::string Point(std::size_t i) {
  return Cat(": point ", std::to_string(i + 1));
}

Finding CheckValveCurve(const Curve& curve) {
  if (curve.empty()) return std::nullopt;
  const auto shown = [](double value) { return FormatDecimal(value, 6); };
  if (curve.size() < 2 || curve.front()[0] != 0.0) {
    return About("curve", "; expected its first point at opening 0 and its last at [1, 1].");
  }
  for (std::size_t i = 1; i < curve.size(); ++i) {
    if (!(curve[i][0] > curve[i - 1][0])) {
      return About("curve", Point(i), " has opening ", shown(curve[i][0]), " after ",
                   shown(curve[i - 1][0]), "; openings must rise.");
    }
    if (!(curve[i][1] >= curve[i - 1][1])) {
      return About("curve", Point(i), " has coefficient ", shown(curve[i][1]), " after ",
                   shown(curve[i - 1][1]), "; it must not fall with opening.");
    }
  }
  if (curve.back()[0] != 1.0 || curve.back()[1] != 1.0) {
    return About("curve", " ends at [", shown(curve.back()[0]), ", ", shown(curve.back()[1]),
                 "]; expected its last point at [1, 1].");
  }
  return std::nullopt;
}

std::string ShownFlow(double flow) {
  return Cat(FormatDecimal(flow * kHour, 6), " m3/h");
}
std::string ShownHead(double head) {
  return Cat(FormatDecimal(head, 6), " m");
}

// At least two points whose flows rise.
Finding CheckFlowsOf(std::string_view key, const Curve& curve) {
  if (curve.empty()) return std::nullopt;
  if (curve.size() < 2) return About(key, " has one point; expected at least two.");
  for (std::size_t i = 1; i < curve.size(); ++i) {
    if (curve[i][0] > curve[i - 1][0]) continue;
    return About(key, Point(i), " has flow ", ShownFlow(curve[i][0]), " after ",
                 ShownFlow(curve[i - 1][0]), "; flows must rise from point to point.");
  }
  return std::nullopt;
}

// `must` and `does` complete "head must fall with flow...; it ... from 28 m at 0 m3/h to ...".
Problem WrongSlope(const Curve& curve, std::size_t i, std::string_view must,
                   std::string_view does) {
  const auto& [flow_before, head_before] = curve[i - 1];
  const auto& [flow_here, head_here] = curve[i];
  return About("curve", ": head must fall with flow", must, "; it ", does, " from ",
               ShownHead(head_before), " at ", ShownFlow(flow_before), " to ", ShownHead(head_here),
               " at ", ShownFlow(flow_here), ".");
}

// Head may droop towards zero flow: rise to one peak, and fall from there to the end.
Finding CheckHeads(const Curve& curve) {
  bool has_fallen = false;
  for (std::size_t i = 1; i < curve.size(); ++i) {
    const double before = curve[i - 1][1], here = curve[i][1];
    if (here == before) return WrongSlope(curve, i, "", "stays level");
    if (here > before && has_fallen) return WrongSlope(curve, i, " after its peak", "rises again");
    has_fallen = here < before;
  }
  if (!has_fallen) return WrongSlope(curve, curve.size() - 1, " at the end", "still rises");
  return std::nullopt;
}

Finding CheckPumpCurve(const Curve& curve) {
  if (curve.empty()) return std::nullopt;
  if (curve.size() > 1 && !(curve.front()[1] > 0.0)) {
    return About("curve", " starts with head ", ShownHead(curve.front()[1]),
                 "; expected a head above 0.");
  }
  if (Finding finding = CheckFlowsOf("curve", curve)) return finding;
  return CheckHeads(curve);
}

Finding CheckEfficient(const Curve& efficiency) {
  const auto works = [](const std::array<double, 2>& point) { return point[1] > 0.0; };
  if (efficiency.empty() || std::any_of(efficiency.begin(), efficiency.end(), works)) {
    return std::nullopt;
  }
  return About("efficiency", " is 0 at every point; expected one above 0.");
}

Finding CheckNpshCurve(const Curve& curve) {
  if (Finding finding = CheckFlowsOf("npsh", curve)) return finding;
  for (std::size_t i = 1; i < curve.size(); ++i) {
    if (curve[i][1] >= curve[i - 1][1]) continue;
    return About("npsh", Point(i), " has ", ShownHead(curve[i][1]), " after ",
                 ShownHead(curve[i - 1][1]), "; what a pump needs does not fall with flow.");
  }
  return std::nullopt;
}

Finding CheckPumpCoefficients(const Coefficients& coefficients) {
  if (!coefficients) return std::nullopt;
  const auto [a, b, c] = *coefficients;
  const auto expected = [](std::string_view which, double value, const std::string& what) {
    return About("coefficients", ": ", which, " is ", FormatDecimal(value, 6),
                 "; in head = a - b flow^c, expected ", what, ".");
  };
  if (!(a > 0.0)) return expected("a", a, "a above 0");
  if (!(b > 0.0)) return expected("b", b, "b above 0");
  if (!(c >= 1.0)) return expected("c", c, "c of 1 or more");
  return std::nullopt;
}

// --- Kinds of pump
// --------------------------------------------------------------------------------

constexpr std::string_view kCentrifugal = "centrifugal";

Finding CheckPumpKind(const Pump& pump) {
  const bool has_curve = !pump.curve.empty() || pump.coefficients;
  if (pump.kind == kCentrifugal) {
    if (pump.displacement) {
      return About("displacement", " has no meaning for a ", pump.kind,
                   " pump; give curve or coefficients, or kind \"positive displacement\".");
    }
    if (has_curve) return std::nullopt;
    return Problem{"", "curve or coefficients is missing."};
  }
  if (has_curve) {
    return About(pump.curve.empty() ? "coefficients" : "curve", " has no meaning for a ", pump.kind,
                 " pump; give its displacement.");
  }
  if (pump.displacement) return std::nullopt;
  return About("displacement", " is missing; a ", pump.kind, " pump needs it.");
}

Finding CheckSlip(const Pump& pump) {
  if (!pump.displacement || !pump.slip || *pump.slip < *pump.displacement) return std::nullopt;
  return About("slip", " ", ShownFlow(*pump.slip), " is not less than the displacement of ",
               ShownFlow(*pump.displacement), ".");
}

Finding CheckStages(double stages) {
  if (stages == std::floor(stages)) return std::nullopt;
  return About("stages", " ", FormatDecimal(stages, 6), "; expected a whole number.");
}

// --- Valves --------------------------------------------------------------------------------------

bool IsPossible(std::string_view condition, std::string_view kind) {
  if (condition.starts_with("diaphragm")) return kind.starts_with("diaphragm");
  if (condition.starts_with("sleeve")) return kind.starts_with("pinch");
  return true;
}

Finding CheckCondition(const Valve& valve) {
  if (IsPossible(valve.condition, valve.kind)) return std::nullopt;
  std::vector<std::string> possible;
  const PartKind& kind = *FindPartKind("valve");
  for (const std::string& condition : FindField(kind, "condition")->words()) {
    if (IsPossible(condition, valve.kind)) possible.push_back(condition);
  }
  return About("condition", " ", Quoted(valve.condition), " cannot be that of kind ",
               Quoted(valve.kind), "; expected ", QuotedList(possible), ".");
}

Finding CheckPipeBore(const Valve& valve) {
  const std::optional<double> bore = BoreIfGiven(valve);
  if (!valve.pipe_bore || !bore || *valve.pipe_bore >= *bore) return std::nullopt;
  return About("pipe_bore", " ", ShownBore(*valve.pipe_bore), " is narrower than the valve's ",
               ShownBore(*bore), "; leave it out where there are no reducers.");
}

// --- Pressures -----------------------------------------------------------------------------------

Finding CheckAboveVacuum(std::string_view key, const std::optional<double>& pressure,
                         const Network& network) {
  const double vacuum = -network.site.atmospheric_pressure;
  if (!pressure || *pressure >= vacuum) return std::nullopt;
  return About(key, " ", FormatDecimal(*pressure, 6),
               " Pa is below a full vacuum; it is gauge: expected ", FormatDecimal(vacuum, 6),
               " Pa or more.");
}

// --- Regulators ----------------------------------------------------------------------------------

Finding CheckRegulated(const Regulator& regulator) {
  const bool limits_flow = regulator.kind == "flow-limiting";
  const auto missing = [&](std::string_view key) {
    return About(key, " is missing; a ", regulator.kind, " regulator needs it.");
  };
  const auto unfit = [&](std::string_view key) {
    return About(key, " has no meaning for a ", regulator.kind, " regulator.");
  };
  if (limits_flow && regulator.set_pressure) return unfit("set_pressure");
  if (limits_flow && regulator.droop > 0.0) return unfit("droop");
  if (limits_flow && !regulator.set_flow) return missing("set_flow");
  if (!limits_flow && regulator.set_flow) return unfit("set_flow");
  if (!limits_flow && !regulator.set_pressure) return missing("set_pressure");
  if (regulator.droop > 0.0 && !regulator.rated_flow) {
    return About("droop", " needs rated_flow, the flow that it belongs to.");
  }
  return std::nullopt;
}

// --- Pipes ---------------------------------------------------------------------------------------

Finding CheckFittingsDiffer(const Fittings& fittings) {
  if (fittings.size() < 2) return std::nullopt;
  std::unordered_set<std::string_view> names;
  for (const auto& [name, count] : fittings) {
    if (!names.insert(name).second) {
      return About("fittings", " lists ", Quoted(name), " twice; add up the counts.");
    }
  }
  return std::nullopt;
}

// The fully rough law of a smooth wall has no friction at all.
Finding CheckRoughEnough(const Pipe& pipe, const Network& network) {
  const bool by_formula = !pipe.friction_factor && !pipe.hazen_williams_c;
  if (network.model.friction != FrictionFormula::kFullyRough || !by_formula) return std::nullopt;
  if (RoughnessOf(pipe) > 0.0) return std::nullopt;
  return About("roughness", " is 0, which the friction formula ",
               Quoted(FrictionFormulaName(network.model.friction)),
               " cannot take; expected a value above 0.");
}

template <typename Part>
const Part& As(const void* part) {
  return *static_cast<const Part*>(part);
}

}  // namespace

Finding FluidRule(const void* part, const Network&) {
  try {
    As<Fluid>(part).Resolve();
  } catch (const NetworkError& error) {
    constexpr std::string_view kPrefix = "fluid: ";
    return Problem{error.key(), std::string(error.what()).substr(kPrefix.size())};
  }
  return std::nullopt;
}

Finding VesselRule(const void* part, const Network& network) {
  const Vessel& vessel = As<Vessel>(part);
  if (vessel.height && vessel.level > *vessel.height) {
    return About("height", " ", FormatDecimal(*vessel.height, 6), " m is below the level, ",
                 FormatDecimal(vessel.level, 6), " m; expected the top of the wall.");
  }
  return CheckAboveVacuum("gas_pressure", vessel.gas_pressure, network);
}

Finding PipeRule(const void* part, const Network& network) {
  const Pipe& pipe = As<Pipe>(part);
  if (Finding finding = CheckPipeSize(pipe)) return finding;
  if (Finding finding = CheckLining(pipe)) return finding;
  if (Finding finding = CheckFittingsDiffer(pipe.fittings)) return finding;
  return CheckRoughEnough(pipe, network);
}

Finding ValveRule(const void* part, const Network& network) {
  const Valve& valve = As<Valve>(part);
  if (Finding finding = CheckNominalSize(valve.size)) return finding;
  if (Finding finding = CheckLining(valve)) return finding;
  if (Finding finding = CheckPipeBore(valve)) return finding;
  if (Finding finding = CheckCondition(valve)) return finding;
  if (Finding finding = CheckAboveVacuum("min_pressure", valve.min_pressure, network)) {
    return finding;
  }
  if (Finding finding = CheckValveCurve(valve.curve)) return finding;
  if (Finding finding = CheckLeak("leak_kv", valve.leak_kv, BoreIfGiven(valve))) return finding;
  if (Finding finding = CheckLeak("vent_kv", valve.vent_kv, BoreIfGiven(valve))) return finding;
  return CheckCoefficients(valve);
}

Finding CheckValveRule(const void* part, const Network&) {
  const CheckValve& valve = As<CheckValve>(part);
  if (Finding finding = CheckNominalSize(valve.size)) return finding;
  if (Finding finding = CheckLeak("leak_kv", valve.leak_kv, BoreIfGiven(valve))) return finding;
  return CheckCoefficients(valve);
}

Finding PumpRule(const void* part, const Network&) {
  const Pump& pump = As<Pump>(part);
  if (Finding finding = CheckPumpKind(pump)) return finding;
  if (Finding finding = CheckSlip(pump)) return finding;
  if (Finding finding = CheckStages(pump.stages)) return finding;
  if (Finding finding = CheckPumpCurve(pump.curve)) return finding;
  if (Finding finding = CheckFlowsOf("efficiency", pump.efficiency)) return finding;
  if (Finding finding = CheckEfficient(pump.efficiency)) return finding;
  if (Finding finding = CheckNpshCurve(pump.npsh)) return finding;
  return CheckPumpCoefficients(pump.coefficients);
}

Finding RestrictionRule(const void* part, const Network&) {
  const Restriction& restriction = As<Restriction>(part);
  if (Finding finding = CheckNominalSize(restriction.size)) return finding;
  if (restriction.k && !BoreIfGiven(restriction)) {
    return About("k", " needs a bore or a size whose velocity head it multiplies.");
  }
  if (restriction.rated_drop && !restriction.rated_flow) {
    return About("rated_drop", " needs rated_flow, the flow that it belongs to.");
  }
  return CheckCoefficients(restriction);
}

Finding NozzleRule(const void* part, const Network&) {
  return CheckNominalSize(As<Nozzle>(part).size);
}

Finding RegulatorRule(const void* part, const Network& network) {
  const Regulator& regulator = As<Regulator>(part);
  if (Finding finding = CheckNominalSize(regulator.size)) return finding;
  if (Finding finding = CheckRegulated(regulator)) return finding;
  if (Finding finding = CheckAboveVacuum("set_pressure", regulator.set_pressure, network)) {
    return finding;
  }
  return CheckCoefficients(regulator);
}

}  // namespace handwheel
