"""isolate and verify_isolation as Python and the shell have them."""

import json
import math
import pathlib
import re
import subprocess
import sys

import pytest

from conftest import BUILD

SOURCE = pathlib.Path(__file__).resolve().parents[2]
PLANTS = sorted((SOURCE / "networks").glob("*.toml"))

# A valve on each side of the pump; the mixer draws beyond HV-2.
ISOLABLE = """
[[vessel]]
name = "sump"
level = "2 m"
[[vessel]]
name = "high tank"
elevation = "12 m"
level = "1 m"
[[junction]]
name = "P-1 in"
[[junction]]
name = "P-1 out"
[[junction]]
name = "NRV-1 out"
elevation = "1 m"
[[junction]]
name = "mixer"
elevation = "3 m"
draw = "2 m3/h"
[[pipe]]
name = "L-1"
from = "mixer"
to = "high tank"
length = "60 m"
bore = "52.5 mm"
[[valve]]
name = "HV-1"
from = "sump"
to = "P-1 in"
kind = "gate"
size = "DN80"
[[valve]]
name = "HV-2"
from = "NRV-1 out"
to = "mixer"
kind = "diaphragm weir"
size = "DN50"
[[check_valve]]
name = "NRV-1"
from = "P-1 out"
to = "NRV-1 out"
kind = "swing"
size = "DN50"
[[pump]]
name = "P-1"
from = "P-1 in"
to = "P-1 out"
curve = [["0 m3/h", "32 m"], ["20 m3/h", "28 m"], ["40 m3/h", "18 m"]]
[[case]]
name = "HV-2 cut"
set = { "HV-2.condition" = "diaphragm cut" }
"""


@pytest.fixture
def plant(hw):
    return hw.loads(ISOLABLE)


@pytest.fixture
def isolable_file(tmp_path):
    path = tmp_path / "isolable.toml"
    path.write_text(ISOLABLE, encoding="utf-8")
    return path


def test_a_pump_takes_the_hand_valves_around_it(hw, plant):
    answer = hw.isolate(plant, "P-1")
    assert answer.possible and answer.all_sets_listed and answer.with_blanks is None
    assert [s.valves for s in answer.sets] == [["HV-1", "HV-2"]]
    suction, discharge = answer.sets[0].boundary
    assert suction.single and discharge.single
    assert discharge.pressure == hw.solve(plant).pressure["mixer"]
    assert [source.name for source in discharge.sources] == ["high tank"]
    assert discharge.sources[0].head == 13.0
    assert {part.component: part.kind for part in answer.not_counted} == {"NRV-1": "check valve"}
    assert answer.sets[0].zone.pumps == ["P-1"]
    assert [p.points for p in answer.sets[0].zone.pockets] == [["P-1 in", "P-1 out"], ["NRV-1 out"]]


def test_printing_starts_with_the_verdict_and_ends_with_the_cautions(hw, plant):
    for answer in (hw.isolate(plant, "P-1"), hw.verify_isolation(plant, "P-1", ["HV-1", "HV-2"])):
        text = str(answer)
        assert re.sub(r"\s+", " ", text).startswith(answer.verdict)
        assert "A check valve is never isolation" in text and "licensed engineer" in text
        assert "nan" not in text and max(map(len, text.splitlines())) <= 100
        assert answer.verdict in repr(answer)


def test_a_case_and_settings_are_applied_first(hw, plant):
    answer = hw.isolate(plant, "P-1", case="HV-2 cut")
    assert str(answer).startswith("case: HV-2 cut\n") and answer.case == "HV-2 cut"
    assert not answer.possible
    assert any("Fitting a blank opens the line" in caution for caution in answer.cautions)
    assert answer.with_blanks.blanks == ["NRV-1"] and answer.with_blanks.valves == ["HV-1"]
    assert not hw.isolate(plant, "P-1", {"HV-2.condition": "passing"}).possible
    assert not hw.isolate(plant, "P-1", exclude="HV-2").possible
    assert plant["HV-2"].condition == "sound"


def test_an_area_may_be_a_list_of_components_and_points(hw, plant):
    assert hw.isolate(plant, ["P-1 in", "NRV-1 out"]).sets[0].valves == ["HV-1", "HV-2"]
    assert hw.isolate(plant, ("HV-2",)).possible is False


def test_a_vessel_is_drained_and_cut_off(hw, plant):
    answer = hw.isolate(plant, "high tank")
    assert answer.possible and answer.sets[0].zone.vessels == ["high tank"]
    assert any("confined space" in caution for caution in answer.cautions)


def test_the_table_has_a_row_per_set_and_valve(hw, plant):
    table = hw.isolate(plant, "P-1").table()
    assert list(table["valve"]) == ["HV-1", "HV-2"] and list(table["set"]) == [1, 1]
    assert list(table["highest head [m]"]) == [2.0, 13.0]
    blanked = hw.isolate(plant, "P-1", case="HV-2 cut").table()
    assert 0 in set(blanked["set"])


def test_verify_says_yes_and_computes_what_passes(hw, plant):
    # Without a draw nothing flows in L-1, and the tank's whole head stands at HV-2.
    check = hw.verify_isolation(plant, "P-1", ["HV-1", "HV-2"], {"mixer.draw": 0})
    assert check.isolates and check.verdict.startswith("Yes")
    assert [leak.passing for leak in check.leaks] == [[], ["HV-1"], ["HV-2"], ["HV-1", "HV-2"]]
    none, suction, discharge, both = check.leaks
    assert all(leak.solved for leak in check.leaks)
    assert none.flow == 0 and math.isnan(none.pressure)
    assert 0 < suction.flow and 0 < discharge.flow
    assert max(suction.flow, discharge.flow) < both.flow
    rho_g = hw.solve(plant).liquid.density * 9.80665
    assert suction.pressure == pytest.approx(2.0 * rho_g, rel=1e-6)
    assert discharge.pressure == pytest.approx(13.0 * rho_g, rel=1e-6)
    table = check.table()
    assert list(table["flow [m3/s]"]) == [leak.flow for leak in check.leaks]


def test_verify_says_no_and_why(hw, plant):
    check = hw.verify_isolation(plant, "P-1", "HV-1")
    assert not check.isolates and check.verdict.startswith("No")
    (path,) = check.open_paths
    assert (path.source, path.kind) == ("high tank", "vessel")
    assert path.through == ["L-1", "HV-2", "NRV-1"]
    check = hw.verify_isolation(plant, "P-1", ["HV-1", "NRV-1"])
    assert not check.isolates and check.leaks[0].flow > 0
    assert "NRV-1" in [part.component for part in check.not_counted]


@pytest.mark.parametrize("path", PLANTS, ids=lambda path: path.stem)
def test_every_shipped_part_has_an_answer_that_verifies(hw, path):
    net = hw.load(path)
    for name in [*hw.solve(net).flow.names, *hw.solve(net).head.names]:
        answer = hw.isolate(net, name)
        assert answer.verdict and answer.sets
        for found in answer.sets:
            check = hw.verify_isolation(net, name, found.valves)
            assert check.isolates == answer.possible, name
            assert all(leak.solved for leak in check.leaks), (name, [x.message for x in check.leaks])
            assert not check.isolates or check.leaks[0].flow < 1e-9
        assert "nan" not in str(answer)


def test_errors_are_value_errors_with_a_suggestion(hw, plant):
    with pytest.raises(hw.NetworkError, match='did you mean "P-1"'):
        hw.isolate(plant, "P-l")
    with pytest.raises(hw.NetworkError, match='did you mean "HV-2"'):
        hw.verify_isolation(plant, "P-1", ["HV-1", "HV2"])
    with pytest.raises(hw.NetworkError, match="target is empty"):
        hw.isolate(plant, [])
    with pytest.raises(hw.NetworkError, match="is a point"):
        hw.verify_isolation(plant, "P-1", ["mixer"])
    with pytest.raises(hw.NetworkError, match="HV-2 cut"):
        hw.isolate(plant, "P-1", case="HV-2 cutt")
    with pytest.raises(hw.SettingError, match="max_sets is 0"):
        hw.isolate(plant, "P-1", max_sets=0)
    with pytest.raises(hw.NetworkError, match="no valve"):
        hw.isolate(plant, "P-1", exclude=["NRV-1"])
    for bad in (None, 3, [1]):
        with pytest.raises(ValueError, match="target"):
            hw.isolate(plant, bad)
    assert hw.verify_isolation(plant, "P-1", []).isolates is False


# --- The shell -----------------------------------------------------------------------------------


def test_the_shell_prints_what_python_does(hw, shell, isolable_file):
    done = shell("isolate", isolable_file, "P-1")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == str(hw.isolate(hw.load(isolable_file), "P-1"))
    done = shell("isolate", isolable_file, "P-1", "--case", "HV-2 cut")
    assert done.stdout.startswith("case: HV-2 cut\nNo valves isolate P-1")


def test_verify_fails_where_the_list_does_not_isolate(hw, shell, isolable_file):
    done = shell("verify", isolable_file, "P-1", "--shut", "HV-1,HV-2")
    assert done.returncode == 0 and done.stdout.startswith("Yes")
    assert done.stdout == str(hw.verify_isolation(hw.load(isolable_file), "P-1", ["HV-1", "HV-2"]))
    done = shell("verify", isolable_file, "P-1", "--shut", "HV-1", "--shut", "NRV-1")
    assert done.returncode == 1 and done.stdout.startswith("No")


def test_json_holds_the_answer(shell, isolable_file):
    answer = json.loads(shell("isolate", isolable_file, "P-1", "--json").stdout)
    assert [s["valves"] for s in answer["sets"]] == [["HV-1", "HV-2"]]
    assert answer["possible"] is True and answer["with_blanks"] is None
    done = shell("verify", isolable_file, "P-1", "--shut", "HV-1,HV-2", "--json",
                 "--set", "HV-1.leak_kv=1e-4")  # fmt: skip
    check = json.loads(done.stdout)
    assert check["isolates"] is True and check["leaks"][0]["pressure"] is None
    assert len(check["leaks"]) == 4


@pytest.mark.parametrize(
    "arguments, says",
    [
        (["isolate", "P-l"], "P-1"),
        (["isolate", "P-1", "--exclude", "NRV-1"], "no valve"),
        (["isolate", "P-1", "--max-sets", "0"], "--max-sets"),
        (["verify", "P-1", "--shut", "HV-9"], "HV-9"),
        (["verify", "P-1"], "--shut"),
        (["isolate"], "TARGET"),
    ],
)
def test_exit_code_2_for_bad_input(shell, isolable_file, arguments, says):
    verb, *rest = arguments
    done = shell(verb, isolable_file, *rest)
    assert done.returncode == 2 and says in done.stderr and done.stdout == ""


def test_the_example_answers_its_question():
    done = subprocess.run([sys.executable, str(SOURCE / "examples" / "isolate_a_pump.py")],
                          capture_output=True, text=True, timeout=120,
                          env={"PYTHONPATH": str(BUILD / "python")})  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "To work on P-1, shut HV-1 and HV-2" in re.sub(r"\s+", " ", done.stdout)
    assert "HV-1, HV-2: yes" in done.stdout and "HV-1, NRV-1: NO" in done.stdout
    assert "never isolation" in done.stdout and "licensed engineer" in done.stdout
