"""backflow from Python and from the shell."""

import json
import math
import os
import pathlib
import signal
import threading

import pytest

from conftest import grid

NETWORKS = pathlib.Path(__file__).resolve().parents[2] / "networks"
TRIP = dict(before={"mixer.draw": 0})  # a fixed draw would suck the header empty


def test_a_sound_check_valve_holds_and_a_failed_one_does_not(hw, net):
    study = hw.backflow(net, trip="P-1", **TRIP)
    assert study.scenario == "P-1 trips"
    assert not study.as_it_stands.runs_back and study.as_it_stands.failed == {}
    assert study.runs_back
    assert study.verdict.startswith("No, as long as NRV-1 holds. If NRV-1 passes, ")
    by_failure = {tuple(state.failed.items()): state for state in study.states}
    assert len(by_failure) == 3
    for condition in ("passing", "stuck open"):
        state = by_failure[(("NRV-1", condition),)]
        s = hw.solve(net, {"P-1.running": False, "mixer.draw": 0, "NRV-1.condition": condition})
        (path,) = state.paths
        assert (path.source, path.sink, path.goes_round) == ("high tank", "sump", False)
        assert path.flow == pytest.approx(-s.flow["P-1"], rel=1e-9)
        assert path.driving_head == pytest.approx(s.head["high tank"] - s.head["sump"])
        assert path.components == ["L-2", "HV-3", "NRV-1", "P-1", "L-1"] == path.backward
        assert [part.name for part in state.backward if part.flow > 0] == []
        assert all(part.flow_before > 0 for part in state.backward)
        assert state.reversed_vessels == ["sump", "high tank"]
        assert [vessel.name for vessel in state.filling] == ["sump"]
        assert math.isnan(state.filling[0].level_rise)  # no area is given
        (pump,) = state.reversed_pumps
        assert pump.name == "P-1" and not pump.running and pump.reverse_speed > 0


def test_what_holds_is_named(hw, net):
    study = hw.backflow(net, {"HV-3.opening": 0}, trip=["P-1"], **TRIP)
    assert not study.runs_back
    (held,) = study.held
    assert held.held_by == ["HV-3", "NRV-1"] and held.through == ["P-1"]
    assert (held.source, held.sink) == ("high tank", "sump")
    assert held.driving_head == pytest.approx(11)


def test_scenarios_by_case_power_loss_and_settings(hw, net):
    by_case = hw.backflow(net, case="P-1 tripped")
    assert by_case.scenario == 'case "P-1 tripped"'
    assert [s.flow for s in by_case.states] == pytest.approx(
        [s.flow for s in hw.backflow(net, power_loss=True, **TRIP).states], rel=1e-6)
    pushed = hw.backflow(net, {"high tank.gas_pressure": "4 bar"}, **TRIP)
    stuck = next(s for s in pushed.states if s.failed == {"NRV-1": "stuck open"})
    assert stuck.reversed_pumps[0].running


def test_a_state_without_a_solution_is_a_row_with_its_reason(hw, net):
    # The mixer's draw has no feed with HV-3 and the pump's discharge both shut off.
    net.add_valve("HV-9", "suction", "discharge", kind="ball", size="DN50", opening=0)
    study = hw.backflow(net, {"HV-3.opening": 0, "mixer.draw": "5 m3/h", "mixer.feed": "9 m3/h"}, trip="P-1")
    assert not study.as_it_stands.solved and "NRV-1" in study.as_it_stands.reason
    assert math.isnan(study.as_it_stands.flow)
    table = study.table()
    assert not table["solved"].iloc[0] and "NRV-1" in table["reason"].iloc[0]
    assert study.verdict.startswith("Unknown with the check valves as they are")
    assert "no solution" in str(study)


def test_the_table_has_a_row_per_state_and_path(hw, net):
    table = hw.backflow(net, trip="P-1", **TRIP).table()
    assert list(table["check valves"]) == ["as they are", "NRV-1 stuck open", "NRV-1 passing"]
    assert table["flow [m3/s]"].iloc[0] == 0 and table["flow [m3/s]"].iloc[1] > table["flow [m3/s]"].iloc[2]


def test_the_number_of_states_is_bounded_and_what_is_left_out_counted(hw):
    net = hw.load(NETWORKS / "cooling_loop.toml")
    assert len(hw.backflow(net, trip="P-21B").states) == 9
    few = hw.backflow(net, trip="P-21B", max_states=6)
    assert len(few.states) == 6 and few.num_skipped == 3 and "max_states" in few.verdict
    assert len(hw.backflow(net, trip="P-21B", max_failed=0).states) == 1


def test_shipped_plants_answer(hw):
    caustic = hw.backflow(hw.load(NETWORKS / "caustic_transfer.toml"), trip="P-1")
    assert caustic.verdict.startswith("Yes, with every check valve as it is: ")
    assert "to day tank through P-1" in caustic.verdict
    acid = hw.backflow(hw.load(NETWORKS / "acid_dosing.toml"), trip="P-31")
    assert acid.verdict.startswith("No, as long as NRV-32 holds.")
    ring = hw.backflow(hw.load(NETWORKS / "cooling_loop.toml"), trip="P-21B")
    stuck = ring.states[1]
    assert stuck.failed == {"NRV-21B": "stuck open"}
    assert stuck.paths[0].goes_round and stuck.paths[0].driven_by == ["P-21A"]
    for study in (caustic, acid, ring):
        assert "licensed engineer" in str(study) and "never isolation" in str(study)


@pytest.mark.parametrize(
    "arguments, message",
    [
        (dict(trip="P-9"), 'did you mean "P-1"'),
        (dict(trip=3), "no name of a pump"),
        (dict(case="none"), "none"),
        (dict(settings={"HV-3.opening": 3}), "opening"),
        (dict(least_flow=0), "least_flow"),
        (dict(least_flow="1 bar"), "flow"),
        (dict(max_failed=3), "max_failed"),
        (dict(max_states=0), "max_states"),
    ],
)
def test_mistakes_are_value_errors(hw, net, arguments, message):
    with pytest.raises(hw.Error, match=message):
        hw.backflow(net, **arguments)


def test_ctrl_c_stops_a_long_study(hw):
    net = grid(hw, 40)
    for i in range(0, 39):
        net.add_check_valve(f"NRV-{i}", f"n{i},0", f"n{i + 1},1", kind="swing", bore=0.1)
    timer = threading.Timer(0.5, os.kill, (os.getpid(), signal.SIGINT))
    timer.start()
    try:
        with pytest.raises(KeyboardInterrupt):
            hw.backflow(net)
    finally:
        timer.cancel()


def test_the_shell_has_the_same_answer(hw, net, shell, plant_file):
    done = shell("backflow", plant_file, "--trip", "P-1", "--before", "mixer.draw=0")
    study = hw.backflow(net, trip="P-1", **TRIP)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == str(study)
    done = shell("backflow", plant_file, "--case", "P-1 tripped", "--json")
    report = json.loads(done.stdout)
    assert report["verdict"].startswith("No, as long as NRV-1 holds.") and report["runs_back"]
    assert [state["failed"] for state in report["states"]] == [
        {}, {"NRV-1": "stuck open"}, {"NRV-1": "passing"}]  # fmt: skip
    assert report["states"][1]["paths"][0]["source"] == "high tank"
    assert report["held"][0]["held_by"] == ["NRV-1"]
    assert "licensed" in report["caution"]


def test_the_shell_tells_mistakes_and_failures(shell, plant_file, tmp_path):
    done = shell("backflow", plant_file, "--trip", "P-9")
    assert done.returncode == 2 and 'did you mean "P-1"' in done.stderr
    assert shell("backflow", plant_file, "--power-loss", "--max-failed", 3).returncode == 2
    done = shell("backflow", plant_file, "--power-loss", "--set", "HV-3.opening=0", "-o", tmp_path / "out.txt",
                 "--set", "mixer.draw=0", "--set", "mixer.feed=2 m3/h")  # fmt: skip
    assert done.returncode == 1 and "without a solution" in done.stderr
    assert "no solution" in (tmp_path / "out.txt").read_text(encoding="utf-8")
