"""The validation table of the README, from the worked examples.

    validation_table.py                    print it
    validation_table.py --write README.md  replace what stands between the markers
    validation_table.py --check README.md  exit 1 if the file differs

Needs the built package on PYTHONPATH. Digits are few enough, and ties broken after rounding off
what machines may differ in, so that the table does not change from one to the next.
"""

import argparse
import sys
from pathlib import Path

from examples import EXAMPLES, FORMULAS
from friction_values import PRINTED_FACTORS
from solving import solve_example

import handwheel as hw

BEGIN, END = "<!-- validation:begin -->", "<!-- validation:end -->"

HEADER = """| id | quantity | source | published | computed | deviation | tolerance | trust |
|---|---|---|--:|--:|--:|--:|---|"""

INTRODUCTION = (
    "Deviation is computed against published; where a book reads its friction factor off a chart, it is "
    "mostly the chart's. Trust: *seen*, inputs and answer read in a public copy; *from memory*, recalled "
    "from the source; *exact*, provable by hand; *derived*, computed from the cited formula.")


def settled(value: float) -> float:
    """Without the last digits, in which machines may differ."""
    return float(f"{value:.9e}")


def short(value: float, digits: int) -> str:
    mantissa, _, exponent = f"{value:.{digits}g}".partition("e")
    return f"{mantissa}e{int(exponent)}" if exponent else mantissa


def significant(value: float, digits: int = 4) -> str:
    value = settled(value)
    return f"{value:.0f}" if abs(value) >= 10.0**digits else short(value, digits)


def percent(value: float) -> str:
    text = f"{settled(100.0 * value):+.2f} %" if abs(value) > 1e-9 else "0.00 %"
    return "0.00 %" if text in ("+0.00 %", "-0.00 %") else text


def allowed(tolerance: float, published: float) -> str:
    return f"{100.0 * tolerance / abs(published):.2g} %"


def row(id, quantity, source, published, computed, unit, tolerance, trust) -> str:
    def with_unit(text):
        return f"{text} {unit}" if unit else text
    return (f"| {id} | {quantity} | {source} | {with_unit(short(published, 6))} "
            f"| {with_unit(significant(computed))} | {percent(computed / published - 1.0)} "
            f"| {allowed(tolerance, published)} | {trust} |")


def friction_rows() -> list[str]:
    return [
        row(f.id, f"friction factor, {f.formula}, Re {f.re:g}", f.source, f.published,
            hw.friction_factor(f.re, f.roughness, formula=f.formula), "", f.tolerance, f.trust)
        for f in PRINTED_FACTORS
    ]


def rows_of(example, result) -> list[str]:
    return [row(example.id, q.what, example.source, q.published, q.computed(result), q.unit, q.tolerance,
                example.trust)
            for q in example.quantities if q.published is not None and q.in_table]


def example_rows(example) -> list[str]:
    if all(q.published is None or not q.in_table for q in example.quantities):
        return []
    return rows_of(example, solve_example(example))


def table() -> str:
    rows = friction_rows()
    for example in EXAMPLES:
        rows += example_rows(example)
    for formula in FORMULAS:
        rows += rows_of(formula, None)
    return "\n".join([INTRODUCTION, "", HEADER, *rows])


def replaced(text: str, block: str) -> str:
    """`text` with `block` between the markers. Raises ValueError without them."""
    before, begin, rest = text.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        raise ValueError(f"no {BEGIN} ... {END}")
    return f"{before}{BEGIN}\n{block}\n{END}{after}"


def main() -> int:
    parser = argparse.ArgumentParser(description="The validation table, from the worked examples.")
    action = parser.add_mutually_exclusive_group()
    action.add_argument("--write", type=Path, metavar="FILE", help="replace the table in FILE")
    action.add_argument("--check", type=Path, metavar="FILE", help="exit 1 if FILE's table differs")
    arguments = parser.parse_args()
    path = arguments.write or arguments.check
    if path is None:
        print(table())
        return 0
    old = path.read_text(encoding="utf-8")
    try:
        new = replaced(old, table())
    except ValueError as error:
        print(f"{path}: {error}", file=sys.stderr)
        return 1
    if arguments.write:
        path.write_text(new, encoding="utf-8")
        return 0
    if new != old:
        print(f"{path}: the validation table is out of date; run with --write", file=sys.stderr)
    return int(new != old)


if __name__ == "__main__":
    sys.exit(main())
