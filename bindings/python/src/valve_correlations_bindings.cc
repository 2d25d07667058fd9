#include <string>

#include "arguments.h"
#include "bindings.h"
#include "correlations/liquids.h"
#include "correlations/pipe_sizes.h"
#include "correlations/seat_leakage.h"
#include "correlations/valve_sizing.h"
#include "handwheel/errors.h"
#include "text/suggest.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

constexpr double kSecondsPerHour = 3600.0;
constexpr double kLeastRecovery = 0.2;  // FL to which the viscous formulas are meant [-]

FlowCoefficient KvArgument(const py::object& kv, const std::string& name = "kv") {
  return FlowCoefficient::FromKv(Positive(kv, name, Dimension::kFlow) * kSecondsPerHour);
}

double BoreArgument(const py::object& bore, const std::string& name = "bore") {
  return Positive(bore, name, Dimension::kLength);
}

// ---- Choking and cavitation ---------------------------------------------------------------------

double CriticalRatioOf(const py::object& vapour_pressure, const py::object& critical_pressure) {
  const double pc = Positive(critical_pressure, "critical pressure", Dimension::kPressure);
  const double pv = Between(0.0, pc, vapour_pressure, "vapour pressure", Dimension::kPressure);
  return CriticalPressureRatioFactor(pv, pc);
}

double ChokedDropOf(const py::object& inlet_pressure, const py::object& vapour_pressure,
                    const py::object& fl, const py::object& ff) {
  const double p1 = Positive(inlet_pressure, "inlet pressure", Dimension::kPressure);
  const double pv = Between(0.0, p1, vapour_pressure, "vapour pressure", Dimension::kPressure);
  return ChokedDrop(p1, pv, PositiveFraction(ff, "ff"), PositiveFraction(fl, "fl"));
}

double CavitationIndexOf(const py::object& inlet_pressure, const py::object& outlet_pressure,
                         const py::object& vapour_pressure) {
  const double p1 = Positive(inlet_pressure, "inlet pressure", Dimension::kPressure);
  const double p2 = NotNegative(outlet_pressure, "outlet pressure", Dimension::kPressure);
  const double pv = Between(0.0, p1, vapour_pressure, "vapour pressure", Dimension::kPressure);
  if (!(p2 < p1)) {
    throw Error("outlet pressure is " + Shown(p2) + " [Pa]; expected less than at the inlet, " +
                Shown(p1) + ".");
  }
  return FiniteResult(CavitationIndicesOf(p1, p2, pv).sigma);
}

double AudibleRatioOf(const py::object& kv, const py::object& fl, const py::object& fd,
                      const py::object& inlet_pressure) {
  const double at_6_bar = AudibleCavitationRatio(KvArgument(kv), PositiveFraction(fl, "fl"),
                                                 PositiveFraction(fd, "fd"));
  const double p1 = Positive(inlet_pressure, "inlet pressure", Dimension::kPressure);
  return FiniteResult(AudibleCavitationRatioAt(at_6_bar, p1));
}

void BindChoking(py::module_& m) {
  m.def("critical_pressure_ratio_factor", &CriticalRatioOf, py::arg("vapour_pressure"),
        py::arg("critical_pressure") = kWaterCriticalPressure,
        "FF [-] = 0.96 - 0.28 sqrt(vapour_pressure/critical_pressure), both absolute [Pa]; the\n"
        "critical pressure of water if not given. Raises Error unless 0 <= vapour_pressure <=\n"
        "critical_pressure. IEC 60534-2-1, from memory.");
  m.def("choked_drop", &ChokedDropOf, py::arg("inlet_pressure"), py::arg("vapour_pressure"),
        py::arg("fl"), py::arg("ff") = 0.96,
        "Drop [Pa] from which a valve passes no more liquid: fl² (inlet_pressure - ff\n"
        "vapour_pressure), absolute [Pa]; with reducers give FLP/FP as fl. `ff` is that of a cold\n"
        "liquid unless given, see critical_pressure_ratio_factor. Raises Error unless\n"
        "vapour_pressure <= inlet_pressure and fl, ff lie above 0 up to 1. IEC 60534-2-1, from\n"
        "memory.");
  m.def(
      "cavitation_index", &CavitationIndexOf, py::arg("inlet_pressure"), py::arg("outlet_pressure"),
      py::arg("vapour_pressure"),
      "Sigma [-] = (p1 - pv)/(p1 - p2) of absolute pressures [Pa]. sigma - 1 is the index on the\n"
      "outlet pressure, 1/sigma the drop ratio xF. Raises Error unless p2 < p1 and pv <= p1.\n"
      "ISA-RP75.23, from memory.");
  m.def(
      "cavitation_band",
      [](const py::object& sigma) { return std::string(SigmaBand(AnyFinite(sigma, "sigma"))); },
      py::arg("sigma"),
      "\"none\" from 2.0, \"incipient\" from 1.7, \"constant\" from 1.5, \"damaging\" from 1.2,\n"
      "else \"near choking\": screening of globe-type valves by cavitation_index, from a\n"
      "secondary source. Ball, butterfly, pinch and straight-through valves cavitate at higher\n"
      "sigma.");
  m.def("audible_cavitation_ratio", &AudibleRatioOf, py::arg("kv"), py::arg("fl"), py::arg("fd"),
        py::arg("inlet_pressure") = 6e5,
        "xFz [-], the drop ratio at which cavitation becomes audible, where nobody measured it,\n"
        "from kv [m³/s at 1 bar, or \"63 m3/h\"], FL, Fd and the absolute inlet pressure [Pa]. An\n"
        "estimate; measured values differ by a third. Raises Error for kv or pressure <= 0, FL or\n"
        "Fd outside 0 to 1. IEC 60534-8-4, from memory.");
}

// ---- Reducers and viscosity ---------------------------------------------------------------------

Reducers ReducersOf(const py::object& bore, const py::object& inlet_bore,
                    const py::object& outlet_bore) {
  const double d = BoreArgument(bore);
  const double d1 = BoreArgument(inlet_bore, "inlet bore");
  const double d2 = BoreArgument(outlet_bore, "outlet bore");
  if (d1 < d || d2 < d) {
    throw Error("the pipes' bores are " + Shown(d1) + " and " + Shown(d2) +
                " [m]; expected none below that of the valve, " + Shown(d) + ".");
  }
  return ReducersAround(d, d1, d2);
}

std::string ReducersRepr(const Reducers& r) {
  return "Reducers(inlet_loss=" + Shown(r.inlet_loss) + ", outlet_loss=" + Shown(r.outlet_loss) +
         ", inlet_bernoulli=" + Shown(r.inlet_bernoulli) +
         ", outlet_bernoulli=" + Shown(r.outlet_bernoulli) + ")";
}

double ValveReynoldsOf(const py::object& flow, const py::object& kv, const py::object& bore,
                       const py::object& kinematic_viscosity, const py::object& fl,
                       const py::object& fd) {
  const double d = BoreArgument(bore);
  const double nu =
      Positive(kinematic_viscosity, "kinematic viscosity", Dimension::kKinematicViscosity);
  return FiniteResult(ValveReynolds(AnyFinite(flow, "flow", Dimension::kFlow), d, nu,
                                    KvArgument(kv).K(d), PositiveFraction(fl, "fl"),
                                    PositiveFraction(fd, "fd")));
}

double ReynoldsFactorOf(const py::object& valve_reynolds, const py::object& kv,
                        const py::object& bore, const py::object& fl,
                        const py::object& full_open_kv) {
  const double d = BoreArgument(bore);
  const double k = KvArgument(kv).K(d);
  const double open_k = full_open_kv.is_none() ? k : KvArgument(full_open_kv, "full-open kv").K(d);
  if (open_k > k) throw Error("kv exceeds the full-open kv.");
  const double n = ViscousTrimFactor({.full_open = open_k, .at_opening = k});
  const ViscousFactor factor(n, Between(kLeastRecovery, 1.0, fl, "fl"));
  return FiniteResult(factor.At(NotNegative(valve_reynolds, "valve Reynolds number")).fr);
}

void BindReducers(py::module_& m) {
  py::class_<Reducers>(m, "Reducers",
                       "Losses [-] of the reducers on both sides of a valve, on the velocity head\n"
                       "in the valve's bore.")
      .def_readonly("inlet_loss", &Reducers::inlet_loss, "K1 = 0.5 (1 - (d/D1)²)².")
      .def_readonly("outlet_loss", &Reducers::outlet_loss, "K2 = (1 - (d/D2)²)².")
      .def_readonly("inlet_bernoulli", &Reducers::inlet_bernoulli, "KB1 = 1 - (d/D1)⁴.")
      .def_readonly("outlet_bernoulli", &Reducers::outlet_bernoulli, "KB2 = 1 - (d/D2)⁴.")
      .def_property_readonly("sum", &Reducers::Sum, "K1 + K2 + KB1 - KB2.")
      .def("__repr__", &ReducersRepr);
  m.def("reducers", &ReducersOf, py::arg("bore"), py::arg("inlet_bore"), py::arg("outlet_bore"),
        "The Reducers around a valve of `bore` [m] between pipes of wider bores [m]. Raises Error\n"
        "for a pipe narrower than the valve. IEC 60534-2-1, from memory.");
  m.def(
      "piping_geometry_factor",
      [](const py::object& kv, const py::object& bore, const Reducers& reducers) {
        return FiniteResult(PipingGeometryFactor(KvArgument(kv).K(BoreArgument(bore)), reducers));
      },
      py::arg("kv"), py::arg("bore"), py::arg("reducers"),
      "FP [-], flow coefficient with reducers over that without: sqrt(K/(K + SumK)), K of the\n"
      "valve by `kv` [m³/s at 1 bar] on its `bore` [m]. Raises Error for kv or bore <= 0.\n"
      "IEC 60534-2-1, from memory.");
  m.def(
      "combined_recovery_factor",
      [](const py::object& kv, const py::object& bore, const py::object& fl,
         const Reducers& reducers) {
        return FiniteResult(CombinedRecoveryFactor(KvArgument(kv).K(BoreArgument(bore)),
                                                   PositiveFraction(fl, "fl"), reducers));
      },
      py::arg("kv"), py::arg("bore"), py::arg("fl"), py::arg("reducers"),
      "FLP [-] = 1/sqrt((K1 + KB1)/K + 1/fl²), K of the valve by `kv` [m³/s at 1 bar] on its\n"
      "`bore` [m]. Raises Error for kv or bore <= 0, fl outside 0 to 1. IEC 60534-2-1, from\n"
      "memory.");
  m.def(
      "k_from_kv",
      [](const py::object& kv, const py::object& bore) {
        return FiniteResult(KvArgument(kv).K(BoreArgument(bore)));
      },
      py::arg("kv"), py::arg("bore"),
      "Loss coefficient K [-] on the velocity head in a `bore` [m] from `kv` [m³/s at 1 bar, or\n"
      "\"63 m3/h\"]: 0.00160032 d⁴/Kv² in mm and m³/h. Raises Error for a value <= 0. Definition.");
  m.def(
      "kv_from_k",
      [](const py::object& k, const py::object& bore) {
        const double d = BoreArgument(bore);
        return FiniteResult(FlowCoefficient::FromK(Positive(k, "k"), d).kv() / kSecondsPerHour);
      },
      py::arg("k"), py::arg("bore"),
      "Flow of water at 1 bar [m³/s] through what loses `k` [-] velocity heads in a `bore` [m];\n"
      "times 3600: Kv in m³/h. Raises Error for a value <= 0. Definition.");
}

void BindViscousValve(py::module_& m) {
  m.def(
      "valve_reynolds", &ValveReynoldsOf, py::arg("flow"), py::arg("kv"), py::arg("bore"),
      py::arg("kinematic_viscosity"), py::arg("fl"), py::arg("fd"),
      "Rev [-] of a flow [m³/s] through a valve of kv [m³/s at 1 bar] on its bore [m]; kinematic\n"
      "viscosity [m²/s]. Raises Error for kv, bore or viscosity <= 0, FL or Fd outside 0 to 1.\n"
      "IEC 60534-2-1, from memory.");
  m.def("valve_reynolds_factor", &ReynoldsFactorOf, py::arg("valve_reynolds"), py::arg("kv"),
        py::arg("bore"), py::arg("fl"), py::arg("full_open_kv") = py::none(),
        "FR [-], flow in viscous over that in turbulent flow at the same drop, of valve Reynolds\n"
        "number `valve_reynolds` [-]; kv [m³/s at 1 bar] as the valve stands and fully open (the\n"
        "same if not given) on its bore [m]. Trust it to 10 to 20 %. Corners between the regimes\n"
        "are rounded, by at most 2.5 %. Raises Error for Rev < 0, kv or bore <= 0, fl outside 0.2\n"
        "to 1. IEC 60534-2-1, from memory.");
}

// ---- Leaking seats ------------------------------------------------------------------------------

bool CountsRatedCoefficient(const std::string& rate) {
  TestedSeat seat{.nominal_bore = 1.0, .nominal_inches = 1.0, .test_drop = 1.0};
  const double without = *LeakFlowInTest(rate, seat);
  seat.rated = FlowCoefficient::FromAv(1.0);
  return *LeakFlowInTest(rate, seat) != without;
}

TestedSeat SeatOf(const std::string& rate, const std::string& size, const py::object& test_drop,
                  const py::object& rated_kv) {
  if (!FindLeakageRate(rate)) {
    throw Error("leakage rate " + Quoted(rate) + " is unknown;" +
                Suggest(rate, LeakageRateNames()));
  }
  const auto bore = NominalBore(size);
  const auto inches = NominalInches(size);
  if (!bore || !inches) {
    throw Error("size " + Quoted(size) + " is unknown; expected, say, \"DN80\" or \"NPS 3\".");
  }
  TestedSeat seat{.nominal_bore = *bore,
                  .nominal_inches = *inches,
                  .test_drop = Positive(test_drop, "test drop", Dimension::kPressure)};
  if (!rated_kv.is_none()) {
    seat.rated = KvArgument(rated_kv, "rated kv");
  } else if (CountsRatedCoefficient(rate)) {
    throw Error(rate + " is a share of the rated flow coefficient: give rated_kv.");
  }
  return seat;
}

void BindSeatLeakage(py::module_& m) {
  m.def(
      "leak_in_test",
      [](const std::string& rate, const std::string& size, const py::object& test_drop,
         const py::object& rated_kv) {
        return FiniteResult(*LeakFlowInTest(rate, SeatOf(rate, size, test_drop, rated_kv)));
      },
      py::arg("rate"), py::arg("size"), py::arg("test_drop"), py::arg("rated_kv") = py::none(),
      "What a new shut seat may pass in its test [m³/s]: of water; class VI: of air at 15 degC\n"
      "and 1 atm. `rate` is one of leakage_rates(), `size` \"DN80\" or \"NPS 3\", `test_drop`\n"
      "[Pa]; classes II to IV need `rated_kv` [m³/s at 1 bar]. Raises Error for an unknown rate\n"
      "or size, or a value <= 0. API 598, MSS SP-61, ISO 5208, FCI 70-2 (IEC 60534-4), as\n"
      "listings have them. A shut check valve is no isolation, whatever its rate.");
  m.def(
      "seat_leak_kv",
      [](const std::string& rate, const std::string& size, const py::object& test_drop,
         const py::object& rated_kv) {
        const TestedSeat seat = SeatOf(rate, size, test_drop, rated_kv);
        return FiniteResult(SeatLeak(rate, seat)->kv() / kSecondsPerHour);
      },
      py::arg("rate"), py::arg("size"), py::arg("test_drop"), py::arg("rated_kv") = py::none(),
      "Flow coefficient [m³/s at 1 bar] of a seat that just passes the test, as a hole of fixed\n"
      "area, to be a part's leak_kv; arguments, errors and sources as of leak_in_test. Real leaks\n"
      "are partly laminar: at a tenth of the test drop the laws differ threefold.");
}

}  // namespace

void BindValveCorrelations(py::module_& m) {
  BindChoking(m);
  BindReducers(m);
  BindViscousValve(m);
  BindSeatLeakage(m);
}

}  // namespace handwheel::python
