#include <pybind11/stl.h>

#include "bindings.h"
#include "handwheel/fluid.h"
#include "solution_pickle.h"
#include "values.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

// A property of the solids, None where there are none.
template <double Solids::*member>
std::optional<double> OfSolids(const Liquid& liquid) {
  if (!liquid.solids) return std::nullopt;
  return (*liquid.solids).*member;
}

std::string LiquidRepr(const Liquid& liquid) {
  static const Liquid plain;
  std::string text = "Liquid(density=" + Shown(liquid.density);
  const auto add = [&](const char* name, double value) {
    text += std::string(", ") + name + "=" + Shown(value);
  };
  add("viscosity", liquid.viscosity);
  add("vapour_pressure", liquid.vapour_pressure);
  if (liquid.critical_pressure != plain.critical_pressure) {
    add("critical_pressure", liquid.critical_pressure);
  }
  if (!liquid.IsNewtonian()) {
    add("yield_stress", liquid.yield_stress);
    add("consistency", liquid.consistency);
    add("index", liquid.index);
  }
  if (liquid.solids) {
    add("solids_volume_fraction", liquid.solids->volume_fraction);
    add("solids_density", liquid.solids->density);
  }
  return text + ")";
}

}  // namespace

void BindLiquid(py::module_& m) {
  py::class_<Liquid>(m, "Liquid",
                     "Properties of a liquid at one temperature. Shear stress = yield_stress +\n"
                     "consistency rate^index; a Newtonian liquid has its viscosity as consistency.")
      .def_readonly("density", &Liquid::density, "[kg/m³]; of the mixture, with solids.")
      .def_readonly(
          "viscosity", &Liquid::viscosity,
          "Dynamic [Pa·s]; of the mixture, with solids. With a yield stress the plastic\n"
          "viscosity; with an index other than 1, consistency rate^(index - 1) at 100 1/s.")
      .def_readonly("vapour_pressure", &Liquid::vapour_pressure, "Absolute [Pa].")
      .def_readonly("critical_pressure", &Liquid::critical_pressure, "Absolute [Pa].")
      .def_readonly("yield_stress", &Liquid::yield_stress, "[Pa].")
      .def_property_readonly(
          "consistency",
          [](const Liquid& liquid) {
            return liquid.consistency > 0.0 ? liquid.consistency : liquid.viscosity;
          },
          "[Pa·s^index].")
      .def_readonly("index", &Liquid::index, "Flow behaviour index [-].")
      .def_property_readonly("solids_volume_fraction", &OfSolids<&Solids::volume_fraction>,
                             "Of settling solids in the mixture [-], or None.")
      .def_property_readonly("solids_density", &OfSolids<&Solids::density>,
                             "Of the grains [kg/m³], or None.")
      .def_property_readonly(
          "d50", &OfSolids<&Solids::d50>,
          "Grain size that half by mass is finer than [m]; 0: not given; None: no\n"
          "solids.")
      .def_property_readonly("carrier_density", &OfSolids<&Solids::carrier_density>,
                             "Of the liquid that carries solids [kg/m³], or None.")
      .def_property_readonly("kinematic_viscosity", &Liquid::KinematicViscosity, "[m²/s].")
      .def_property_readonly("is_newtonian", &Liquid::IsNewtonian,
                             "Whether stress is in proportion to rate.")
      .def(py::pickle(&PickleLiquid, &UnpickleLiquid))
      .def("__repr__", &LiquidRepr);
}

}  // namespace handwheel::python
