"""What do solve and solve_many cost from Python, beside the same calls from C++?

20 pipes between two vessels. Goals: solve within 3 times of C++, solve_many within 5 %. Processor time, the best of
several rounds, the two languages in turn, so that a busy machine disturbs neither or both.

    PYTHONPATH=BUILD/python python_overhead.py BUILD/tests/call_times [SCENARIOS]
"""

import pathlib
import subprocess
import sys
import tempfile
import time

import numpy as np

import handwheel as hw

ROUNDS, CALLS = 5, 200


def ladder():
    """Two rails of six pipes, six rungs, an inlet and an outlet."""
    net = hw.Network()
    net.add_vessel("source", level="20 m")
    net.add_vessel("drain", level="5 m")
    pipe = dict(length="20 m", bore="52.5 mm")
    for k in range(7):
        net.add_junction(f"a{k}", elevation="1 m")
        net.add_junction(f"b{k}", elevation="1 m", draw=f"{k / 10} m3/h")
    for k in range(6):
        net.add_pipe(f"rail a{k}", f"a{k}", f"a{k + 1}", **pipe)
        net.add_pipe(f"rail b{k}", f"b{k}", f"b{k + 1}", **pipe)
        net.add_pipe(f"rung {k}", f"a{k}", f"b{k}", **pipe)
    net.add_pipe("inlet", "source", "a0", length="20 m", bore="77.9 mm")
    net.add_pipe("outlet", "b6", "drain", length="20 m", bore="77.9 mm")
    return net


def best(call, rounds=ROUNDS):
    times = []
    for _ in range(rounds):
        start = time.process_time()
        call()
        times.append(time.process_time() - start)
    return min(times)


def time_solve(net):
    def many_times():
        for _ in range(CALLS):
            hw.solve(net).flow["outlet"]

    return best(many_times) / CALLS


def time_solve_many(net, scenarios):
    along = np.arange(scenarios) / scenarios
    settings = {"source.level": 15 + 10 * along, "inlet.length": 10 + 20 * along}

    def once():
        many = hw.solve_many(net, settings, outputs=["flow", "pressure"], workers=1)
        assert many.num_solved == scenarios
        return many.flow["outlet"], many.pressure

    return best(once)


def main(program, scenarios="100000"):
    net = ladder()
    assert len(net.pipes) == 20
    from_cpp, from_python = [], []
    with tempfile.TemporaryDirectory() as directory:
        path = pathlib.Path(directory) / "ladder.toml"
        net.save(path)
        for _ in range(3):
            done = subprocess.run([program, str(path), scenarios], check=True, capture_output=True, text=True)
            from_cpp.append([float(x) for x in done.stdout.split()])
            from_python.append([time_solve(net), time_solve_many(net, int(scenarios))])
    cpp, python = np.min(from_cpp, axis=0), np.min(from_python, axis=0)
    print(f"solve:      C++ {cpp[0] * 1e6:8.1f} us, Python {python[0] * 1e6:8.1f} us: {python[0] / cpp[0]:.2f} x")
    print(f"solve_many: C++ {cpp[1]:8.3f} s,  Python {python[1]:8.3f} s:  {python[1] / cpp[1] - 1:+.1%}, "
          f"{int(scenarios) / python[1]:.0f} scenarios a second")  # fmt: skip


if __name__ == "__main__":
    main(*sys.argv[1:])
