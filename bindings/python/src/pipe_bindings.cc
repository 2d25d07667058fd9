#include "bindings.h"
#include "part.h"

namespace py = pybind11;

namespace handwheel::python {

void BindPipe(py::module_& m) {
  ViewClass<Part<Pipe>>(
      m, "Pipe", "A pipe with its fittings. Darcy-Weisbach, unless it has a Hazen-Williams C.")
      .ReadOnly("name", &Pipe::name, "Its name.")
      .FromProperty(&Pipe::from)
      .Property("to", &Pipe::to, "Name of the point where positive flow goes.")
      .Property("length", &Pipe::length, "[m], > 0.")
      .Property("bore", &Pipe::bore, "Inside diameter [m]; None: by size and schedule.")
      .Property("size", &Pipe::size, "\"DN80\" or \"NPS 3\"; empty if a bore is given.")
      .Property("schedule", &Pipe::schedule, "\"10S\", \"40\", \"80\"; empty: \"40\".")
      .Property("lining", &Pipe::lining, "Thickness of a lining that narrows the bore [m].")
      .Property("roughness", &Pipe::roughness, "Absolute [m]; None: by material.")
      .Property("material", &Pipe::material, "Empty: \"commercial steel\".")
      .Property("fittings", &Pipe::fittings,
                "{trade name: count}, a copy; assign a new mapping to change it.")
      .Property("k", &Pipe::k, "Further loss coefficient on the velocity head in the bore [-].")
      .Property("friction_factor", &Pipe::friction_factor,
                "Fixed Darcy friction factor [-], or None.")
      .Property("hazen_williams_c", &Pipe::hazen_williams_c, "Hazen-Williams C [-], or None.")
      .Property("high_point", &Pipe::high_point,
                "Elevation of the highest point between the ends [m], or None; for advice only.")
      .Property("rating", &Pipe::rating, "Highest gauge pressure allowed [Pa], or None.")
      .Property("max_velocity", &Pipe::max_velocity, "Advice warns above it [m/s]; None: 5 m/s.")
      .Property("wave_speed", &Pipe::wave_speed,
                "Of pressure waves [m/s]; None: by bore, wall, material and liquid.")
      .Property("wall", &Pipe::wall, "Thickness of the wall [m]; None: by size and schedule.")
      .Property("elastic_modulus", &Pipe::elastic_modulus, "Of the wall [Pa]; None: by material.")
      .Property("restraint", &Pipe::restraint,
                "\"anchored\", \"anchored upstream\", \"expansion joints\" or empty: anchored.")
      .Property("x", &Pipe::x, "Its place on diagrams, with y: right of the origin [m].")
      .Property("y", &Pipe::y, "Its place on diagrams, with x: below the origin [m].")
      .Finish();
}

}  // namespace handwheel::python
