#include <string>
#include <vector>

#include "arguments.h"
#include "bindings.h"
#include "correlations/orifice_plate.h"
#include "correlations/relief_sizing.h"
#include "handwheel/errors.h"
#include "text/suggest.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

PressureTappings TappingsNamed(const std::string& name) {
  if (name == "corner") return PressureTappings::kCorner;
  if (name == "radius") return PressureTappings::kRadius;
  if (name == "flange") return PressureTappings::kFlange;
  throw Error("tappings " + Quoted(name) + " are unknown;" +
              Suggest(name, {"corner", "radius", "flange"}));
}

double PlateCoefficientOf(const py::object& re, const py::object& pipe_bore, const py::object& bore,
                          const std::string& tappings) {
  const OrificePlate plate{.pipe_bore = Positive(pipe_bore, "pipe bore", Dimension::kLength),
                           .bore = Positive(bore, "bore", Dimension::kLength),
                           .tappings = TappingsNamed(tappings)};
  const double pipe_re = Positive(re, "Reynolds number");
  const std::vector<std::string> broken = plate.BrokenLimits(pipe_re);
  if (!broken.empty()) throw Error("outside ISO 5167-2: " + broken.front() + ".");
  return plate.DischargeCoefficient(pipe_re);
}

struct PlateArguments {
  double diameter_ratio, discharge_coefficient;
};
PlateArguments PlateOf(const py::object& diameter_ratio, const py::object& discharge_coefficient) {
  return {PositiveFraction(diameter_ratio, "diameter ratio"),
          PositiveFraction(discharge_coefficient, "discharge coefficient")};
}

double ReliefAreaOf(const py::object& flow, const py::object& density, const py::object& drop,
                    const py::object& discharge, const py::object& back_pressure,
                    const py::object& rupture_disk, const py::object& viscosity,
                    const py::object& overpressure) {
  const ReliefFactors factors{.discharge = PositiveFraction(discharge, "discharge"),
                              .back_pressure = PositiveFraction(back_pressure, "back pressure"),
                              .rupture_disk = PositiveFraction(rupture_disk, "rupture disk"),
                              .viscosity = PositiveFraction(viscosity, "viscosity"),
                              .overpressure = PositiveFraction(overpressure, "overpressure")};
  return FiniteResult(ReliefArea(NotNegative(flow, "flow", Dimension::kFlow),
                                 Positive(density, "density", Dimension::kDensity),
                                 Positive(drop, "drop", Dimension::kPressure), factors));
}

py::tuple ReliefOrificeOf(const py::object& area) {
  const double needed = Positive(area, "area", Dimension::kArea);
  const auto orifice = LeastReliefOrifice(needed);
  if (!orifice) throw Error("no lettered orifice has so large an area; T has 26 square inches.");
  return py::make_tuple(std::string(1, orifice->letter), orifice->area);
}

void BindOrificePlate(py::module_& m) {
  m.def(
      "orifice_discharge_coefficient", &PlateCoefficientOf, py::arg("re"), py::arg("pipe_bore"),
      py::arg("bore"), py::arg("tappings") = "corner",
      "C [-] of a square-edged orifice plate of `bore` in a pipe of `pipe_bore` [m], at Reynolds\n"
      "number `re` [-] in the pipe; tappings \"corner\", \"radius\" (D and D/2) or \"flange\".\n"
      "Raises Error outside the limits of the standard. ISO 5167-2:2003, eq. (4), by M. J.\n"
      "Reader-Harris and J. E. Gallagher, from memory.");
  m.def(
      "orifice_loss_ratio",
      [](const py::object& diameter_ratio, const py::object& discharge_coefficient) {
        const auto [b, c] = PlateOf(diameter_ratio, discharge_coefficient);
        return PermanentLossRatio(b, c);
      },
      py::arg("diameter_ratio"), py::arg("discharge_coefficient"),
      "Loss of total pressure over the pressure difference at the tappings [-]. Raises Error for\n"
      "values outside 0 to 1. ISO 5167-2:2003, eq. (7).");
  m.def(
      "orifice_k",
      [](const py::object& diameter_ratio, const py::object& discharge_coefficient) {
        const auto [b, c] = PlateOf(diameter_ratio, discharge_coefficient);
        return FiniteResult(OrificePlateK(b, c));
      },
      py::arg("diameter_ratio"), py::arg("discharge_coefficient"),
      "Loss coefficient K [-] on the velocity head in the pipe, to be the k of a Restriction of\n"
      "the pipe's bore. The same loss as orifice_loss_ratio, same errors and source.");
}

void BindReliefSizing(py::module_& m) {
  m.def(
      "relief_area", &ReliefAreaOf, py::arg("flow"), py::arg("density"), py::arg("drop"),
      py::arg("discharge") = 0.65, py::arg("back_pressure") = 1.0, py::arg("rupture_disk") = 1.0,
      py::arg("viscosity") = 1.0, py::arg("overpressure") = 1.0,
      "Area [m²] of a relief valve for a flow [m³/s] of liquid of `density` [kg/m³] under a drop\n"
      "[Pa], set pressure and overpressure less back pressure, with the factors Kd, Kw, Kc, Kv\n"
      "and Kp [-]. A screening aid: sizing a protective device is for a licensed engineer with\n"
      "the standard and the maker's certified figures. Raises Error for a drop or density <= 0,\n"
      "or a factor outside 0 to 1. API 520-I, from memory.");
  m.def(
      "relief_reynolds",
      [](const py::object& flow, const py::object& area, const py::object& kinematic_viscosity) {
        return FiniteResult(ReliefReynolds(
            NotNegative(flow, "flow", Dimension::kFlow), Positive(area, "area", Dimension::kArea),
            Positive(kinematic_viscosity, "kinematic viscosity", Dimension::kKinematicViscosity)));
      },
      py::arg("flow"), py::arg("area"), py::arg("kinematic_viscosity"),
      "Re [-] of a flow [m³/s] through a round orifice of an area [m²]; kinematic viscosity\n"
      "[m²/s]. Raises Error for an area or viscosity <= 0. API 520-I, from memory.");
  m.def(
      "relief_viscosity_factor",
      [](const py::object& re) { return ReliefViscosityFactor(Positive(re, "Reynolds number")); },
      py::arg("re"),
      "Kv [-] = 1/(0.9935 + 2.878/re^0.5 + 342.75/re^1.5), not above 1, of relief_reynolds.\n"
      "Raises Error for re <= 0. API 520-I, from memory.");
  m.def("relief_orifice", &ReliefOrificeOf, py::arg("area"),
        "(letter, effective area [m²]) of the least lettered orifice of at least `area` [m²].\n"
        "Raises Error above the largest, T. API 526, from memory.");
}

}  // namespace

void BindOrificeCorrelations(py::module_& m) {
  BindOrificePlate(m);
  BindReliefSizing(m);
}

}  // namespace handwheel::python
