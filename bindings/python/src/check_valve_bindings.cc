#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindCheckValve(py::module_& m) {
  ViewClass<Part<CheckValve>>(
      m, "CheckValve", "Lets flow pass from `from_` to `to` only. Never count one as isolation.")
      .ReadOnly("name", &CheckValve::name, "Its name.")
      .FromProperty(&CheckValve::from)
      .Property("to", &CheckValve::to, "Name of the point where flow may go.")
      .Property("kind", &CheckValve::kind,
                "\"swing\", \"lift\", \"lift horizontal\", \"lift vertical\" or \"ball\".")
      .Property("bore", &CheckValve::bore, "[m]; None: the nominal bore of size.")
      .Property("size", &CheckValve::size, "\"DN80\"; empty if a bore is given.")
      .Property("orientation", &CheckValve::orientation,
                "Of the forward flow: \"horizontal\", \"vertical up\", \"vertical down\" or empty.")
      .Property("assist", &CheckValve::assist,
                "What helps it shut: \"none\", \"spring\" or \"weight\".")
      .Property("condition", &CheckValve::condition, "\"sound\", \"passing\" or \"stuck open\".")
      .Property("kv", &CheckValve::kv, "Water at 1 bar drop, full open [m³/s], or None.")
      .Property("cv", &CheckValve::cv, "Water at 1 psi drop, full open [m³/s], or None.")
      .Property("k", &CheckValve::k, "On the velocity head in the bore, full open [-], or None.")
      .Property("cracking_pressure", &CheckValve::cracking_pressure,
                "[Pa], >= 0; None: by kind, assist and orientation.")
      .Property("min_velocity", &CheckValve::min_velocity,
                "That holds the disc fully open [m/s]; None: by kind.")
      .Property("leakage", &CheckValve::leakage,
                "When passing: a standard's rate such as \"API 598 metal check\", or empty.")
      .Property(
          "leak_kv", &CheckValve::leak_kv,
          "Reverse, when passing [m³/s at 1 bar]; None: by leakage, else a hole of 1 % of the\n"
          "bore area.")
      .Property("stuck_opening", &CheckValve::stuck_opening,
                "When stuck open: fraction of the full flow coefficient [-], > 0.")
      .Property("closing_lag", &CheckValve::closing_lag,
                "From the reversal of the flow to shut [s]; None: by kind and assist.")
      .Property("rating", &CheckValve::rating, "Highest gauge pressure allowed [Pa], or None.")
      .Property("x", &CheckValve::x, "Its place on diagrams, with y: right of the origin [m].")
      .Property("y", &CheckValve::y, "Its place on diagrams, with x: below the origin [m].")
      .Finish();
}

}  // namespace handwheel::python
