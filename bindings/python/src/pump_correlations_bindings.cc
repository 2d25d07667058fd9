#include <string>
#include <tuple>

#include "arguments.h"
#include "bindings.h"
#include "correlations/pump_correlations.h"
#include "handwheel/errors.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

using FlowAndHead = std::tuple<py::object, py::object>;

CurvePoint CurvePointOf(const FlowAndHead& point) {
  return {Positive(std::get<0>(point), "flow", Dimension::kFlow),
          NotNegative(std::get<1>(point), "head", Dimension::kLength)};
}

py::tuple PumpCoefficients(const py::object& shutoff_head, const FlowAndHead& middle,
                           const FlowAndHead& far) {
  const double shutoff = Positive(shutoff_head, "shut-off head", Dimension::kLength);
  const auto curve = PowerCurveThrough(shutoff, CurvePointOf(middle), CurvePointOf(far));
  if (!curve) throw Error("the heads do not fall as the flows grow from 0.");
  return py::make_tuple(curve->shutoff_head, FiniteResult(curve->coefficient), curve->exponent);
}

py::tuple PumpAtSpeed(const py::object& flow, const py::object& head, const py::object& power,
                      const py::object& speed_ratio) {
  const PumpDuty duty{NotNegative(flow, "flow", Dimension::kFlow),
                      NotNegative(head, "head", Dimension::kLength),
                      NotNegative(power, "power", Dimension::kPower)};
  const PumpDuty scaled = AtSpeedRatio(duty, NotNegative(speed_ratio, "speed ratio"));
  return py::make_tuple(FiniteResult(scaled.flow), FiniteResult(scaled.head),
                        FiniteResult(scaled.power));
}

double SpecificSpeedOf(const py::object& rpm, const py::object& flow, const py::object& head) {
  return FiniteResult(SpecificSpeed(Positive(rpm, "rpm"), Positive(flow, "flow", Dimension::kFlow),
                                    Positive(head, "head", Dimension::kLength)));
}

double NpshAvailableOf(const py::object& surface_pressure, const py::object& vapour_pressure,
                       const py::object& density, const py::object& surface_elevation,
                       const py::object& pump_elevation, const py::object& surface_velocity,
                       const py::object& head_loss, const py::object& gravity) {
  const SuctionState suction{
      .surface_pressure = NotNegative(surface_pressure, "surface pressure", Dimension::kPressure),
      .vapour_pressure = NotNegative(vapour_pressure, "vapour pressure", Dimension::kPressure),
      .density = Positive(density, "density", Dimension::kDensity),
      .surface_elevation = AnyFinite(surface_elevation, "surface elevation", Dimension::kLength),
      .pump_elevation = AnyFinite(pump_elevation, "pump elevation", Dimension::kLength),
      .surface_velocity = NotNegative(surface_velocity, "surface velocity", Dimension::kVelocity),
      .head_loss = NotNegative(head_loss, "head loss", Dimension::kLength)};
  return FiniteResult(
      NpshAvailable(suction, Positive(gravity, "gravity", Dimension::kAcceleration)));
}

// Viscosities the method is made for [m²/s].
constexpr double kThinnest = 1e-6, kThickest = 4e-3;

ViscousCorrection ViscousCorrectionOf(const py::object& flow, const py::object& head,
                                      const py::object& rpm, const py::object& efficiency,
                                      const py::object& kinematic_viscosity) {
  const WaterDuty best{.flow = Positive(flow, "flow", Dimension::kFlow),
                       .head = Positive(head, "head", Dimension::kLength),
                       .speed_rpm = Positive(rpm, "rpm"),
                       .efficiency = PositiveFraction(efficiency, "efficiency")};
  const ViscousCorrection correction =
      CorrectForViscosity(best, Between(kThinnest, kThickest, kinematic_viscosity,
                                        "kinematic viscosity", Dimension::kKinematicViscosity));
  FiniteResult(correction.b);
  return correction;
}

std::string ViscousCorrectionRepr(const ViscousCorrection& c) {
  return "ViscousCorrection(b=" + Shown(c.b) + ", applies=" + (c.applies ? "True" : "False") +
         ", flow_factor=" + Shown(c.flow_factor) +
         ", efficiency_factor=" + Shown(c.efficiency_factor) + ")";
}

void BindViscousCorrection(py::module_& m) {
  py::class_<ViscousCorrection>(
      m, "ViscousCorrection",
      "What viscosity takes off a pump's performance on water, ANSI/HI 9.6.7.")
      .def_readonly("b", &ViscousCorrection::b, "The parameter B of the method [-].")
      .def_readonly("applies", &ViscousCorrection::applies,
                    "B < 40; beyond, the factors are those at 40 and mean little.")
      .def_readonly("flow_factor", &ViscousCorrection::flow_factor,
                    "CQ [-], on the flow; equal to the head factor at best efficiency.")
      .def_readonly("efficiency_factor", &ViscousCorrection::efficiency_factor, "C_eta [-].")
      .def(
          "head_factor",
          [](const ViscousCorrection& correction, const py::object& flow_over_best) {
            return FiniteResult(
                correction.HeadFactor(NotNegative(flow_over_best, "flow over best")));
          },
          py::arg("flow_over_best") = 1.0,
          "CH [-] at a water flow over that of best efficiency [-]. Raises Error below 0.")
      .def("__repr__", &ViscousCorrectionRepr);
  m.def("viscous_correction", &ViscousCorrectionOf, py::arg("flow"), py::arg("head"),
        py::arg("rpm"), py::arg("efficiency"), py::arg("kinematic_viscosity"),
        "The ViscousCorrection of a pump whose best efficiency on water lies at `flow` [m³/s] and\n"
        "`head` [m] per stage, at `rpm` [rev/min], for a liquid of 1 to 4000 cSt [m²/s]. Multiply\n"
        "the values on water by the factors. Raises Error outside that range, or for values <= 0.\n"
        "ANSI/HI 9.6.7, for Newtonian liquids and specific speeds up to 60.");
}

}  // namespace

void BindPumpCorrelations(py::module_& m) {
  m.def(
      "specific_speed", &SpecificSpeedOf, py::arg("rpm"), py::arg("flow"), py::arg("head"),
      "ns = rpm flow^0.5/head^0.75 [rev/min, m³/s, m] at best efficiency, head per stage; 51.645\n"
      "times that is the number in US gal/min and ft. Raises Error for values <= 0. Hydraulic\n"
      "Institute, engineering data text.");
  m.def(
      "suction_specific_speed",
      [](const py::object& rpm, const py::object& flow, const py::object& npsh_required) {
        return SpecificSpeedOf(rpm, flow, npsh_required);
      },
      py::arg("rpm"), py::arg("flow"), py::arg("npsh_required"),
      "S = rpm flow^0.5/npsh_required^0.75 [rev/min, m³/s, m], flow per impeller eye. Raises\n"
      "Error for values <= 0. Same source as specific_speed.");
  m.def("pump_at_speed", &PumpAtSpeed, py::arg("flow"), py::arg("head"), py::arg("power"),
        py::arg("speed_ratio"),
        "(flow [m³/s], head [m], power [W]) of a pump's duty at `speed_ratio` [-] times its\n"
        "speed, by the affinity laws. Raises Error for negative values. DOE-HDBK-1012/3-92.");
  m.def("pump_coefficients", &PumpCoefficients, py::arg("shutoff_head"), py::arg("middle"),
        py::arg("far"),
        "(a [m], b, c) in SI of head = a - b flow^c through shut-off and two points (flow [m³/s],\n"
        "head [m]): what a Pump takes as its coefficients. Raises Error unless the heads fall as\n"
        "the flows grow from 0. Closed form.");
  m.def(
      "npsh_available", &NpshAvailableOf, py::arg("surface_pressure"), py::arg("vapour_pressure"),
      py::arg("density"), py::arg("surface_elevation") = 0.0, py::arg("pump_elevation") = 0.0,
      py::arg("surface_velocity") = 0.0, py::arg("head_loss") = 0.0, py::arg("gravity") = 9.80665,
      "NPSH available [m]: total head at the pump above the vapour head. Absolute pressures [Pa],\n"
      "density [kg/m³], elevations [m], velocity at the surface [m/s], loss from there to the\n"
      "pump [m]. Negative where the liquid boils before it. Raises Error for a negative pressure,\n"
      "loss or velocity. Definition.");
  m.def(
      "pump_temperature_rise",
      [](const py::object& head, const py::object& efficiency, const py::object& heat_capacity,
         const py::object& gravity) {
        return FiniteResult(TemperatureRise(
            NotNegative(head, "head", Dimension::kLength),
            PositiveFraction(efficiency, "efficiency"), Positive(heat_capacity, "heat capacity"),
            Positive(gravity, "gravity", Dimension::kAcceleration)));
      },
      py::arg("head"), py::arg("efficiency"), py::arg("heat_capacity") = 4186.0,
      py::arg("gravity") = 9.80665,
      "Rise of temperature [K] of a liquid of some heat capacity [J/(kg K)], water's if not\n"
      "given, through a pump: g head (1/efficiency - 1)/heat_capacity. Raises Error for a\n"
      "negative head or an efficiency outside 0 to 1. Energy balance.");
  BindViscousCorrection(m);
}

}  // namespace handwheel::python
