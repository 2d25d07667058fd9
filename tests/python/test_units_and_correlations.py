"""Units, friction factors and water through Python."""

import numpy as np
import pytest


@pytest.mark.parametrize(
    "text, dimension, value",
    [
        ("12 m3/h", "flow", 12 / 3600),
        ("3 bar", "pressure", 3e5),
        ("1.5 in", "length", 0.0381),  # 25.4 mm by definition
        ("20 degC", "temperature", 293.15),
        ("40 %", "number", 0.4),
        ("0.25", "length", 0.25),
        (0.25, "length", 0.25),
        (np.float32(0.25), "length", 0.25),
        (3, "length", 3.0),
    ],
)
def test_quantities_are_read_in_si(hw, text, dimension, value):
    assert hw.quantity(text, dimension) == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize(
    "value, dimension",
    [("12 m3/h", "pressure"), ("12 m4", "flow"), ("m", "length"), ("", "length"), (None, "length"),
     (True, "length"), ([1.0], "length"), ("1 m", "lenght")],
)  # fmt: skip
def test_what_is_no_quantity_is_refused(hw, value, dimension):
    if value == [1.0]:
        value = [1.0, 2.0]
    with pytest.raises(hw.UnitError):
        hw.quantity(value, dimension)


def test_quantities_are_written_in_any_unit(hw):
    assert hw.format_quantity(0.01, "flow", "m3/h") == "36 m3/h"
    with pytest.raises(hw.UnitError):
        hw.format_quantity(0.01, "flow", "bar")


def test_every_unit_reads_back(hw):
    for dimension in hw.dimensions():
        for unit in hw.units(dimension):
            text = hw.format_quantity(1.25, dimension, unit)
            assert hw.quantity(text, dimension) == pytest.approx(1.25, rel=1e-12), text


def test_friction_is_laminar_below_2000(hw):
    assert hw.friction_factor(1000, 0.01) == 0.064
    assert type(hw.friction_factor(1000, 0.01)) is float


def test_friction_satisfies_colebrook_and_white(hw):
    # C. F. Colebrook, J. Inst. Civ. Eng. 11, 133-156, 1939:
    # 1/sqrt(f) = -2 log10(r/3.7 + 2.51/(Re sqrt f)). The equation itself, to round-off.
    re = np.logspace(np.log10(4000), 8, 50)
    r = np.array([0.0, 1e-5, 1e-3, 0.05])[:, None]
    f = hw.friction_factor(re, r)
    assert f.shape == (4, 50) and f.dtype == np.float64
    left = 1 / np.sqrt(f)
    right = -2 * np.log10(r / 3.7 + 2.51 / (re * np.sqrt(f)))
    np.testing.assert_allclose(left, right, rtol=1e-12)


def test_every_friction_formula_can_be_chosen(hw):
    base = hw.friction_factor(1e5, 1e-3)
    assert "colebrook" in hw.friction_formulas()
    for name in hw.friction_formulas():
        f = hw.friction_factor([1e5, 2e5], 1e-3, formula=name)
        # All turbulent laws stay near one another; those of smooth pipe lie up to 20 % lower here.
        assert f.shape == (2,) and 0.7 * base < f[0] < 1.2 * base, name


@pytest.mark.parametrize(
    "re, r, formula, says",
    [(0, 1e-3, "colebrook", "Reynolds"), (-1, 1e-3, "colebrook", "Reynolds"),
     (float("nan"), 1e-3, "colebrook", "Reynolds"), (1e5, -1e-3, "colebrook", "roughness"),
     (1e5, 0.5, "colebrook", "roughness"), (1e5, 0.0, "fully rough", "roughness"),
     (1e5, 1e-3, "colbrook", "colebrook"), ([1e5, 0], 1e-3, "colebrook", "Reynolds")],
)  # fmt: skip
def test_friction_refuses_what_it_cannot_do(hw, re, r, formula, says):
    with pytest.raises(hw.Error, match=says):
        hw.friction_factor(re, r, formula)


def test_water_takes_a_temperature_with_a_unit(hw):
    a, b = hw.water("60 degC"), hw.water(333.15)
    for name in ("density", "viscosity", "vapour_pressure"):
        assert getattr(a, name) == getattr(b, name)
    assert a.kinematic_viscosity == a.viscosity / a.density


@pytest.mark.parametrize("temperature", [20.0, "-5 degC", "200 degC", float("nan")])
def test_water_outside_its_range_is_refused(hw, temperature):
    with pytest.raises(hw.Error, match="150"):
        hw.water(temperature)


# Arguments in SI that each function takes; those that a text with a unit can give as well.
CALLS = {
    "seawater": {"temperature": 293.15, "strength": 0.035},
    "sodium_hydroxide": {"temperature": 293.15, "strength": 0.3},
    "sulphuric_acid": {"temperature": 293.15, "strength": 0.3},
    "critical_pressure_ratio_factor": {"vapour_pressure": 2339.0, "critical_pressure": 22.064e6},
    "choked_drop": {"inlet_pressure": 5e5, "vapour_pressure": 2339.0, "fl": 0.9, "ff": 0.957},
    "cavitation_index": {
        "inlet_pressure": 8e5, "outlet_pressure": 3e5, "vapour_pressure": 2339.0},
    "cavitation_band": {"sigma": 1.6},
    "audible_cavitation_ratio": {"kv": 0.0278, "fl": 0.9, "fd": 0.46, "inlet_pressure": 6e5},
    "reducers": {"bore": 0.05, "inlet_bore": 0.08, "outlet_bore": 0.1},
    "k_from_kv": {"kv": 0.0175, "bore": 0.08},
    "kv_from_k": {"k": 1.3, "bore": 0.08},
    "valve_reynolds": {"flow": 1e-3, "kv": 0.0028, "bore": 0.025, "kinematic_viscosity": 5e-4,
                       "fl": 0.9, "fd": 0.46},
    "valve_reynolds_factor": {
        "valve_reynolds": 100.0, "kv": 0.0028, "bore": 0.025, "fl": 0.9, "full_open_kv": 0.003},
    "leak_in_test": {
        "rate": "FCI 70-2 class IV", "size": "DN80", "test_drop": 11e5, "rated_kv": 0.0175},
    "seat_leak_kv": {
        "rate": "FCI 70-2 class IV", "size": "DN80", "test_drop": 11e5, "rated_kv": 0.0175},
    "submerged_weight": {
        "mass": 4.0, "part_density": 7850.0, "liquid_density": 998.2, "gravity": 9.81},
    "lift_cracking_pressure": {"spring_force": 12.0, "weight_along_stroke": 3.0, "seat_bore": 0.05},
    "swing_cracking_pressure": {"submerged_weight": 34.0, "cg_arm": 0.09, "seat_tilt": 0.09,
                                "seat_bore": 0.1, "seat_arm": 0.095},
    "slam_severity": {"reverse_velocity": 0.2},
    "slam_pressure": {"density": 998.2, "wave_speed": 1300.0, "reverse_velocity": 0.3},
    "rigid_column_deceleration": {"adverse_head": 30.0, "length": 600.0, "gravity": 9.81},
    "specific_speed": {"rpm": 1100.0, "flow": 0.25, "head": 60.0},
    "suction_specific_speed": {"rpm": 1100.0, "flow": 0.25, "npsh_required": 4.0},
    "pump_at_speed": {"flow": 0.02, "head": 15.0, "power": 4.5e3, "speed_ratio": 1.5},
    "npsh_available": {
        "surface_pressure": 101325.0, "vapour_pressure": 2339.0, "density": 998.2,
        "surface_elevation": 1.0, "pump_elevation": 0.5, "surface_velocity": 0.1, "head_loss": 0.7,
        "gravity": 9.81},
    "pump_temperature_rise": {
        "head": 60.0, "efficiency": 0.5, "heat_capacity": 4186.0, "gravity": 9.81},
    "viscous_correction": {"flow": 0.03, "head": 77.0, "rpm": 2950.0, "efficiency": 0.68,
                           "kinematic_viscosity": 1.2e-4},
    "orifice_discharge_coefficient": {
        "re": 1e5, "pipe_bore": 0.1, "bore": 0.05, "tappings": "flange"},
    "orifice_loss_ratio": {"diameter_ratio": 0.5, "discharge_coefficient": 0.6},
    "orifice_k": {"diameter_ratio": 0.5, "discharge_coefficient": 0.6},
    "relief_area": {
        "flow": 0.1, "density": 900.0, "drop": 1.5e6, "discharge": 0.65, "back_pressure": 0.97,
        "rupture_disk": 0.9, "viscosity": 0.96, "overpressure": 1.0},
    "relief_reynolds": {"flow": 0.1, "area": 4e-3, "kinematic_viscosity": 4e-4},
    "relief_viscosity_factor": {"re": 4525.0},
    "relief_orifice": {"area": 3e-3},
    "metzner_reed_reynolds": {
        "density": 1000.0, "velocity": 0.3, "bore": 0.15, "consistency": 0.66, "index": 0.41},
    "dodge_metzner_fanning": {"re": 1e4, "index": 0.41},
    "ryan_johnson_critical_reynolds": {"index": 0.41},
    "buckingham_reiner_fanning": {"re": 500.0, "hedstrom": 1e4},
    "hanks_critical_reynolds": {"hedstrom": 1e4},
    "darby_melson_fanning": {"re": 1e4, "hedstrom": 1e4},
    "herschel_bulkley_flow": {
        "wall_stress": 20.0, "bore": 0.1, "yield_stress": 5.0, "consistency": 0.5, "index": 0.6},
    "solids_volume_fraction": {"mass_fraction": 0.3, "density_ratio": 2.65},
    "mixture_density_ratio": {"volume_fraction": 0.14, "density_ratio": 2.65},
    "suspension_viscosity_ratio": {"volume_fraction": 0.14},
    "durand_deposition_velocity": {
        "chart_factor": 1.04, "bore": 0.15, "density_ratio": 2.65, "gravity": 9.81},
    "wasp_deposition_velocity": {"volume_fraction": 0.14, "grain_size": 2e-4, "bore": 0.15,
                                 "density_ratio": 2.65, "gravity": 9.81},
    "heterogeneous_gradient": {
        "clear_gradient": 0.08, "volume_fraction": 0.3, "velocity": 1.0, "settling_velocity": 0.024,
        "bore": 0.025, "density_ratio": 2.6, "gravity": 9.81},
}  # fmt: skip
MAY_BE_NEGATIVE = {
    ("cavitation_band", "sigma"), ("valve_reynolds", "flow"),
    ("lift_cracking_pressure", "weight_along_stroke"), ("npsh_available", "surface_elevation"),
    ("npsh_available", "pump_elevation"),
}  # fmt: skip
NUMBERS = [(name, key) for name, call in CALLS.items() for key, value in call.items()
           if isinstance(value, float)]  # fmt: skip


@pytest.mark.parametrize("name", CALLS)
def test_correlations_answer_in_range(hw, name):
    answer = getattr(hw, name)(**CALLS[name])
    if isinstance(answer, float):
        assert np.isfinite(answer) and answer > 0
    else:
        assert answer is not None and repr(answer)


@pytest.mark.parametrize("name, key", NUMBERS)
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0, "1 furlong", True, [1.0, 2.0]],
                         ids=str)  # fmt: skip
def test_correlations_refuse_nonsense(hw, name, key, bad):
    if bad == -1.0 and (name, key) in MAY_BE_NEGATIVE:
        return
    with pytest.raises(ValueError):
        getattr(hw, name)(**{**CALLS[name], key: bad})


@pytest.mark.parametrize(
    "name, key, bad, says",
    [("choked_drop", "vapour_pressure", 6e5, "vapour pressure"),
     ("cavitation_index", "outlet_pressure", 8e5, "less than at the inlet"),
     ("reducers", "inlet_bore", 0.04, "below that of the valve"),
     ("valve_reynolds_factor", "full_open_kv", 0.001, "full-open"),
     ("leak_in_test", "rate", "FCI 70-2 class 4", "class"),
     ("leak_in_test", "size", "DN81", "DN80"), ("leak_in_test", "rated_kv", None, "rated_kv"),
     ("orifice_discharge_coefficient", "re", 100.0, "ISO 5167"),
     ("orifice_discharge_coefficient", "bore", 0.2, "ISO 5167"),
     ("orifice_discharge_coefficient", "tappings", "flanges", "flange"),
     ("relief_orifice", "area", 0.1, "T"), ("viscous_correction", "kinematic_viscosity", 1e-2, "viscosity"),
     ("suspension_viscosity_ratio", "volume_fraction", 0.7, "0.6"),
     ("wasp_deposition_velocity", "density_ratio", 0.9, "settle"),
     ("dodge_metzner_fanning", "index", 2.5, "index"),
     ("sodium_hydroxide", "strength", 0.6, "0.5"), ("sodium_hydroxide", "temperature", 400.0, "400")],
)  # fmt: skip
def test_correlations_say_what_is_wrong(hw, name, key, bad, says):
    with pytest.raises(hw.Error, match=says):
        getattr(hw, name)(**{**CALLS[name], key: bad})


def test_correlations_take_texts_with_units(hw):
    assert hw.k_from_kv("63 m3/h", "80 mm") == pytest.approx(hw.k_from_kv(63 / 3600, 0.08), rel=1e-12)
    assert hw.choked_drop("5 bar", "20 kPa", 0.9) == hw.choked_drop(5e5, 2e4, 0.9)
    assert hw.sodium_hydroxide("20 degC", "32 %").density == hw.sodium_hydroxide(293.15, 0.32).density
    assert hw.relief_orifice("3 in2")[0] == "M"


def test_k_and_kv_are_inverse(hw):
    assert hw.kv_from_k(hw.k_from_kv(0.0175, 0.08), 0.08) == pytest.approx(0.0175, rel=1e-12)


def test_unknown_viscosity_is_nan_and_not_a_number_made_up(hw):
    acid = hw.sulphuric_acid("20 degC", 0.96)
    assert acid.density > 1800 and np.isnan(acid.viscosity)


def test_liquids_agree_with_the_fluid_of_a_network(hw):
    net = hw.Network()
    for name, function, strength in (("seawater", hw.seawater, 0.035),
                                     ("sodium hydroxide", hw.sodium_hydroxide, 0.3)):  # fmt: skip
        net.fluid.name, net.fluid.strength = name, strength
        used, told = net.fluid.resolve(), function(net.fluid.temperature, strength)
        assert (used.density, used.viscosity) == (told.density, told.viscosity)


def test_pump_coefficients_are_what_a_pump_takes(hw):
    a, b, c = hw.pump_coefficients("60 m", ("0.05 m3/s", "52 m"), (0.1, 31))
    assert a - b * 0.05**c == pytest.approx(52) and a - b * 0.1**c == pytest.approx(31)
    for middle, far in [((0.05, 61), (0.1, 31)), ((0.05, 52), (0.04, 31)), ((0.05, 52), (0.1, 52)),
                        ((-0.05, 52), (0.1, 31)), ((0.05, float("nan")), (0.1, 31))]:  # fmt: skip
        with pytest.raises(hw.Error):
            hw.pump_coefficients(60, middle, far)


def test_viscous_correction_tells_where_it_ends(hw):
    thick = hw.viscous_correction("110 m3/h", 77, 300, 0.68, "4000 cSt")
    assert thick.b > 40 and not thick.applies
    thin = hw.viscous_correction("110 m3/h", 77, 2950, 0.68, "1 cSt")
    assert thin.applies and thin.flow_factor == 1.0 == thin.head_factor(0.5)
    with pytest.raises(hw.Error):
        thin.head_factor(-0.1)


def test_no_leak_is_told_of_resilient_seats(hw):
    assert hw.leak_in_test("API 598 resilient", "DN80", "11 bar") == 0.0
    assert hw.seat_leak_kv("API 598 resilient", "DN80", "11 bar") == 0.0
