"""Long solves: other threads run meanwhile, Ctrl-C and a progress function stop them."""

import os
import signal
import threading
import time

import numpy as np
import pytest

ENDLESS = dict(method="hardy_cross", max_num_iterations=1_000_000, flow_tolerance=1e-16,
               head_tolerance=1e-16, step_tolerance=1e-16)  # fmt: skip


def test_progress_hears_of_every_iteration(hw, net):
    heard = []
    s = hw.solve(net, progress=lambda news: heard.append(news))
    assert [news.iteration for news in heard] == list(range(1, s.summary.num_iterations + 1))
    assert all(news.max_flow_imbalance >= 0 and news.max_head_imbalance >= 0 for news in heard)
    assert "IterationNews 1" in repr(heard[0])


def test_progress_can_stop_a_solve(hw, slow_grid):
    s = hw.solve(slow_grid, progress=lambda news: news.iteration < 3, **ENDLESS)
    assert s.summary.termination == "interrupted" and not s.converged
    assert s.summary.num_iterations == 3


@pytest.mark.parametrize("method", ["newton", "hardy_cross", "trust_region"])
def test_progress_can_stop_every_method(hw, net, method):
    try:
        s = hw.solve(net, method=method, progress=lambda news: False)
    except hw.SettingError as error:
        pytest.skip(str(error))  # built without it
    assert s.summary.termination == "interrupted" and not s.converged
    assert s.summary.num_iterations <= 1


def test_what_progress_raises_comes_out(hw, slow_grid):
    def progress(news):
        raise RuntimeError("enough")

    with pytest.raises(RuntimeError, match="enough"):
        hw.solve(slow_grid, progress=progress, **ENDLESS)


def test_ctrl_c_stops_a_long_solve(hw, slow_grid):
    timer = threading.Timer(0.5, os.kill, (os.getpid(), signal.SIGINT))
    timer.start()
    started = time.monotonic()
    try:
        with pytest.raises(KeyboardInterrupt):
            hw.solve(slow_grid, **ENDLESS)
    finally:
        timer.cancel()
    assert time.monotonic() - started < 30.0


def test_other_threads_run_during_a_solve(hw, slow_grid):
    done = threading.Event()
    count = 0

    def solve():
        hw.solve(slow_grid, method="hardy_cross", max_num_iterations=300)
        done.set()

    thread = threading.Thread(target=solve)
    started = time.monotonic()
    thread.start()
    while not done.is_set():
        count += 1
        time.sleep(0.001)
    thread.join()
    elapsed = time.monotonic() - started
    # Were the lock held, this loop would not get a turn until the end.
    assert elapsed > 0.05, "too fast to tell"
    assert count > 10


def test_one_network_can_be_solved_in_many_threads(hw, net):
    expected = {x: hw.solve(net, {"HV-3.opening": x}).flow.values for x in (0.2, 0.5, 1.0)}
    wrong = []

    def work(opening):
        for _ in range(20):
            flow = hw.solve(net, {"HV-3.opening": opening}).flow.values
            if not np.array_equal(flow, expected[opening]):
                wrong.append(opening)

    threads = [threading.Thread(target=work, args=(x,)) for x in expected for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
