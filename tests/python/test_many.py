"""solve_many in one process: the table in, the results out."""

import os
import pathlib
import pickle
import signal
import subprocess
import sys
import threading

import numpy as np
import pandas as pd
import pytest

from conftest import BUILD, grid

READINGS = ("flow", "velocity", "drop", "head", "pressure")


def table(n=40):
    """Openings, levels, a flag and a word: every kind of column."""
    random = np.random.default_rng(7)
    return pd.DataFrame({
        "HV-3.opening": random.uniform(0, 1, n),
        "high tank.level": random.uniform(0.5, 3, n),
        "P-1.running": random.integers(0, 2, n).astype(bool),
        "NRV-1.condition": random.choice(["sound", "passing", "stuck open"], n),
        "mixer.draw": 0.0,
    })  # fmt: skip


def same_bits(a, b):
    """Whatever the rows are called."""
    for reading in READINGS:
        left, right = getattr(a, reading), getattr(b, reading)
        assert list(left.columns) == list(right.columns)
        assert left.to_numpy().tobytes() == right.to_numpy().tobytes(), reading
    assert list(a.outcome) == list(b.outcome) and list(a.failures) == list(b.failures)


def test_every_row_is_a_solve(hw, net):
    df = table()
    many = hw.solve_many(net, settings=df, workers=2)
    assert len(many) == 40 and many.num_solved == 40 and not many.interrupted
    assert list(many.flow.columns) == net.component_names == list(many.drop.columns)
    assert list(many.pressure.columns) == net.point_names == list(many.head.columns)
    assert (many.outcome == "solved").all() and len(many.failures) == 0
    assert hw.solve_many(net, df[df["P-1.running"]]).worst_flow_imbalance < 1e-9
    for row in df.to_dict("records")[:12]:
        i = df.index[(df == pd.Series(row)).all(axis=1)][0]
        s = hw.solve(net, row)
        # Either stops within 1e-9 of the largest flow; ten times that for both.
        close = dict(abs=1e-8 * max(np.abs(s.flow.values).max(), 1e-6), nan_ok=True)
        assert many.flow.loc[i].to_numpy() == pytest.approx(s.flow.values, **close)
        assert many.pressure.loc[i].to_numpy() == pytest.approx(s.pressure.values, abs=1.0, nan_ok=True)
        assert many.head.loc[i].to_numpy() == pytest.approx(s.head.values, abs=1e-4, nan_ok=True)


def test_the_bits_do_not_depend_on_workers_or_order(hw, net):
    df = table(500)
    one = hw.solve_many(net, df, workers=1)
    for workers in (2, 7):
        same_bits(one, hw.solve_many(net, df, workers=workers))
    shuffled = df.sample(frac=1, random_state=3)
    many = hw.solve_many(net, shuffled, workers=2)
    assert list(many.flow.index) == list(shuffled.index)
    for reading in READINGS:
        frame = getattr(many, reading).loc[df.index]
        assert frame.to_numpy().tobytes() == getattr(one, reading).to_numpy().tobytes()
    alone = hw.solve_many(net, df.iloc[123:124])
    assert alone.flow.to_numpy().tobytes() == one.flow.iloc[123:124].to_numpy().tobytes()


def test_settings_come_in_many_forms(hw, net):
    expected = hw.solve_many(net, {"HV-3.opening": [0.2, 0.8], "high tank.level": [1.0, 2.0]})
    forms = [
        {"HV-3.opening": ["20 %", 0.8], "high tank.level": ["1 m", "200 cm"]},
        {"HV-3.opening": (0.2, 0.8), "high tank.level": pd.Series([1, 2], index=["a", "b"])},
        {"HV-3.opening": np.array([0.2, 0.8], dtype=object), "high tank.level": range(1, 3)},
        {"HV-3.opening": pd.Categorical(["20 %", "80 %"]), "high tank.level": np.array([1, 2], dtype=np.int8)},
        pd.DataFrame({"HV-3.opening": ["20 %", "80 %"], "high tank.level": ["1 m", "2 m"]}),
        pd.DataFrame({"HV-3.opening": [0.2, 0.8], "high tank.level": [1, 2]}).astype(
            {"high tank.level": "Float64", "HV-3.opening": "category"}),
        pd.DataFrame(np.array([[0.2, 1.0], [0.8, 2.0]]), columns=["HV-3.opening", "high tank.level"]),
    ]  # fmt: skip
    for form in forms:
        many = hw.solve_many(net, form)
        same_bits(expected, many)
        assert many.settings.to_numpy().tolist() == [[0.2, 1.0], [0.8, 2.0]]
    flags = {"P-1.running": [True, False], "mixer.draw": 0}
    for form in (flags["P-1.running"], np.array([True, False]), np.array([True, False], dtype=object)):
        many = hw.solve_many(net, {**flags, "P-1.running": form})
        assert many.flow["P-1"][0] > 1e-3 and abs(many.flow["P-1"][1]) < 1e-12
    curves = {"P-1.curve": [[("0 m3/h", "32 m"), ("40 m3/h", "18 m")], [("0 m3/h", "40 m"), ("40 m3/h", "28 m")]]}
    assert hw.solve_many(net, curves).flow["P-1"].is_monotonic_increasing


def test_a_case_is_applied_first(hw, net):
    many = hw.solve_many(net, {"NRV-1.condition": ["sound", "stuck open"]}, case="P-1 tripped")
    assert many.flow["P-1"][0] == 0 > many.flow["P-1"][1]
    assert net["P-1"].running
    assert not many.network["P-1"].running
    again = hw.solve_many(hw.CompiledNetwork(net), {"NRV-1.condition": ["sound", "stuck open"]}, case="P-1 tripped")
    same_bits(many, again)


def test_outputs_choose_readings_and_parts(hw, net):
    settings = {"HV-3.opening": [0.2, 0.8]}
    everything = hw.solve_many(net, settings)
    some = hw.solve_many(net, settings, outputs=["flow", "header.pressure", "mixer.pressure", "L-2.velocity"])
    assert some.flow.equals(everything.flow)
    assert some.pressure.equals(everything.pressure[["header", "mixer"]])
    assert some.velocity.equals(everything.velocity[["L-2"]])
    with pytest.raises(ValueError, match="head was not asked for"):
        some.head
    assert hw.solve_many(net, settings, outputs="flow").flow.equals(everything.flow)
    for outputs, message in ((["flwo"], 'did you mean "flow"'), (["L-22.flow"], "L-2"), ([], "empty"), ([3], "3"),
                             (["header.flow"], "component"), (["L-2.pressure"], "vessel"), (7, "int")):  # fmt: skip
        with pytest.raises(ValueError, match=message):
            hw.solve_many(net, settings, outputs=outputs)


def test_results_are_views(hw, net):
    many = hw.solve_many(net, {"HV-3.opening": np.linspace(0, 1, 5)})
    assert np.shares_memory(many.flow.to_numpy(), many.flow.to_numpy())
    assert many.flow["L-2"].to_numpy().dtype == np.float64
    part = many[1:3]
    assert len(part) == 2 and np.shares_memory(part.flow.to_numpy(), many.flow.to_numpy())
    assert part.flow.equals(many.flow.iloc[1:3]) and part.settings.equals(many.settings.iloc[1:3])
    for wrong in (3, "flow", slice(0, 4, 2)):
        with pytest.raises(ValueError):
            many[wrong]


def test_a_scenario_that_fails_is_a_row_with_its_reason(hw, net):
    net.add_junction("user", draw="1 m3/h")
    net.add_valve("HV-8", "header", "user", kind="ball", size="DN25")
    settings = pd.DataFrame({"HV-8.opening": [0.5, 0.0, 1.5, 1.0], "high tank.level": [1.0, 1, 1, -3]}, index=list("abcd"))
    many = hw.solve_many(net, settings)
    assert list(many.outcome)[:3] == ["solved", "no solution", "refused"]
    assert list(many.failures.index)[:2] == ["b", "c"]
    assert "HV-8" in many.failures["b"] and "opening" in many.failures["c"]
    assert many.flow.loc[["b", "c"]].isna().all(axis=None) and many.flow.loc["a"].notna().all()
    text = str(many)
    assert "row b: " in text and "licensed engineer" in text and "1 no solution" in text.splitlines()[0]
    assert "1 no solution" in repr(many)
    assert list(many[1:].failures.index)[:2] == ["b", "c"]


def test_the_report_says_what_runs_backwards(hw, net):
    many = hw.solve_many(net, {"NRV-1.condition": ["sound", "passing", "stuck open"]}, case="P-1 tripped")
    lines = str(many).splitlines()
    assert lines[0] == "Rinse loop: 3 of 3 scenarios solved."
    assert "Liquid runs backwards through NRV-1 in 2 of them." in lines
    assert any(line.split()[:1] == ["L-1"] for line in lines)


GENERATOR = (x for x in [0.2, 0.4])


@pytest.mark.parametrize(
    "settings, message",
    [
        ({"HV-33.opening": [0.4]}, 'did you mean "HV-3"'),
        ({"HV-3.openin": [0.4]}, 'did you mean "opening"'),
        ({"opening": [0.4]}, "opening"),
        ({"HV-3.opening": [0.4, 0.5], "high tank.level": [1.0]}, "1 values and"),
        ({"HV-3.opening": [0.4, np.nan]}, "row 1"),
        ({"HV-3.opening": [0.4, None]}, "row 1"),
        ({"HV-3.opening": pd.array([0.4, None], dtype="Float64")}, "row 1"),
        ({"NRV-1.condition": pd.Categorical(["sound", None])}, "row 1"),
        ({"HV-3.opening": [0.4, np.inf]}, "infinite in row 1"),
        ({"mixer.draw": ["1 m3/h", "2"]}, 'unit in row 0 .* none in row 1'),
        ({"mixer.draw": ["1 m3/h", "2 m3h"]}, "row 1"),
        ({"mixer.draw": ["1 m3/h", "2 m"]}, "row 1"),
        ({"HV-3.opening": np.array(["0.4", "half"], dtype=object)}, "row 1"),
        ({"HV-3.opening": [0.4, "half"]}, "row 1"),
        ({"NRV-1.condition": ["sound", "stuk open"]}, 'did you mean "stuck open"'),
        ({"NRV-1.condition": [1.0, 2.0]}, "condition"),
        ({"P-1.running": [0.5, 1.0]}, "running"),
        ({"HV-3.opening": [True, False]}, "opening"),
        ({"HV-3.name": ["a", "b"]}, "name"),
        ({}, "empty"),
        (pd.DataFrame(), "empty"),
        (pd.DataFrame({"HV-3.opening": []}), "no rows"),
        ({"HV-3.opening": []}, "no rows"),
        ({"HV-3.opening": 0.4}, "hw.solve"),
        ({"HV-3.opening": GENERATOR}, "list"),
        (GENERATOR, "generator"),
        ([{"HV-3.opening": 0.4}], "DataFrame"),
        (None, "DataFrame"),
        (pd.DataFrame([[0.1, 0.2]], columns=["HV-3.opening", "HV-3.opening"]), "two columns"),
        ({3: [0.4]}, "text"),
        ({"HV-3.opening": np.zeros((2, 2))}, "2 dimensions"),
        ({"HV-3.opening": np.array([1j])}, "complex"),
        ({"HV-3.opening": pd.to_datetime(["2020-01-01"])}, "datetime"),
        ({"HV-3.opening": {"a": 1}}, "dict"),
    ],
)
def test_mistakes_in_the_table_are_value_errors(hw, net, settings, message):
    with pytest.raises(hw.Error, match=message):
        hw.solve_many(net, settings)


@pytest.mark.parametrize(
    "options, message",
    [
        (dict(workers=0), "workers"),
        (dict(workers=2.5), "workers"),
        (dict(workers=True), "workers"),
        (dict(workers=5000), "workers"),
        (dict(executor="pool"), "submit"),
        (dict(rows_per_task=0), "rows_per_task"),
        (dict(to="results.csv"), "h5"),
        (dict(case="P-1 triped"), 'did you mean "P-1 tripped"'),
        (dict(progress=3), "progress"),
        (dict(flow_tolerance=-1.0), "flow_tolerance"),
    ],
)
def test_mistakes_in_options_are_value_errors(hw, net, options, message):
    with pytest.raises(hw.Error, match=message):
        hw.solve_many(net, {"HV-3.opening": [0.4]}, **options)


def test_a_network_is_expected(hw):
    with pytest.raises(hw.Error, match="hw.load"):
        hw.solve_many("plant.toml", {"HV-3.opening": [0.4]})


def test_a_compiled_network_pickles(hw, net):
    compiled = pickle.loads(pickle.dumps(hw.CompiledNetwork(net)))
    assert compiled.network == net and compiled.component_names == net.component_names
    assert compiled.point_names == net.point_names and "Rinse loop" in repr(compiled)
    df = table()
    same_bits(hw.solve_many(net, df), hw.solve_many(compiled, df))
    many = hw.solve_many(net, df)
    same_bits(many, pickle.loads(pickle.dumps(many)))


def test_progress_hears_of_rows_and_can_stop(hw, net):
    heard = []
    settings = {"HV-3.opening": np.linspace(0.1, 1, 1000)}
    hw.solve_many(net, settings, workers=1, progress=lambda *news: heard.append(news))
    done, total = zip(*heard)
    assert list(done) == sorted(done) and done[-1] == 1000 and set(total) == {1000}
    many = hw.solve_many(net, settings, workers=1, progress=lambda done, total: done < 200)
    solved = (many.outcome == "solved").to_numpy()
    assert many.interrupted and 200 <= solved.sum() < 1000 and len(many.failures) == 0
    assert many.flow[~solved].isna().all(axis=None) and many.flow[solved].notna().all(axis=None)
    assert set(many.outcome) == {"solved", "interrupted"}
    assert "are missing" in str(many)

    def fails(done, total):
        raise RuntimeError("enough")

    with pytest.raises(RuntimeError, match="enough"):
        hw.solve_many(net, settings, progress=fails)


def test_progress_true_shows_a_bar(hw, net, capfd):
    hw.solve_many(net, {"HV-3.opening": [0.1, 0.2]}, progress=True)
    out, err = capfd.readouterr()
    assert out == "" and "scenarios" in err and "2" in err


def test_ctrl_c_returns_what_is_done(hw):
    net = grid(hw, 20)
    started = threading.Event()
    timer = threading.Timer(0.3, os.kill, (os.getpid(), signal.SIGINT))

    def progress(done, total):
        if not started.is_set():
            started.set()
            timer.start()

    levels = np.linspace(10, 30, 100_000)
    try:
        many = hw.solve_many(net, {"source.level": levels}, progress=progress, outputs="outlet.flow")
    finally:
        timer.cancel()
    assert many.interrupted and 0 < many.num_solved < len(levels)
    solved = (many.outcome == "solved").to_numpy()
    assert many.flow["outlet"][solved].notna().all() and many.flow["outlet"][~solved].isna().all()
    expected = hw.solve_many(net, {"source.level": levels[solved][:50]}, outputs="outlet.flow")
    assert np.array_equal(expected.flow["outlet"], many.flow["outlet"][solved][:50])


def test_other_threads_run_meanwhile(hw, net):
    done, count = threading.Event(), 0

    def solve():
        hw.solve_many(net, {"HV-3.opening": np.linspace(0.1, 1, 30_000)}, workers=1)
        done.set()

    thread = threading.Thread(target=solve)
    thread.start()
    while not done.wait(0.001):
        count += 1
    thread.join()
    assert count > 10


def test_grid_is_every_combination(hw, net):
    df = hw.grid({"HV-3.opening": [0.2, 0.8], "P-1.running": [True, False], "NRV-1.condition": ["sound", "passing"]})
    assert len(df) == 8 and list(df.columns) == ["HV-3.opening", "P-1.running", "NRV-1.condition"]
    assert df["P-1.running"].dtype == bool and df["HV-3.opening"].dtype == np.float64
    assert df.drop_duplicates().equals(df)
    assert list(df["NRV-1.condition"][:2]) == ["sound", "passing"]  # the last varies fastest
    assert hw.solve_many(net, df, case="P-1 tripped").num_solved == 8
    for wrong in ({}, {"HV-3.opening": []}, {"HV-3.opening": 0.4}, {"HV-3.opening": "0.4"}, [1, 2]):
        with pytest.raises(hw.Error):
            hw.grid(wrong)


@pytest.mark.parametrize("method", ["latin hypercube", "sobol", "random"])
def test_a_sample_follows_its_distributions(hw, net, method):
    stats = pytest.importorskip("scipy.stats")
    what = {"HV-3.opening": (0.2, 0.8), "high tank.level": stats.norm(2.0, 0.2), "NRV-1.condition": ["sound", "passing"]}
    df = hw.sample(what, 512, method=method, seed=1)
    assert df.equals(hw.sample(what, 512, method=method, seed=1))
    assert not df.equals(hw.sample(what, 512, method=method, seed=2))
    assert df["HV-3.opening"].between(0.2, 0.8).all()
    # Four standard errors of a plain random sample; the others are closer.
    assert df["HV-3.opening"].mean() == pytest.approx(0.5, abs=4 * 0.6 / np.sqrt(12 * 512))
    assert df["high tank.level"].mean() == pytest.approx(2.0, abs=4 * 0.2 / np.sqrt(512))
    assert (df["NRV-1.condition"] == "sound").mean() == pytest.approx(0.5, abs=4 * 0.5 / np.sqrt(512))
    assert hw.solve_many(net, df).num_solved == 512
    if method == "latin hypercube":  # one in each of 512 equal strips
        strips = np.floor((df["HV-3.opening"] - 0.2) / 0.6 * 512)
        assert sorted(strips) == list(range(512))


@pytest.mark.parametrize(
    "distributions, n, options",
    [
        ({}, 5, {}),
        ({"HV-3.opening": (0.8, 0.2)}, 5, {}),
        ({"HV-3.opening": ("0.2 m", "0.8 m")}, 5, {}),
        ({"HV-3.opening": (0.1, 0.2, 0.3)}, 5, {}),
        ({"HV-3.opening": (0, np.inf)}, 5, {}),
        ({"HV-3.opening": 0.5}, 5, {}),
        ({"HV-3.opening": []}, 5, {}),
        ({"HV-3.opening": (0.2, 0.8)}, 0, {}),
        ({"HV-3.opening": (0.2, 0.8)}, 2.5, {}),
        ({"HV-3.opening": (0.2, 0.8)}, 5, dict(method="latin")),
    ],
)
def test_mistakes_in_a_sample_are_value_errors(hw, distributions, n, options):
    with pytest.raises(hw.Error, match="expected"):
        hw.sample(distributions, n, **options)


def test_the_package_needs_only_numpy_and_pandas(tmp_path):
    """Without the others, what needs them says so, and the rest works."""
    missing = ("scipy", "tqdm", "zarr", "h5py", "distributed", "matplotlib")
    network = pathlib.Path(__file__).resolve().parents[2] / "networks" / "caustic_transfer.toml"
    code = f"""
import sys
for name in {missing!r}: sys.modules[name] = None
import handwheel as hw
net = hw.load({str(network)!r})
assert "pandas" not in sys.modules
assert hw.solve_many(net, hw.grid({{"HV-3.opening": [0.2, 0.4]}}), progress=True).num_solved == 2
for fails in (lambda: hw.sample({{"HV-3.opening": (0, 1)}}, 5),
              lambda: hw.solve_many(net, {{"HV-3.opening": [0.2]}}, to="many.h5"),
              lambda: hw.solve_many(net, {{"HV-3.opening": [0.2]}}, to="many.zarr")):
    try: fails()
    except ImportError as error: print(error)
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=tmp_path,
                          env={**os.environ, "PYTHONPATH": str(BUILD / "python")})  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert [line.split("apt-get install ")[1].split(",")[0] for line in done.stdout.splitlines()] == [
        "python3-scipy", "python3-h5py", "python3-zarr"]  # fmt: skip
    assert "2 of 2 scenarios" in done.stderr and not list(tmp_path.iterdir())
