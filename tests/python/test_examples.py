"""Every example runs, and prints an answer that holds."""

import os
import pathlib
import re
import subprocess
import sys

import pytest

SOURCE = pathlib.Path(__file__).resolve().parents[2]
BUILD = pathlib.Path(os.environ.get("HANDWHEEL_BUILD", SOURCE / "build")).resolve()


def run(*command):
    environment = {**os.environ, "PYTHONPATH": str(BUILD / "python"), "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run([str(part) for part in command], capture_output=True, text=True, cwd=SOURCE,
                          env=environment, timeout=300)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def study(name, *arguments):
    return run(sys.executable, SOURCE / "examples" / name, *arguments)


def test_every_python_example_opens_with_its_question():
    for path in (SOURCE / "examples").glob("*.py"):
        assert re.match(r'""".*?\?', path.read_text(encoding="utf-8"), re.DOTALL), path.name


def test_the_gauges_are_explained_by_hv4():
    output = study("what_explains_the_gauges.py")
    alone = dict(re.findall(r"^  .{22} +(\d+) +\d+ +(\S+\.\S+) = ", output, re.MULTILINE)[i][::-1]
                 for i in range(5))
    assert min(alone, key=lambda number: float(alone[number])).startswith("HV-4.")
    assert "HV-4 has lost" in output and "Suspicious: HV-2 out.pressure" in output
    squares, expected = re.search(r"^Without HV-2 out.pressure: chi-square ([\d.]+), (\d+) expected",
                                  output, re.MULTILINE).groups()  # fmt: skip
    assert float(squares) < 2 * float(expected)


def test_throttling_takes_from_the_neutraliser_and_gives_to_the_scrubber():
    rows = re.findall(r"^ +(\d+) +([-\d.]+) +([-\d.]+) +([-\d.]+) +[\d.]+$",
                      study("how_does_flow_follow.py"), re.MULTILINE)
    opening, pump, neutraliser, scrubber = zip(*[[float(cell) for cell in row] for row in rows])
    assert opening[0] == 0 and opening[-1] == 100
    assert list(neutraliser) == sorted(neutraliser) and neutraliser[0] == 0
    assert list(scrubber) == sorted(scrubber, reverse=True)
    for total, one, other in zip(pump, neutraliser, scrubber):
        assert total == pytest.approx(one + other, abs=0.011)  # printed to 0.01


def test_the_picture_is_drawn_when_asked_for(tmp_path):
    pytest.importorskip("matplotlib")
    study("how_does_flow_follow.py", "--picture", tmp_path / "flows.svg")
    assert "<svg" in (tmp_path / "flows.svg").read_text(encoding="utf-8")


def test_the_flow_follows_the_wheel_only_in_the_lower_half():
    output = study("how_does_flow_follow.py")
    assert 0 < float(re.search(r"authority ([\d.]+),", output)[1]) < 0.5
    low, high = re.search(r"controls best from (\d+)% to (\d+)% open", output).groups()
    assert int(low) < int(high) <= 60


def test_liquid_runs_backwards_into_the_day_tank_only_if_the_check_valve_does_not_hold():
    output = study("can_it_run_back.py")
    assert "If NRV-1 passes, also" in " ".join(output.split())
    rows = re.findall(r"^  (NRV-1 stuck open|NRV-1 passing)? +([\d.]+)  from (.+?) to (.+?)(?: through P-1)?  ",
                      output, re.MULTILINE)
    into, state = {}, ""
    for failure, flow, _, sink in rows:
        state = failure or state  # a state's further rows do not name it again
        into.setdefault(sink, {})[state] = float(flow)
    assert 0 < into["day tank"]["NRV-1 passing"] < into["day tank"]["NRV-1 stuck open"]
    assert re.search(r"^  as they are +[\d.]+  from scrubber head tank to neutraliser ", output, re.MULTILINE)
    assert "because NRV-1 holds" in output and "never isolation" in output
    left = {name: float(flow) for name, flow in re.findall(r"^  (HV-\d) +([\d.]+)$", output, re.MULTILINE)}
    assert left["HV-4"] < left["HV-1"]
    assert "round through P-21A" in study("can_it_run_back.py", "networks/cooling_loop.toml", "P-21B")


def test_an_opening_is_found_that_does_not_starve_the_scrubber():
    output = study("which_opening.py")
    assert "Reached with HV-3.opening" in output and "L-5.flow" in output
    assert "HV-3 is fully open" in output and "short of 20 m3/h" in output
    assert "comes first, would fall below 6.5 m3/h" in output
    assert "HV-3 would cavitate" in output
    assert "NRV-1 would no longer stand fully open" in output
    assert re.search(r"and HV-4.opening [\d.]+ ", output)


def test_a_cut_diaphragm_leaks_and_a_blocked_valve_starves_its_branch():
    rows = re.findall(r"^  (\w.*?) {2,}(-?[\d.]+) +(-?[\d.]+) +(\d+) +(-?[\d.]+)$",
                      study("cut_diaphragm.py"), re.MULTILINE)
    table = {state: [float(cell) for cell in cells] for state, *cells in rows}
    neutraliser, scrubber, leak, pressure = 0, 1, 2, 3
    sound, blocked = table["sound"], table["half blocked"]
    assert blocked[neutraliser] < sound[neutraliser] and blocked[scrubber] > sound[scrubber]
    assert blocked[pressure] > sound[pressure]
    assert sound[leak] == 0 == table["sound, shut"][leak] == table["sound, shut"][neutraliser]
    assert 0 < table["cut"][leak] < table["cut, and torn at the stem"][leak]
    assert table["cut, shut"][neutraliser] > 0
    isolated = table["HV-2 and HV-4 shut too"]
    assert isolated[scrubber] == 0 and isolated[leak] > 0 > isolated[neutraliser]


def test_advice_is_printed_with_what_to_check_next():
    output = study("read_the_advice.py")
    assert "WARNING: backflow (NRV-21B)" in output
    assert output.count("\n  check ") == output.count("\n\nWARNING") + output.count("\n\nNOTE")
    lifting = study("read_the_advice.py", "networks/acid_dosing.toml", "HV-33 shut")
    assert "PSV-31 lifts" in lifting and "licensed" in lifting


def test_a_quicker_check_valve_catches_less_after_the_trip():
    output = study("after_the_trip.py")
    assert output.index("NRV-1 shuts at") < output.index("What happens")  # the verdict first
    assert "P-1 trips" in output and "licensed engineer" in output
    rows = re.findall(r"^  (as it stands|check valves|and follow|as it stands, 0.02).*? {2,}([\d.]+) +(-?[\d.]+) +([\d.]+)$",
                      output, re.MULTILINE)
    stands, springs, follows, _ = [[float(cell) for cell in row[1:]] for row in rows]
    assert follows[0] == 0 and follows[0] <= springs[0] < stands[0]


def test_a_hundred_thousand_states_run_back_only_past_two_stuck_check_valves(tmp_path):
    pytest.importorskip("matplotlib")
    output = study("a_hundred_thousand_states.py", "--steps", "2", "--picture", tmp_path / "states.svg")
    text = " ".join(output.split())
    rows = re.findall(r"^(none|NRV.*?) +(\d+) +(\d+) +([\d.]+) +([\d.]+)$", output, re.MULTILINE)
    back = {stuck: int(number) for stuck, _, number, _, _ in rows}
    assert len(rows) == 7 and sum(int(states) for _, states, *_ in rows) == 7 * 5**2 * 2**3
    for stuck, number in back.items():  # liquid must get past NRV-1, and past one of the others
        assert (number > 0) == (stuck in ("NRV-1 and NRV-3", "NRV-1 and NRV-4")), stuck
    worst = max(float(row[4]) for row in rows)
    assert "0 of 800 states run back" in text
    assert float(re.search(r"The worst is ([\d.]+) m3/h", text)[1]) == pytest.approx(worst, abs=0.06)  # rounded
    assert "never isolation" in text and "<svg" in (tmp_path / "states.svg").read_text(encoding="utf-8")


def test_loop_corrections_end_where_newton_does():
    output = study("by_hand.py")
    assert output.count("converged") == 2
    assert float(re.search(r"differ by at most (\S+) m3/h", output)[1]) < 1e-4


def test_a_project_that_embeds_the_installed_library_builds_and_answers(tmp_path):
    run("cmake", "--install", BUILD, "--prefix", tmp_path / "prefix")
    run("cmake", "-G", "Ninja", "-S", SOURCE / "examples" / "embed", "-B", tmp_path / "build",
        f"-DCMAKE_PREFIX_PATH={tmp_path / 'prefix'}")
    run("cmake", "--build", tmp_path / "build")
    output = run(tmp_path / "build" / "throttle", "networks/caustic_transfer.toml")
    flows = [float(row) for row in re.findall(r"^ +\d+% +\S+ +(\S+)", output, re.MULTILINE)]
    assert len(flows) == 5 and flows == sorted(flows, reverse=True) and flows[-1] == 0


def test_slopes_foretell_what_small_changes_do_to_the_scrubber():
    output = study("what_moves_the_scrubber.py")
    rows = re.findall(r"^  (\S.*?\.[a-z]+) .*?([+-]\d+) +([+-]\d+)$", output, re.MULTILINE)
    assert len(rows) == 10
    foretold = [abs(float(row[1])) for row in rows]
    assert foretold == sorted(foretold, reverse=True)
    for target, slope, solved in rows:  # curvature over these steps takes up to a quarter
        assert float(slope) == pytest.approx(float(solved), rel=0.25, abs=7), target


def test_a_diagram_shows_where_the_caustic_runs_back(tmp_path):
    output = study("draw_a_plant.py", tmp_path / "plant.svg")
    assert re.search(r"^warning: .*backwards through NRV-1", output, re.MULTILINE)
    assert "m3/h back" in (tmp_path / "plant.svg").read_text(encoding="utf-8")
