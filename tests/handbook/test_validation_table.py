"""The README's validation table is what the examples give."""

from pathlib import Path

import pytest
import validation_table

README = Path(__file__).parents[2] / "README.md"


def test_readme_is_current():
    text = README.read_text(encoding="utf-8") if README.exists() else ""
    if validation_table.BEGIN not in text:
        pytest.skip("the README has no validation table")
    assert validation_table.replaced(text, validation_table.table()) == text, (
        "run tests/handbook/validation_table.py --write README.md")


def test_table_is_the_same_twice():
    assert validation_table.table() == validation_table.table()


def test_replaces_only_what_is_between_the_markers():
    text = f"before {validation_table.BEGIN} old {validation_table.END} after"
    new = validation_table.replaced(text, "new")
    assert new == f"before {validation_table.BEGIN}\nnew\n{validation_table.END} after"
    assert validation_table.replaced(new, "new") == new


def test_file_without_markers_is_refused():
    with pytest.raises(ValueError):
        validation_table.replaced("nothing here", "new")


@pytest.mark.parametrize(("value", "text"), [
    (0.3063, "0.3063"), (12345.6, "12346"), (1.06472e-6, "1.065e-6"), (1120.0, "1120"),
    (4.2 + 4e-16, "4.2"),
])
def test_numbers_are_short(value, text):
    assert validation_table.significant(value) == text
