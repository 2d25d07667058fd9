#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindValve(py::module_& m) {
  ViewClass<Part<Valve>>(
      m, "Valve",
      "A valve set by hand or by an actuator. Its loss at full opening comes from kv, cv or k, "
      "else\n"
      "from kind and bore; curve, else the kind, says how the flow coefficient follows opening.")
      .ReadOnly("name", &Valve::name, "Its name.")
      .FromProperty(&Valve::from)
      .Property("to", &Valve::to, "Name of the point where positive flow goes.")
      .Property("kind", &Valve::kind, "\"diaphragm weir\", \"pinch enclosed body\", \"gate\", ...")
      .Property("bore", &Valve::bore, "[m]; None: the nominal bore of size.")
      .Property("size", &Valve::size, "\"DN80\"; empty if a bore is given.")
      .Property("opening", &Valve::opening, "Fraction of travel [-]: 0 shut, 1 fully open.")
      .Property("kv", &Valve::kv, "Water at 1 bar drop, full opening [m³/s], or None.")
      .Property("cv", &Valve::cv, "Water at 1 psi drop, full opening [m³/s], or None.")
      .Property("k", &Valve::k, "On the velocity head in the bore, full opening [-], or None.")
      .Property("curve", &Valve::curve,
                "Points (opening, relative coefficient): an array of two columns, a copy.")
      .Property("normally", &Valve::normally, "\"open\", \"closed\" or empty; for drawings.")
      .Finish();
}

}  // namespace handwheel::python
