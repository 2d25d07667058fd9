#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindReliefValve(py::module_& m) {
  ViewClass<Part<ReliefValve>>(
      m, "ReliefValve",
      "Opens when the pressure at `from_` exceeds that at `to` by set_pressure. An estimate of "
      "what\n"
      "it passes; sizing one for protection is a matter of the codes and a licensed engineer.")
      .ReadOnly("name", &ReliefValve::name, "Its name.")
      .FromProperty(&ReliefValve::from)
      .Property(
          "to", &ReliefValve::to,
          "Name of the point it relieves to; empty: the open air at the elevation of `from_`.")
      .Property("set_pressure", &ReliefValve::set_pressure, "[Pa], > 0.")
      .Property("overpressure", &ReliefValve::overpressure,
                "Fully open at set_pressure (1 + overpressure) [-].")
      .Property("balanced", &ReliefValve::balanced, "Whether back pressure does not hold it shut.")
      .Property("kv", &ReliefValve::kv, "Water at 1 bar drop, fully open [m³/s], or None.")
      .Property("cv", &ReliefValve::cv, "Water at 1 psi drop, fully open [m³/s], or None.")
      .Property("area", &ReliefValve::area,
                "Of its orifice [m²], with a discharge coefficient of 0.65, or None.")
      .Property("x", &ReliefValve::x, "Its place on diagrams, with y: right of the origin [m].")
      .Property("y", &ReliefValve::y, "Its place on diagrams, with x: below the origin [m].")
      .Finish();
}

}  // namespace handwheel::python
