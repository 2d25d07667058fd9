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
