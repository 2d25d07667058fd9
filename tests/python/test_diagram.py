"""Piping diagrams: what they say, that it can be read, and that nobody's names break them."""

import pathlib
import re
import threading
import xml.etree.ElementTree as ET

import pytest

from conftest import PLANT, SOURCE

NETWORKS = sorted((SOURCE / "networks").glob("*.toml"))
SVG = "{http://www.w3.org/2000/svg}"


def parts_of(svg):
    """{name: the group that draws it}."""
    root = ET.fromstring(svg)
    assert root.tag == SVG + "svg"
    return {g.get("data-part"): g for g in root.iter(SVG + "g") if g.get("data-part")}


def texts_of(element):
    return [text.text for text in element.iter(SVG + "text")]


def cases(hw):
    for path in NETWORKS:
        net = hw.load(path)
        for case in ["", *net.cases]:
            yield path, net, case


def shown(value, unit):
    """As a diagram shows it: three digits and the unit."""
    return f"{value:.3g} {unit}" if abs(value) < 1000 else f"{value:.0f} {unit}"


@pytest.mark.parametrize("path", NETWORKS, ids=lambda path: path.stem)
def test_every_part_of_the_shipped_plants_is_there_once(hw, path):
    net = hw.load(path)
    for svg in (net.diagram(), hw.solve(net).diagram()):
        root = ET.fromstring(svg)
        names = [g.get("data-part") for g in root.iter(SVG + "g") if g.get("data-part")]
        assert sorted(names) == sorted(net.point_names + net.component_names)
        for name, part in parts_of(svg).items():
            assert name in " ".join(texts_of(part))  # short enough to be written whole
            assert name in part.find(SVG + "title").text


def test_values_are_those_of_the_solution_in_every_case(hw):
    numbers = 0
    for path, net, case in cases(hw):
        s = hw.solve(net, case=case)
        parts = parts_of(s.diagram())
        for name in net.point_names:
            lines = texts_of(parts[name])
            pressure = s.pressure[name]
            if name in [vessel.name for vessel in net.vessels]:
                assert shown(s.network[name].level, "m") in " ".join(lines)
            elif pressure != pressure:
                assert "shut in" in lines
            else:
                assert shown(pressure / 1e5, "bar").replace("-0 ", "0 ") in lines
            numbers += 1
        for pipe in net.pipes:
            flow = s.flow[pipe.name] * 3600
            lines = texts_of(parts[pipe.name])
            if abs(flow) < 7.2e-5:
                assert "no flow" in lines
            else:
                expected = shown(abs(flow), "m3/h") + (" back" if flow < 0 else "")
                assert expected in lines, (path.stem, case, pipe.name)
            numbers += 1
        weight = s.liquid.density * net.site.gravity
        for valve in net.valves:
            if abs(s.flow[valve.name]) >= 2e-8:
                drop = shown(abs(s.drop[valve.name]) * weight / 1e5, "bar")
                assert f"drop {drop}" in texts_of(parts[valve.name])
                numbers += 1
    assert numbers > 400


def test_units_are_the_readers(hw, net):
    s = hw.solve(net)
    lines = texts_of(ET.fromstring(s.diagram(flow_unit="l/min", pressure_unit="kPa", length_unit="ft")))
    assert any(line.endswith("l/min") for line in lines)
    assert any(line.endswith("kPa") for line in lines)
    assert any(line.endswith("ft") for line in lines)
    assert not any(line.endswith(("m3/h", "bar", " m")) for line in lines)
    with pytest.raises(hw.SettingError, match="^pressure_unit: .*psi"):
        s.diagram(pressure_unit="psy")
    with pytest.raises(hw.SettingError, match='check_valve "arow".*"arrow"'):
        s.diagram(check_valve="arow")


def test_findings_stand_beside_their_parts_and_in_words_below(hw):
    net = hw.load(SOURCE / "networks" / "caustic_transfer.toml")
    s = hw.solve(net, case="P-1 tripped, NRV-1 stuck open")
    svg = s.diagram()
    parts, everything = parts_of(svg), " ".join(texts_of(ET.fromstring(svg)))
    counts = {"danger": 0, "warning": 0, "note": 0}
    assert s.advice
    for finding in s.advice:
        counts[finding.severity] += 1
        code = finding.severity[0].upper() + str(counts[finding.severity])
        if finding.component in parts:
            assert code in texts_of(parts[finding.component])
        assert finding.message in everything


def test_forms_tell_open_from_shut_and_running_from_stopped(hw):
    net = hw.load(SOURCE / "networks" / "cooling_loop.toml")

    def drawn(settings, name):
        part = parts_of(hw.solve(net, settings).diagram())[name]
        shapes = [e for e in part if e.tag not in (SVG + "text", SVG + "title", SVG + "g")]
        return [(e.tag, e.get("fill"), e.get("points")) for e in shapes], texts_of(part)

    opened, closed = drawn({}, "BV-21"), drawn({"BV-21.opening": 0}, "BV-21")
    assert [fill for tag, fill, _ in opened[0] if tag == SVG + "polygon"] == ["#fff", "#fff"]
    assert [fill for tag, fill, _ in closed[0] if tag == SVG + "polygon"] == ["#000", "#000"]
    assert "shut" in " ".join(closed[1]) and "38 %" in opened[1]
    running, stopped = drawn({}, "P-21B"), drawn({"P-21B.running": False}, "P-21B")
    assert len(stopped[0]) == len(running[0]) + 1  # struck through
    assert "running" in running[1] and "stopped" in stopped[1]
    assert "NO open" in drawn({}, "HV-21A")[1]


def test_arrows_follow_the_flow_not_the_data(hw, net):
    def tip(svg, name):
        arrow = [e for e in parts_of(svg)[name].iter(SVG + "polygon")][-1]
        xs = [float(point.split(",")[0]) for point in arrow.get("points").split()]
        return 1 if xs[1] > xs[0] else -1

    forward = hw.solve(net).diagram()
    back = hw.solve(net, {"P-1.running": False, "NRV-1.condition": "stuck open", "mixer.draw": 0})
    assert back.flow["L-1"] < 0 < hw.solve(net).flow["L-1"]
    assert tip(forward, "L-1") == 1
    assert tip(back.diagram(), "L-1") == -1


def test_the_title_block_names_the_case_the_date_if_given_and_the_caution(hw, net):
    s = hw.solve(net, case="throttled")
    plain = texts_of(ET.fromstring(s.diagram()))
    assert "Rinse loop" in plain and "case: throttled" in plain
    assert not any(line.startswith("date:") for line in plain)
    assert "A check valve is never isolation." in " ".join(plain)
    assert "date: 3 May" in texts_of(ET.fromstring(s.diagram(date="3 May")))
    root = ET.fromstring(s.diagram())
    assert root.get("role") == "img"
    assert root.find(SVG + "title").text == "Rinse loop"
    assert "never isolation" in root.find(SVG + "desc").text


def test_what_did_not_converge_says_so(hw, net):
    s = hw.solve(net, max_num_iterations=1)
    assert not s.converged
    assert "NOT CONVERGED" in " ".join(texts_of(ET.fromstring(s.diagram())))


@pytest.mark.parametrize(
    "name",
    ['<script>alert("x")</script>', "a & b", "it's", "tab\tand\nline", "\x01\x1b", "]]>", "Ünïcode 弁",
     'n"]; a -> b; x [label="', "%s%n{}", "x" * 5000],
)  # fmt: skip
def test_names_of_any_kind_are_drawn_as_text(hw, name):
    net = hw.Network()
    net.title = name
    net.add_vessel(name, level="3 m")
    net.add_junction("n" + name, draw="1 m3/h")
    net.add_pipe("L" + name, name, "n" + name, length="5 m", bore="80 mm")
    svg = hw.solve(net).diagram()
    root = ET.fromstring(svg)
    tags = {element.tag.removeprefix(SVG) for element in root.iter()}
    assert tags <= {"svg", "title", "desc", "g", "text", "rect", "line", "polyline", "polygon", "circle", "path"}
    harmless = re.sub(r"[\x00-\x08\x0b\x0c\x0e-\x1f]", "\ufffd", name)
    assert set(parts_of(svg)) == {harmless, "n" + harmless, "L" + harmless}


def test_files_are_written_whole_or_not_at_all(hw, net, tmp_path):
    s = hw.solve(net)
    svg = s.diagram(tmp_path / "out.svg")
    assert (tmp_path / "out.svg").read_text(encoding="utf-8") == svg == s.diagram()
    assert net.diagram(str(tmp_path / "net.svg")) == net.diagram()
    before = sorted(tmp_path.iterdir())
    for path in (tmp_path, tmp_path / "nowhere" / "out.svg", ""):
        with pytest.raises(hw.FileError, match="cannot be written"):
            s.diagram(path)
    assert sorted(tmp_path.iterdir()) == before


def test_pins_place_parts_and_need_both_coordinates(hw):
    net = hw.load(SOURCE / "networks" / "caustic_transfer.toml")
    net["header"].x, net["header"].y = "300 mm", "120 mm"
    net["P-1"].x, net["P-1"].y = 0.1, 0.05
    again = hw.loads(net.dumps())
    assert again == net and again["P-1"].x == 0.1
    parts = parts_of(again.diagram())
    circle = parts["P-1"].find(SVG + "circle")
    assert (float(circle.get("cx")), float(circle.get("cy"))) == (100, 50)
    assert {c.get("cx") for c in parts["header"].iter(SVG + "circle")} == {"300"}
    net["P-1"].y = None
    with pytest.raises(hw.NetworkError, match='"P-1": x and y .* y is not given'):
        net.diagram()


def test_an_empty_network_has_no_diagram(hw):
    with pytest.raises(hw.NetworkError, match="empty"):
        hw.Network().diagram()


def test_threads_draw_the_same(hw, net):
    expected = net.diagram()
    drawn = []
    threads = [threading.Thread(target=lambda: drawn.append(net.diagram())) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert drawn == [expected] * 8


@pytest.mark.parametrize("path", NETWORKS, ids=lambda path: path.stem)
def test_the_shipped_diagrams_are_up_to_date(hw, path):
    shipped = path.with_suffix(".svg")
    assert shipped.read_text(encoding="utf-8") == hw.solve(hw.load(path)).diagram(), (
        "PYTHONPATH=build/python /usr/bin/python3 examples/draw_a_plant.py --write networks"
    )


def test_the_shell_draws_to_a_file_or_the_screen(shell, plant_file, hw, tmp_path):
    out = tmp_path / "out.svg"
    done = shell("diagram", plant_file, "--case", "throttled", "-o", out)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert out.read_text(encoding="utf-8") == hw.solve(hw.load(plant_file), case="throttled").diagram()
    done = shell("diagram", plant_file, "--set", "HV-3.opening=0", "--flow-unit", "l/s", "--date", "today")
    assert "shut" in done.stdout and "l/s" in done.stdout and "date: today" in done.stdout
    assert shell("diagram", plant_file, "--unsolved").stdout == hw.load(plant_file).diagram()


def test_the_shell_refuses_what_it_cannot_draw(shell, plant_file, tmp_path):
    done = shell("diagram", plant_file, "--pressure-unit", "m3/h")
    assert done.returncode == 2 and "pressure_unit" in done.stderr
    done = shell("diagram", plant_file, "-o", tmp_path / "nowhere" / "out.svg")
    assert done.returncode == 2 and "cannot write" in done.stderr
    assert shell("diagram", pathlib.Path("no_such.toml")).returncode == 2


def test_a_plant_of_two_hundred_parts_is_drawn_in_seconds(hw):
    net = hw.loads(PLANT)
    for i in range(50):
        for j in range(3):
            net.add_junction(f"b{i}.{j}")
        net.add_vessel(f"user {i}", level="1 m")
        net.add_valve(f"HV-1{i:02}", "header", f"b{i}.0", kind="ball", size="DN25")
        net.add_pipe(f"L-1{i:02}", f"b{i}.0", f"b{i}.1", length="9 m", size="DN25")
        net.add_check_valve(f"NRV-1{i:02}", f"b{i}.1", f"b{i}.2", kind="lift", size="DN25")
        net.add_valve(f"HV-2{i:02}", f"b{i}.2", f"user {i}", kind="gate", size="DN25")
    assert len(net.component_names) > 200
    assert len(parts_of(net.diagram())) == len(net.component_names) + len(net.point_names)
