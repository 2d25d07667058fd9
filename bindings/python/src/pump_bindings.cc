#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindPump(py::module_& m) {
  ViewClass<Part<Pump>>(
      m, "Pump",
      "Head against flow by points, or head = a - b flow^c; other speeds by the\n"
      "affinity laws. Stopped, it is a resistance both ways, not a wall. A positive\n"
      "displacement pump gives its displacement less what slips back.")
      .ReadOnly("name", &Pump::name, "Its name.")
      .FromProperty(&Pump::from)
      .Property("to", &Pump::to, "Name of the point where positive flow goes.")
      .Property("kind", &Pump::kind, "\"centrifugal\" or \"positive displacement\".")
      .Property(
          "curve", &Pump::curve,
          "Points (flow [m³/s], head [m]): an array of two columns, a copy. Head may rise to\n"
          "one peak and falls from there.")
      .Property("coefficients", &Pump::coefficients, "(a [m], b, c) in SI, or None.")
      .Property("running", &Pump::running, "Whether it runs.")
      .Property("speed", &Pump::speed, "Fraction of the speed of the curve [-].")
      .Property("rpm", &Pump::rpm, "Speed of the curve [rev/min], or None.")
      .Property("stages", &Pump::stages, "Equal ones in series that make up the curve [-].")
      .Property(
          "rated_flow", &Pump::rated_flow,
          "At best efficiency [m³/s]; None: the top of efficiency, else where flow times head\n"
          "is largest on the curve.")
      .Property("efficiency", &Pump::efficiency,
                "Points (flow [m³/s], fraction): an array of two columns, a copy.")
      .Property("npsh", &Pump::npsh,
                "Required: points (flow [m³/s], head [m]), an array of two columns, a copy.")
      .Property("min_flow", &Pump::min_flow, "Least allowed continuously [m³/s], or None.")
      .Property("rated_power", &Pump::rated_power, "Of the motor [W], or None.")
      .Property("rotor", &Pump::rotor, "When stopped: \"held\" or \"free\" to spin.")
      .Property("stopped_k", &Pump::stopped_k,
                "Stopped, drop = stopped_k rated_head (flow / rated_flow)² [-]; None: by rotor.")
      .Property("displacement", &Pump::displacement,
                "Of a positive displacement pump: flow at full speed, nothing slipping [m³/s].")
      .Property("slip", &Pump::slip,
                "Flow lost at rated_pressure [m³/s]; None: 5 % of the displacement.")
      .Property("rated_pressure", &Pump::rated_pressure, "Pressure rise of `slip` [Pa].")
      .Property("inertia", &Pump::inertia,
                "Of all that turns with it, at its speed [kg m²]; None: estimated.")
      .Property("x", &Pump::x, "Its place on diagrams, with y: right of the origin [m].")
      .Property("y", &Pump::y, "Its place on diagrams, with x: below the origin [m].")
      .Finish();
}

}  // namespace handwheel::python
