"""Formulas by themselves, against the printed value and the one recomputed independently."""

import pytest
from examples import EXAMPLES, FORMULAS

BY_NAME = {
    f"{formula.id}: {quantity.what}": (formula, quantity)
    for formula in FORMULAS
    for quantity in formula.quantities
}


@pytest.mark.parametrize("name", BY_NAME)
def test_meets_the_printed_and_the_recomputed_value(name):
    formula, quantity = BY_NAME[name]
    computed = quantity.computed(None)
    if quantity.published is not None:
        assert computed == pytest.approx(quantity.published, rel=0, abs=quantity.tolerance), formula.source
    if quantity.recomputed is not None:
        assert computed == pytest.approx(
            quantity.recomputed, rel=0, abs=quantity.recomputed_tolerance
        ), "recomputed independently"


def test_names_and_numbers_of_examples_are_unique():
    assert len(BY_NAME) == sum(len(formula.quantities) for formula in FORMULAS)
    ids = [example.id for example in (*EXAMPLES, *FORMULAS)]
    assert len(ids) == len(set(ids))
    assert all(formula.source and formula.trust and formula.quantities for formula in FORMULAS)
