"""simulate from Python and from the shell."""

import csv
import io
import json
import os
import pathlib
import signal
import subprocess
import sys
import threading

import numpy as np
import pandas as pd
import pytest

from conftest import BUILD

NETWORKS = pathlib.Path(__file__).resolve().parents[2] / "networks"


@pytest.fixture
def plant(hw):
    return hw.load(NETWORKS / "caustic_transfer.toml")


def test_a_trip_is_told_in_words_numbers_and_frames(hw, plant):
    run = hw.simulate(plant, events=[hw.trip("P-1", at="1 s")], duration="4 s")
    assert run.time[0] == 0 and run.time[-1] == pytest.approx(4, abs=run.time_step)
    assert isinstance(run.flow, pd.DataFrame) and list(run.flow.columns) == plant.component_names
    assert list(run.pressure.columns) == plant.point_names and len(run) == len(run.time)
    steady = hw.solve(plant)
    assert run.flow.iloc[0].to_numpy() == pytest.approx(steady.flow.values, abs=1e-9)
    before = run.flow[run.flow.index < 1]
    assert np.abs(before - before.iloc[0]).max().max() < 1e-6  # the levels fall a little
    assert run.speed["P-1"].iloc[0] == 1 and run.speed["P-1"].iloc[-1] < 0.3
    assert (np.diff(run.speed["P-1"]) < 1e-3).all()  # waves push the rotor a little
    assert run.log["message"].iloc[0] == "P-1 trips" and run.log["time [s]"].iloc[0] == 1
    assert run.slams["check valve"].iloc[0] == "NRV-1"
    assert run.slams["reverse velocity [m/s]"].iloc[0] > 0.05
    assert any("catching" in message for message in run.log["message"])
    assert "NRV-1 shuts" in run.verdict and str(run).count("licensed engineer") == 1
    assert str(run).index(run.verdict) < str(run).index("What happens")  # the verdict first
    assert any("inertia" in assumed for assumed in run.assumptions)
    assert abs(run.balance["error [m3]"]) < 1e-10 and run.num_unsettled_steps == 0
    assert run.extremes.loc["NRV-1 out", "highest [Pa]"] >= run.pressure["NRV-1 out"].max()
    envelope = run.envelope("L-2")
    assert len(envelope) == run.pipes.loc["L-2", "reaches"] + 1
    assert (envelope["highest head [m]"] >= envelope["lowest head [m]"]).all()


def test_every_event_does_what_it_says(hw, plant):
    quiet = {"duration": "1 s", "columns": "rigid", "time_step": "5 ms"}
    shut = hw.simulate(plant, [hw.stroke("HV-3", 0, at="0.2 s", over="0.5 s")], **quiet)
    assert shut.flow["HV-3"].iloc[-1] == 0 < shut.flow["HV-3"].iloc[0]
    turned = hw.simulate(plant, [hw.stroke("HV-3", 0.2, turns_per_second=4)], **quiet)
    target = hw.solve(plant, {"HV-3.opening": 0.2}).flow["HV-3"]
    assert turned.flow["HV-3"].iloc[-1] == pytest.approx(target, rel=0.05)
    started = hw.simulate(plant, [hw.start("P-1", at=0.1, over="0.5 s")], case="P-1 tripped", **quiet)
    assert started.speed["P-1"].iloc[-1] == 1 and started.flow["P-1"].iloc[-1] > 1e-3
    gas = hw.simulate(plant, [hw.gas_pressure("neutraliser", "1 bar", over=0.1)], **quiet)
    assert gas.head["neutraliser"].iloc[-1] - gas.head["neutraliser"].iloc[0] > 7
    stuck = hw.simulate(plant, [hw.trip("P-1"), hw.fault("NRV-1", "stuck open")],
                        **{**quiet, "duration": "6 s"})
    assert stuck.flow["NRV-1"].iloc[-1] < -1e-3 and "runs back through" in stuck.verdict
    drawn = hw.simulate(plant, hw.draw("mixer", "2 m3/h", at=0.1), **quiet)
    assert drawn.flow["L-4"].iloc[-1] - drawn.flow["MX-1"].iloc[-1] == pytest.approx(2 / 3600, abs=1e-9)


def test_levels_move_over_hours_without_inertia(hw, plant):
    run = hw.simulate(plant, [], "1 h", columns="steady", time_step="10 s")
    assert "day tank ran empty" in run.ended_early and run.time[-1] < 3600
    assert run.level["day tank"].iloc[-1] <= 0 < run.level["day tank"].iloc[0]
    assert run.level["neutraliser"].is_monotonic_increasing
    assert (run.pipes["column"] == "steady").all()


@pytest.mark.parametrize("events, message", [
    ("P-1", "events are no list"),
    (["P-1"], "an event is 'P-1'"),
])
def test_events_of_another_type_are_refused(hw, plant, events, message):
    with pytest.raises(ValueError, match=message):
        hw.simulate(plant, events)


def test_what_cannot_be_is_refused_with_a_suggestion(hw, plant):
    for event, message in [
        (hw.trip("P-11"), 'no pump is named "P-11"; did you mean "P-1"'),
        (hw.stroke("HV-33", 0.5), 'no valve is named "HV-33"; did you mean "HV-3"'),
        (hw.fault("NRV-1", "stuck opn"), 'did you mean "stuck open"'),
        (hw.fault("NRV-2", "stuck open"), 'did you mean "NRV-1"'),
        (hw.fault("HV-3", "diaphragm cut"), "not modelled"),
        (hw.gas_pressure("day tnk", 0), 'did you mean "day tank"'),
        (hw.gas_pressure("day tank", "-2 bar"), "gas_pressure"),
        (hw.draw("mixr", 0), 'did you mean "mixer"'),
    ]:
        with pytest.raises(ValueError, match=message):
            hw.simulate(plant, [event])
    for arguments, message in [
        ({"duration": 0}, "duration"), ({"duration": "nan"}, "nan|duration"), ({"duration": "5 m"}, "unit|dimension|time"),
        ({"time_step": -1}, "time_step"), ({"columns": "elastik"}, 'did you mean "elastic"'),
        ({"pipes": {"L-11": "rigid"}}, 'no pipe is named "L-11"'),
        ({"columns": "elastic", "time_step": "0.05 s"}, "asked to be elastic"),
        ({"duration": "1 d", "time_step": "1 ms"}, "expected at most"),
        ({"settings": {"HV-3.opning": 1}}, 'did you mean "opening"'),
    ]:
        with pytest.raises(ValueError, match=message):
            hw.simulate(plant, **arguments)
    for call in (lambda: hw.trip("P-1", at=-1), lambda: hw.stroke("HV-3", 1.2),
                 lambda: hw.stroke("HV-3", 1, over=1, turns_per_second=1)):
        with pytest.raises(ValueError):
            call()


def test_progress_is_told_and_can_stop(hw, plant):
    told = []
    run = hw.simulate(plant, [], "2 s", progress=lambda time, duration: told.append((time, duration)))
    assert told == sorted(told) and told[-1][1] == 2 and not run.interrupted
    run = hw.simulate(plant, [], "50 s", progress=lambda time, duration: time < 0.5)
    assert run.interrupted and run.time[-1] < 5 and "interrupted" in run.verdict

    def raises(time, duration):
        raise RuntimeError("enough")

    with pytest.raises(RuntimeError, match="enough"):
        hw.simulate(plant, [], "2 s", progress=raises)


def test_ctrl_c_stops_a_long_run(hw, plant):
    timer = threading.Timer(0.3, os.kill, (os.getpid(), signal.SIGINT))
    timer.start()
    with pytest.raises(KeyboardInterrupt):
        hw.simulate(plant, [hw.trip("P-1")], "3 h", time_step="1 ms")


def test_the_same_run_gives_the_same_bits(hw, plant):
    one, other = (hw.simulate(plant, [hw.trip("P-1")], "2 s") for _ in range(2))
    assert np.array_equal(one.head.to_numpy(), other.head.to_numpy())


def test_plot_draws_pressures_and_flows(hw, plant):
    matplotlib = pytest.importorskip("matplotlib")
    matplotlib.use("Agg")
    run = hw.simulate(plant, [hw.trip("P-1", at=0.1)], "1 s")
    assert len(run.plot().get_lines()) >= 1
    axes = run.plot(["header", "NRV-1"])
    assert axes.get_ylabel().startswith("pressure")
    with pytest.raises(ValueError, match="nothing is named"):
        run.plot("headr")


# --- The shell -----------------------------------------------------------------------------------


def shell(*arguments):
    return subprocess.run([str(BUILD / "bin" / "handwheel"), "simulate", *map(str, arguments)],
                          capture_output=True, text=True, timeout=120)


PLANT = NETWORKS / "caustic_transfer.toml"


def test_shell_tells_the_verdict_and_the_log(hw, plant):
    done = shell(PLANT, "--trip", "P-1", "--at", "1 s", "--duration", "4 s")
    assert done.returncode == 0, done.stderr
    run = hw.simulate(plant, [hw.trip("P-1", at="1 s")], "4 s")
    assert done.stdout == str(run)
    assert "1.00 s: P-1 trips" in done.stdout and "never isolation" in done.stdout


def test_shell_writes_json_and_csv():
    done = shell(PLANT, "--stroke", "HV-3=0.1@0.2 s", "--over", "0.5 s", "--trip", "P-1@0.4 s", "--duration", "2 s",
                 "--record-every", "0.1 s", "--of", "header", "--of", "L-4", "--json")
    assert done.returncode == 0, done.stderr
    report = json.loads(done.stdout)
    assert [entry["time"] for entry in report["log"][:2]] == [0.2, 0.4]
    assert list(report["pressure"]) == ["header"] and list(report["flow"]) == ["L-4"]
    assert len(report["time"]) == len(report["flow"]["L-4"]) and "licensed" in report["caution"]
    done = shell(PLANT, "--fault", "NRV-1=stuck open", "--trip", "P-1", "--duration", "1 s", "--of", "NRV-1", "--csv")
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    assert float(rows[-1]["NRV-1 [m3/s]"]) < float(rows[0]["NRV-1 [m3/s]"])


def test_shell_refuses_what_cannot_be():
    for arguments, message in [(("--trip", "P-2"), "did you mean"), (("--at", "1 kg"), "kg"),
                               (("--stroke", "HV-3"), "expected such as"), (("--columns", "elastik"), "did you mean"),
                               (("--of", "hedder"), "did you mean"), (("--duration", "0 s"), "duration")]:
        done = shell(PLANT, *arguments)
        assert done.returncode == 2 and message in done.stderr and not done.stdout, arguments


def test_ctrl_c_stops_the_shell():
    process = subprocess.Popen([str(BUILD / "bin" / "handwheel"), "simulate", str(PLANT), "--trip", "P-1", "--duration",
                                "3 h", "--time-step", "1 ms"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    threading.Timer(0.7, process.send_signal, (signal.SIGINT,)).start()
    out, error = process.communicate(timeout=60)
    assert process.returncode == 130 and "interrupted" in error and not out
