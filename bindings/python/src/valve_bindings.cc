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
      .Property("lining", &Valve::lining, "Thickness of a lining that narrows the bore [m].")
      .Property("opening", &Valve::opening, "Fraction of travel [-]: 0 shut, 1 fully open.")
      .Property("kv", &Valve::kv, "Water at 1 bar drop, full opening [m³/s], or None.")
      .Property("cv", &Valve::cv, "Water at 1 psi drop, full opening [m³/s], or None.")
      .Property("k", &Valve::k, "On the velocity head in the bore, full opening [-], or None.")
      .Property("curve", &Valve::curve,
                "Points (opening, relative coefficient): an array of two columns, a copy.")
      .Property("pipe_bore", &Valve::pipe_bore,
                "Of the pipe at both ends, if wider than the valve's [m], or None.")
      .Property("fl", &Valve::fl, "Liquid pressure recovery factor FL [-]; None: of the kind.")
      .Property("xfz", &Valve::xfz,
                "Pressure ratio at which cavitation sets in [-]; None: estimated.")
      .Property("turns", &Valve::turns,
                "Of the handwheel over the whole travel [-]; None: of the kind.")
      .Property("travel", &Valve::travel, "Of the stem, shut to open [m]; None: of the kind.")
      .Property("rangeability", &Valve::rangeability,
                "The valve throttles down to 1/rangeability of its full coefficient [-], or None.")
      .Property("normally", &Valve::normally, "\"open\", \"closed\" or empty; for drawings.")
      .Property("condition", &Valve::condition,
                "\"sound\", \"passing\" (the shut seat leaks), \"blocked\", \"diaphragm cut\",\n"
                "\"sleeve not reopening\" or \"sleeve collapsed\".")
      .Property("blockage", &Valve::blockage,
                "When blocked, or a sleeve collapsed: share of the coefficient lost [-].")
      .Property("leakage", &Valve::leakage,
                "When passing or cut: a standard's rate such as \"ISO 5208 D\", or empty.")
      .Property("leak_kv", &Valve::leak_kv,
                "When passing or cut: of the shut seat [m³/s at 1 bar]; None: by leakage, else a\n"
                "hole of 1 % of the bore area.")
      .Property("vent_kv", &Valve::vent_kv,
                "Diaphragm cut: of the way to the open air [m³/s at 1 bar]; None: a hole of 0.1 %\n"
                "of the bore area.")
      .Property("stuck_opening", &Valve::stuck_opening,
                "Sleeve not reopening: it opens no further than this [-].")
      .Property("min_pressure", &Valve::min_pressure,
                "Lowest gauge pressure that sleeve, diaphragm or liner tolerates [Pa]; None: by\n"
                "kind.")
      .Property("rating", &Valve::rating, "Highest gauge pressure allowed [Pa], or None.")
      .Property("x", &Valve::x, "Its place on diagrams, with y: right of the origin [m].")
      .Property("y", &Valve::y, "Its place on diagrams, with x: below the origin [m].")
      .Finish();
}

}  // namespace handwheel::python
