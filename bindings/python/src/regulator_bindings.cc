#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindRegulator(py::module_& m) {
  ViewClass<Part<Regulator>>(m, "Regulator",
                             "Sets itself to hold a pressure or limit a flow; wide open where it "
                             "cannot, and never passes\n"
                             "liquid backwards. It is no isolation.")
      .ReadOnly("name", &Regulator::name, "Its name.")
      .FromProperty(&Regulator::from)
      .Property("to", &Regulator::to, "Name of the point where positive flow goes.")
      .Property(
          "kind", &Regulator::kind,
          "\"pressure-reducing\" (holds set_pressure at `to`), \"back-pressure\" (at `from_`)\n"
          "or \"flow-limiting\" (passes set_flow at most).")
      .Property("bore", &Regulator::bore, "[m]; None: the nominal bore of size.")
      .Property("size", &Regulator::size, "\"DN50\"; empty if a bore is given.")
      .Property("kv", &Regulator::kv, "Water at 1 bar drop, wide open [m³/s], or None.")
      .Property("cv", &Regulator::cv, "Water at 1 psi drop, wide open [m³/s], or None.")
      .Property(
          "k", &Regulator::k,
          "On the velocity head in the bore, wide open [-]; None: by kv or cv, else that of a\n"
          "globe valve.")
      .Property("set_pressure", &Regulator::set_pressure,
                "Gauge, at the point held [Pa]; None if it limits a flow.")
      .Property("set_flow", &Regulator::set_flow, "[m³/s]; None if it holds a pressure.")
      .Property("droop", &Regulator::droop,
                "How far the pressure held departs from set_pressure, towards more opening, at\n"
                "rated_flow [Pa].")
      .Property("rated_flow", &Regulator::rated_flow, "That droop belongs to [m³/s], or None.")
      .Property("rating", &Regulator::rating, "Highest gauge pressure allowed [Pa], or None.")
      .Property("x", &Regulator::x, "Its place on diagrams, with y: right of the origin [m].")
      .Property("y", &Regulator::y, "Its place on diagrams, with x: below the origin [m].")
      .Finish();
}

}  // namespace handwheel::python
