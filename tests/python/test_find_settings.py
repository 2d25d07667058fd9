"""find_settings from Python and settings from the shell."""

import json
import os
import pathlib
import signal
import threading

import numpy as np
import pytest

from conftest import grid

NETWORKS = pathlib.Path(__file__).resolve().parents[2] / "networks"
CAUSTIC = NETWORKS / "caustic_transfer.toml"
M3_PER_H = 1 / 3600


@pytest.fixture
def caustic(hw):
    return hw.load(CAUSTIC)


def test_it_answers_which_opening_gives_12_m3_per_h(hw, caustic):
    found = hw.find_settings(caustic, vary=["HV-3.opening"], targets={"L-4.flow": "12 m3/h"})
    assert found.reached and found
    assert list(found.settings) == ["HV-3.opening"]
    assert 0 < found.settings["HV-3.opening"] < 0.6
    s = hw.solve(caustic, found.settings)
    assert s.flow["L-4"] == pytest.approx(12 * M3_PER_H, rel=1e-6)
    assert found.solution.flow["L-4"] == pytest.approx(s.flow["L-4"], rel=1e-9)
    assert str(found).splitlines()[1].startswith("Reached with HV-3.opening")
    assert found.verdict in str(found) and "never isolation" in str(found)
    assert caustic["HV-3"].opening == 0.6, "the network given stays as it is"


def test_without_starving_the_scrubber(hw, caustic):
    found = hw.find_settings(caustic, ["HV-3.opening"],
                             {"L-4.flow": "12 m3/h", "L-5.flow": ("5 m3/h", None)})
    assert found.reached
    targets = found.table("targets")
    assert list(targets.index) == ["L-4.flow", "L-5.flow"] and targets["reached"].all()
    assert targets.loc["L-5.flow", "wanted"] == "at least 5 m3/h"
    assert targets.loc["L-5.flow", "found"] >= 5 * M3_PER_H
    assert targets.loc["L-4.flow", "present"] == pytest.approx(hw.solve(caustic).flow["L-4"])
    settings = found.table()
    assert settings.loc["HV-3.opening", "turns open"] == pytest.approx(
        5 * found.settings["HV-3.opening"])


def test_a_grid_of_solves_finds_no_nearer_opening(hw, caustic):
    openings = np.linspace(0, 1, 201)
    flows = hw.sweep(caustic, "HV-3.opening", openings, installed=False).flow["L-4"].to_numpy()
    for wanted in (2, 8, 12, 15, 17, 30):
        found = hw.find_settings(caustic, ["HV-3.opening"], {"L-4.flow": wanted * M3_PER_H},
                                 keep_limits=False)
        miss = abs(found.table("targets")["miss"].iloc[0])
        assert miss <= abs(flows - wanted * M3_PER_H).min() + 1e-9
        assert found.reached == (flows.max() >= wanted * M3_PER_H)


def test_unreachable_gives_the_nearest_and_what_binds(hw, caustic):
    found = hw.find_settings(caustic, ["HV-3.opening"], {"L-4.flow": "20 m3/h"})
    assert not found.reached and not found
    assert found.settings == {"HV-3.opening": 1.0}
    assert found.binding == [{"target": "L-4.flow", "kind": "bound", "name": "HV-3.opening",
                              "message": "HV-3 is fully open"}]
    assert "short of 20 m3/h" in found.verdict and "HV-3 is fully open" in found.verdict
    assert found.num_starts > 1 and found.num_solves > found.num_starts


def test_bounds_priorities_and_tolerances(hw, caustic):
    found = hw.find_settings(caustic, {"HV-3.opening": ("50 %", None)}, {"L-4.flow": "12 m3/h"})
    assert found.settings == {"HV-3.opening": 0.5}
    assert found.binding[0]["kind"] == "bound"
    targets = {"L-4.flow": "14.5 m3/h", "L-5.flow": ("6.5 m3/h", None)}
    first = hw.find_settings(caustic, ["HV-3.opening"], targets, priorities={"L-5.flow": 2})
    assert first.table("targets")["reached"].to_list() == [False, True]
    assert first.binding[0]["name"] == "L-5.flow" and "comes first" in first.verdict
    other = hw.find_settings(caustic, ["HV-3.opening"], targets, priorities={"L-4.flow": 2},
                             tolerances={"L-5.flow": "1 m3/h"})
    assert other.reached and other.table("targets")["tolerance"].iloc[1] == pytest.approx(M3_PER_H)


def test_limits_are_kept_unless_told_otherwise(hw, caustic):
    kept = hw.find_settings(caustic, ["P-1.speed"], {"P-1.flow": "8 m3/h"})
    assert not kept.reached and kept.binding[0]["kind"] == "advice"
    assert "NRV-1" in kept.verdict and kept.new_advice == []
    free = hw.find_settings(caustic, ["P-1.speed"], {"P-1.flow": "8 m3/h"}, keep_limits=False)
    assert free.reached
    assert len(free.advice_after) > len(free.advice_before)
    assert any("were not kept" in caution for caution in free.cautions)


def test_speeds_levels_pressures_and_cases(hw, caustic):
    found = hw.find_settings(caustic, {"P-1.speed": (0.8, 1.1)}, {"header.pressure": "1.6 bar"})
    assert hw.solve(caustic, found.settings).pressure["header"] == pytest.approx(1.6e5, abs=10)
    case = hw.find_settings(caustic, {"day tank.level": ("0.1 m", "6 m")}, {"L-4.flow": "13 m3/h"},
                            case="HV-3 at 40 %", settings={"HV-4.opening": 0.3})
    assert hw.solve(caustic, case.settings | {"HV-3.opening": 0.4, "HV-4.opening": 0.3}).flow[
        "L-4"] == pytest.approx(case.table("targets")["found"].iloc[0], rel=1e-6)


@pytest.mark.parametrize("vary, targets, options, words", [
    ([], {"L-4.flow": 1}, {}, ["nothing to vary"]),
    (["HV-3.opning"], {"L-4.flow": 1}, {}, ["opning", "opening"]),
    (["HV-3.kind"], {"L-4.flow": 1}, {}, ["no number"]),
    ([3], {"L-4.flow": 1}, {}, ["HV-3.opening"]),
    (7, {"L-4.flow": 1}, {}, ["no list"]),
    ({"HV-3.opening": 0.5}, {"L-4.flow": 1}, {}, ["bounds such as"]),
    ({"HV-3.opening": (1, 2, 3)}, {"L-4.flow": 1}, {}, ["3 ends"]),
    ({"HV-3.opening": (0.5, 0.4)}, {"L-4.flow": 1}, {}, ["no room"]),
    ({"HV-3.opening": (0, 40)}, {"L-4.flow": 1}, {}, ["opening"]),
    (["HV-3.opening"], {}, {}, ["no targets"]),
    (["HV-3.opening"], ["L-4.flow"], {}, ["no mapping"]),
    (["HV-3.opening"], {"L-4.flwo": 1}, {}, ["flwo", "flow"]),
    (["HV-3.opening"], {"L-44.flow": 1}, {}, ["L-44", "L-4"]),
    (["HV-3.opening"], {"L-4.flow": "12 m3/fortnight"}, {}, ["L-4.flow", "fortnight"]),
    (["HV-3.opening"], {"L-4.flow": "2 bar"}, {}, ["L-4.flow", "bar"]),
    (["HV-3.opening"], {"L-4.flow": float("nan")}, {}, ["L-4.flow"]),
    (["HV-3.opening"], {"L-4.flow": (None, None)}, {}, ["asks for nothing"]),
    (["HV-3.opening"], {"L-4.flow": ("9 m3/h", "8 m3/h")}, {}, ["at least 9 m3/h"]),
    (["HV-3.opening"], {"L-4.flow": 1}, {"priorities": {"L-5.flow": 2}}, ["which is no target"]),
    (["HV-3.opening"], {"L-4.flow": 1}, {"priorities": {"L-4.flow": "high"}}, ["whole number"]),
    (["HV-3.opening"], {"L-4.flow": 1}, {"tolerances": {"L-4.flow": -1}}, ["tolerance"]),
    (["HV-3.opening"], {"L-4.flow": 1}, {"max_num_starts": 0}, ["max_num_starts"]),
])
def test_mistakes_are_value_errors_that_help(hw, caustic, vary, targets, options, words):
    with pytest.raises(ValueError) as error:
        hw.find_settings(caustic, vary, targets, **options)
    for word in words:
        assert word in str(error.value)


def test_progress_is_told_and_may_stop(hw, caustic):
    told = []
    hw.find_settings(caustic, ["HV-3.opening"], {"L-4.flow": "12 m3/h"},
                     progress=lambda solves, miss: told.append((solves, miss)))
    assert [solves for solves, _ in told] == list(range(1, len(told) + 1))
    stopped = hw.find_settings(caustic, ["HV-3.opening"], {"L-4.flow": "20 m3/h"},
                               progress=lambda solves, miss: solves < 4)
    assert stopped.interrupted
    with pytest.raises(ZeroDivisionError):
        hw.find_settings(caustic, ["HV-3.opening"], {"L-4.flow": "20 m3/h"},
                         progress=lambda solves, miss: 1 / 0)


def test_ctrl_c_raises(hw):
    net = grid(hw, 30)
    timer = threading.Timer(0.5, os.kill, (os.getpid(), signal.SIGINT))
    timer.start()
    with pytest.raises(KeyboardInterrupt):
        for _ in range(1000):
            hw.find_settings(net, {"source.level": (15, 30), "drain.level": (1, 9)},
                             {"inlet.flow": "1000 m3/h"}, max_num_starts=1000)
    timer.join()


# --- The shell ---


@pytest.fixture
def settings(shell):
    return lambda *arguments: shell("settings", *arguments)


def test_the_shell_answers_in_words(settings):
    run = settings(CAUSTIC, "--vary", "HV-3.opening", "--target", "L-4.flow=12 m3/h",
                "--at-least", "L-5.flow=5 m3/h")
    assert run.returncode == 0 and run.stderr == ""
    assert run.stdout.splitlines()[1].startswith("Reached with HV-3.opening")
    assert "at least 5 m3/h" in run.stdout and "never isolation" in run.stdout


def test_the_shell_answers_in_json(hw, caustic, tmp_path, settings):
    path = tmp_path / "answer.json"
    run = settings(CAUSTIC, "--vary", "HV-3.opening=0.1:0.9", "--vary", "day tank.level=1:3 m",
                "--target", "L-4.flow=12 m3/h", "--priority", "L-4.flow=3", "--json", "-o", path)
    assert run.returncode == 0 and run.stdout == ""
    answer = json.loads(path.read_text(encoding="utf-8"))
    assert answer["reached"] and answer["binding"] == []
    opening, level = answer["settings"]
    assert (opening["lower"], opening["upper"], level["lower"], level["upper"]) == (0.1, 0.9, 1, 3)
    assert answer["targets"][0]["priority"] == 3
    found = hw.solve(caustic, {s["target"]: s["value"] for s in answer["settings"]})
    assert found.flow["L-4"] == pytest.approx(12 * M3_PER_H, rel=1e-6)


def test_the_shell_says_what_is_not_reached(settings):
    run = settings(CAUSTIC, "--vary", "HV-3.opening", "--target", "L-4.flow=20 m3/h",
                "--at-most", "header.pressure=3 bar")
    assert run.returncode == 1 and "not every target" in run.stderr
    assert "HV-3 is fully open" in run.stdout


@pytest.mark.parametrize("arguments, words", [
    (["--target", "L-4.flow=12 m3/h"], ["--vary"]),
    (["--vary", "HV-3.opening"], ["no targets"]),
    (["--vary", "HV-3.opening=0.4", "--target", "L-4.flow=12 m3/h"], ["0.1:0.8"]),
    (["--vary", "HV-3.opening", "--target", "L-4.flow"], ["--target L-4.flow", "expected"]),
    (["--vary", "HV-3.opening", "--target", "L-4.flow=12 m3/h", "--priority", "L-4.flow=x"],
     ["whole number"]),
    (["--vary", "HV-3.opening", "--target", "L-4.flow=12 m3/h", "--tolerance", "L-5.flow=1"],
     ["no target"]),
    (["--vary", "HV-33.opening", "--target", "L-4.flow=12 m3/h"], ["HV-33", "HV-3"]),
])
def test_the_shell_explains_mistakes(settings, arguments, words):
    run = settings(CAUSTIC, *arguments)
    assert run.returncode == 2 and run.stdout == ""
    for word in words:
        assert word in run.stderr
