#include <pybind11/stl.h>

#include <cmath>

#include "bindings.h"
#include "correlations/check_valve_kind.h"
#include "correlations/seat_leakage.h"
#include "handwheel/errors.h"
#include "text/suggest.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

const CheckValveKind& CheckValveKindNamed(const std::string& name) {
  if (const CheckValveKind* kind = FindCheckValveKind(name)) return *kind;
  throw Error("check valve kind " + Quoted(name) + " is unknown;" +
              Suggest(name, CheckValveKindNames()));
}

const LeakageRate& LeakageRateNamed(const std::string& name) {
  if (const LeakageRate* rate = FindLeakageRate(name)) return *rate;
  throw Error("leakage rate " + Quoted(name) + " is unknown;" + Suggest(name, LeakageRateNames()));
}

Orientation OrientationNamed(const std::string& name) {
  if (const auto orientation = OrientationFromName(name)) return *orientation;
  throw Error("orientation " + Quoted(name) + " is unknown;" + Suggest(name, OrientationNames()));
}

ClosingAid AidNamed(const std::string& name) {
  if (const auto aid = ClosingAidFromName(name)) return *aid;
  throw Error("assist " + Quoted(name) + " is unknown;" + Suggest(name, ClosingAidNames()));
}

double PositiveQuantity(py::handle given, Dimension dimension, const char* what) {
  const double value = ToQuantity(given, dimension);
  if (value > 0.0 && std::isfinite(value)) return value;
  throw Error(std::string(what) + " " + Shown(value) + "; expected a finite value above 0.");
}

double CheckedDeceleration(double deceleration) {
  if (deceleration >= 0.0 && std::isfinite(deceleration)) return deceleration;
  throw Error("deceleration " + Shown(deceleration) + " m/s2; expected a finite value, 0 or more.");
}

void BindLeakageRate(py::module_& m) {
  py::class_<LeakageRate>(
      m, "LeakageRate",
      "What a standard of testing lets a shut seat pass. A valve in service often passes more, and "
      "a\n"
      "shut check valve is no isolation whatever its rate.")
      .def_readonly("name", &LeakageRate::name, "As a network has it: \"ISO 5208 D\", ...")
      .def_readonly("what", &LeakageRate::what, "The rate in words.")
      .def_property_readonly(
          "source", [](const LeakageRate& rate) { return rate.source.text; },
          "Publication, and what error to expect.")
      .def_property_readonly(
          "trust", [](const LeakageRate& rate) { return TrustWord(rate.source.trust); },
          "\"seen\" in the publication named, recalled \"from memory\", \"common practice\" (of\n"
          "the trade, no source) or \"derived\".")
      .def("__repr__",
           [](const LeakageRate& rate) { return "LeakageRate(" + Quoted(rate.name) + ")"; });
  m.def("leakage_rates", &LeakageRateNames, "The names of the leakage rates of standards.");
  m.def("leakage_rate", &LeakageRateNamed, py::arg("name"), py::return_value_policy::reference,
        "A leakage rate of a standard. Raises Error for an unknown name.");
}

}  // namespace

void BindCheckValveKind(py::module_& m) {
  py::class_<CheckValveKind>(
      m, "CheckValveKind",
      "What is known of a kind of check valve before its maker's data is, and what the solver "
      "uses\n"
      "until then. A check valve stops bulk reverse flow; it is never isolation.")
      .def_readonly("name", &CheckValveKind::name, "As a network has it: \"swing\", ...")
      .def_readonly("what_it_is", &CheckValveKind::what_it_is, "In a sentence.")
      .def_readonly("when_not_to_use", &CheckValveKind::when_not_to_use, "In a sentence or two.")
      .def_readonly("resistance", &CheckValveKind::resistance,
                    "Fully open K over the fully rough friction factor of clean steel [-].")
      .def_readonly("minimum_velocity_constant", &CheckValveKind::minimum_velocity_constant,
                    "The least velocity that holds it fully open [ft/s], times the root of the\n"
                    "density [lb/ft³].")
      .def_readonly("weight_horizontal", &CheckValveKind::weight_horizontal,
                    "Cracking pressure by the closing part's own weight, in horizontal flow [Pa].")
      .def_readonly("weight_vertical_up", &CheckValveKind::weight_vertical_up,
                    "Likewise in upward flow [Pa]; in downward flow it opens the valve instead.")
      .def_readonly("spring_adds", &CheckValveKind::spring_adds,
                    "What a spring adds to the cracking pressure [Pa].")
      .def_readonly("counterweight_adds", &CheckValveKind::counterweight_adds,
                    "What a lever and weight, or a heavier closing part, adds to it [Pa].")
      .def_readonly("horizontal", &CheckValveKind::horizontal, "Whether it suits horizontal flow.")
      .def_readonly("vertical_up", &CheckValveKind::vertical_up, "Whether it suits upward flow.")
      .def_readonly("vertical_down", &CheckValveKind::vertical_down,
                    "Whether it suits downward flow.")
      .def_readonly("solids", &CheckValveKind::solids, "Fit for rags, grit or sludge?")
      .def_readonly("slam_lag", &CheckValveKind::slam_lag,
                    "From flow reversal to shut, without a spring [s].")
      .def(
          "full_open_k",
          [](const CheckValveKind& kind, py::handle bore) {
            return FullOpenK(kind, PositiveQuantity(bore, Dimension::kLength, "bore [m]"));
          },
          py::arg("bore"), "On the velocity head in a bore [m] or, say, \"80 mm\" [-].")
      .def(
          "minimum_velocity",
          [](const CheckValveKind& kind, py::handle density) {
            return MinimumVelocity(
                kind, PositiveQuantity(density, Dimension::kDensity, "density [kg/m3]"));
          },
          py::arg("density"),
          "The least in the bore that holds it fully open [m/s], without a spring or\n"
          "counterweight, in liquid of a density [kg/m³].")
      .def(
          "cracking_pressure",
          [](const CheckValveKind& kind, const std::string& orientation,
             const std::string& assist) {
            return CrackingPressure(kind, AidNamed(assist), OrientationNamed(orientation));
          },
          py::arg("orientation") = "horizontal", py::arg("assist") = "none",
          "The drop at which it begins to open [Pa], with forward flow \"horizontal\", \"vertical\n"
          "up\" or \"vertical down\" and an assist \"none\", \"spring\" or \"weight\".")
      .def(
          "slam_reverse_velocity",
          [](const CheckValveKind& kind, double deceleration, const std::string& assist) {
            return SlamReverseVelocity(kind, AidNamed(assist), CheckedDeceleration(deceleration));
          },
          py::arg("deceleration"), py::arg("assist") = "none",
          "Reverse velocity it catches where flow comes to rest with a deceleration [m/s²]: "
          "[m/s],\n"
          "within 50 % at best. For comparing kinds, never for passing or failing one.")
      .def("__repr__",
           [](const CheckValveKind& kind) { return "CheckValveKind(" + Quoted(kind.name) + ")"; });
  m.def("check_valve_kinds", &CheckValveKindNames, "The names of the kinds of check valve.");
  m.def("check_valve_kind", &CheckValveKindNamed, py::arg("name"),
        py::return_value_policy::reference,
        "What is known of a kind of check valve, as the solver uses it. Raises Error for an\n"
        "unknown name.");
  BindLeakageRate(m);
}

}  // namespace handwheel::python
