"""The handwheel command as a user meets it: output, exit codes, files, pipes, Ctrl-C."""

import csv
import io
import json
import math
import os
import pathlib
import signal
import subprocess
import time

import pytest

from conftest import PLANT

CAUTION = (
    "Estimates. A check valve is never isolation. Local codes, the site's permit and lock-out "
    "rules and a licensed engineer decide."
)


def test_solve_prints_a_report_that_ends_with_the_caution(hw, shell, plant_file):
    done = shell("solve", plant_file)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Rinse loop\n")
    assert done.stdout.endswith("\n" + CAUTION + "\n")
    flow = hw.solve(hw.load(plant_file)).flow["HV-3"] * 3600
    line = next(line for line in done.stdout.splitlines() if line.split()[:1] == ["HV-3"])
    assert float(line.split()[1]) == pytest.approx(flow, abs=0.005)


def test_solve_names_its_case_and_settings(shell, plant_file):
    done = shell("solve", plant_file, "--case", "P-1 tripped", "--set", "HV-3.opening=0.25",
                 "--set", "NRV-1.condition=stuck open")  # fmt: skip
    assert done.returncode == 0
    assert done.stdout.splitlines()[:3] == [
        "case: P-1 tripped",
        "set: HV-3.opening = 0.25",
        "set: NRV-1.condition = stuck open",
    ]


@pytest.mark.parametrize("value", ["0.3", "30 %", "3e-1"])
def test_settings_are_numbers_or_texts(shell, plant_file, hw, value):
    done = shell("solve", plant_file, "--json", "--set", f"HV-3.opening={value}")
    flow = json.loads(done.stdout)["components"]["HV-3"]["flow"]
    assert flow == hw.solve(hw.load(plant_file), {"HV-3.opening": 0.3}).flow["HV-3"]


def test_settings_can_be_flags(shell, plant_file):
    done = shell("solve", plant_file, "--json", "--set", "P-1.running=false",
                 "--set", "mixer.draw=0")  # fmt: skip
    assert json.loads(done.stdout)["components"]["P-1"]["state"] == "stopped"


def test_json_holds_every_number_exactly(hw, shell, plant_file):
    done = shell("solve", plant_file, "--json", "--case", "throttled")
    report = json.loads(done.stdout)
    s = hw.solve(hw.load(plant_file), case="throttled")
    assert report["title"] == "Rinse loop" and report["case"] == "throttled"
    assert report["converged"] is True and report["caution"] == CAUTION
    assert report["units"]["flow"] == "m3/s" and report["units"]["pressure"] == "Pa gauge"
    assert list(report["points"]) == s.head.names
    assert list(report["components"]) == s.flow.names
    for name, point in report["points"].items():
        assert point == {"head": s.head[name], "pressure": s.pressure[name],
                         "outflow": s.outflow[name], "shut_in": s.shut_in[name]}  # fmt: skip
    for name, component in report["components"].items():
        velocity = None if math.isnan(s.velocity[name]) else s.velocity[name]
        reading = component.pop("reading")
        assert reading is None or all(reading)
        assert component == {"flow": s.flow[name], "velocity": velocity, "drop": s.drop[name],
                             "leak": s.leak[name], "state": s.state[name]}  # fmt: skip


def test_json_has_null_for_the_undetermined(shell, plant_file):
    done = shell("solve", plant_file, "--json", "--case", "P-1 tripped", "--set", "HV-3.opening=0")
    assert "NaN" not in done.stdout
    report = json.loads(done.stdout)
    mixer = report["points"]["mixer"]
    assert mixer["head"] is None and mixer["shut_in"] is True
    assert report["settings"] == {"HV-3.opening": 0}
    assert {"component": "mixer", "kind": "shut-in"}.items() <= next(
        a for a in report["advice"] if a["component"] == "mixer"
    ).items()


def test_a_table_can_be_printed_alone(shell, plant_file):
    done = shell("solve", plant_file, "--table", "pipes")
    lines = done.stdout.splitlines()
    assert done.returncode == 0 and len(lines) == 4
    assert lines[0].split()[0] == "name" and "flow [m3/s]" in lines[0]


def test_csv_reads_back_exactly(hw, shell, plant_file):
    done = shell("solve", plant_file, "--csv", "--table", "components")
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    s = hw.solve(hw.load(plant_file))
    assert [row["name"] for row in rows] == s.flow.names
    assert [float(row["flow [m3/s]"]) for row in rows] == s.flow.values.tolist()
    assert rows[-1]["velocity [m/s]"] == ""  # a pump has no bore
    assert shell("solve", plant_file, "--csv").stdout == done.stdout


def test_csv_quotes_names_with_commas(shell, tmp_path):
    path = tmp_path / "plant.toml"
    path.write_text(PLANT.replace('"mixer', '"mixer, \\"M-1\\"'), encoding="utf-8")
    done = shell("solve", path, "--csv", "--table", "junctions")
    assert done.returncode == 0, done.stderr
    names = [row["name"] for row in csv.DictReader(io.StringIO(done.stdout))]
    assert 'mixer, "M-1"' in names


def test_output_goes_to_a_file_whole(shell, plant_file, tmp_path):
    target = tmp_path / "out.json"
    target.write_text("old")
    done = shell("solve", plant_file, "--json", "-o", target)
    assert (done.returncode, done.stdout) == (0, "")
    assert json.loads(target.read_text())["converged"] is True
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out.json", "plant.toml"]


def test_output_follows_a_link_and_keeps_permissions(shell, plant_file, tmp_path):
    target, link = tmp_path / "real.txt", tmp_path / "link.txt"
    target.write_text("old")
    target.chmod(0o640)
    link.symlink_to(target)
    assert shell("solve", plant_file, "-o", link).returncode == 0
    assert link.is_symlink() and CAUTION in target.read_text()
    assert target.stat().st_mode & 0o777 == 0o640


def test_output_to_a_device_leaves_it_a_device(shell, plant_file):
    assert shell("solve", plant_file, "-o", "/dev/null").returncode == 0
    assert not os.path.isfile("/dev/null") and os.path.exists("/dev/null")


@pytest.mark.parametrize("target", ["no such folder/out.txt", "."])
def test_output_that_cannot_be_written_is_an_error(shell, plant_file, tmp_path, target):
    done = shell("solve", plant_file, "-o", tmp_path / target)
    assert done.returncode == 2
    assert done.stderr.startswith("handwheel: cannot write ")


@pytest.mark.parametrize("method", ["newton", "hardy_cross"])
def test_every_method_can_be_chosen(shell, plant_file, method):
    done = shell("solve", plant_file, "--json", "--method", method)
    assert done.returncode == 0
    assert json.loads(done.stdout)["summary"]["method"] == method


def test_exit_code_1_when_not_converged(shell, plant_file):
    done = shell("solve", plant_file, "--max-iterations", 1)
    assert done.returncode == 1
    assert done.stderr == "handwheel: not converged: these numbers are no solution\n"
    done = shell("solve", plant_file, "--max-iterations", 1, "--json")
    assert done.returncode == 1 and json.loads(done.stdout)["converged"] is False


@pytest.mark.parametrize(
    "arguments, says",
    [
        (["--set", "HV-33.opening=0.4"], "HV-3"),
        (["--set", "HV-3.opning=0.4"], "opening"),
        (["--set", "HV-3.opening"], "component.property=value"),
        (["--set", "HV-3.opening=4"], "opening"),
        (["--case", "P-1 triped"], "P-1 tripped"),
        (["--method", "newtn"], "newton"),
        (["--table", "pips"], "pipes"),
        (["--flow-tolerance", "0"], "flow_tolerance"),
        (["--json", "--table", "pipes"], "--json"),
        (["--nonsense"], "--nonsense"),
    ],
)
def test_exit_code_2_for_bad_input(shell, plant_file, arguments, says):
    done = shell("solve", plant_file, *arguments)
    assert done.returncode == 2
    assert done.stderr.startswith("handwheel: ") and says in done.stderr
    assert done.stdout == ""


@pytest.mark.parametrize("verb", ["solve", "check", "show"])
def test_a_bad_file_is_named_with_its_line(shell, tmp_path, verb):
    path = tmp_path / "bad.toml"
    path.write_text(PLANT.replace("opening = 0.6", "opning = 0.6"), encoding="utf-8")
    done = shell(verb, path)
    line = 1 + PLANT[: PLANT.index("opening = 0.6")].count("\n")
    assert done.returncode == 2
    assert done.stderr.startswith(f"handwheel: {path}:{line}:1: ")
    missing = shell(verb, tmp_path / "nowhere.toml")
    assert missing.returncode == 2 and "nowhere.toml" in missing.stderr


def test_check_counts_and_lists_cases(shell, plant_file):
    done = shell("check", plant_file)
    assert done.returncode == 0
    assert "2 vessels, 5 junctions, 3 pipes, 1 valve, 1 check valve, 1 pump" in done.stdout
    assert 'case "P-1 tripped"' in done.stdout


def test_check_finds_a_case_that_sets_what_is_not_there(shell, tmp_path):
    path = tmp_path / "bad.toml"
    path.write_text(PLANT.replace('"HV-3.opening" = "20 %"', '"HV-9.opening" = "20 %"'))
    done = shell("check", path)
    assert done.returncode == 2 and "HV-9" in done.stderr


def test_show_lists_parts_and_cases(shell, plant_file):
    done = shell("show", plant_file)
    assert done.returncode == 0
    for line in (
        "  HV-3: header -> branch, kind diaphragm weir, size DN80, opening 0.6",
        "  P-1: suction -> discharge, running, speed 1",
        "    HV-3.opening = 20 %",
    ):
        assert line in done.stdout.splitlines()


def test_version_help_and_units(hw, shell):
    done = shell("--version")
    assert (done.returncode, done.stdout) == (0, f"handwheel {hw.__version__}\n")
    done = shell("--help")
    assert done.returncode == 0
    for verb in ("solve", "check", "show", "units"):
        assert verb in done.stdout
    assert shell("solve", "--help").returncode == 0
    done = shell("units")
    assert done.returncode == 0 and "flow: m3/s" in done.stdout and "gpm" in done.stdout


@pytest.mark.parametrize("arguments", [[], ["sovle"], ["solve"], ["check"]])
def test_an_incomplete_command_is_refused(shell, arguments):
    done = shell(*arguments)
    assert done.returncode == 2 and done.stderr.startswith("handwheel: ")


def test_a_closed_pipe_is_no_crash(hw, shell, tmp_path):
    net = hw.Network()
    net.add_vessel("source", level=5.0)
    for i in range(3000):  # a report longer than a pipe holds
        net.add_junction(f"n{i}")
        net.add_pipe(f"p{i}", "source" if i == 0 else f"n{i - 1}", f"n{i}", length=1.0, bore=0.1)
    path = tmp_path / "long.toml"
    net.save(path)
    process = subprocess.Popen([shell.command, "solve", path], stdout=subprocess.PIPE,
                               stderr=subprocess.PIPE)  # fmt: skip
    process.stdout.read(10)
    process.stdout.close()
    assert process.wait(timeout=120) == 0
    assert process.stderr.read() == b""
    process.stderr.close()


def wait_until_it_catches_ctrl_c(process):
    """The solve has begun once SIGINT is among the signals that the process handles."""
    mask = 1 << (signal.SIGINT - 1)
    for _ in range(600):
        status = pathlib.Path(f"/proc/{process.pid}/status").read_text()
        caught = next(line for line in status.splitlines() if line.startswith("SigCgt:"))
        if int(caught.split()[1], 16) & mask:
            return
        time.sleep(0.1)
    raise AssertionError("the solve never began")


def test_ctrl_c_stops_cleanly(shell, slow_grid, tmp_path):
    path = tmp_path / "grid.toml"
    slow_grid.save(path)
    out = tmp_path / "out.txt"
    process = subprocess.Popen(
        [shell.command, "solve", path, "--method", "hardy_cross", "--max-iterations", "1000000",
         "--flow-tolerance", "1e-16", "--head-tolerance", "1e-16", "-o", out],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)  # fmt: skip
    wait_until_it_catches_ctrl_c(process)
    process.send_signal(signal.SIGINT)
    stdout, stderr = process.communicate(timeout=60)
    assert (process.returncode, stdout, stderr) == (130, "", "handwheel: interrupted\n")
    assert not out.exists()
