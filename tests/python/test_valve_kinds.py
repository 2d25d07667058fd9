"""The kinds of valve: their data in Python, in the shell and on the pages are those the solver uses."""

import importlib.util
import math
import pathlib
import re

import numpy as np
import pytest

SOURCE = pathlib.Path(__file__).resolve().parents[2]
FOLDER = SOURCE / "examples" / "valve_kinds"
TRUST_WORDS = {"seen", "from memory", "common practice", "derived"}
M3_PER_H = 1 / 3600


@pytest.fixture(scope="module")
def study():
    spec = importlib.util.spec_from_file_location("valve_kinds", SOURCE / "examples" / "valve_kinds.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def pages(study):
    return study.text_pages()


@pytest.fixture(scope="module")
def valves(hw):
    return [hw.valve_kind(name) for name in hw.valve_kinds()]


@pytest.fixture(scope="module")
def check_valves(hw):
    return [hw.check_valve_kind(name) for name in hw.check_valve_kinds()]


def cited_data(hw, kind):
    """{property: datum} of everything that has a source."""
    data = {n: getattr(kind, n) for n in dir(kind) if not n.startswith("_")}
    cited = (hw.Cited, hw.CitedFitness, hw.CitedCurve)
    return {name: datum for name, datum in data.items() if isinstance(datum, cited)}


def between_tanks(hw, level="2 m"):
    net = hw.Network()
    net.fluid.name = "water"
    net.fluid.temperature = "20 degC"
    net.add_vessel("high", level=level)
    net.add_vessel("low", level=0)
    return net


# --- Data ----------------------------------------------------------------------------------------


def test_there_are_the_kinds_a_network_can_have(hw):
    assert len(hw.valve_kinds()) == 13 and len(hw.check_valve_kinds()) == 5
    for name in hw.valve_kinds():
        assert hw.valve_kind(name).name == name
        between_tanks(hw).add_valve("HV-1", "high", "low", kind=name, size="DN80")
    for name in hw.check_valve_kinds():
        assert hw.check_valve_kind(name).name == name
        between_tanks(hw).add_check_valve("NRV-1", "high", "low", kind=name, size="DN80")


def test_every_datum_has_a_value_a_source_and_a_trust_word(hw, valves, check_valves):
    for kind in valves:
        assert len(cited_data(hw, kind)) == 13, kind
    for kind in check_valves:
        assert len(cited_data(hw, kind)) == 11, kind
    for kind in [*valves, *check_valves]:
        assert kind.what_it_is.endswith(".") and kind.when_not_to_use.endswith(".")
        for name, datum in cited_data(hw, kind).items():
            assert datum.source and datum.trust in TRUST_WORDS, (kind, name)
            assert np.all(np.isfinite(np.asarray(datum.value, dtype=float))), (kind, name)
    for name in hw.leakage_rates():
        rate = hw.leakage_rate(name)
        assert rate.name == name and rate.what and rate.source and rate.trust in TRUST_WORDS


def test_data_cannot_be_changed(hw):
    kind = hw.valve_kind("gate")
    with pytest.raises(AttributeError):
        kind.turndown = 5
    with pytest.raises(AttributeError):
        kind.turndown.value = 5
    kind.characteristic.value[:] = 7  # a copy
    assert hw.valve_kind("gate").characteristic.value[-1].tolist() == [1, 1]


def test_what_is_known_of_a_kind_cannot_be_made_up(hw):
    for cls in (hw.ValveKind, hw.CheckValveKind, hw.Cited, hw.CitedFitness, hw.CitedCurve, hw.LeakageRate):
        with pytest.raises(TypeError, match="No constructor"):
            cls()


@pytest.mark.parametrize("function, wrong, right", [
    ("valve_kind", "diafragm weir", "diaphragm weir"),
    ("check_valve_kind", "swign", "swing"),
    ("leakage_rate", "ISO 5208 d", "ISO 5208 D"),
])
def test_unknown_names_are_value_errors_that_suggest(hw, function, wrong, right):
    with pytest.raises(ValueError, match=f'"{wrong}" is unknown; did you mean "{right}"'):
        getattr(hw, function)(wrong)


def test_numbers_out_of_range_are_value_errors(hw):
    valve, check_valve = hw.valve_kind("globe"), hw.check_valve_kind("swing")
    for call, message in [
        (lambda: valve.relative_coefficient(1.2), "expected 0 .shut. to 1"),
        (lambda: valve.relative_coefficient([0.5, math.nan]), "expected 0 .shut. to 1"),
        (lambda: valve.pressure_recovery(-0.1), "expected 0 .shut. to 1"),
        (lambda: valve.kv(0), "above 0"),
        (lambda: valve.turns("80 kg"), "80 kg"),
        (lambda: check_valve.full_open_k(-1), "above 0"),
        (lambda: check_valve.minimum_velocity(0), "above 0"),
        (lambda: check_valve.cracking_pressure("sideways"), "orientation"),
        (lambda: check_valve.cracking_pressure(assist="magnet"), "assist"),
        (lambda: check_valve.slam_reverse_velocity(-1), "0 or more"),
    ]:
        with pytest.raises(ValueError, match=message):
            call()


# --- The solver uses the same --------------------------------------------------------------------


def test_a_valve_half_open_has_the_kv_of_its_kinds_curve(hw, valves):
    for kind in valves:
        net = between_tanks(hw)
        net.add_valve("HV-1", "high", "low", kind=kind.name, bore="80 mm", opening=0.5)
        reading = hw.solve(net).table("valves").loc["HV-1"]
        expected = kind.kv("80 mm") * kind.relative_coefficient(0.5)
        assert reading["Kv [m3/h]"] == pytest.approx(expected / M3_PER_H, rel=1e-12), kind
        assert reading["FL [-]"] == pytest.approx(kind.pressure_recovery(0.5), rel=1e-12), kind


def test_the_curve_goes_through_its_points_and_rises(valves):
    for kind in valves:
        opening, relative = kind.characteristic.value.T
        assert kind.relative_coefficient(opening) == pytest.approx(relative, abs=1e-12)
        assert isinstance(kind.relative_coefficient(0.5), float)
        steps = np.diff(kind.relative_coefficient(np.linspace(0, 1, 501)))
        assert np.all(steps >= -1e-15)  # round-off where a curve is level


def test_handwheels_turn_as_a_network_says(hw, valves):
    for kind in valves:
        net = between_tanks(hw)
        net.add_valve("HV-1", "high", "low", kind=kind.name, size="DN50", opening=1.0)
        reading = hw.solve(net).table("valves").loc["HV-1"]
        assert reading["turns open [-]"] == pytest.approx(kind.turns("50 mm"), rel=1e-9), kind
        assert reading["stem travel [m]"] == pytest.approx(kind.stem_travel("50 mm"), abs=1e-12), kind


def test_a_check_valve_cracks_and_opens_as_its_kind_says(hw, check_valves):
    density = hw.water("20 degC").density
    for kind in check_valves:
        for orientation in ("horizontal", "vertical up", "vertical down"):
            for assist in ("none", "spring", "weight"):
                net = between_tanks(hw, level="10 m")
                net.add_check_valve("NRV-1", "high", "low", kind=kind.name, bore="80 mm",
                                    orientation=orientation, assist=assist)
                reading = hw.solve(net).table("check valves").loc["NRV-1"]
                assert reading["cracking pressure [Pa]"] == kind.cracking_pressure(orientation, assist)
        net["NRV-1"].assist = "none"
        fast = hw.solve(net)
        drop = fast.drop["NRV-1"] * 9.80665 * density
        k = drop / (0.5 * density * fast.velocity["NRV-1"] ** 2)
        assert k == pytest.approx(kind.full_open_k("80 mm"), rel=1e-5), kind  # and a term 1/Re
        least = fast.table("check valves").loc["NRV-1", "minimum velocity [m/s]"]
        assert least >= kind.minimum_velocity(density) * (1 - 1e-12), kind


def test_the_flow_in_a_line_follows_the_formula_of_the_study(study, valves):
    openings = np.linspace(0.1, 1, 10)
    for kind in valves:
        c = kind.relative_coefficient(openings)
        formula = 1 / np.sqrt(1 - study.SHARE + study.SHARE / c**2)
        # Viscosity takes a little where the valve is nearly shut.
        assert study.flows_in_line(kind.name, openings) == pytest.approx(formula, rel=5e-3), kind


# --- Pages ---------------------------------------------------------------------------------------


def test_pages_on_disk_are_what_the_study_writes_now(pages):
    texts = {path.name: path.read_text(encoding="utf-8") for path in FOLDER.glob("*.md")}
    assert sorted(texts) == sorted(pages)
    for name, text in pages.items():
        assert texts[name] == text, f"{name}: write it anew with examples/valve_kinds.py --write"


def test_every_kind_has_a_page_in_the_list_with_its_picture(study, pages, valves, check_valves):
    for kind in [*valves, *check_valves]:
        name = study.file_name(kind)
        assert f"({name}.md)" in pages["README.md"]
        assert f"]({name}.svg)" in pages[f"{name}.md"]
        assert "<svg" in (FOLDER / f"{name}.svg").read_text(encoding="utf-8")
    assert len(list(FOLDER.glob("*.svg"))) == len(valves) + len(check_valves)


def test_every_page_has_its_texts_its_sources_and_the_caution(hw, study, pages, valves, check_valves):
    for kind in [*valves, *check_valves]:
        page = pages[f"{study.file_name(kind)}.md"]
        assert study.typeset(kind.what_it_is) in page and study.typeset(kind.when_not_to_use) in page
        for name, datum in cited_data(hw, kind).items():
            assert f"| {datum.trust} | {study.typeset(datum.source)} |" in page, (kind, name)
        assert "A check valve is never isolation" in page


def test_links_of_the_pages_lead_somewhere(pages):
    for name, text in pages.items():
        for target in re.findall(r"\]\(([^)#]+)\)", text):
            assert (FOLDER / target).exists(), f"{name}: {target}"


def test_tables_of_the_pages_are_whole(pages):
    for name, text in pages.items():
        for block in re.findall(r"(?:^\|.*\n)+", text, re.MULTILINE):
            assert len({line.count("|") for line in block.splitlines()}) == 1, f"{name}: {block}"


def test_pictures_are_the_same_when_drawn_twice(study, tmp_path):
    matplotlib = pytest.importorskip("matplotlib")
    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    import handwheel as hw

    plt.rcParams.update(study.STYLE)
    for turn in ("one.svg", "two.svg"):
        study.draw_valve(plt, hw.valve_kind("globe"), tmp_path / turn)
    assert (tmp_path / "one.svg").read_bytes() == (tmp_path / "two.svg").read_bytes()


# --- The shell -----------------------------------------------------------------------------------


def test_shell_lists_the_kinds(hw, shell):
    done = shell("kinds")
    assert (done.returncode, done.stderr) == (0, "")
    valves, _, check_valves = done.stdout.partition("\ncheck valves\n")
    for text, names in ((valves, hw.valve_kinds()), (check_valves, hw.check_valve_kinds())):
        for name in names:
            assert re.search(rf"^  {name}  ", text, re.MULTILINE), name


@pytest.mark.parametrize("words", [["diaphragm weir"], ["diaphragm", "weir"]])
def test_shell_shows_what_is_known_of_a_kind(hw, shell, words):
    done = shell("kinds", *words)
    assert (done.returncode, done.stderr) == (0, "")
    kind = hw.valve_kind("diaphragm weir")
    flat = " ".join(done.stdout.split())
    assert kind.what_it_is in flat and kind.when_not_to_use in flat
    for name, datum in cited_data(hw, kind).items():
        assert f"{datum.trust}{':' if name == 'characteristic' else ''} {datum.source}" in flat, name
    shown = re.findall(r"^ +(\d+) % +(\d+) % +(\d+) %", done.stdout, re.MULTILINE)
    assert [int(row[0]) for row in shown] == list(range(0, 101, 10))
    for opening, coefficient, _ in shown:
        expected = 100 * kind.relative_coefficient(int(opening) / 100)
        assert int(coefficient) == pytest.approx(expected, abs=0.5001)
    kv = float(re.search(r"^  DN80 +(\S+)", done.stdout, re.MULTILINE)[1])
    assert kv == pytest.approx(kind.kv("80 mm") / M3_PER_H, rel=5e-3)  # three digits
    assert max(map(len, done.stdout.splitlines())) <= 96


def test_shell_shows_a_check_valve_and_both_where_a_name_is_of_both(hw, shell):
    swing = shell("kinds", "swing").stdout
    assert swing.startswith("swing: a kind of check valve\n")
    assert re.search(r"^  vertical down +0 +", swing, re.MULTILINE)
    assert "A check valve is never isolation" in swing
    ball = shell("kinds", "ball").stdout
    assert "ball: a kind of valve\n" in ball and "\nball: a kind of check valve\n" in ball


def test_shell_suggests_for_a_misspelt_kind(shell):
    done = shell("kinds", "diafragm weir")
    assert done.returncode == 2 and done.stdout == ""
    assert done.stderr == ('handwheel: kind "diafragm weir" is unknown; did you mean '
                           '"diaphragm weir"?\n')
