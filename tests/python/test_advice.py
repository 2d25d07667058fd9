"""Advice and readings through Python and the shell: findings, what to check next, storing."""

import json
import math
import pathlib
import pickle

import pytest

PLANTS = sorted((pathlib.Path(__file__).resolve().parents[2] / "networks").glob("*.toml"))
SEVERITIES = ["danger", "warning", "note"]


@pytest.fixture
def caustic(hw):
    return hw.load(PLANTS[0].parent / "caustic_transfer.toml")


def of_kind(s, kind):
    return [a for a in s.advice if a.kind == kind]


@pytest.mark.parametrize("path", PLANTS, ids=lambda path: path.stem)
def test_every_finding_of_every_case_is_fit_to_read(hw, path):
    net = hw.load(path)
    for case in ["", *net.cases]:
        s = hw.solve(net, case=case)
        ranks = [SEVERITIES.index(a.severity) for a in s.advice]
        assert ranks == sorted(ranks)
        for a in s.advice:
            assert a.component in repr(a)
            assert a.component in a.message or a.component == "fluid"
            assert a.check and a.check[-1] == "." and a.message[-1] == "."
            assert all(x.count(":") <= 1 for x in a.message.split(". "))
            assert "nan" not in a.message and "inf" not in a.message and "e-" not in a.message


def test_findings_pickle(hw, caustic):
    s = hw.solve(caustic, case="P-1 tripped, NRV-1 stuck open")
    for a in s.advice:
        b = pickle.loads(pickle.dumps(a))
        for field in ("component", "kind", "severity", "message", "check", "caution"):
            assert getattr(a, field) == getattr(b, field)
        assert repr((a.value, a.limit)) == repr((b.value, b.limit))


def test_backflow_names_the_check_valve_the_flow_and_the_pump_that_spins(hw, caustic):
    s = hw.solve(caustic, case="P-1 tripped, NRV-1 stuck open")
    (backflow,) = of_kind(s, "backflow")
    assert (backflow.component, backflow.severity) == ("NRV-1", "warning")
    assert backflow.value == s.flow["NRV-1"] < 0
    assert "never isolation" in backflow.caution
    (spun,) = of_kind(s, "spun backwards")
    assert spun.component == "P-1" and "never start it so" in spun.message
    assert not of_kind(hw.solve(caustic), "backflow")
    assert not of_kind(hw.solve(caustic, case="P-1 tripped"), "spun backwards")


def test_leak_and_states_are_told_and_survive_pickling(hw, caustic):
    s = hw.solve(caustic, {"HV-3.condition": "diaphragm cut"})
    assert s.leak["HV-3"] > 0 and s.leak["HV-4"] == 0 and s.leak.unit == "m3/s"
    (cut,) = of_kind(s, "diaphragm cut")
    assert cut.value == s.leak["HV-3"] and "open air" in cut.message
    back = pickle.loads(pickle.dumps(s))
    assert (back.leak.values == s.leak.values).all()
    assert [a.message for a in back.advice] == [a.message for a in s.advice]


def test_long_state_names_are_whole(hw):
    net = hw.loads("""
[[vessel]]
name = "a"
level = 5.0
[[vessel]]
name = "b"
[[regulator]]
name = "FL-1"
from = "a"
to = "b"
kind = "flow-limiting"
size = "DN50"
set_flow = "3 m3/h"
""")
    s = hw.solve(net)
    assert s.state["FL-1"] == "limiting"
    assert pickle.loads(pickle.dumps(s)).state["FL-1"] == "limiting"
    assert s.table("regulators").loc["FL-1", "state"] == "limiting"


def test_tables_hold_the_readings(hw, caustic):
    s = hw.solve(caustic, {"HV-3.turns": 8})
    valves = s.table("valves")
    assert valves.loc["HV-3", "turns open [-]"] == pytest.approx(0.6 * 8)
    assert valves.loc["HV-3", "turns in [-]"] == pytest.approx(0.4 * 8)
    assert 0 < valves.loc["HV-3", "xF [-]"] < valves.loc["HV-3", "xFz [-]"]
    assert s.table("check valves").loc["NRV-1", "disc"] == "full open"
    pumps = s.table("pumps")
    # The tank's level, the atmosphere and the suction line's losses, less vapour pressure.
    assert pumps.loc["P-1", "NPSH available [m]"] == pytest.approx(
        (s.pressure["P-1 in"] + 101325 - s.liquid.vapour_pressure) / (s.liquid.density * 9.80665)
    )
    # Between its points of 1.5 m at 16 m3/h and 2.1 m at 24.
    assert 1.5 < pumps.loc["P-1", "NPSH required [m]"] < 2.1
    stopped = hw.solve(caustic, {"P-1.running": False}).table("pumps")
    assert math.isnan(stopped.loc["P-1", "NPSH required [m]"])
    assert set(s.table("pipes")["regime"]) <= {"laminar", "transitional", "turbulent"}


def test_the_report_says_what_to_check(hw, caustic):
    text = str(hw.solve(caustic, case="P-1 tripped, NRV-1 passing"))
    assert "warning: 0.947 m3/h runs backwards through NRV-1" in text
    assert "\n  check: what fills beyond P-1 out" in text


def test_an_unfinished_solve_says_so_and_no_more(hw, caustic):
    s = hw.solve(caustic, max_num_iterations=1)
    assert not s.converged
    assert [(a.kind, a.severity) for a in s.advice] == [("not solved", "danger")]


def test_json_has_readings_leak_and_what_to_check(hw, shell, caustic):
    path = PLANTS[0].parent / "caustic_transfer.toml"
    done = shell("solve", path, "--json", "--case", "P-1 tripped, NRV-1 passing")
    report = json.loads(done.stdout)
    components = report["components"]
    assert components["HV-3"]["leak"] == 0
    assert components["HV-3"]["reading"]["turns_open"] == pytest.approx(3.0)
    assert components["NRV-1"]["reading"]["disc"] == "passing"
    assert components["P-1"]["reading"]["npsh_required"] is None
    assert components["L-1"]["reading"]["regime"]
    assert components["MX-1"]["reading"] is None
    s = hw.solve(caustic, case="P-1 tripped, NRV-1 passing")
    told = [(a["component"], a["check"], a["caution"]) for a in report["advice"]]
    assert told == [(a.component, a.check, a.caution) for a in s.advice]


def test_turns_tells_how_far_each_valve_is_from_shut(shell):
    path = PLANTS[0].parent / "caustic_transfer.toml"
    done = shell("turns", path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "Clockwise shuts." in done.stdout
    line = next(x for x in done.stdout.splitlines() if x.startswith("HV-3"))
    # 16 mm of travel at 3.2 mm a turn: 5 turns, of which 60 %.
    assert line.split()[-6:] == ["60", "3", "2", "5", "9.6", "16"]
    one = shell("turns", path, "HV-3", "--opening", "0.3")
    assert "HV-3: 1.5 turns clockwise to stand 30 % open" in one.stdout
    assert "HV-4" not in one.stdout
    for opening in ("0.3", "30%", "30 %"):
        assert shell("turns", path, "HV-3", "--opening", opening).stdout == one.stdout
    there = shell("turns", path, "HV-3", "--opening", "60 %")
    assert "HV-3: already stands there, 60 % open\n" in there.stdout


def test_turns_of_a_lever_are_degrees_and_estimates_have_two_digits(shell, tmp_path):
    path = tmp_path / "levers.toml"
    path.write_text("""
[[vessel]]
name = "a"
level = 5.0
[[vessel]]
name = "b"
[[valve]]
name = "HV-1"
from = "a"
to = "b"
kind = "ball"
size = "DN50"
opening = 0.6
[[valve]]
name = "HV-2"
from = "a"
to = "b"
kind = "gate"
size = "DN80"
opening = 0.37
[[valve]]
name = "HV-3"
from = "a"
to = "b"
kind = "gate"
size = "DN80"
opening = 0.4
turns = 16.5
""")
    done = shell("turns", path)
    assert (done.returncode, done.stderr) == (0, "")
    lines = {x.split()[0]: x for x in done.stdout.splitlines() if x.startswith("HV-")}
    assert "54 deg" in lines["HV-1"] and "36 deg" in lines["HV-1"] and "90 deg" in lines["HV-1"]
    for turns in lines["HV-2"].split()[3:6]:
        assert len(turns.replace(".", "").lstrip("0")) <= 2
    # 0.4 and 0.6 of 16.5 turns.
    assert lines["HV-3"].split()[3:6] == ["6.6", "9.9", "16.5"]
    lever = shell("turns", path, "HV-1", "--opening", "30 %")
    assert "HV-1: 27 deg clockwise to stand 30 % open\n" in lever.stdout


@pytest.mark.parametrize("opening", ["40", "1.01", "-0.1", "half", "3 bar"])
def test_turns_refuses_an_opening_that_is_none(shell, opening):
    path = PLANTS[0].parent / "caustic_transfer.toml"
    done = shell("turns", path, "HV-3", f"--opening={opening}")
    assert done.returncode == 2 and opening.split()[0].rstrip("%") in done.stderr


def test_turns_refuses_what_is_no_valve(shell):
    path = PLANTS[0].parent / "caustic_transfer.toml"
    for name in ("L-1", "HV-33"):
        done = shell("turns", path, name)
        assert done.returncode == 2 and name in done.stderr
