"""solve_many past one process: pools, a cluster, and workers that die."""

import concurrent.futures
import logging
import multiprocessing
import os
import pickle
import signal
import time

import pytest

from conftest import BUILD
from test_many import same_bits, table

ROWS, CHUNK = 2000, 50


@pytest.fixture(scope="module", autouse=True)
def workers_find_the_package():
    before = os.environ.get("PYTHONPATH")
    os.environ["PYTHONPATH"] = str(BUILD / "python")
    yield
    if before is None:
        del os.environ["PYTHONPATH"]
    else:
        os.environ["PYTHONPATH"] = before


@pytest.fixture(scope="module")
def cluster():
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(n_workers=3, threads_per_worker=1, host="127.0.0.1", dashboard_address=None,
                                  silence_logs=logging.CRITICAL) as cluster:
        with distributed.Client(cluster) as client:
            client.wait_for_workers(3)
            yield client


@pytest.fixture
def expected(hw, net):
    df = table(ROWS)
    df.loc[1234, "HV-3.opening"] = 1.5  # a row that fails
    return df, hw.solve_many(net, df)


class InThisThread(concurrent.futures.Executor):
    """Works as it is asked, through pickles; what `spoil` returns or raises comes out instead."""

    def __init__(self, spoil=lambda number, result, tries: result):
        self.spoil, self.number = spoil, 0

    def submit(self, function, *arguments):
        self.number += 1
        future = concurrent.futures.Future()
        try:
            function, arguments = pickle.loads(pickle.dumps((function, arguments)))
            future.set_result(self.spoil(self.number, function(*arguments), arguments[-1]))
        except Exception as error:
            future.set_exception(error)
        return future


def networks_read(caplog):
    """The workers that had to read the network, one entry for every time."""
    return [r.getMessage().split()[0] for r in caplog.records if r.getMessage().endswith("read the network")]


def test_a_pool_of_processes_gives_the_same_bits(hw, net, expected, caplog):
    df, here = expected
    caplog.set_level(logging.INFO, "handwheel")
    with concurrent.futures.ProcessPoolExecutor(2, mp_context=multiprocessing.get_context("spawn")) as pool:
        same_bits(here, hw.solve_many(net, df, executor=pool, rows_per_task=CHUNK))
        same_bits(here, hw.solve_many(net, df, executor=pool, workers=2))
    read = networks_read(caplog)
    assert 1 <= len(read) <= 2 and len(set(read)) == len(read)  # once per worker, over both runs


def test_workers_that_see_no_files_ask_for_the_network(hw, net, expected, caplog):
    df, here = expected
    caplog.set_level(logging.INFO, "handwheel")

    class Elsewhere:
        with_text = 0

        def submit(self, function, job, columns, text, path, tries):
            self.with_text += text is not None
            return pool.submit(function, job, columns, text, "/nowhere/network.toml", tries)

    elsewhere = Elsewhere()
    with concurrent.futures.ProcessPoolExecutor(2, mp_context=multiprocessing.get_context("spawn")) as pool:
        same_bits(here, hw.solve_many(net, df, executor=elsewhere, rows_per_task=CHUNK))
    read = networks_read(caplog)
    assert 1 <= len(read) <= 2 and len(set(read)) == len(read)
    assert elsewhere.with_text <= 8  # those that were under way when the first worker had it


def test_threads_will_do_too(hw, net, expected):
    df, here = expected
    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        same_bits(here, hw.solve_many(net, df, executor=pool, rows_per_task=CHUNK))


def test_lost_chunks_are_done_again_and_counted_once(hw, net, expected):
    df, here = expected

    def lose_some(number, result, tries):
        if tries < 3 and number % 2 == 0:
            raise ConnectionError("the worker is gone")
        return result

    heard = []
    many = hw.solve_many(net, df, executor=InThisThread(lose_some), rows_per_task=CHUNK,
                         progress=lambda done, total: heard.append(done))
    same_bits(here, many)
    assert heard == list(range(CHUNK, ROWS + 1, CHUNK))  # every chunk once
    assert many.num_in_lanes == here.num_in_lanes and many.worst_flow_imbalance == here.worst_flow_imbalance


def test_a_worker_interrupted_on_its_own_is_no_end(hw, net, expected):
    df, here = expected

    def interrupted(number, result, tries):
        result.result["interrupted"] = number == 2
        return result

    many = hw.solve_many(net, df, executor=InThisThread(interrupted), rows_per_task=CHUNK)
    same_bits(here, many)
    assert not many.interrupted


def test_an_executor_that_fails_for_good_leaves_the_rest_to_this_process(hw, net, expected):
    df, here = expected

    def dies(number, result, tries):
        if number > 20:
            raise concurrent.futures.BrokenExecutor("no workers left")
        return result

    with pytest.warns(RuntimeWarning, match="the remaining 20 of 40 chunks are solved in this process"):
        same_bits(here, hw.solve_many(net, df, executor=InThisThread(dies), rows_per_task=CHUNK))


def test_a_process_of_a_pool_is_killed(hw, net, expected):
    df, here = expected
    with concurrent.futures.ProcessPoolExecutor(2, mp_context=multiprocessing.get_context("spawn")) as pool:
        victim = pool.submit(os.getpid).result()

        def progress(done, total):
            if done == 5 * CHUNK:
                os.kill(victim, signal.SIGKILL)
                time.sleep(0.5)  # until the pool has noticed

        with pytest.warns(RuntimeWarning, match="solved in this process"):
            many = hw.solve_many(net, df, executor=pool, rows_per_task=CHUNK, progress=progress)
    same_bits(here, many)


def test_mistakes_in_a_worker_come_out(hw, net, monkeypatch):
    monkeypatch.setattr(hw._executors, "__version__", "0.0.0")

    class OtherVersion(InThisThread):
        def submit(self, function, job, *arguments):
            return super().submit(function, job._replace(version="9.9"), *arguments)

    with pytest.raises(hw.Error, match="one version everywhere"):
        hw.solve_many(net, table(), executor=OtherVersion())


def test_progress_stops_a_run_on_an_executor(hw, net, expected):
    df, here = expected
    many = hw.solve_many(net, df, executor=InThisThread(), rows_per_task=CHUNK, progress=lambda done, total: done < 500)
    done = (many.outcome != "interrupted").to_numpy()
    assert many.interrupted and done.sum() == 500
    assert many.flow[done].equals(here.flow[done]) and many.flow[~done].isna().all(axis=None)


def test_the_cluster_gives_the_same_bits_and_gets_the_network_once(hw, net, expected, cluster, caplog, tmp_path):
    df, here = expected
    caplog.set_level(logging.INFO, "handwheel")
    same_bits(here, hw.solve_many(net, df, executor=cluster, rows_per_task=CHUNK))
    turned = hw.solve_many(net, df.iloc[::-1], executor=cluster.get_executor(), rows_per_task=70)
    assert turned.flow.loc[df.index].to_numpy().tobytes() == here.flow.to_numpy().tobytes()
    read = networks_read(caplog)
    assert 1 <= len(read) <= 3 and len(set(read)) == len(read)
    pytest.importorskip("h5py")
    same_bits(here, hw.solve_many(net, df, executor=cluster, rows_per_task=CHUNK, to=tmp_path / "many.h5"))


def test_workers_of_the_cluster_are_killed(hw, net, cluster):
    df = table(6000)
    here = hw.solve_many(net, df)
    heard, killed = [], 0

    def progress(done, total):
        nonlocal killed
        heard.append(done)
        if len(heard) in (3, 20):  # first one of three, then all that are there
            for victim in list(cluster.run(os.getpid).values())[: 1 if len(heard) == 3 else 3]:
                os.kill(victim, signal.SIGKILL)
                killed += 1

    many = hw.solve_many(net, df, executor=cluster, rows_per_task=CHUNK, progress=progress)
    same_bits(here, many)
    assert killed >= 3 and heard == list(range(CHUNK, len(df) + 1, CHUNK))


def test_ctrl_c_on_the_cluster_returns_what_is_done(hw, net, cluster):
    df = table(10_000)
    here = hw.solve_many(net, df, outputs="flow")

    def progress(done, total):
        if done == 2000:
            os.kill(os.getpid(), signal.SIGINT)

    many = hw.solve_many(net, df, executor=cluster, rows_per_task=CHUNK, progress=progress, outputs="flow")
    done = (many.outcome == "solved").to_numpy()
    assert many.interrupted and 1950 <= done.sum() < len(df)
    assert many.flow[done].equals(here.flow[done]) and many.flow[~done].isna().all(axis=None)
    assert hw.solve_many(net, df[:200], executor=cluster, rows_per_task=CHUNK).num_solved == 200  # it still works
