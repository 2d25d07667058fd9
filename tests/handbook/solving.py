"""Solves an example, searching first where it asks for an unknown property."""

from hand_calculation import root
from quantities import Example, Result

import handwheel as hw


def solve_example(example: Example, method: str = "newton") -> Result:
    net = hw.loads(example.network)
    if example.search is None:
        return Result(hw.solve(net, method=method))
    search = example.search

    def at(value: float) -> Result:
        return Result(hw.solve(net, {search.target: value}, method=method), found=value)

    return at(root(lambda value: search.residual(at(value)), search.low, search.high))
