"""Finds the build: $HANDWHEEL_BUILD, or build/ in the source tree."""

import os
import pathlib
import subprocess
import sys

import pytest

SOURCE = pathlib.Path(__file__).resolve().parents[2]
BUILD = pathlib.Path(os.environ.get("HANDWHEEL_BUILD", SOURCE / "build")).resolve()
sys.path.insert(0, str(BUILD / "python"))


def pytest_configure(config):
    config.addinivalue_line("markers", "slow: takes more than a few seconds")


# Two vessels, a pump with its check valve, a valve, and a mixer that takes a fixed draw.
PLANT = """
title = "Rinse loop"
story = "A sump feeds a mixer and a high tank."

[fluid]
name = "water"
temperature = "20 degC"

[[vessel]]
name = "sump"
elevation = 0.0
level = "2 m"

[[vessel]]
name = "high tank"
elevation = "12 m"
level = "1 m"

[[junction]]
name = "suction"

[[junction]]
name = "discharge"

[[junction]]
name = "header"
elevation = "1 m"

[[junction]]
name = "branch"
elevation = "1 m"

[[junction]]
name = "mixer"
elevation = "3 m"
draw = "2 m3/h"

[[pipe]]
name = "L-1"
from = "sump"
to = "suction"
length = "4 m"
bore = "77.9 mm"
roughness = "0.045 mm"

[[pipe]]
name = "L-2"
from = "branch"
to = "high tank"
length = "60 m"
bore = "52.5 mm"
roughness = "0.045 mm"
fittings = { "elbow 90 long radius" = 4 }

[[pipe]]
name = "L-3"
from = "header"
to = "mixer"
length = "15 m"
bore = "40.9 mm"
roughness = "0.045 mm"

[[valve]]
name = "HV-3"
from = "header"
to = "branch"
kind = "diaphragm weir"
size = "DN80"
opening = 0.6

[[check_valve]]
name = "NRV-1"
from = "discharge"
to = "header"
kind = "swing"
size = "DN80"

[[pump]]
name = "P-1"
from = "suction"
to = "discharge"
curve = [["0 m3/h", "32 m"], ["20 m3/h", "28 m"], ["40 m3/h", "18 m"]]

[[case]]
name = "P-1 tripped"
note = "The pump stands; the check valve holds the high tank back."
set = { "P-1.running" = false, "mixer.draw" = 0.0 }

[[case]]
name = "throttled"
set = { "HV-3.opening" = "20 %" }
"""


@pytest.fixture(scope="session")
def hw():
    import handwheel

    return handwheel


@pytest.fixture
def net(hw):
    return hw.loads(PLANT, "plant.toml")


@pytest.fixture
def plant_file(tmp_path):
    path = tmp_path / "plant.toml"
    path.write_text(PLANT, encoding="utf-8")
    return path


def grid(hw, n, bore=0.1):
    """A square of n by n junctions between two vessels, with pipes of alternating bore."""
    net = hw.Network()
    net.add_vessel("source", level="20 m")
    net.add_vessel("drain", level="5 m")
    for i in range(n):
        for j in range(n):
            net.add_junction(f"n{i},{j}", draw=1e-5 * ((i + 2 * j) % 3))
    pipe = dict(length=20.0, roughness=4.5e-5)
    for i in range(n):
        for j in range(n):
            size = bore * (1.0 if (i + j) % 2 else 0.5)
            if i + 1 < n:
                net.add_pipe(f"x{i},{j}", f"n{i},{j}", f"n{i + 1},{j}", bore=size, **pipe)
            if j + 1 < n:
                net.add_pipe(f"y{i},{j}", f"n{i},{j}", f"n{i},{j + 1}", bore=size, **pipe)
    net.add_pipe("inlet", "source", "n0,0", bore=2 * bore, **pipe)
    net.add_pipe("outlet", f"n{n - 1},{n - 1}", "drain", bore=2 * bore, **pipe)
    return net


@pytest.fixture(scope="session")
def slow_grid(hw):
    """Takes the loop method many seconds, newton a fraction of one."""
    return grid(hw, 40)


@pytest.fixture(scope="session")
def shell():
    """Runs the handwheel command; returns the finished process with its output as text."""
    command = BUILD / "bin" / "handwheel"
    if not command.exists():
        pytest.skip("the shell command is not built")

    def run(*arguments, **options):
        return subprocess.run(
            [str(command), *map(str, arguments)],
            capture_output=True,
            text=True,
            timeout=120,
            **options,
        )

    run.command = command
    return run
