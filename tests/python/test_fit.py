"""fit from Python and from the shell."""

import json
import os
import signal
import threading

import numpy as np
import pandas as pd
import pytest

from conftest import grid

GAUGES = ["L-1.flow", "L-2.flow", "discharge.pressure", "header.pressure", "branch.pressure",
          "mixer.pressure"]


def reading(s, gauge):
    name, _, what = gauge.rpartition(".")
    return getattr(s, what)[name]


def readings(hw, net, planted, gauges=GAUGES, uncertainty="1 %", **state):
    s = hw.solve(net, {**planted, **state.get("settings", {})})
    return [{"gauge": gauge, "value": reading(s, gauge), "uncertainty": uncertainty, **state}
            for gauge in gauges]  # fmt: skip


@pytest.fixture
def truth():
    return {"HV-3.opening": 0.42, "L-3.roughness": 0.5e-3}


def test_what_was_planted_is_found(hw, net, truth):
    fit = hw.fit(net, readings(hw, net, truth, uncertainty="0.1 %"), vary=list(truth))
    assert fit.solved and fit.suspicious == [] and fit.without is None
    for number in fit.numbers:
        assert number.value == pytest.approx(truth[number.name], rel=1e-6)
        assert number.lower < number.value < number.upper
        assert number.identifiable and not number.at_bound
    assert fit.numbers[0].changed
    assert fit.value == {number.name: number.value for number in fit.numbers}
    assert fit.degrees_of_freedom == 4 and fit.chi_square < 1e-6 < fit.chi_square_before
    assert fit.verdict.startswith("HV-3 is 42 % open") and str(fit).count(fit.verdict[:20]) == 1
    fitted = fit.network
    assert fitted["HV-3"].opening == pytest.approx(0.42)
    assert net["HV-3"].opening == 0.6, "the network asked about stays as it is"
    (s,) = fit.solutions.values()
    assert s.flow["L-2"] == pytest.approx(hw.solve(net, truth).flow["L-2"], rel=1e-8)
    assert hw.solve(fitted).flow["L-2"] == pytest.approx(s.flow["L-2"], abs=1e-9)


def test_measurements_are_mappings_rows_or_tables(hw, net, truth):
    rows = readings(hw, net, truth)
    expected = hw.fit(net, rows, vary=list(truth))
    by_gauge = {row["gauge"]: (row["value"], "1 %") for row in rows}
    as_text = {row["gauge"]: (f"{row['value'] * 3600!r} m3/h" if "flow" in row["gauge"]
                              else f"{row['value'] / 1e5!r} bar", "1 %") for row in rows}  # fmt: skip
    for given in (by_gauge, as_text, pd.DataFrame(rows),
                  pd.DataFrame(rows).assign(case=np.nan, settings=None)):
        fit = hw.fit(net, given, vary=list(truth))
        assert fit.value == pytest.approx(expected.value, rel=1e-6)


def test_readings_of_several_states_are_fitted_together(hw, net, truth):
    rows = (readings(hw, net, truth, ["L-2.flow"]) +
            readings(hw, net, truth, ["header.pressure"], settings={"mixer.draw": 0.0}))
    s = hw.solve(net, {**truth}, case="P-1 tripped")
    rows.append({"gauge": "header.pressure", "value": s.pressure["header"], "uncertainty": "1 kPa",
                 "case": "P-1 tripped"})  # fmt: skip
    rows.append({**rows[1], "settings": "mixer.draw=0"})
    fit = hw.fit(net, rows, vary=["HV-3.opening"])
    assert list(fit.solutions) == ["as it stands", "mixer.draw = 0", "P-1 tripped"]
    assert fit.solutions["P-1 tripped"].flow["P-1"] == pytest.approx(0, abs=1e-12)
    assert fit.value["HV-3.opening"] == pytest.approx(0.42, rel=1e-5)
    assert list(fit.table()["state"]) == ["as it stands", "mixer.draw = 0", "P-1 tripped",
                                          "mixer.draw = 0"]  # fmt: skip


def test_targets_can_share_a_number_and_have_bounds(hw, net):
    rough = {f"L-{i}.roughness": 0.4e-3 for i in (1, 2, 3)}
    fit = hw.fit(net, readings(hw, net, rough), vary=[list(rough)])
    (number,) = fit.numbers
    assert number.targets == list(rough) and number.logarithmic
    assert number.value == pytest.approx(0.4e-3, rel=1e-6)
    assert fit.value == {name: number.value for name in rough}
    fit = hw.fit(net, readings(hw, net, {"HV-3.opening": 0.3}),
                 vary={"HV-3.opening": ("40 %", None), tuple(rough): None})  # fmt: skip
    assert fit.numbers[0].value == 0.4 and fit.numbers[0].at_bound
    assert fit.numbers[0].lower == 0.4 < fit.numbers[0].upper
    assert np.isnan(fit.covariance().iloc[0, 0]) and fit.covariance().iloc[1, 1] > 0


def test_a_blocked_valve_is_found_and_saved(hw, net, tmp_path):
    blocked = {"HV-3.condition": "blocked", "HV-3.blockage": 0.6}
    fit = hw.fit(net, readings(hw, net, blocked), vary=["HV-3.blockage"])
    assert fit.verdict.startswith("HV-3 has lost 60 % of its flow coefficient")
    path = tmp_path / "fitted.toml"
    fit.network.save(path)
    again = hw.load(path)
    assert again["HV-3"].condition == "blocked"
    assert again["HV-3"].blockage == pytest.approx(0.6, rel=1e-6)


def test_the_wrong_gauge_is_named(hw, net, truth):
    rows = readings(hw, net, truth)
    rows[3]["value"] += 0.4e5
    fit = hw.fit(net, rows, vary=["HV-3.opening"], settings={"L-3.roughness": 0.5e-3})
    assert fit.suspicious == ["header.pressure"]
    assert "Suspicious: header.pressure reads" in fit.verdict
    assert fit.without.value["HV-3.opening"] == pytest.approx(0.42, rel=1e-5)
    table = fit.table()
    assert list(table["suspicious"]) == [gauge == "header.pressure" for gauge in GAUGES]
    assert abs(table["standardised"]).idxmax() == 3 and fit.probability < 0.05


def test_what_the_gauges_do_not_tell_is_said(hw, net):
    fit = hw.fit(net, {"L-2.flow": ("12 m3/h", "2 %")}, vary=["HV-3.opening", "L-2.k"])
    assert len(fit.unclear) == 1 and "HV-3.opening and L-2.k" in fit.unclear[0]
    assert not any(number.identifiable for number in fit.numbers)
    assert fit.degrees_of_freedom == 0 and "nothing checks the fit" in fit.verdict


def test_tables_are_dataframes(hw, net, truth):
    fit = hw.fit(net, readings(hw, net, truth), vary=list(truth))
    assert list(fit.table("readings").columns) == [
        "gauge", "state", "unit", "measured", "uncertainty", "before", "after", "standardised",
        "leverage", "suspicious"]  # fmt: skip
    numbers = fit.table("numbers")
    assert list(numbers["number"]) == list(truth) and list(numbers["unit"]) == ["", "m"]
    correlation = fit.correlation()
    assert list(correlation.columns) == list(correlation.index) == list(truth)
    assert np.diag(correlation) == pytest.approx(1)
    assert fit.covariance().to_numpy() == pytest.approx(fit.covariance().to_numpy().T)
    assert fit.table()["leverage"].sum() == pytest.approx(2), "as many as numbers"
    with pytest.raises(hw.SettingError, match='did you mean "numbers"'):
        fit.table("number")


@pytest.mark.parametrize(
    "measurements, vary, options, message",
    [
        ({"L-9.flow": 1e-3}, ["HV-3.opening"], {}, "L-9"),
        ({"L-2.flow": "12"}, ["HV-3.opening"], {}, "has no unit"),
        ({"L-2.flow": ("12 m3/h", 0)}, ["HV-3.opening"], {}, "above 0"),
        ({"L-2.flow": ("12 m3/h", "2 %", 1)}, ["HV-3.opening"], {}, "value, uncertainty"),
        ({"L-2.flow": float("nan")}, ["HV-3.opening"], {}, "nan"),
        ({}, ["HV-3.opening"], {}, "no measurements"),
        ("L-2.flow", ["HV-3.opening"], {}, "no table"),
        ([1], ["HV-3.opening"], {}, "no row"),
        ([{"guage": "L-2.flow"}], ["HV-3.opening"], {}, 'did you mean "gauge"'),
        ([{"value": 1.0}], ["HV-3.opening"], {}, "names no gauge"),
        ({"L-2.flow": 3e-3}, [], {}, "nothing to vary"),
        ({"L-2.flow": 3e-3}, 7, {}, "no list"),
        ({"L-2.flow": 3e-3}, [7], {}, "no text"),
        ({"L-2.flow": 3e-3}, ["HV-3.kind"], {}, "no number"),
        ({"L-2.flow": 3e-3}, {"HV-3.opening": 0.5}, {}, "bounds such as"),
        ({"L-2.flow": 3e-3}, {"HV-3.opening": (0.8, 0.2)}, {}, "no room"),
        ({"L-2.flow": 3e-3}, ["HV-3.opening"], {"loss": "hubber"}, 'did you mean "huber"'),
        ({"L-2.flow": 3e-3}, ["HV-3.opening"], {"confidence": 95}, "confidence"),
        ({"L-2.flow": 3e-3}, ["HV-3.opening"], {"num_starts": 0}, "num_starts"),
        ([{"gauge": "L-2.flow", "value": 3e-3, "case": "throttled"}], ["HV-3.opening"], {}, "varied"),
    ],
)
def test_mistakes_are_value_errors(hw, net, measurements, vary, options, message):
    with pytest.raises(hw.Error, match=message):
        hw.fit(net, measurements, vary=vary, **options)


def test_progress_hears_and_can_stop(hw, net, truth):
    heard = []
    hw.fit(net, readings(hw, net, truth), vary=list(truth), progress=lambda *news: heard.append(news))
    solves, squares = zip(*heard)
    assert list(solves) == sorted(solves) and list(squares) == sorted(squares, reverse=True)
    fit = hw.fit(net, readings(hw, net, truth), vary=list(truth), progress=lambda *news: False)
    assert fit.interrupted and not fit.solved

    def fails(num_solves, chi_square):
        raise RuntimeError("enough")

    with pytest.raises(RuntimeError, match="enough"):
        hw.fit(net, readings(hw, net, truth), vary=list(truth), progress=fails)


def test_ctrl_c_stops_a_long_fit(hw):
    net = grid(hw, 30)
    timer = threading.Timer(0.5, os.kill, (os.getpid(), signal.SIGINT))
    timer.start()
    try:
        with pytest.raises(KeyboardInterrupt):
            hw.fit(net, {f"n{i},{i}.pressure": ("1 bar", "1 %") for i in range(30)},
                   vary=[f"x{i},{i}.roughness" for i in range(29)], num_starts=1000)  # fmt: skip
    finally:
        timer.cancel()


# --- The shell ---


@pytest.fixture
def readings_file(hw, net, truth, tmp_path):
    s = hw.solve(net, truth)
    lines = ["# read on one morning", "gauge,value,uncertainty,case,settings"]
    for gauge in GAUGES:
        value = reading(s, gauge)
        text = f"{value * 3600!r} m3/h" if "flow" in gauge else f"{value / 1e5!r} bar"
        lines.append(f'{gauge}, "{text}",1 %,,')
    s = hw.solve(net, {**truth, "mixer.draw": 0, "P-1.speed": 0.9})
    lines.append(f"L-2.flow,{s.flow['L-2'] * 3600!r} m3/h,1 %,,mixer.draw=0; P-1.speed=0.9")
    path = tmp_path / "readings.csv"
    path.write_text("\r\n".join(lines) + "\r\n", encoding="utf-8")
    return path


def test_the_shell_reads_a_table(shell, plant_file, readings_file, truth):
    done = shell("fit", plant_file, "--readings", readings_file, "--vary", "HV-3.opening", "--vary",
                 "L-3.roughness")  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert "HV-3 is 42 % open" in done.stdout and "mixer.draw = 0, P-1.speed = 0.9" in done.stdout
    assert "Estimates." in done.stdout.splitlines()[-1]
    done = shell("fit", plant_file, "--readings", readings_file, "--vary", "HV-3.opening", "--vary",
                 "L-3.roughness", "--json")  # fmt: skip
    report = json.loads(done.stdout)
    found = {number["targets"][0]: number["value"] for number in report["numbers"]}
    assert found == pytest.approx(truth, rel=1e-6)
    assert report["solved"] and len(report["readings"]) == len(GAUGES) + 1
    assert report["caution"] and report["without"] is None


def test_the_shell_takes_single_readings_ties_and_bounds(shell, plant_file):
    done = shell("fit", plant_file, "--reading", "L-2.flow=12 m3/h, 2 %", "--reading",
                 "mixer.pressure=2.1 bar,0.02 bar", "--vary",
                 "L-1.roughness,L-2.roughness,L-3.roughness=0.01:3 mm", "--json")  # fmt: skip
    assert done.returncode == 0, done.stderr
    (number,) = json.loads(done.stdout)["numbers"]
    assert number["targets"] == ["L-1.roughness", "L-2.roughness", "L-3.roughness"]
    assert 0.01e-3 <= number["value"] <= 3e-3


def test_the_shell_saves_the_fitted_plant(hw, shell, plant_file, readings_file, tmp_path):
    saved, report = tmp_path / "fitted.toml", tmp_path / "report.txt"
    done = shell("fit", plant_file, "--readings", readings_file, "--vary", "HV-3.opening",
                 "--save", saved, "-o", report)  # fmt: skip
    assert (done.returncode, done.stdout) == (0, "") and "HV-3" in report.read_text()
    assert hw.load(saved)["HV-3"].opening != 0.6
    before = saved.read_bytes()
    done = shell("fit", plant_file, "--reading", "L-2.flow=12", "--vary", "HV-3.opening", "--save",
                 saved)  # fmt: skip
    assert done.returncode == 2 and saved.read_bytes() == before
    done = shell("fit", plant_file, "--readings", readings_file, "--vary", "HV-3.opening", "--save",
                 tmp_path / "nowhere" / "fitted.toml")  # fmt: skip
    assert done.returncode == 2 and "cannot write" in done.stderr
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(
        ["plant.toml", "readings.csv", "fitted.toml", "report.txt"])


@pytest.mark.parametrize(
    "text, message",
    [
        ("", "no readings"),
        ("gauge,valu\n", ':1:7: column "valu" is unknown; did you mean "value"?'),
        ("gauge,gauge\n", "stands twice"),
        ("gauge\nL-2.flow\n", 'column "value" is missing'),
        ("gauge,value\nL-2.flow,12 m3/h,2 %\n", ":2:18: more cells than the 2 columns"),
        ("gauge,value\n,12 m3/h\n", "names no gauge"),
        ('gauge,value\n"L-2.flow,12 m3/h\n', ":2:1: a quote is not closed"),
        ("gauge,value,settings\nL-2.flow,12 m3/h,HV-3.opening\n", ":2:18: settings"),
        ("gauge,value\n", "no measurements"),
        ("gauge,value\nL-2.flow,12\n", "has no unit"),
    ],
)
def test_the_shell_tells_where_a_table_is_wrong(shell, plant_file, tmp_path, text, message):
    path = tmp_path / "readings.csv"
    path.write_text(text, encoding="utf-8")
    done = shell("fit", plant_file, "--readings", path, "--vary", "HV-3.opening")
    assert done.returncode == 2 and done.stdout == "" and message in done.stderr, done.stderr


def test_the_shell_tells_other_mistakes(shell, plant_file):
    for arguments in (("--vary", "HV-3.opening"), ("--reading", "L-2.flow", "--vary", "HV-3.opening"),
                      ("--reading", "L-2.flow=12 m3/h", "--vary", "HV-3.opening=0.5"),
                      ("--readings", "nowhere.csv", "--vary", "HV-3.opening"),
                      ("--reading", "L-2.flow=12 m3/h"),
                      ("--reading", "L-2.flow=12 m3/h", "--vary", "HV-3.opening", "--loss", "x")):
        done = shell("fit", plant_file, *arguments)
        assert done.returncode == 2 and done.stdout == "" and done.stderr, arguments
