#include "arguments.h"
#include "bindings.h"
#include "correlations/rheology.h"
#include "correlations/slurry.h"
#include "handwheel/errors.h"

namespace py = pybind11;

namespace handwheel::python {
namespace {

constexpr double kDensestPacking = 0.6;  // volume fraction to which Thomas's formula is meant [-]

double IndexArgument(const py::object& index) {
  return Between(kMinFlowIndex, kMaxFlowIndex, index, "index");
}

double MetznerReedOf(const py::object& density, const py::object& velocity, const py::object& bore,
                     const py::object& consistency, const py::object& index) {
  const Rheology rheology{.consistency = Positive(consistency, "consistency"),
                          .index = IndexArgument(index)};
  return FiniteResult(MetznerReedReynolds(rheology,
                                          Positive(density, "density", Dimension::kDensity),
                                          Positive(velocity, "velocity", Dimension::kVelocity),
                                          Positive(bore, "bore", Dimension::kLength)));
}

double HerschelBulkleyOf(const py::object& wall_stress, const py::object& bore,
                         const py::object& yield_stress, const py::object& consistency,
                         const py::object& index) {
  const Rheology rheology{
      .yield_stress = NotNegative(yield_stress, "yield stress", Dimension::kPressure),
      .consistency = Positive(consistency, "consistency"),
      .index = IndexArgument(index)};
  return FiniteResult(
      HerschelBulkleyFlow(NotNegative(wall_stress, "wall stress", Dimension::kPressure), rheology,
                          0.5 * Positive(bore, "bore", Dimension::kLength)));
}

void BindRheologyFunctions(py::module_& m) {
  m.def(
      "metzner_reed_reynolds", &MetznerReedOf, py::arg("density"), py::arg("velocity"),
      py::arg("bore"), py::arg("consistency"), py::arg("index"),
      "Re [-] of a power law liquid, stress = consistency rate^index [Pa s^index], for which the\n"
      "laminar Darcy factor is 64/Re; density [kg/m³], velocity [m/s], bore [m]. Raises Error for\n"
      "a value <= 0 or an index outside 0.1 to 1.9. A. B. Metzner and J. C. Reed, AIChE J. 1,\n"
      "1955.");
  m.def(
      "dodge_metzner_fanning",
      [](const py::object& re, const py::object& index) {
        return FiniteResult(
            DodgeMetznerFanning(Positive(re, "Reynolds number"), IndexArgument(index)));
      },
      py::arg("re"), py::arg("index"),
      "Fanning friction factor [-] of turbulent flow of a power law liquid in smooth pipe, `re`\n"
      "that of metzner_reed_reynolds; measured for an index of 0.36 to 1. Raises Error for re <=\n"
      "0 or an index outside 0.1 to 1.9. D. W. Dodge and A. B. Metzner, AIChE J. 5, 1959.");
  m.def(
      "ryan_johnson_critical_reynolds",
      [](const py::object& index) { return RyanJohnsonCriticalReynolds(IndexArgument(index)); },
      py::arg("index"),
      "metzner_reed_reynolds up to which a power law liquid flows laminar [-]; 2100 at index 1.\n"
      "Raises Error for an index outside 0.1 to 1.9. N. W. Ryan and M. M. Johnson, AIChE J. 5,\n"
      "1959.");
  m.def(
      "buckingham_reiner_fanning",
      [](const py::object& re, const py::object& hedstrom) {
        return FiniteResult(BuckinghamReinerFanning(Positive(re, "Reynolds number"),
                                                    NotNegative(hedstrom, "Hedstrom number")));
      },
      py::arg("re"), py::arg("hedstrom"),
      "Fanning friction factor [-] of laminar flow of a Bingham liquid, exact, from re = rho V\n"
      "D/mu and hedstrom = rho yield_stress D²/mu² [-], mu the plastic viscosity. Raises Error\n"
      "for re <= 0 or hedstrom < 0. E. Buckingham, Proc. ASTM 21, 1921; M. Reiner, Kolloid-Z. 39,\n"
      "1926.");
  m.def(
      "hanks_critical_reynolds",
      [](const py::object& hedstrom) {
        return FiniteResult(HanksCriticalReynolds(NotNegative(hedstrom, "Hedstrom number")));
      },
      py::arg("hedstrom"),
      "rho V D/mu up to which a Bingham liquid of plastic viscosity mu flows laminar [-]; 2100 at\n"
      "hedstrom 0. Raises Error for hedstrom < 0. R. W. Hanks, AIChE J. 9, 1963.");
  m.def(
      "darby_melson_fanning",
      [](const py::object& re, const py::object& hedstrom) {
        return FiniteResult(DarbyMelsonFanning(Positive(re, "Reynolds number"),
                                               NotNegative(hedstrom, "Hedstrom number")));
      },
      py::arg("re"), py::arg("hedstrom"),
      "Fanning friction factor [-] of turbulent flow of a Bingham liquid in smooth pipe,\n"
      "arguments as of buckingham_reiner_fanning. Lies 17 % and more below Newtonian flow of the\n"
      "plastic viscosity, and so does not serve the solver. Raises Error for re <= 0 or hedstrom\n"
      "< 0. R. Darby and J. Melson, Chem. Eng. 88(26), 1981, as in Darby, 2001; from memory.");
  m.def(
      "herschel_bulkley_flow", &HerschelBulkleyOf, py::arg("wall_stress"), py::arg("bore"),
      py::arg("yield_stress"), py::arg("consistency"), py::arg("index"),
      "Laminar flow [m³/s] that a wall stress [Pa], drop times bore over four lengths, drives\n"
      "through a `bore` [m]; stress = yield_stress [Pa] + consistency rate^index. Exact; 0 up to\n"
      "the yield stress. Raises Error for a negative value or an index outside 0.1 to 1.9.");
}

// ---- Slurry -------------------------------------------------------------------------------------

double DensityRatioArgument(const py::object& density_ratio) {
  return Positive(density_ratio, "density ratio");
}

// For settling solids, which weigh more than the liquid.
double SinkingRatioArgument(const py::object& density_ratio) {
  const double s = DensityRatioArgument(density_ratio);
  if (!(s > 1.0)) throw Error("density ratio is not above 1: such solids do not settle.");
  return s;
}

double WaspOf(const py::object& volume_fraction, const py::object& grain_size,
              const py::object& bore, const py::object& density_ratio, const py::object& gravity) {
  return FiniteResult(WaspDepositionVelocity(
      Between(0.0, kDensestPacking, volume_fraction, "volume fraction"),
      Positive(grain_size, "grain size", Dimension::kLength),
      Positive(bore, "bore", Dimension::kLength), SinkingRatioArgument(density_ratio),
      Positive(gravity, "gravity", Dimension::kAcceleration)));
}

double HeterogeneousOf(const py::object& clear_gradient, const py::object& volume_fraction,
                       const py::object& velocity, const py::object& settling_velocity,
                       const py::object& bore, const py::object& density_ratio,
                       const py::object& gravity) {
  return FiniteResult(HeterogeneousGradient(
      NotNegative(clear_gradient, "clear gradient"),
      Between(0.0, kDensestPacking, volume_fraction, "volume fraction"),
      Positive(velocity, "velocity", Dimension::kVelocity),
      NotNegative(settling_velocity, "settling velocity", Dimension::kVelocity),
      Positive(bore, "bore", Dimension::kLength), SinkingRatioArgument(density_ratio),
      Positive(gravity, "gravity", Dimension::kAcceleration)));
}

void BindSlurryFunctions(py::module_& m) {
  m.def(
      "solids_volume_fraction",
      [](const py::object& mass_fraction, const py::object& density_ratio) {
        return SolidsVolumeFraction(Between(0.0, 1.0, mass_fraction, "mass fraction"),
                                    DensityRatioArgument(density_ratio));
      },
      py::arg("mass_fraction"), py::arg("density_ratio"),
      "Volume of solids in volume of mixture [-] from their mass in mass of mixture, and the\n"
      "density of the grains over that of the liquid. Raises Error for a fraction outside 0 to 1\n"
      "or a ratio <= 0. Definition.");
  m.def(
      "mixture_density_ratio",
      [](const py::object& volume_fraction, const py::object& density_ratio) {
        return FiniteResult(
            MixtureDensityRatio(Between(0.0, 1.0, volume_fraction, "volume fraction"),
                                DensityRatioArgument(density_ratio)));
      },
      py::arg("volume_fraction"), py::arg("density_ratio"),
      "Density of the mixture over that of its liquid [-]; errors as of solids_volume_fraction.\n"
      "Definition.");
  m.def(
      "suspension_viscosity_ratio",
      [](const py::object& volume_fraction) {
        return ThomasRelativeViscosity(
            Between(0.0, kDensestPacking, volume_fraction, "volume fraction"));
      },
      py::arg("volume_fraction"),
      "Viscosity of a suspension over that of its liquid [-]: 1 + 2.5 C + 10.05 C² + 0.00273\n"
      "exp(16.6 C), which is 1.00273 at C = 0. Real slurries differ by tens of percent above 0.3.\n"
      "Raises Error outside 0 to 0.6. D. G. Thomas, J. Colloid Sci. 20, 1965.");
  m.def(
      "durand_deposition_velocity",
      [](const py::object& chart_factor, const py::object& bore, const py::object& density_ratio,
         const py::object& gravity) {
        return FiniteResult(DurandDepositionVelocity(
            Positive(chart_factor, "chart factor"), Positive(bore, "bore", Dimension::kLength),
            SinkingRatioArgument(density_ratio),
            Positive(gravity, "gravity", Dimension::kAcceleration)));
      },
      py::arg("chart_factor"), py::arg("bore"), py::arg("density_ratio"),
      py::arg("gravity") = 9.80665,
      "Velocity [m/s] below which a bed forms: F_L sqrt(2 g D (S - 1)), F_L read from Durand's\n"
      "chart, bore D [m], S the density of the grains over that of the liquid. Raises Error for\n"
      "values <= 0 or S <= 1. R. Durand, 1952.");
  m.def(
      "wasp_deposition_velocity", &WaspOf, py::arg("volume_fraction"), py::arg("grain_size"),
      py::arg("bore"), py::arg("density_ratio"), py::arg("gravity") = 9.80665,
      "The same without a chart, by grain size [m] and volume fraction [-]; no better than 30 %.\n"
      "Raises Error for a fraction outside 0 to 0.6, values <= 0 or S <= 1. E. J. Wasp, J. P.\n"
      "Kenny and R. L. Gandhi, 1977.");
  m.def("heterogeneous_gradient", &HeterogeneousOf, py::arg("clear_gradient"),
        py::arg("volume_fraction"), py::arg("velocity"), py::arg("settling_velocity"),
        py::arg("bore"), py::arg("density_ratio"), py::arg("gravity") = 9.80665,
        "Hydraulic gradient of settling solids above deposition [metres of the liquid a metre],\n"
        "from that of the liquid alone at the same velocity, volume fraction [-], velocity of the\n"
        "mixture and of a grain sinking in still liquid [m/s], bore [m], S [-]. Raises Error as\n"
        "wasp_deposition_velocity. Coulson & Richardson, Chemical Engineering vol. 1, eq. 5.20.");
}

}  // namespace

void BindRheology(py::module_& m) {
  BindRheologyFunctions(m);
  BindSlurryFunctions(m);
}

}  // namespace handwheel::python
