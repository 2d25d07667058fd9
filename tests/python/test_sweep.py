"""sweep from Python and from the shell."""

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

from conftest import BUILD, grid

NETWORKS = pathlib.Path(__file__).resolve().parents[2] / "networks"


def test_a_sweep_is_many_solves(hw, net):
    values = np.linspace(0, 1, 11)
    sweep = hw.sweep(net, "HV-3.opening", values)
    assert np.array_equal(sweep.values, values) and len(sweep) == 11
    assert sweep.targets == ["HV-3.opening"] and sweep.flow.index.name == "HV-3.opening"
    assert len(sweep.failures) == 0
    for frame, names in ((sweep.flow, net.component_names), (sweep.velocity, net.component_names),
                         (sweep.pressure, net.point_names)):
        assert list(frame.columns) == names and len(frame) == 11
    for i, value in enumerate(values):
        s = hw.solve(net, {"HV-3.opening": value})
        assert sweep.flow.iloc[i].to_numpy() == pytest.approx(s.flow.values, abs=1e-9)
        assert sweep.velocity["L-2"].iloc[i] == pytest.approx(s.velocity["L-2"], abs=1e-6)
        assert sweep.pressure["header"].iloc[i] == pytest.approx(s.pressure["header"], rel=1e-6)
    assert sweep.flow["HV-3"].is_monotonic_increasing


def test_warm_and_cold_starts_agree(hw, net):
    warm = hw.sweep(net, "HV-3.opening", [0, 1, 0.1, 0.9, 0])
    cold = hw.sweep(net, "HV-3.opening", [0, 1, 0.1, 0.9, 0], warm_start=False)
    assert warm.flow.to_numpy() == pytest.approx(cold.flow.to_numpy(), abs=1e-9)


def test_values_are_texts_words_and_flags(hw, net):
    sweep = hw.sweep(net, "high tank.level", ["1 m", 2.0, "400 cm"])
    assert list(sweep.values) == [1, 2, 4] and sweep.flow.index.name == "high tank.level [m]"
    sweep = hw.sweep(net, "P-1.running", [True, False], settings={"mixer.draw": 0})
    assert sweep.flow["P-1"].iloc[0] > 0 == sweep.flow["P-1"].iloc[1]
    sweep = hw.sweep(net, "NRV-1.condition", ["sound", "stuck open"], case="P-1 tripped")
    assert sweep.flow["P-1"].iloc[0] == 0 > sweep.flow["P-1"].iloc[1]


def test_two_settings_make_a_multiindex(hw, net):
    sweep = hw.sweep(net, "HV-3.opening", [0.2, 1], "P-1.speed", [0.9, 1.0, 1.1])
    assert isinstance(sweep.flow.index, pd.MultiIndex)
    assert list(sweep.flow.index.names) == ["HV-3.opening", "P-1.speed"]
    assert [list(values) for values in sweep.values] == [[0.2, 1], [0.9, 1.0, 1.1]]
    s = hw.solve(net, {"HV-3.opening": 1, "P-1.speed": 0.9})
    assert sweep.flow.loc[(1, 0.9), "HV-3"] == pytest.approx(s.flow["HV-3"], abs=1e-9)
    installed = sweep.installed()
    assert list(installed["at"]) == ["P-1.speed = 0.9", "P-1.speed = 1", "P-1.speed = 1.1"]
    assert "P-1.speed across" in str(sweep)


def test_installed_tells_how_the_valve_governs(hw, net):
    sweep = hw.sweep(net, "HV-3.opening", np.linspace(0, 1, 21))
    row = sweep.installed().iloc[0]
    fully_open, shut = hw.solve(net, {"HV-3.opening": 1}), hw.solve(net, {"HV-3.opening": 0})
    assert row["valve"] == "HV-3"
    assert row["full flow [m3/s]"] == pytest.approx(fully_open.flow["HV-3"], abs=1e-9)
    assert row["authority"] == pytest.approx(fully_open.drop["HV-3"] / shut.drop["HV-3"], rel=1e-5)
    enough = hw.solve(net, {"HV-3.opening": row["enough from"]}).flow["HV-3"]
    assert enough / fully_open.flow["HV-3"] == pytest.approx(0.9, abs=0.005)
    assert 0 <= row["best from"] < row["best to"] <= 1
    curve = sweep.characteristic()
    assert list(curve["opening"]) == list(sweep.values)
    # Against differences of solves a hundred times wider apart than those of the study.
    s = [hw.solve(net, {"HV-3.opening": x}).flow["HV-3"] for x in (0.29, 0.31)]
    at_30 = curve[np.isclose(curve["opening"], 0.3)].iloc[0]
    assert at_30["gain [m3/s]"] == pytest.approx((s[1] - s[0]) / 0.02, rel=0.01)
    assert at_30["relative gain"] == pytest.approx(at_30["gain [m3/s]"] / row["full flow [m3/s]"])
    assert len(hw.sweep(net, "HV-3.opening", [0, 1], installed=False).installed()) == 0
    assert len(hw.sweep(net, "high tank.level", [0, 1]).installed()) == 0


def test_rows_without_a_solution_are_nan_with_a_reason(hw, net):
    net.add_junction("user", draw="1 m3/h")
    net.add_valve("HV-8", "header", "user", kind="ball", size="DN25")
    sweep = hw.sweep(net, "HV-8.opening", [0, 1])
    assert sweep.flow.iloc[0].isna().all() and sweep.flow.iloc[1].notna().all()
    assert list(sweep.failures.index) == [0] and "HV-8" in sweep.failures.iloc[0]
    assert "no solution at HV-8.opening = 0" in str(sweep) and "1 not solved" in repr(sweep)


@pytest.mark.parametrize(
    "arguments, message",
    [
        (("HV-9.opening", [1]), 'did you mean "HV-3"'),
        (("HV-3.openin", [1]), "opening"),
        (("HV-3.opening", [0.5, 1.5]), "opening"),
        (("HV-3.opening", []), "no values"),
        (("HV-3.opening", 0.5), "no list"),
        (("HV-3.opening", "0.5"), "no list"),
        (("HV-3.opening", ["1 bar"]), "HV-3.opening"),
        (("HV-3.opening", [1], "HV-3.opening", [1]), "twice"),
        (("HV-3.opening", [1], "P-1.speed"), "no list"),
    ],
)
def test_mistakes_are_value_errors(hw, net, arguments, message):
    with pytest.raises(hw.Error, match=message):
        hw.sweep(net, *arguments)


def test_progress_hears_of_every_row_and_can_stop(hw, net):
    heard = []
    hw.sweep(net, "HV-3.opening", [0, 0.5, 1], progress=lambda *news: heard.append(news))
    assert heard == [(1, 3), (2, 3), (3, 3)]
    sweep = hw.sweep(net, "HV-3.opening", [0, 0.5, 1], progress=lambda done, total: done < 2)
    assert sweep.interrupted and list(sweep.failures) == ["interrupted"]

    def fails(done, total):
        raise RuntimeError("enough")

    with pytest.raises(RuntimeError, match="enough"):
        hw.sweep(net, "HV-3.opening", [0, 0.5, 1], progress=fails)


def test_ctrl_c_stops_a_long_sweep(hw):
    net = grid(hw, 30)
    timer = threading.Timer(0.5, os.kill, (os.getpid(), signal.SIGINT))
    timer.start()
    try:
        with pytest.raises(KeyboardInterrupt):
            hw.sweep(net, "source.level", np.linspace(10, 30, 5000))
    finally:
        timer.cancel()


def test_matplotlib_is_only_loaded_to_plot():
    code = ("import sys, handwheel as hw\n"
            f"net = hw.load({str(NETWORKS / 'caustic_transfer.toml')!r})\n"
            "sweep = hw.sweep(net, 'HV-3.opening', [0, 1])\nprint(sweep)\n"
            "assert 'matplotlib' not in sys.modules")  # fmt: skip
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True,
                   env={**os.environ, "PYTHONPATH": str(BUILD / "python")})  # fmt: skip


def test_plot_labels_units(hw, net):
    matplotlib = pytest.importorskip("matplotlib")
    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    sweep = hw.sweep(net, "HV-3.opening", np.linspace(0, 1, 5))
    ax = sweep.plot()
    assert ax.get_xlabel() == "opening of HV-3, % of travel" and ax.get_ylabel() == "flow, m³/h"
    assert [line.get_label() for line in ax.lines] == sweep.most_changing()
    assert ax.lines[0].get_xdata() == pytest.approx([0, 25, 50, 75, 100])
    assert ax.lines[0].get_ydata() == pytest.approx(sweep.flow["HV-3"].to_numpy() * 3600)
    _, own = plt.subplots()
    assert sweep.plot(["L-3"], ax=own) is own and len(own.lines) == 1
    with pytest.raises(hw.NetworkError, match="L-99"):
        sweep.plot("L-99")
    two = hw.sweep(net, "high tank.level", [3, 1], "P-1.speed", [1.0, 0.9], installed=False)
    ax = two.plot("L-2")
    assert ax.get_xlabel() == "high tank.level [m]" and len(ax.lines) == 2
    assert ax.lines[1].get_label() == "L-2, P-1.speed = 0.9"
    assert ax.lines[1].get_ydata()[0] == pytest.approx(two.flow.loc[(3, 0.9), "L-2"] * 3600)
    plt.close("all")


def test_the_shell_has_the_same_rows(hw, net, shell, plant_file):
    sweep = hw.sweep(net, "HV-3.opening", np.linspace(0, 1, 11))
    done = shell("sweep", plant_file, "HV-3.opening", "0:1:0.1")
    assert (done.returncode, done.stderr) == (0, "") and done.stdout == str(sweep)
    done = shell("sweep", plant_file, "HV-3.opening", "0:1:0.1", "--of", "L-2", "header", "--csv")
    rows = list(csv.reader(io.StringIO(done.stdout)))
    assert rows[0] == ["name", "HV-3.opening", "L-2 [m3/s]", "header [Pa]", "failure"]
    table = np.array([[float(cell) for cell in row[1:4]] for row in rows[1:]])
    assert table[:, 0] == pytest.approx(sweep.values)
    assert table[:, 1] == pytest.approx(sweep.flow["L-2"].to_numpy(), abs=1e-15)
    assert table[:, 2] == pytest.approx(sweep.pressure["header"].to_numpy())
    done = shell("sweep", plant_file, "high tank.level", "1:3:0.5 m", "P-1.running", "true,false",
                 "--set", "mixer.draw=0", "--json")  # fmt: skip
    report = json.loads(done.stdout)
    assert [row["values"] for row in report["rows"]][:3] == [[1.0, True], [1.0, False], [1.5, True]]
    assert report["rows"][0]["flow"]["P-1"] > 0 == report["rows"][1]["flow"]["P-1"]
    assert report["targets"][0] == {"target": "high tank.level", "unit": "m"}


def test_the_shell_tells_mistakes_and_failures(shell, plant_file):
    for arguments in (("HV-3.opening", "0:1:-0.1"), ("HV-3.opening", "0:1:x"), ("HV-3.opening", "2"),
                      ("HV-9.opening", "1"), ("HV-3.opening", "0:1:0.1", "--of", "L-9"),
                      ("HV-3.opening", "0:1:1e-9"), ("HV-3.opening", "1", "P-1.speed")):
        done = shell("sweep", plant_file, *arguments)
        assert done.returncode == 2 and done.stdout == "" and done.stderr, arguments
    # With HV-3 shut and the pump stopped, what is fed to the mixer can go nowhere.
    done = shell("sweep", plant_file, "HV-3.opening", "0,1", "--set", "P-1.running=false", "--set",
                 "mixer.draw=0", "--set", "mixer.feed=2 m3/h", "--csv")  # fmt: skip
    assert done.returncode == 1 and "1 row without a solution" in done.stderr
    shut, fully_open = list(csv.reader(io.StringIO(done.stdout)))[1:]
    assert set(shut[2:-1]) == {""} and "NRV-1" in shut[-1] and fully_open[-1] == ""
