#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindPump(py::module_& m) {
  ViewClass<Part<Pump>>(m, "Pump",
                        "Head against flow by points, or head = a - b flow^c; other speeds by the\n"
                        "affinity laws. Stopped, it is a resistance both ways, not a wall.")
      .ReadOnly("name", &Pump::name, "Its name.")
      .FromProperty(&Pump::from)
      .Property("to", &Pump::to, "Name of the point where positive flow goes.")
      .Property("curve", &Pump::curve,
                "Points (flow [m³/s], head [m]): an array of two columns, a copy.")
      .Property("coefficients", &Pump::coefficients, "(a [m], b, c) in SI, or None.")
      .Property("running", &Pump::running, "Whether it runs.")
      .Property("speed", &Pump::speed, "Fraction of the speed of the curve [-].")
      .Property("rated_flow", &Pump::rated_flow,
                "[m³/s]; None: where flow times head is largest on the curve.")
      .Property("stopped_k", &Pump::stopped_k,
                "Stopped, drop = stopped_k rated_head (flow / rated_flow)² [-].")
      .Finish();
}

}  // namespace handwheel::python
