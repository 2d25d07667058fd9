#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include <cmath>
#include <span>

#include "bindings.h"
#include "correlations/flow_coefficient.h"
#include "correlations/valve_characteristic.h"
#include "handwheel/errors.h"
#include "text/suggest.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

// The points of a characteristic with where they come from.
struct CitedCurve {
  std::span<const CharacteristicPoint> points;
  Source source;
};

py::array PointsOf(const CitedCurve& curve) {
  py::array_t<double> rows({static_cast<py::ssize_t>(curve.points.size()), py::ssize_t{2}});
  auto cells = rows.mutable_unchecked<2>();
  for (py::ssize_t i = 0; i < cells.shape(0); ++i) {
    const CharacteristicPoint& point = curve.points[static_cast<std::size_t>(i)];
    cells(i, 0) = point.opening;
    cells(i, 1) = point.relative_coefficient;
  }
  return rows;
}

std::string ShortValue(const Cited& datum) {
  return Shown(datum.value);
}
std::string ShortValue(const CitedFitness& datum) {
  return datum.suits ? "True" : "False";
}
std::string ShortValue(const CitedCurve& datum) {
  return std::to_string(datum.points.size()) + " points";
}

template <typename Datum>
py::class_<Datum> CitedClass(py::module_& m, const char* name, const char* doc) {
  py::class_<Datum> cited(m, name, doc);
  cited
      .def_property_readonly(
          "source", [](const Datum& datum) { return datum.source.text; },
          "Publication, formula or reason, and what error to expect.")
      .def_property_readonly(
          "trust", [](const Datum& datum) { return TrustWord(datum.source.trust); },
          "\"seen\" in the publication named, recalled \"from memory\", \"common practice\" (of\n"
          "the trade, no source) or \"derived\".")
      .def("__repr__", [name = std::string(name)](const Datum& datum) {
        return name + "(" + ShortValue(datum) + ", " + std::string(TrustWord(datum.source.trust)) +
               ")";
      });
  return cited;
}

void BindCited(py::module_& m) {
  CitedClass<Cited>(m, "Cited", "A number with where it comes from.")
      .def_readonly("value", &Cited::value, "The number, in the unit of the property.");
  CitedClass<CitedFitness>(m, "CitedFitness",
                           "Whether something is so of a kind; the source says why or why not.")
      .def_readonly("value", &CitedFitness::suits, "True or False.");
  CitedClass<CitedCurve>(m, "CitedCurve", "Points of a curve with where they come from.")
      .def_property_readonly("value", &PointsOf,
                             "Points (opening, relative coefficient): an array of two columns, a\n"
                             "copy.");
}

const ValveKind& ValveKindNamed(const std::string& name) {
  if (const ValveKind* kind = FindValveKind(name)) return *kind;
  throw Error("valve kind " + Quoted(name) + " is unknown;" + Suggest(name, ValveKindNames()));
}

double CheckedOpening(double opening) {
  if (opening >= 0.0 && opening <= 1.0) return opening;
  throw Error("opening " + Shown(opening) + "; expected 0 (shut) to 1 (fully open).");
}

double ToBore(py::handle bore) {
  const double metres = ToQuantity(bore, Dimension::kLength);
  if (metres > 0.0 && std::isfinite(metres)) return metres;
  throw Error("bore " + Shown(metres) + " m; expected a finite value above 0.");
}

py::object RelativeCoefficientAt(const ValveKind& kind, py::array_t<double> opening) {
  const MonotoneCubic curve = RelativeCoefficient(kind);
  return py::vectorize([&](double h) { return curve.Value(CheckedOpening(h)); })(opening);
}

py::object PressureRecoveryAt(const ValveKind& kind, py::array_t<double> opening) {
  return py::vectorize([&](double h) { return PressureRecovery(kind, CheckedOpening(h)); })(
      opening);
}

// m³/s of water at 1 bar.
double FullOpenKv(const ValveKind& kind, py::handle bore) {
  return FlowCoefficient::FromK(kind.full_open_k, ToBore(bore)).kv() / 3600.0;
}

}  // namespace

void BindValveKind(py::module_& m) {
  BindCited(m);
  py::class_<ValveKind>(
      m, "ValveKind",
      "What is known of a kind of valve before its maker's table is, and what the solver uses "
      "until\n"
      "then. Real bodies differ by 30 % in full-open K and the relative coefficients by 10 to 20 "
      "%.")
      .def_readonly("name", &ValveKind::name, "As a network has it: \"diaphragm weir\", ...")
      .def_readonly("what_it_is", &ValveKind::what_it_is, "In a sentence.")
      .def_readonly("when_not_to_use", &ValveKind::when_not_to_use, "In a few sentences.")
      .def_property_readonly(
          "full_open_k",
          [](const ValveKind& kind) {
            return Cited{kind.full_open_k, kind.full_open_k_source};
          },
          "On the velocity head in the bore, taken equal to the DN [-].")
      .def_property_readonly(
          "characteristic",
          [](const ValveKind& kind) {
            return CitedCurve{kind.characteristic, kind.characteristic_source};
          },
          "Points (opening, flow coefficient over that fully open) [-].")
      .def_readonly("recovery_fully_open", &ValveKind::recovery_fully_open,
                    "FL of IEC 60534-2-1, liquid pressure recovery factor, fully open [-].")
      .def_readonly("recovery_nearly_shut", &ValveKind::recovery_nearly_shut, "FL nearly shut [-].")
      .def_readonly("style_modifier", &ValveKind::style_modifier,
                    "Fd of IEC 60534-2-1, valve style modifier [-].")
      .def_readonly("quarter_turn", &ValveKind::quarter_turn,
                    "Whether a lever or gear turns it by 90 degrees; else a stem rises.")
      .def_readonly("travel_over_bore", &ValveKind::travel_over_bore,
                    "Travel of the stem over DN [-]; 0 of a quarter-turn valve.")
      .def_readonly("turns_of_any_size", &ValveKind::turns_of_any_size,
                    "Of the handwheel [-]; 0: the travel over the lead of the stem.")
      .def_readonly("turndown", &ValveKind::turndown,
                    "Largest over smallest flow coefficient it controls well [-].")
      .def_readonly("least_throttle", &ValveKind::least_throttle,
                    "Opening below which it throttles badly or wears [-].")
      .def_readonly("throttling", &ValveKind::throttling, "Whether it is fit for throttling.")
      .def_readonly("solids", &ValveKind::solids, "Fit for grit, fibres or sludge in the liquid?")
      .def_readonly("slurry", &ValveKind::slurry, "Fit for a settling, abrasive slurry?")
      .def_readonly("vacuum", &ValveKind::vacuum, "Fit for a line below atmospheric pressure?")
      .def("relative_coefficient", &RelativeCoefficientAt, py::arg("opening"),
           "Flow coefficient over that fully open [-] at an opening [-], or an array of them.\n"
           "Raises Error outside 0 to 1.")
      .def("pressure_recovery", &PressureRecoveryAt, py::arg("opening"),
           "FL [-] at an opening [-], or an array of them. Raises Error outside 0 to 1.")
      .def("kv", &FullOpenKv, py::arg("bore"),
           "Kv fully open [m³/s of water at 1 bar] of a bore [m] or, say, \"80 mm\".")
      .def(
          "stem_travel",
          [](const ValveKind& kind, py::handle bore) { return StemTravel(kind, ToBore(bore)); },
          py::arg("bore"), "From shut to fully open [m] of a DN [m] or, say, \"80 mm\".")
      .def(
          "turns",
          [](const ValveKind& kind, py::handle bore) { return HandwheelTurns(kind, ToBore(bore)); },
          py::arg("bore"),
          "Of the handwheel from shut to fully open [-] of a DN [m] or, say, \"80 mm\"; common\n"
          "practice, to 50 %.")
      .def("__repr__",
           [](const ValveKind& kind) { return "ValveKind(" + Quoted(kind.name) + ")"; });
  m.def("valve_kinds", &ValveKindNames, "The names of the kinds of valve.");
  m.def("valve_kind", &ValveKindNamed, py::arg("name"), py::return_value_policy::reference,
        "What is known of a kind of valve, as the solver uses it. Raises Error for an unknown\n"
        "name.");
}

}  // namespace handwheel::python
