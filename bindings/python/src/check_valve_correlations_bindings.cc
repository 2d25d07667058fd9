#include <numbers>
#include <string>

#include "arguments.h"
#include "bindings.h"
#include "correlations/check_valve_kind.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

constexpr double kQuarterTurn = 0.5 * std::numbers::pi;  // [rad]

double SwingCrackingOf(const py::object& submerged_weight, const py::object& cg_arm,
                       const py::object& seat_tilt, const py::object& seat_bore,
                       const py::object& seat_arm) {
  return FiniteResult(SwingCrackingPressure(NotNegative(submerged_weight, "submerged weight"),
                                            NotNegative(cg_arm, "cg arm", Dimension::kLength),
                                            Between(0.0, kQuarterTurn, seat_tilt, "seat tilt"),
                                            Positive(seat_bore, "seat bore", Dimension::kLength),
                                            Positive(seat_arm, "seat arm", Dimension::kLength)));
}

void BindCracking(py::module_& m) {
  m.def(
      "submerged_weight",
      [](const py::object& mass, const py::object& part_density, const py::object& liquid_density,
         const py::object& gravity) {
        return FiniteResult(SubmergedWeight(
            NotNegative(mass, "mass"), Positive(part_density, "part density", Dimension::kDensity),
            NotNegative(liquid_density, "liquid density", Dimension::kDensity),
            Positive(gravity, "gravity", Dimension::kAcceleration)));
      },
      py::arg("mass"), py::arg("part_density"), py::arg("liquid_density"),
      py::arg("gravity") = 9.80665,
      "Weight [N] of a part of `mass` [kg] in liquid, by both densities [kg/m³] and gravity\n"
      "[m/s²]; negative of a part that floats. Raises Error for a negative value. Statics.");
  m.def(
      "lift_cracking_pressure",
      [](const py::object& spring_force, const py::object& weight_along_stroke,
         const py::object& seat_bore) {
        return FiniteResult(
            LiftCrackingPressure(NotNegative(spring_force, "spring force"),
                                 AnyFinite(weight_along_stroke, "weight along the stroke"),
                                 Positive(seat_bore, "seat bore", Dimension::kLength)));
      },
      py::arg("spring_force"), py::arg("weight_along_stroke"), py::arg("seat_bore"),
      "Cracking pressure [Pa] of a lift check: spring force [N] and the weight along the stroke\n"
      "[N] (0 in a horizontal stroke, negative where weight opens) over the area of the seat, by\n"
      "its bore [m]. Raises Error for a negative force or a bore <= 0. Statics.");
  m.def("swing_cracking_pressure", &SwingCrackingOf, py::arg("submerged_weight"), py::arg("cg_arm"),
        py::arg("seat_tilt"), py::arg("seat_bore"), py::arg("seat_arm"),
        "Cracking pressure [Pa] of a swing check: the disc's weight in the liquid [N] at `cg_arm`\n"
        "[m] from the hinge, against pressure on the seat of a bore [m], centred `seat_arm` [m]\n"
        "from it; `seat_tilt` [rad] is that of the seat from upright. Raises Error for a negative\n"
        "value or a tilt beyond pi/2. Statics.");
}

void BindSlam(py::module_& m) {
  m.def(
      "slam_severity",
      [](const py::object& reverse_velocity) {
        return std::string(
            SlamSeverity(NotNegative(reverse_velocity, "reverse velocity", Dimension::kVelocity)));
      },
      py::arg("reverse_velocity"),
      "\"no slam of concern\" below 0.15 m/s at closure, \"mild\" to 0.30, above \"severe\".\n"
      "Raises Error for a negative value. G. A. Ballun, J. AWWA, 2007, from memory.");
  m.def(
      "slam_pressure",
      [](const py::object& density, const py::object& wave_speed,
         const py::object& reverse_velocity) {
        return FiniteResult(
            SlamPressure(Positive(density, "density", Dimension::kDensity),
                         Positive(wave_speed, "wave speed", Dimension::kVelocity),
                         NotNegative(reverse_velocity, "reverse velocity", Dimension::kVelocity)));
      },
      py::arg("density"), py::arg("wave_speed"), py::arg("reverse_velocity"),
      "Pressure rise [Pa] as a column stops at once: density [kg/m³] times wave speed [m/s] times\n"
      "the velocity it loses [m/s]. Raises Error for a negative value. N. Joukowsky, 1898.");
  m.def(
      "rigid_column_deceleration",
      [](const py::object& adverse_head, const py::object& length, const py::object& gravity) {
        return FiniteResult(
            RigidColumnDeceleration(NotNegative(adverse_head, "adverse head", Dimension::kLength),
                                    Positive(length, "length", Dimension::kLength),
                                    Positive(gravity, "gravity", Dimension::kAcceleration)));
      },
      py::arg("adverse_head"), py::arg("length"), py::arg("gravity") = 9.80665,
      "Deceleration [m/s²] of a rigid column of `length` [m] under an adverse head [m]. Raises\n"
      "Error for a negative head or a length <= 0. Newton's second law.");
}

}  // namespace

void BindCheckValveCorrelations(py::module_& m) {
  BindCracking(m);
  BindSlam(m);
}

}  // namespace handwheel::python
