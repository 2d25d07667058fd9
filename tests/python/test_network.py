"""Networks through Python: reading, building, changing, comparing, storing."""

import copy
import pickle

import numpy as np
import pandas as pd
import pytest

from conftest import PLANT


def test_a_file_and_its_text_give_equal_networks(hw, net, plant_file):
    assert hw.load(plant_file) == net
    assert hw.load(str(plant_file)) == net
    assert hw.loads(net.dumps()) == net


def test_a_saved_network_reads_back_equal(hw, net, tmp_path):
    net["HV-3"].opening = 1 / 3
    net.save(tmp_path / "copy.toml")
    back = hw.load(tmp_path / "copy.toml")
    assert back == net
    assert back["HV-3"].opening == 1 / 3


def test_a_copy_is_independent_and_a_pickle_equal(net):
    for twin in (net.copy(), copy.copy(net), copy.deepcopy(net), pickle.loads(pickle.dumps(net))):
        assert twin == net
        twin["HV-3"].opening = 0.1
        assert twin != net
        assert net["HV-3"].opening == 0.6


def test_parts_are_listed_in_file_order(net):
    assert [v.name for v in net.vessels] == ["sump", "high tank"]
    assert [p.name for p in net.pipes] == ["L-1", "L-2", "L-3"]
    assert net.point_names == ["sump", "high tank", "suction", "discharge", "header", "branch",
                               "mixer"]  # fmt: skip
    assert net.component_names == ["L-1", "L-2", "L-3", "HV-3", "NRV-1", "P-1"]
    assert net.cases == ["P-1 tripped", "throttled"]
    assert net.restrictions == [] and net.nozzles == []
    assert net.regulators == [] and net.relief_valves == []


def test_texts_with_units_become_si(net):
    assert net.fluid.temperature == pytest.approx(293.15, abs=1e-12)
    assert net["mixer"].draw == pytest.approx(2 / 3600, rel=1e-15)
    assert net["L-1"].bore == pytest.approx(0.0779, rel=1e-15)
    curve = net["P-1"].curve
    assert curve.shape == (3, 2) and curve.dtype == np.float64
    np.testing.assert_allclose(curve, [[0, 32], [20 / 3600, 28], [40 / 3600, 18]], rtol=1e-15)


def test_a_part_is_a_live_view(net):
    valve = net["HV-3"]
    net.set({"HV-3.opening": 0.25})
    assert valve.opening == 0.25
    valve.opening = "40 %"
    assert net.get("HV-3.opening") == 0.4
    assert net.valves[0] == valve
    assert valve.from_ == "header" and valve.to == "branch"


def test_a_view_outlives_its_network(hw):
    valve = hw.loads(PLANT)["HV-3"]
    assert valve.opening == 0.6


def test_views_stay_true_while_parts_are_added(hw):
    net = hw.Network()
    first = net.add_junction("n0", elevation=1.5)
    for i in range(1, 100):
        net.add_junction(f"n{i}")
    assert first.elevation == 1.5
    first.elevation = 2.5
    assert net["n0"].elevation == 2.5


@pytest.mark.parametrize(
    "value", [0.5, np.float64(0.5), np.float32(0.5), "0.5", "50 %", np.array(0.5)]
)
def test_numbers_of_every_kind_are_accepted(net, value):
    net["HV-3"].opening = value
    assert net["HV-3"].opening == 0.5


@pytest.mark.parametrize("value", [False, np.bool_(False)])
def test_flags_of_every_kind_are_accepted(net, value):
    net.set({"P-1.running": value})
    assert net["P-1"].running is False


def test_curves_are_accepted_as_rows_arrays_and_texts(net):
    expected = [[0, 0], [0.5, 0.7], [1, 1]]
    for curve in (expected, np.array(expected), [("0 %", 0), ("50 %", 0.7), (1, 1)]):
        net["HV-3"].curve = curve
        np.testing.assert_array_equal(net["HV-3"].curve, expected)
    net["HV-3"].curve = None
    assert net["HV-3"].curve.shape == (0, 2)


def test_pump_coefficients_replace_the_curve(net):
    net["P-1"].coefficients = (32.0, 1.1e5, 2.0)
    assert net["P-1"].coefficients == (32.0, 1.1e5, 2.0)
    assert len(net["P-1"].curve) == 0
    assert pickle.loads(pickle.dumps(net)) == net


def test_fittings_are_a_mapping(net):
    assert net["L-2"].fittings == {"elbow 90 long radius": 4.0}
    net["L-2"].fittings = {"elbow 90 long radius": 6}
    assert net.get("L-2.fittings") == [("elbow 90 long radius", 6.0)]


def test_none_takes_a_value_back(net):
    net.fluid.density = "998 kg/m3"
    assert net.fluid.density == 998.0
    net.fluid.density = None
    assert net.fluid.density is None
    assert net.fluid.resolve().density == pytest.approx(998.2, abs=0.05)


def test_settings_may_be_pairs_or_a_series(net):
    net.set([("HV-3.opening", 0.3), ("P-1.speed", 0.9)])
    assert (net["HV-3"].opening, net["P-1"].speed) == (0.3, 0.9)
    net.set(pd.Series({"HV-3.opening": 0.2}))
    assert net["HV-3"].opening == 0.2


def test_settings_apply_all_or_not_at_all(hw, net):
    with pytest.raises(hw.SettingError):
        net.set({"HV-3.opening": 0.3, "HV-3.opning": 0.4})
    assert net["HV-3"].opening == 0.6


@pytest.mark.parametrize(
    "target, value, says",
    [
        ("HV-33.opening", 0.4, "HV-3"),
        ("HV-3.opning", 0.4, "opening"),
        ("HV-3.opening", 1.5, "1.5"),
        ("HV-3.opening", float("nan"), "opening"),
        ("HV-3.opening", "4 m", "opening"),
        ("HV-3.opening", True, "opening"),
        ("HV-3.opening", [1, 2], "opening"),
        ("HV-3.opening", 1j, "opening"),
        ("HV-3.opening", object(), "opening"),
        ("HV-3.opening", np.array([0.1, 0.2]), "opening"),
        ("HV-3", 0.4, "HV-3"),
        ("P-1.running", "yes", "running"),
        ("NRV-1.condition", "stuck", "stuck open"),
        ("HV-3.condition", "diaphragm cutt", "diaphragm cut"),
        ("HV-3.leakage", "ISO 5208 d", "ISO 5208 D"),
        ("HV-3.blockage", 1.0, "less than 1"),
        ("P-1.rotor", None, "rotor"),
        ("P-1.efficiency", 0.6, "efficiency"),
        ("fluid.strength", 32, "strength"),
    ],
)
def test_a_bad_setting_is_a_value_error_that_says_where(hw, net, target, value, says):
    before = net.copy()
    with pytest.raises(hw.SettingError, match=says) as error:
        net.set({target: value})
    assert isinstance(error.value, ValueError)
    assert net == before


@pytest.mark.parametrize("settings", ["HV-3.opening", 3, [1, 2], ["ab"], {3: 0.4}])
def test_what_is_no_settings_is_refused(hw, net, settings):
    with pytest.raises(hw.SettingError):
        net.set(settings)


def test_assigning_an_unfit_attribute_is_refused(hw, net):
    with pytest.raises(hw.SettingError, match="opening"):
        net["HV-3"].opening = -0.1
    with pytest.raises(hw.SettingError):
        net["HV-3"].kind = "portcullis"
    with pytest.raises(AttributeError):
        net["HV-3"].opning = 0.1
    with pytest.raises(AttributeError):
        net["HV-3"].name = "HV-4"


def test_an_unknown_name_is_a_key_error_and_a_value_error_with_a_suggestion(hw, net):
    assert "HV-3" in net and "HV-33" not in net
    with pytest.raises(hw.UnknownNameError, match="HV-3") as error:
        net["HV-33"]
    assert isinstance(error.value, (KeyError,)) and isinstance(error.value, ValueError)
    assert isinstance(error.value, hw.NetworkError)
    assert error.value.component == "HV-33"
    assert not str(error.value).startswith("'")


def test_a_network_is_built_in_code(hw):
    net = hw.Network()
    net.title = "Day tank"
    net.fluid.name = "caustic"
    net.fluid.density = "1220 kg/m3"
    net.fluid.viscosity = "4.5 mPa.s"
    net.add_vessel("day tank", elevation="1 m", level=2.2)
    net.add_junction("n1", elevation=0.5, draw="2 m3/h")
    pipe = net.add_pipe("L-4", "day tank", "n1", length="38 m", bore=0.0779, roughness="0.045 mm",
                        fittings={"elbow 90 long radius": 4})
    assert pipe == net["L-4"] and pipe.length == 38.0
    net.add_nozzle("N-1", "n1", bore="10 mm")
    net.add_restriction("RO-1", "day tank", "n1", k=4.0, bore=0.05)
    net.add_case("no draw", set={"n1.draw": 0}, note="Mixer off.")
    assert net.case("no draw").set == {"n1.draw": 0.0}
    net.validate()
    assert hw.loads(net.dumps()) == net
    s = hw.solve(net)
    assert s.converged
    assert s.flow["N-1"] > 0


# Every property that a part of each class takes beside its name and ends, with what it becomes.
PROPERTIES = {
    "fluid": {
        "strength": (None, None),
        "critical_pressure": ("221 bar", 221e5),
        "bulk_modulus": ("2.2 GPa", 2.2e9),
        "yield_stress": ("2 Pa", 2.0),
        "consistency": (0.4, 0.4),
        "index": (0.6, 0.6),
        "solids": ("4 %", 0.04),
        "solids_density": ("2650 kg/m3", 2650.0),
        "d50": ("0.2 mm", 0.2e-3),
    },
    "L-1": {
        "lining": ("3 mm", 3e-3),
        "high_point": ("9 m", 9.0),
        "rating": ("16 bar", 16e5),
        "max_velocity": ("2.5 m/s", 2.5),
        "wave_speed": ("1200 m/s", 1200.0),
        "wall": ("4 mm", 4e-3),
        "elastic_modulus": ("207 GPa", 207e9),
        "restraint": ("anchored upstream", "anchored upstream"),
    },
    "HV-3": {
        "lining": ("2 mm", 2e-3),
        "pipe_bore": ("102.3 mm", 0.1023),
        "fl": (0.9, 0.9),
        "xfz": (0.4, 0.4),
        "turns": (8, 8.0),
        "travel": ("20 mm", 0.02),
        "rangeability": (30, 30.0),
        "condition": ("passing", "passing"),
        "blockage": ("30 %", 0.3),
        "leakage": ("ISO 5208 D", "ISO 5208 D"),
        "vent_kv": ("1 L/min", 1e-3 / 60),
        "stuck_opening": (0.2, 0.2),
        "min_pressure": ("-0.5 bar", -0.5e5),
        "rating": ("10 bar", 10e5),
    },
    "NRV-1": {
        "orientation": ("vertical up", "vertical up"),
        "assist": ("spring", "spring"),
        "cracking_pressure": ("0.02 bar", 2e3),
        "min_velocity": ("1.5 m/s", 1.5),
        "closing_lag": ("50 ms", 0.05),
        "leakage": ("API 598 metal check", "API 598 metal check"),
        "rating": ("10 bar", 10e5),
    },
    "P-1": {
        "kind": ("centrifugal", "centrifugal"),
        "rpm": (2900, 2900.0),
        "stages": (2, 2.0),
        "min_flow": ("5 m3/h", 5 / 3600),
        "rated_power": ("7.5 kW", 7500.0),
        "rotor": ("free", "free"),
        "stopped_k": (0.6, 0.6),
        "rated_pressure": ("8 bar", 8e5),
        "inertia": (0.05, 0.05),
    },
    "RO-1": {"rating": ("10 bar", 10e5)},
    "PRV-1": {
        "kind": ("back-pressure", "back-pressure"),
        "kv": ("12 m3/h", 12 / 3600),
        "set_pressure": ("2 bar", 2e5),
        "droop": ("0.2 bar", 0.2e5),
        "rated_flow": ("10 m3/h", 10 / 3600),
        "rating": ("16 bar", 16e5),
    },
    "PSV-1": {
        "to": ("sump", "sump"),
        "set_pressure": ("6 bar", 6e5),
        "overpressure": ("25 %", 0.25),
        "balanced": (True, True),
        "cv": ("20 gpm", 20 * 3.785411784e-3 / 60),
    },
}


@pytest.mark.parametrize("name", PROPERTIES)
def test_every_property_is_set_read_and_stored(hw, net, name):
    net.add_restriction("RO-1", "header", "mixer", kv="10 m3/h")
    net.add_regulator("PRV-1", "header", "mixer", kind="pressure-reducing", size="DN50",
                      set_pressure="3 bar")
    net.add_relief_valve("PSV-1", "header", set_pressure="10 bar", area="198 mm2")
    part = net.fluid if name == "fluid" else net[name]
    for key, (given, becomes) in PROPERTIES[name].items():
        setattr(part, key, given)
        expected = becomes if not isinstance(becomes, float) else pytest.approx(becomes, rel=1e-12)
        assert getattr(part, key) == expected, key
    net.validate()
    back = hw.loads(net.dumps())
    assert back == net
    assert pickle.loads(pickle.dumps(net)) == net
    kept = back.fluid if name == "fluid" else back[name]
    for key in PROPERTIES[name]:
        assert getattr(kept, key) == getattr(part, key), key


def test_none_takes_optional_properties_back(net):
    valve = net["HV-3"]
    for key in ("pipe_bore", "fl", "xfz", "turns", "travel", "rangeability", "leak_kv", "vent_kv",
                "min_pressure", "rating"):
        assert getattr(valve, key) is None
        setattr(valve, key, 1.5 if key == "rangeability" else 0.5)
        setattr(valve, key, None)
        assert getattr(valve, key) is None, key
    for key in ("cracking_pressure", "min_velocity"):
        assert getattr(net["NRV-1"], key) is None
    assert net["P-1"].stopped_k is None


def test_a_regulator_and_a_relief_valve_are_parts_like_others(hw, net):
    regulator = net.add_regulator("PRV-1", "header", "mixer", kind="pressure-reducing", size="DN50",
                                  set_pressure="3 bar")
    relief = net.add_relief_valve("PSV-1", "header", set_pressure="10 bar", kv="20 m3/h")
    assert [r.name for r in net.regulators] == ["PRV-1"]
    assert [r.name for r in net.relief_valves] == ["PSV-1"]
    assert net.component_names[-2:] == ["PRV-1", "PSV-1"]
    assert net["PRV-1"] == regulator and net["PSV-1"] == relief
    assert isinstance(regulator, hw.Regulator) and isinstance(relief, hw.ReliefValve)
    assert relief.to == "" and relief.from_ == "header" and not relief.balanced
    assert repr(regulator).startswith('Regulator("PRV-1", from_=\'header\', to=\'mixer\'')
    assert "8 components" in repr(net)
    net.add_relief_valve("PSV-2", "header", "sump", set_pressure="10 bar", kv="20 m3/h")
    assert net["PSV-2"].to == "sump"
    net["PSV-2"].to = None
    assert net["PSV-2"].to == ""
    regulator.set_pressure = None
    with pytest.raises(hw.NetworkError, match="set_pressure is missing"):
        net.validate()


def test_a_displacement_pump_has_no_curve(hw, net):
    pump = net["P-1"]
    pump.kind = "positive displacement"
    pump.displacement = "5 m3/h"
    with pytest.raises(hw.NetworkError, match="curve has no meaning"):
        net.validate()
    pump.curve = None
    pump.slip = "0.3 m3/h"
    net.validate()
    pump.slip = "6 m3/h"
    with pytest.raises(hw.NetworkError, match="slip 6 m3/h is not less"):
        net.validate()


def test_curves_of_a_pump_and_tables_of_a_fluid_are_arrays(net):
    net["P-1"].efficiency = [("5 m3/h", "40 %"), ("20 m3/h", 0.65)]
    np.testing.assert_allclose(net["P-1"].efficiency, [[5 / 3600, 0.4], [20 / 3600, 0.65]],
                               rtol=1e-15)
    net["P-1"].npsh = np.array([[0.0, 2.0], [0.01, 3.0]])
    assert net["P-1"].npsh.shape == (2, 2)
    for table in ("density_table", "viscosity_table", "vapour_pressure_table"):
        setattr(net.fluid, table, [["10 degC", 1000.0], ["30 degC", 900.0]])
        np.testing.assert_allclose(getattr(net.fluid, table), [[283.15, 1000], [303.15, 900]],
                                   rtol=1e-15)
    liquid = net.fluid.resolve()  # at 20 degC
    assert liquid.density == pytest.approx(950.0, rel=1e-12)  # two points: a straight line
    # Between two points the logarithm is straight: the geometric mean at half-way.
    assert liquid.viscosity == pytest.approx((1000.0 * 900.0) ** 0.5, rel=1e-12)
    net.fluid.density = 998.0
    assert len(net.fluid.density_table) == 0


def test_a_liquid_that_is_not_newtonian_shows_and_pickles_it(net):
    net.fluid.consistency = 0.4
    net.fluid.index = 0.5
    net.fluid.yield_stress = 3.0
    liquid = net.fluid.resolve()
    assert (liquid.yield_stress, liquid.consistency, liquid.index) == (3.0, 0.4, 0.5)
    assert liquid.viscosity == pytest.approx(0.4 * 100**-0.5, rel=1e-15)
    assert not liquid.is_newtonian
    again = pickle.loads(pickle.dumps(liquid))
    assert repr(again) == repr(liquid) and "yield_stress=3.0" in repr(liquid)
    assert again.solids_density is None


def test_a_slurry_has_the_density_of_its_mixture(net):
    net.fluid.density = 1000.0
    net.fluid.solids = 0.2
    net.fluid.solids_density = 2650.0
    net.fluid.d50 = "0.2 mm"
    liquid = net.fluid.resolve()
    # A kilogram of mixture takes 0.8/1000 + 0.2/2650 m³.
    assert liquid.density == pytest.approx(1 / (0.8 / 1000 + 0.2 / 2650), rel=1e-12)
    assert liquid.solids_volume_fraction == pytest.approx(0.2 / 2650 * liquid.density, rel=1e-12)
    assert (liquid.solids_density, liquid.carrier_density) == (2650.0, 1000.0)
    assert liquid.d50 == pytest.approx(0.2e-3, rel=1e-15)
    assert liquid.viscosity > 1.001e-3
    again = pickle.loads(pickle.dumps(liquid))
    assert again.d50 == liquid.d50 and again.solids_volume_fraction == liquid.solids_volume_fraction


def test_adding_refuses_what_a_file_would_not_hold(hw, net):
    before = net.copy()
    for add in (
        lambda: net.add_pipe("L-9", "header", "mixer", lenght=3.0),
        lambda: net.add_pipe("L-9", "header", "mixer", length="3 bar"),
        lambda: net.add_pipe("L-1", "header", "mixer", length=3.0, bore=0.1),
        lambda: net.add_vessel("mixer"),
        lambda: net.add_case("throttled"),
        lambda: net.add_case("x", set={"HV-9.opening": 0.1}),
    ):
        with pytest.raises(hw.Error):
            add()
    assert net == before


def test_a_missing_argument_is_a_type_error(net):
    with pytest.raises(TypeError):
        net.add_pipe("L-9", "header")


def test_a_dangling_pipe_is_found_by_validate(hw, net):
    net.add_pipe("L-9", "header", "mixr", length=3.0, bore=0.1)
    with pytest.raises(hw.NetworkError, match="mixr") as error:
        net.validate()
    assert error.value.component == "L-9"
    with pytest.raises(hw.NetworkError, match="mixer"):
        hw.solve(net)


def test_a_file_error_has_its_place(hw):
    text = PLANT.replace("opening = 0.6", "opning = 0.6")
    line = 1 + text[: text.index("opning")].count("\n")
    with pytest.raises(hw.FileError, match="opening") as error:
        hw.loads(text, "plant.toml")
    assert (error.value.file, error.value.line, error.value.column) == ("plant.toml", line, 1)
    assert str(error.value).startswith(f"plant.toml:{line}:1: ")
    assert isinstance(error.value, ValueError)
    again = pickle.loads(pickle.dumps(error.value))
    assert (str(again), again.line) == (str(error.value), line)


def test_a_file_that_is_not_there_is_a_file_error(hw, tmp_path):
    with pytest.raises(hw.FileError, match="nowhere.toml"):
        hw.load(tmp_path / "nowhere.toml")


def test_a_network_that_cannot_be_saved_is_a_file_error(hw, net, tmp_path):
    with pytest.raises(hw.FileError):
        net.save(tmp_path / "no such folder" / "plant.toml")


def test_every_class_shows_what_it_is(net):
    assert "Rinse loop" in repr(net)
    assert repr(net["HV-3"]).startswith('Valve("HV-3", from_=\'header\', to=\'branch\'')
    assert "opening=0.6" in repr(net["HV-3"])
    assert repr(net["header"]) == 'Junction("header", elevation=1.0)'
    assert "points" in repr(net["P-1"])
    assert repr(net.case("throttled")) == "Case('throttled', set={'HV-3.opening': '20 %'})"
    for view in (net.fluid, net.site, net.model):
        assert type(view).__name__ in repr(view)


def test_names_in_any_script_survive(hw):
    net = hw.Network()
    net.add_vessel("Kessel Süd")
    net.add_vessel("池")
    net.add_pipe("管 1", "Kessel Süd", "池", length=10.0, bore=0.05)
    assert hw.loads(net.dumps()) == net
    assert "池" in repr(net["池"])


def test_a_large_network_is_built_in_linear_time(hw):
    import time

    net = hw.Network()
    started = time.perf_counter()
    for i in range(20000):
        net.add_junction(f"n{i}")
    for i in range(20000):
        assert net[f"n{i}"].elevation == 0.0
    # A search through all names for each would take minutes.
    assert time.perf_counter() - started < 10.0
