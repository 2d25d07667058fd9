"""solve_many to HDF5 and Zarr."""

import pickle

import numpy as np
import pandas as pd
import pytest

from test_many import READINGS, same_bits, table


@pytest.fixture(params=["results.h5", "results.zarr"])
def path(request, tmp_path):
    pytest.importorskip("h5py" if request.param.endswith("h5") else "zarr")
    return tmp_path / request.param


@pytest.fixture(autouse=True)
def small_blocks(hw, monkeypatch):
    """So that a few hundred rows are many blocks."""
    monkeypatch.setattr(hw._many, "ROWS_PER_BLOCK", 64)


def test_a_file_holds_what_memory_holds(hw, net, path):
    df = table(300)
    df.loc[7, "HV-3.opening"] = 1.5
    in_memory = hw.solve_many(net, df)
    heard = []
    streamed = hw.solve_many(net, df, to=path, progress=lambda *news: heard.append(news))
    same_bits(in_memory, streamed)
    assert heard[-1] == (300, 300) and [p.name for p in path.parent.iterdir()] == [path.name]
    opened = hw.open_scenarios(path)
    same_bits(in_memory, opened)
    assert opened.network == net and opened.settings.equals(in_memory.settings)
    assert opened.settings.dtypes.equals(in_memory.settings.dtypes)
    assert str(opened) == str(in_memory) == str(streamed) and repr(opened) == repr(in_memory)
    assert opened.worst_flow_imbalance == in_memory.worst_flow_imbalance
    assert opened.num_in_lanes == in_memory.num_in_lanes == streamed.num_in_lanes
    same_bits(streamed, pickle.loads(pickle.dumps(streamed)))
    part = opened[100:150]
    assert part.flow.equals(in_memory.flow.iloc[100:150]) and part.settings.equals(in_memory.settings[100:150])


def test_a_file_can_be_read_without_handwheel(hw, net, path):
    hw.solve_many(net, table(100), to=path, outputs=["flow", "header.pressure"])
    if path.suffix == ".h5":
        import h5py as library

        root = library.File(path, "r")
    else:
        import zarr as library

        root = library.open(str(path), mode="r")
    names = [name.decode() for name in root["flow_names"][:]]
    assert names == net.component_names and root["flow"].shape == (100, len(names))
    assert root["flow"].attrs["unit"] == "m3/s" and root["pressure"].attrs["unit"] == "Pa"
    assert root["settings/0"].attrs["target"] == "HV-3.opening"
    assert "licensed engineer" in root.attrs["caution"] and root.attrs["title"] == "Rinse loop"
    assert set(READINGS) & set(root) == {"flow", "pressure"}


def test_interrupted_runs_keep_what_is_done(hw, net, path):
    df = table(300)
    whole = hw.solve_many(net, df)
    many = hw.solve_many(net, df, to=path, workers=1, progress=lambda done, total: done < 130)
    done = (many.outcome == "solved").to_numpy()
    assert many.interrupted and hw.open_scenarios(path).interrupted and 130 <= done.sum() < 300
    assert np.array_equal(many.flow[done], whole.flow[done]) and many.flow[~done].isna().all(axis=None)


def test_failures_leave_no_half_written_file(hw, net, path):
    def fails(done, total):
        raise RuntimeError("enough")

    with pytest.raises(RuntimeError, match="enough"):
        hw.solve_many(net, table(), to=path, progress=fails)
    assert list(path.parent.iterdir()) == []


def test_a_file_that_is_there_is_not_overwritten(hw, net, path):
    path.write_text("precious")
    with pytest.raises(hw.Error, match="choose another name"):
        hw.solve_many(net, table(), to=path)
    assert path.read_text() == "precious"
    with pytest.raises(hw.Error, match="no directory"):
        hw.solve_many(net, table(), to=path.parent / "nowhere" / path.name)


def test_what_is_no_file_of_scenarios_is_refused(hw, path):
    with pytest.raises(hw.Error, match="there is no"):
        hw.open_scenarios(path)
    with pytest.raises(hw.Error, match="csv"):
        hw.open_scenarios(path.with_suffix(".csv"))
    if path.suffix == ".h5":
        pd.DataFrame({"a": [1]}).to_csv(path)
        with pytest.raises(hw.Error, match="no scenarios"):
            hw.open_scenarios(path)
