"""The shipped plants solve by every method in every case, and do what their notes say."""

import math
import pathlib

import pytest

PLANTS = sorted((pathlib.Path(__file__).resolve().parents[2] / "networks").glob("*.toml"))
M3_PER_H = 1 / 3600


@pytest.fixture
def plant(hw):
    return lambda name: hw.load(PLANTS[0].parent / f"{name}.toml")


@pytest.mark.parametrize("path", PLANTS, ids=lambda path: path.stem)
def test_every_case_converges_and_the_methods_agree(hw, path):
    net = hw.load(path)
    assert net.title and net.story and net.cases
    for case in ["", *net.cases]:
        newton = hw.solve(net, case=case)
        assert newton.converged, (case, newton.summary.message)
        largest = abs(newton.flow.values).max()
        for method in ("hardy_cross", "trust_region"):
            other = hw.solve(net, case=case, method=method)
            assert other.converged, (case, other.summary.message)
            # Heads agree within 1e-6 m; the flattest parts here turn that into less than 1e-5 of the flow.
            assert abs(other.flow.values - newton.flow.values).max() < 1e-5 * largest, (case, method)


@pytest.mark.parametrize("path", PLANTS, ids=lambda path: path.stem)
def test_every_case_has_a_note_and_changes_something(hw, path):
    net = hw.load(path)
    as_it_stands = hw.solve(net)
    for name in net.cases:
        assert net.case(name).note
        changed = hw.solve(net, case=name)
        assert abs(changed.flow.values - as_it_stands.flow.values).max() > 0.05 * M3_PER_H


@pytest.mark.parametrize("path", PLANTS, ids=lambda path: path.stem)
def test_as_it_stands_no_pipe_is_faster_than_3_m_per_s_and_no_point_under_vacuum(hw, path):
    net = hw.load(path)
    s = hw.solve(net)
    assert not s.advice
    assert all(abs(s.velocity[pipe.name]) < 3 for pipe in net.pipes)
    assert all(0 < pressure < 10e5 for pressure in s.pressure.values)


def test_without_its_pump_the_caustic_header_joins_the_consumers(hw, plant):
    s = hw.solve(plant("caustic_transfer"), case="P-1 tripped")
    assert s.flow["NRV-1"] == 0
    assert s.outflow["neutraliser"] > M3_PER_H
    assert s.outflow["scrubber head tank"] == pytest.approx(-s.outflow["neutraliser"])


def test_a_stuck_check_valve_lets_caustic_back_into_the_day_tank_from_both_consumers(hw, plant):
    net = plant("caustic_transfer")
    passing = hw.solve(net, case="P-1 tripped, NRV-1 passing")
    stuck = hw.solve(net, case="P-1 tripped, NRV-1 stuck open")
    assert 0 < passing.outflow["day tank"] < stuck.outflow["day tank"]
    assert stuck.flow["P-1"] < 0
    assert stuck.outflow["neutraliser"] < 0 and stuck.outflow["scrubber head tank"] < 0


def test_the_starved_scrubber_gets_less_than_the_5_m3_per_h_of_its_note(hw, plant):
    net = plant("caustic_transfer")
    assert hw.solve(net).flow["L-5"] > 5 * M3_PER_H
    assert hw.solve(net, case="scrubber starved").flow["L-5"] < 5 * M3_PER_H


def test_sludge_is_laminar_and_thin_sludge_turbulent(hw, plant):
    net = plant("sludge_line")
    bore = 0.10226  # DN100 schedule 40 [m]
    for case, laminar in (("", True), ("thin sludge", False)):
        s = hw.solve(net, case=case)
        reynolds = s.velocity["L-13"] * bore * s.liquid.density / s.liquid.viscosity
        assert (reynolds < 2000) if laminar else (reynolds > 4000)


def test_the_recirculation_line_leads_round_the_check_valve(hw, plant):
    net = plant("sludge_line")
    tripped = hw.solve(net, case="P-11 tripped")
    assert tripped.flow["NRV-11"] == 0 and tripped.outflow["digester"] < 0
    shut = hw.solve(net, case="P-11 tripped, PV-13 shut")
    assert shut.outflow["digester"] == pytest.approx(3 * M3_PER_H)  # the scum pump's
    stuck = hw.solve(net, case="P-11 tripped, PV-13 shut, NRV-11 stuck open")
    assert stuck.flow["P-11"] < 0 and stuck.outflow["digester"] < 0


def test_the_expansion_vessel_gives_and_takes_nothing(hw, plant):
    s = hw.solve(plant("cooling_loop"))
    assert abs(s.outflow["expansion vessel"]) < 1e-9


def test_a_stuck_check_valve_beside_a_running_pump_starves_the_users(hw, plant):
    net = plant("cooling_loop")
    sound = hw.solve(net, case="P-21B tripped")
    stuck = hw.solve(net, case="P-21B tripped, NRV-21B stuck open")
    assert stuck.flow["P-21B"] < 0 and stuck.flow["P-21A"] > sound.flow["P-21A"]
    assert stuck.flow["E-21"] < 0.75 * sound.flow["E-21"]
    assert [a.kind for a in stuck.advice] == ["pump beyond its curve"]


def test_the_isolated_pump_is_shut_in(hw, plant):
    s = hw.solve(plant("cooling_loop"), case="P-21B isolated")
    assert s.flow["P-21B"] == 0
    for point in ("P-21B in", "P-21B out", "NRV-21B out"):
        assert s.shut_in[point] and math.isnan(s.pressure[point])
