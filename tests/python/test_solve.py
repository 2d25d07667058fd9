"""Solving through Python: results, cases, settings, tables, advice, storing, errors."""

import math
import pickle

import numpy as np
import pandas as pd
import pytest

from conftest import PLANT, grid

G = 9.80665  # [m/s²]


def test_flows_and_heads_balance(hw, net):
    s = hw.solve(net)
    assert s.converged and s.summary.converged
    assert s.summary.termination == "converged" and s.summary.method == "newton"
    assert s.flow["L-1"] == pytest.approx(s.flow["P-1"], abs=1e-9)
    assert s.flow["L-1"] == pytest.approx(s.flow["L-2"] + s.flow["L-3"], abs=1e-9)
    assert s.flow["L-3"] == pytest.approx(2 / 3600, abs=1e-9)
    assert s.head["sump"] == 2.0 and s.head["high tank"] == 13.0
    assert s.drop["L-2"] == pytest.approx(s.head["branch"] - s.head["high tank"], abs=1e-12)
    assert s.outflow["high tank"] == pytest.approx(s.flow["L-2"], abs=1e-12)
    assert s.outflow["mixer"] == pytest.approx(2 / 3600, rel=1e-15)
    weight = s.liquid.density * G
    assert s.pressure["mixer"] == pytest.approx((s.head["mixer"] - 3.0) * weight, rel=1e-12)
    area = math.pi / 4 * 0.0779**2
    assert s.velocity["L-1"] == pytest.approx(s.flow["L-1"] / area, rel=1e-12)
    assert (s.state["HV-3"], s.state["NRV-1"], s.state["P-1"]) == ("open", "forward", "running")


def test_the_pump_works_on_its_curve(hw, net):
    s = hw.solve(net, head_tolerance=1e-9)
    flow, head = net["P-1"].curve.T
    k = np.searchsorted(flow, s.flow["P-1"])
    gain = -s.drop["P-1"]
    assert head[k] <= gain <= head[k - 1]


def test_a_solve_changes_nothing_in_the_network(hw, net):
    before = net.copy()
    s = hw.solve(net, {"HV-3.opening": 0.1}, case="P-1 tripped")
    assert net == before
    assert s.network["HV-3"].opening == 0.1 and s.network["P-1"].running is False
    s.network["HV-3"].opening = 0.9
    assert s.network["HV-3"].opening == 0.1


def test_throttling_a_valve_lowers_its_flow(hw, net):
    flows = [hw.solve(net, {"HV-3.opening": x}).flow["HV-3"] for x in (0.1, 0.3, 0.6, 1.0)]
    assert flows == sorted(flows) and flows[0] < 0.8 * flows[-1]
    assert hw.solve(net, {"HV-3.opening": "60 %"}).flow["HV-3"] == flows[2]


def test_a_case_goes_first_and_settings_override_it(hw, net):
    throttled = hw.solve(net, case="throttled")
    assert throttled.case == "throttled"
    assert throttled.flow["HV-3"] == hw.solve(net, {"HV-3.opening": 0.2}).flow["HV-3"]
    overridden = hw.solve(net, {"HV-3.opening": 0.6}, case="throttled")
    assert overridden.flow["HV-3"] == hw.solve(net).flow["HV-3"]


def test_a_check_valve_holds_when_the_pump_stands(hw, net):
    s = hw.solve(net, case="P-1 tripped")
    assert s.converged
    assert s.flow["NRV-1"] == 0.0
    assert s.state["NRV-1"] == "shut" and s.state["P-1"] == "stopped"
    assert s.head["header"] == pytest.approx(13.0, abs=1e-6)
    assert not s.shut_in.values.any()
    stuck = hw.solve(net, {"NRV-1.condition": "stuck open"}, case="P-1 tripped")
    assert stuck.flow["NRV-1"] < -1e-4


def test_a_shut_in_point_has_no_pressure_and_says_so(hw, net):
    s = hw.solve(net, {"HV-3.opening": 0}, case="P-1 tripped")
    assert s.converged
    for point in ("header", "mixer"):
        assert s.shut_in[point] is True
        assert math.isnan(s.head[point]) and math.isnan(s.pressure[point])
    assert s.shut_in["branch"] is False
    assert s.flow["L-3"] == 0.0
    assert not np.isnan(s.flow.values).any()
    assert {(a.component, a.kind, a.severity) for a in s.advice} >= {("header", "shut-in", "note")}
    assert all(a.message for a in s.advice)


def test_nothing_but_the_undetermined_is_nan(hw, net):
    s = hw.solve(net)
    for values in (s.head, s.pressure, s.outflow, s.flow, s.drop):
        assert np.isfinite(values.values).all()
    # A pump has no bore.
    assert [name for name, v in s.velocity.items() if math.isnan(v)] == ["P-1"]


def test_values_are_arrays_in_network_order(hw, net):
    s = hw.solve(net)
    for values, names, dtype in (
        (s.flow, net.component_names, np.float64),
        (s.velocity, net.component_names, np.float64),
        (s.drop, net.component_names, np.float64),
        (s.head, net.point_names, np.float64),
        (s.pressure, net.point_names, np.float64),
        (s.outflow, net.point_names, np.float64),
        (s.shut_in, net.point_names, np.bool_),
    ):
        assert values.names == names == list(values) == values.keys()
        assert values.values.dtype == dtype and values.values.shape == (len(names),)
        assert len(values) == len(names)
        assert [name for name, _ in values.items()] == names
        np.testing.assert_array_equal([value for _, value in values.items()], values.values)
        assert dict(values)[names[0]] == values[names[0]]
    assert s.state.values.dtype.kind == "U"
    assert type(s.flow["L-1"]) is float


def test_values_cannot_be_changed_by_mistake(hw, net):
    s = hw.solve(net)
    for values in (s.flow, s.head, s.state, s.shut_in):
        with pytest.raises(ValueError):
            values.values[0] = values.values[1]
    array = np.array(s.flow)
    array *= 3600
    assert s.flow["L-1"] * 3600 == array[0]


def test_arrays_outlive_their_solution(hw, net):
    values = hw.solve(net).flow.values
    again = hw.solve(net).flow.values
    np.testing.assert_array_equal(values, again)


def test_values_become_a_series(hw, net):
    series = hw.solve(net).flow.to_series()
    assert isinstance(series, pd.Series) and series.name == "flow [m3/s]"
    assert list(series.index) == net.component_names
    series["L-1"] = 0.0  # a copy


def test_an_unknown_name_suggests_the_nearest(hw, net):
    s = hw.solve(net)
    assert "L-1" in s.flow and "L-7" not in s.flow
    assert s.flow.get("L-77") is None and s.flow.get("L-77", 0.0) == 0.0
    for values, name, meant in ((s.flow, "L-11", "L-1"), (s.head, "mixr", "mixer")):
        for kind in (hw.UnknownNameError, hw.NetworkError, KeyError, ValueError):
            with pytest.raises(kind, match=meant):
                values[name]


TABLES = {
    "points": 7, "components": 6, "vessels": 2, "junctions": 5, "pipes": 3, "valves": 1,
    "check valves": 1, "pumps": 1, "restrictions": 0, "nozzles": 0,
}  # fmt: skip


@pytest.mark.parametrize("name, rows", TABLES.items())
def test_tables_have_a_row_per_part_and_units_in_brackets(hw, net, name, rows):
    table = hw.solve(net).table(name)
    assert isinstance(table, pd.DataFrame)
    assert len(table) == rows and table.index.name == "name"
    for heading, column in table.items():
        assert (column.dtype == np.float64) == heading.endswith("]"), heading


def test_tables_agree_with_values(hw, net):
    s = hw.solve(net)
    pipes = s.table("pipes")
    assert pipes.loc["L-1", "flow [m3/s]"] == s.flow["L-1"]
    assert pipes.loc["L-2", "bore [m]"] == pytest.approx(0.0525)
    reynolds = s.velocity["L-1"] * 0.0779 / s.liquid.kinematic_viscosity
    assert pipes.loc["L-1", "Reynolds number [-]"] == pytest.approx(reynolds, rel=1e-12)
    assert s.table("valves").loc["HV-3", "opening [-]"] == 0.6
    assert s.table("check_valves").loc["NRV-1", "condition"] == "sound"
    pumps = s.table("pumps")
    assert pumps.loc["P-1", "gain [m]"] == -s.drop["P-1"]
    power = s.liquid.density * G * s.flow["P-1"] * -s.drop["P-1"]
    assert pumps.loc["P-1", "hydraulic power [W]"] == pytest.approx(power, rel=1e-12)
    components = s.table("components")
    assert list(components.index) == net.component_names
    np.testing.assert_array_equal(components["flow [m3/s]"], s.flow.values)
    points = s.table("points")
    np.testing.assert_array_equal(points["pressure [Pa]"], s.pressure.values)
    assert points["shut in"].dtype == bool


def test_an_unknown_table_is_refused(hw, net):
    with pytest.raises(hw.Error, match="pipes"):
        hw.solve(net).table("pips")


def test_printing_a_solution_gives_a_report(hw, net):
    s = hw.solve(net, case="throttled")
    text = str(s)
    for word in ("Rinse loop", "throttled", "mixer", "HV-3", "m3/h", "converged"):
        assert word in text
    assert text.endswith("and a licensed engineer decide.")
    assert "\n" not in repr(s) and "throttled" in repr(s) and "converged" in repr(s)
    assert "converged" in repr(s.summary)
    assert repr(s.flow).startswith("<flow [m3/s]: {'L-1': 0.0")
    assert repr(s.liquid).startswith("Liquid(density=998.")


def test_a_solution_pickles_bit_for_bit(hw, net):
    s = hw.solve(net, {"HV-3.opening": 0}, case="P-1 tripped")
    back = pickle.loads(pickle.dumps(s))
    for name in ("head", "pressure", "outflow", "shut_in", "flow", "velocity", "drop", "state"):
        assert getattr(s, name).values.tobytes() == getattr(back, name).values.tobytes(), name
    assert back.network == s.network and back.case == s.case
    assert str(back) == str(s) and repr(back) == repr(s)
    assert back.summary.num_iterations == s.summary.num_iterations
    assert [a.message for a in back.advice] == [a.message for a in s.advice]


def test_the_loop_method_agrees_and_keeps_its_corrections(hw, net):
    newton = hw.solve(net)
    s = hw.solve(net, method="hardy_cross", record_loop_corrections=True)
    assert s.converged and s.summary.method == "hardy_cross"
    # Both stop within 1e-9 m3/s and 1e-6 m; the slopes here are above 50 s/m2.
    np.testing.assert_allclose(s.flow.values, newton.flow.values, atol=1e-7)
    assert len(s.loops) == 1 and s.loops[0].between_vessels
    assert set(s.loops[0].components) == {"L-1", "P-1", "NRV-1", "HV-3", "L-2"}
    assert set(s.loops[0].signs) <= {1, -1} and len(s.loops[0]) == 5
    corrections = s.loop_corrections
    assert list(corrections.columns) == ["pass", "loop", "correction [m3/s]"]
    assert corrections["pass"].min() == 1 and len(corrections) > 1
    assert abs(corrections["correction [m3/s]"].iloc[-1]) < 1e-8
    assert newton.loops == [] and len(newton.loop_corrections) == 0
    back = pickle.loads(pickle.dumps(s))
    pd.testing.assert_frame_equal(back.loop_corrections, corrections)


def test_the_least_squares_method_agrees(hw, net):
    try:
        s = hw.solve(net, method="trust_region")
    except hw.SettingError as error:
        pytest.skip(str(error))  # built without it
    assert s.converged and s.summary.method == "trust_region"
    np.testing.assert_allclose(s.flow.values, hw.solve(net).flow.values, atol=1e-7)


def test_every_run_gives_the_same_bits(hw, net):
    first = hw.solve(net)
    for _ in range(3):
        again = hw.solve(net)
        assert again.flow.values.tobytes() == first.flow.values.tobytes()
        assert again.head.values.tobytes() == first.head.values.tobytes()


def test_too_few_iterations_are_reported_not_raised(hw, net):
    s = hw.solve(net, max_num_iterations=1)
    assert not s.converged
    assert s.summary.termination == "no convergence" and s.summary.num_iterations == 1
    assert "not converge" in s.summary.message
    assert s.summary.max_head_imbalance > 1e-6 or s.summary.max_flow_imbalance > 1e-9


def test_a_start_near_the_answer_saves_iterations(hw, net):
    s = hw.solve(net)
    warm = hw.solve(net, initial_flow=s.flow)
    assert warm.summary.num_iterations <= s.summary.num_iterations
    np.testing.assert_allclose(warm.flow.values, s.flow.values, atol=1e-8)
    assert hw.solve(net, initial_flow=list(s.flow.values)).converged


@pytest.mark.parametrize("flow", [[0.1], "fast", np.zeros((2, 3)), [float("nan")] * 6])
def test_an_unfit_start_is_refused(hw, net, flow):
    with pytest.raises(hw.SettingError, match="initial_flow"):
        hw.solve(net, initial_flow=flow)


@pytest.mark.parametrize(
    "options, says",
    [
        ({"method": "newtn"}, "newton"),
        ({"flow_tolerance": 0.0}, "flow_tolerance"),
        ({"head_tolerance": -1.0}, "head_tolerance"),
        ({"step_tolerance": float("nan")}, "step_tolerance"),
        ({"max_num_iterations": -1}, "max_num_iterations"),
    ],
)
def test_a_bad_option_is_refused(hw, net, options, says):
    with pytest.raises(hw.SettingError, match=says):
        hw.solve(net, **options)


def test_bad_settings_and_cases_are_refused(hw, net):
    with pytest.raises(hw.SettingError, match="HV-3"):
        hw.solve(net, {"HV-33.opening": 0.4})
    with pytest.raises(hw.NetworkError, match="P-1 tripped"):
        hw.solve(net, case="P-1 triped")


def test_a_draw_cut_off_from_every_vessel_is_refused(hw):
    net = hw.Network()
    net.add_vessel("tank", level=3.0)
    net.add_junction("mixer", draw="1 m3/h")
    net.add_valve("HV-1", "tank", "mixer", kind="gate", bore="50 mm")
    assert hw.solve(net).flow["HV-1"] == pytest.approx(1 / 3600, abs=1e-9)
    with pytest.raises(hw.NetworkError, match="mixer"):
        hw.solve(net, {"HV-1.opening": 0})


def test_a_pump_beyond_its_curve_is_advised_against(hw, net):
    assert all(a.severity == "note" for a in hw.solve(net).advice)
    net["L-2"].bore = "102.3 mm"
    s = hw.solve(net, {"HV-3.opening": 1})
    (advice,) = (a for a in s.advice if a.kind == "pump beyond its curve")
    assert (advice.component, advice.severity) == ("P-1", "warning")
    assert advice.value == s.flow["P-1"] > advice.limit == pytest.approx(40 / 3600)
    assert "P-1" in repr(advice) and "P-1" in str(s)


def test_a_plain_pipe_meets_darcy_weisbach(hw):
    # Closed form: drop = f L/D V²/(2g), with f from the same function and the flow that comes out.
    net = hw.Network()
    net.add_vessel("upper", level=10.0)
    net.add_vessel("lower", level=4.0)
    net.add_pipe("L-1", "upper", "lower", length=100.0, bore=0.1, roughness=1e-4)
    s = hw.solve(net, head_tolerance=1e-10)
    v = s.velocity["L-1"]
    f = hw.friction_factor(v * 0.1 / s.liquid.kinematic_viscosity, 1e-3)
    assert f * 100 / 0.1 * v * v / (2 * G) == pytest.approx(6.0, abs=1e-8)


def test_an_empty_network_is_refused(hw):
    with pytest.raises(hw.NetworkError):
        hw.solve(hw.Network())


def test_a_grid_of_a_thousand_points_solves(hw):
    s = hw.solve(grid(hw, 32))
    assert s.converged
    assert s.flow["inlet"] == pytest.approx(
        s.flow["outlet"] + sum(j.draw for j in s.network.junctions), abs=1e-6
    )


def test_text_in_another_unit_gives_the_same_plant(hw, net):
    other = hw.loads(PLANT.replace('"2 m3/h"', '"33.333333333333336 L/min"'))
    assert hw.solve(other).flow["L-1"] == pytest.approx(hw.solve(net).flow["L-1"], rel=1e-9)
