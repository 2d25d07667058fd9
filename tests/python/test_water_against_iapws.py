"""Water against the iapws package, an independent code of the same IAPWS formulations.

R7-97(2012) (IF97) region 1 density and region 4 vapour pressure; R12-08 viscosity. Two codes of one
formulation differ by round-off only; 1e-9 leaves room for its rounded constants (such as R or T*).
"""

import numpy as np
import pytest

iapws97 = pytest.importorskip("iapws.iapws97")
iapws_viscosity = pytest.importorskip("iapws._iapws")

ATMOSPHERE = 101325.0  # [Pa]
TEMPERATURES = np.concatenate([[273.16, 277.13, 293.15, 373.12, 373.13, 423.15],
                               np.linspace(273.2, 423.1, 151)])  # fmt: skip [K]


@pytest.mark.parametrize("kelvin", TEMPERATURES)
def test_water_agrees_with_the_iapws_package(hw, kelvin):
    ours = hw.water(float(kelvin))

    vapour_pressure = iapws97._PSat_T(kelvin) * 1e6  # [Pa], region 4
    assert ours.vapour_pressure == pytest.approx(vapour_pressure, rel=1e-9)

    pressure = max(ATMOSPHERE, vapour_pressure)
    density = 1 / iapws97._Region1(kelvin, pressure / 1e6)["v"]  # [kg/m³]
    assert ours.density == pytest.approx(density, rel=1e-9)

    viscosity = iapws_viscosity._Viscosity(density, kelvin)  # [Pa s], no critical enhancement
    assert ours.viscosity == pytest.approx(viscosity, rel=1e-9)
