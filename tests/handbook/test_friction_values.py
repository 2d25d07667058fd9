"""Friction factors through the public function, against friction_values.py."""

import numpy as np
import pytest
from friction_values import (
    CHURCHILL_ROUGHNESS,
    CHURCHILL_TRANSITION,
    COLEBROOK_GRID,
    FORMULA_VALUES,
    FORMULAS,
    GRID_RE,
    PRINTED_FACTORS,
)
from hand_calculation import colebrook

import handwheel as hw


@pytest.mark.parametrize("roughness", COLEBROOK_GRID)
def test_colebrook_white_to_ten_digits(roughness):
    computed = hw.friction_factor(np.array(GRID_RE), roughness, formula="colebrook")
    np.testing.assert_allclose(computed, COLEBROOK_GRID[roughness], rtol=1e-11)


@pytest.mark.parametrize("formula", FORMULAS)
@pytest.mark.parametrize("row", FORMULA_VALUES, ids=lambda row: f"Re {row[0]:g}, r {row[1]:g}")
def test_explicit_formulas_to_ten_digits(row, formula):
    re, roughness, *values = row
    computed = hw.friction_factor(re, roughness, formula=formula)
    assert computed == pytest.approx(values[FORMULAS.index(formula)], rel=4e-10)


@pytest.mark.parametrize("row", CHURCHILL_TRANSITION, ids=lambda row: f"Re {row[0]:g}")
def test_churchill_through_transition(row):
    re, *values = row
    computed = hw.friction_factor(re, np.array(CHURCHILL_ROUGHNESS), formula="churchill")
    np.testing.assert_allclose(computed, values, rtol=4e-9)  # nine digits and fewer


@pytest.mark.parametrize("re", [1e-3, 1.0, 100.0, 1999.0])
def test_laminar_is_64_over_re_by_the_default_formula(re):
    assert hw.friction_factor(re, 0.01) == pytest.approx(64.0 / re, rel=1e-14)


@pytest.mark.parametrize("printed", PRINTED_FACTORS, ids=lambda printed: printed.id)
def test_printed_factor(printed):
    computed = hw.friction_factor(printed.re, printed.roughness, formula=printed.formula)
    assert computed == pytest.approx(printed.published, abs=printed.tolerance), printed.source


def test_the_hand_calculation_of_the_examples_agrees_with_the_grid():
    for roughness, row in COLEBROOK_GRID.items():
        own = [colebrook(re, roughness) for re in GRID_RE]
        np.testing.assert_allclose(own, row, rtol=1e-11)
