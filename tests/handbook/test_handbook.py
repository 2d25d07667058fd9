"""Every worked example by every method, against the printed answer and the independent one."""

import itertools
import tomllib
from functools import lru_cache

import numpy as np
import pytest
from examples import EXAMPLES
from hand_calculation import head_loss
from networks import FIRST_STEP, FIRST_STEP_RECOMPUTED, LOOP_PIPES, LOOPS, three_loops
from solving import solve_example

import handwheel as hw

METHODS = ("newton", "hardy_cross", "trust_region")
BY_ID = {example.id: example for example in EXAMPLES}
NAMES = list(BY_ID)
COMPONENT_KINDS = ("pipe", "valve", "check_valve", "pump", "restriction", "nozzle", "regulator",
                   "relief_valve")


@lru_cache(maxsize=None)
def solved(example_id, method):
    return solve_example(BY_ID[example_id], method)


def parts(example_id, *kinds):
    network = tomllib.loads(BY_ID[example_id].network)
    return list(itertools.chain.from_iterable(network.get(kind, []) for kind in kinds))


def component_names(example_id):
    return [part["name"] for part in parts(example_id, *COMPONENT_KINDS)]


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("example_id", NAMES)
def test_converges(example_id, method):
    result = solved(example_id, method)
    assert result.solution.converged, result.solution.summary


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("example_id", NAMES)
def test_reported_numbers_balance(example_id, method):
    """Mass at every junction and head along every component, from the reported numbers alone."""
    result = solved(example_id, method)
    balance = {}
    for part in parts(example_id, *COMPONENT_KINDS):
        q = result.flow[part["name"]]
        balance[part["from"]] = balance.get(part["from"], 0.0) - q
        if "to" in part:  # not so with what blows to the open air
            balance[part["to"]] = balance.get(part["to"], 0.0) + q
            difference = result.head[part["from"]] - result.head[part["to"]]
            assert result.drop[part["name"]] == pytest.approx(difference, rel=1e-12, abs=1e-9)
    solution_network = result.solution.network
    largest = max(abs(result.flow[name]) for name in component_names(example_id))
    for part in parts(example_id, "junction"):
        name = part["name"]
        draw, feed = (float(solution_network.get(f"{name}.{key}")) for key in ("draw", "feed"))
        assert balance.get(name, 0.0) == pytest.approx(draw - feed, rel=0, abs=1e-8 * largest), name


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("example_id", NAMES)
def test_meets_the_printed_answer(example_id, method):
    example, result = BY_ID[example_id], solved(example_id, method)
    for quantity in example.quantities:
        if quantity.published is None:
            continue
        assert quantity.computed(result) == pytest.approx(
            quantity.published, rel=0, abs=quantity.tolerance
        ), f"{quantity.what} of {example.source}"


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("example_id", NAMES)
def test_meets_the_value_recomputed_independently(example_id, method):
    example, result = BY_ID[example_id], solved(example_id, method)
    for quantity in example.quantities:
        if quantity.recomputed is None:
            continue
        assert quantity.computed(result) == pytest.approx(
            quantity.recomputed, rel=0, abs=quantity.recomputed_tolerance
        ), f"{quantity.what}, recomputed independently"


@pytest.mark.parametrize("method", METHODS[1:])
@pytest.mark.parametrize("example_id", NAMES)
def test_methods_agree(example_id, method):
    reference, other = solved(example_id, METHODS[0]), solved(example_id, method)
    for name in component_names(example_id):
        assert other.flow[name] == pytest.approx(reference.flow[name], rel=1e-6), name


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.id)
def test_example_is_well_formed(example):
    assert example.source and example.trust and example.quantities
    hw.loads(example.network)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize(("example_id", "choked"), [
    ("V11", False), ("V12", False), ("V14a", True), ("V14b", False)])
def test_choked_valves_are_told(example_id, choked, method):
    state = [solved(example_id, method).solution.state[part["name"]]
             for part in parts(example_id, "valve")]
    assert state == ["choked" if choked else "open"]


# --- The first step of the loop example ------------------------------------------------------------


def pipe_at(index, flow):
    """Head loss [m] of one pipe of the three-loop example by itself at a flow [m³/s]."""
    _, _, length, bore, *_ = LOOP_PIPES[index - 1]
    net = hw.loads(f"""
[site]
gravity = "9.81 m/s2"
[fluid]
name = "water"
density = "1000 kg/m3"
kinematic_viscosity = "1e-6 m2/s"
[[junction]]
name = "start"
feed = {flow:.17g}
[[vessel]]
name = "end"
[[pipe]]
name = "pipe"
from = "start"
to = "end"
length = {length}
bore = {bore}
roughness = "0.26 mm"
""")
    return hw.solve(net).drop["pipe"]


def test_first_simultaneous_step_of_the_three_loops():
    """Losses of the ten pipes through the package give the printed corrections of the three loops.
    As usual by hand, f is held while the flows change, so that dh/dQ is 2 h/Q."""
    start = {i: row[4] / 1e3 for i, row in enumerate(LOOP_PIPES, 1)}
    loss = {i: pipe_at(i, q) for i, q in start.items()}
    slope = {i: 2.0 * loss[i] / q for i, q in start.items()}
    matrix = np.array([[sum(a[i] * b[i] * slope[i] for i in a.keys() & b.keys()) for b in LOOPS]
                       for a in LOOPS])
    residual = np.array([sum(sign * loss[i] for i, sign in loop.items()) for loop in LOOPS])
    correction = np.linalg.solve(matrix, -residual)
    np.testing.assert_allclose(correction, FIRST_STEP, rtol=0, atol=3e-5)  # another friction formula
    np.testing.assert_allclose(correction, FIRST_STEP_RECOMPUTED, rtol=0, atol=1e-8)


def test_first_hardy_cross_pass_of_the_three_loops():
    """Hardy Cross 1936: a loop's correction is -sum(h)/sum(dh/dQ), here from the book's first guess,
    one loop after the other. Which loops are taken is the package's choice; it reports them."""
    net = hw.loads(three_loops().network)
    flows = {f"pipe {i}": row[4] / 1e3 for i, row in enumerate(LOOP_PIPES, 1)}
    solution = hw.solve(net, method="hardy_cross", record_loop_corrections=True,
                        initial_flow=list(flows.values()))
    first_pass = solution.loop_corrections.query("`pass` == 1")
    assert len(solution.loops) == len(first_pass) == 3

    def loss(name, flow):
        _, _, length, bore, *_ = LOOP_PIPES[int(name.split()[1]) - 1]
        return head_loss(flow, bore, length, nu=1e-6, eps=0.26e-3)

    def slope(name, flow):
        return (loss(name, flow * 1.0001) - loss(name, flow * 0.9999)) / (2e-4 * flow)

    for _, row in first_pass.iterrows():
        loop = solution.loops[int(row["loop"])]
        around = list(zip(loop.components, loop.signs, strict=True))
        by_hand = (-sum(sign * loss(name, flows[name]) for name, sign in around)
                   / sum(slope(name, flows[name]) for name, _ in around))
        assert row["correction [m3/s]"] == pytest.approx(by_hand, rel=1e-6)
        for name, sign in around:
            flows[name] += sign * row["correction [m3/s]"]
