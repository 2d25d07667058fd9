#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindRestriction(py::module_& m) {
  ViewClass<Part<Restriction>>(
      m, "Restriction",
      "A fixed resistance: orifice, strainer, exchanger, hose. Given by k, kv,\n"
      "cv, or rated_drop at rated_flow.")
      .ReadOnly("name", &Restriction::name, "Its name.")
      .FromProperty(&Restriction::from)
      .Property("to", &Restriction::to, "Name of the point where positive flow goes.")
      .Property("k", &Restriction::k, "On the velocity head in the bore [-], or None.")
      .Property("bore", &Restriction::bore, "[m], or None.")
      .Property("size", &Restriction::size, "\"DN80\"; empty if a bore or none is given.")
      .Property("kv", &Restriction::kv, "Water at 1 bar drop [m³/s], or None.")
      .Property("cv", &Restriction::cv, "Water at 1 psi drop [m³/s], or None.")
      .Property("rated_drop", &Restriction::rated_drop, "[Pa] at rated_flow, or None.")
      .Property("rated_flow", &Restriction::rated_flow, "[m³/s], or None.")
      .Property("rating", &Restriction::rating, "Highest gauge pressure allowed [Pa], or None.")
      .Property("x", &Restriction::x, "Its place on diagrams, with y: right of the origin [m].")
      .Property("y", &Restriction::y, "Its place on diagrams, with x: below the origin [m].")
      .Finish();
}

}  // namespace handwheel::python
