"""Sensitivities through Python and the shell, against differences of solves."""

import json
import pathlib

import numpy as np
import pytest

PLANT = pathlib.Path(__file__).parents[2] / "networks" / "caustic_transfer.toml"
TARGETS = ["HV-3.opening", "day tank.level", "P-1.speed", "neutraliser.level", "L-4.length"]


@pytest.fixture(scope="module")
def net(hw):
    return hw.load(PLANT)


def test_equal_differences_of_solves(hw, net):
    s = hw.sensitivities(net, TARGETS)
    assert list(s.flow.index) == TARGETS
    for target in TARGETS:
        value = s.value[target]
        step = 1e-4 * value
        tight = dict(flow_tolerance=1e-13, head_tolerance=1e-10)
        up = hw.solve(net, {target: value + step}, **tight)
        down = hw.solve(net, {target: value - step}, **tight)
        for found, above, below in [
            (s.flow, up.flow, down.flow),
            (s.head, up.head, down.head),
            (s.pressure, up.pressure, down.pressure),
        ]:
            slope = (above.values - below.values) / (2 * step)
            # Differences are good to the square of their step, 1e-8, times the curvature.
            np.testing.assert_allclose(
                found.loc[target].to_numpy(), slope, atol=2e-6 * np.nanmax(np.abs(slope))
            )


def test_start_from_settings_and_case(hw, net):
    s = hw.sensitivities(net, ["HV-3.opening"], {"HV-3.opening": 0.3}, case="scrubber starved")
    assert s.value == {"HV-3.opening": 0.3}
    assert s.solution.converged
    assert s.flow.loc["HV-3.opening", "L-4"] > 0
    assert "HV-3.opening" in str(s)


def test_refuse_what_is_no_number(hw, net):
    with pytest.raises(hw.SettingError, match="did you mean"):
        hw.sensitivities(net, ["HV-3.openning"])
    with pytest.raises(hw.SettingError, match="no number"):
        hw.sensitivities(net, ["HV-3.kind"])
    with pytest.raises(ValueError):
        hw.sensitivities(net, ["HV-33.opening"])


def test_shell_says_the_same(hw, net, shell):
    result = shell("sensitivities", PLANT, "HV-3.opening", "--json")
    assert result.returncode == 0, result.stderr
    report = json.loads(result.stdout)
    flow = report["sensitivities"][0]["flow"]
    expected = hw.sensitivities(net, ["HV-3.opening"]).flow.loc["HV-3.opening"]
    assert flow == pytest.approx(dict(expected))
    assert "check valve is never isolation" in report["caution"]
    text = shell("sensitivities", PLANT, "HV-3.opening").stdout
    assert "HV-3.opening" in text and "1 % more" in text
