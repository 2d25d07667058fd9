"""handwheel many: CSV in, CSV out."""

import csv
import io
import signal
import subprocess
import time

import numpy as np
import pandas as pd
import pytest

from test_many import table


def rows_of(text):
    return list(csv.reader(io.StringIO(text)))


def test_it_writes_what_python_has(hw, net, shell, plant_file, tmp_path):
    df = table(5000)  # more than one block
    many = hw.solve_many(net, df)
    df.to_csv(tmp_path / "settings.csv", index=False, float_format="%.17g")
    done = shell("many", plant_file, tmp_path / "settings.csv", "-o", tmp_path / "results.csv", "--workers", 2)
    assert done.returncode == 0 and done.stdout == "" and "5000 of 5000 scenarios solved" in done.stderr
    assert "licensed engineer" in done.stderr
    found = pd.read_csv(tmp_path / "results.csv", keep_default_na=False, float_precision="round_trip")
    names = [f"{n} [m3/s]" for n in net.component_names] + [f"{n} [Pa]" for n in net.point_names]
    assert list(found.columns) == ["row", *df.columns, *names, "outcome", "failure"]
    assert list(found["row"]) == list(range(1, 5001)) and set(found["outcome"]) == {"solved"}
    # The shell prints every digit, -0 apart.
    for name in net.component_names:
        assert np.array_equal(found[f"{name} [m3/s]"], many.flow[name])
    pressure = pd.to_numeric(found["suction [Pa]"].replace("", "nan")).to_numpy()
    assert np.array_equal(pressure, many.pressure["suction"], equal_nan=True)


def test_tables_are_read_as_people_write_them(hw, net, shell, plant_file):
    text = ('\ufeff"HV-3.opening",high tank.level,NRV-1.condition,P-1.running\r\n'
            '20 %,"1 m","stuck open",false\r\n\r\n20.0 %,100 cm,stuck open,False\r\n')  # fmt: skip
    done = shell("many", plant_file, "-", "--set", "mixer.draw=0", "--of", "P-1", "header", input=text)
    heading, *rows = rows_of(done.stdout)
    assert done.returncode == 0 and heading[5:] == ["P-1 [m3/s]", "header [Pa]", "outcome", "failure"]
    assert rows[0][1:5] == ["20 %", "1 m", "stuck open", "false"] and rows[0][5:] == rows[1][5:]
    s = hw.solve(net, {"HV-3.opening": 0.2, "high tank.level": 1, "NRV-1.condition": "stuck open", "mixer.draw": 0,
                       "P-1.running": False})  # fmt: skip
    assert float(rows[0][5]) == pytest.approx(s.flow["P-1"], abs=1e-11)
    assert float(rows[0][6]) == pytest.approx(s.pressure["header"], abs=1.0)


def test_a_row_that_fails_says_why(shell, plant_file):
    done = shell("many", plant_file, "-", "--of", "L-2", input="HV-3.opening\n0.5\n1.5\n")
    solved, refused = rows_of(done.stdout)[1:]
    assert done.returncode == 1 and "1 of 2 scenarios solved" in done.stderr
    assert solved[3:] == ["solved", ""] and refused[2] == "" and refused[3] == "refused" and "opening" in refused[4]


@pytest.mark.parametrize(
    "text, message",
    [
        ("", "heading"),
        ("HV-3.opening\n", "no rows"),
        ("HV-33.opening\n0.5\n", 'did you mean "HV-3"'),
        ("HV-3.opening,HV-3.opening\n0.5,0.5\n", "two columns"),
        ("HV-3.opening\n0.5\nhalf\n", "<standard input>:3:1: "),
        ("HV-3.opening\n0.5\nnan\n", "<standard input>:3:1: "),
        ("HV-3.opening,mixer.draw\n0.5,1 m3/h\n0.5,\n", '<standard input>:3:5: "mixer.draw" is empty'),
        ("mixer.draw\n1 m3/h\n2 m\n", "<standard input>:3:1: "),
        ("HV-3.opening\n0.5,0.6\n", "2 cells; expected 1"),
        ("mixer.draw\n1 m3/h\n2\n", "no unit here"),
        ("NRV-1.condition\nstuk open\n", 'did you mean "stuck open"'),
        ('NRV-1.condition\n"sound\n', "not closed"),
        ('NRV-1.condition\n"sound"x\n', "expected a comma"),
    ],
)
def test_mistakes_end_it_before_anything_is_written(shell, plant_file, tmp_path, text, message):
    done = shell("many", plant_file, "-", "-o", tmp_path / "results.csv", input=text)
    assert done.returncode == 2 and message in done.stderr, done.stderr
    assert not [p for p in tmp_path.iterdir() if p != plant_file]


def test_ctrl_c_leaves_no_half_written_file(shell, plant_file, tmp_path):
    settings = tmp_path / "settings.csv"
    settings.write_text("HV-3.opening,high tank.level\n" + "0.5,1\n" * 3_000_000)
    program = subprocess.Popen([str(shell.command), "many", str(plant_file), str(settings), "-o",
                                str(tmp_path / "results.csv")], stderr=subprocess.PIPE, text=True)  # fmt: skip
    while not list(tmp_path.glob("results.csv.*")):  # until it has begun to write
        assert program.poll() is None, program.stderr.read()
        time.sleep(0.01)
    time.sleep(0.2)
    program.send_signal(signal.SIGINT)
    _, err = program.communicate(timeout=60)
    assert program.returncode == 130 and "interrupted" in err
    assert not list(tmp_path.glob("results*"))
