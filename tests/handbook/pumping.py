"""Pumps by themselves: suction, speed, viscous liquid, curves. Relief valves and orifice plates."""

from math import log, sqrt

from quantities import (
    DERIVED,
    EXACT,
    FOOT,
    INCH,
    MEMORY,
    POUND,
    SEEN,
    STANDARD_GRAVITY,
    UNITS,
    Example,
    Formula,
    Quantity,
    Search,
    flow,
    found,
    head,
    pressure,
    table_value,
    value,
)
from single_pipes import DOE, MUNSON

import handwheel as hw

HI_9_6_7 = "ANSI/HI 9.6.7, example"
API_520 = "API 520-I, liquid sizing example"
ISO_5167 = "ISO 5167-2:2003, eq. (4) and (7)"
GPM = UNITS["gpm"]


def pump_reading(column, name="P-1"):
    return table_value("pumps", name, column)


def pumped(fluid, site, vessel, loss, draw, elevation="0 m"):
    """A vessel, what is lost on the way, and a pump whose curve is ours: it has no part in NPSH
    available."""
    return f"""
[site]
{site}
[fluid]
name = "water"
{fluid}
[[vessel]]
name = "supply"
{vessel}
[[junction]]
name = "pump suction"
elevation = "{elevation}"
[[junction]]
name = "discharge"
draw = "{draw}"
[[restriction]]
name = "suction line"
from = "supply"
to = "pump suction"
{loss}
[[pump]]
name = "P-1"
from = "pump suction"
to = "discharge"
curve = [["0 gpm", "120 ft"], ["200 gpm", "100 ft"], ["400 gpm", "60 ft"]]
"""


def munson_12_3():
    weight = 62.22 * POUND / FOOT**3 * STANDARD_GRAVITY  # [N/m³], of 62.22 lbf/ft³
    density = weight / (32.2 * FOOT)
    velocity = 0.5 * UNITS["cfs"] / (3.141592653589793 / 4 * (4 * INCH) ** 2)
    own = ((14.7 - 0.5069) * UNITS["psi"] / weight - 20 * velocity**2 / (2 * 32.2 * FOOT)
           - 15 * FOOT) / FOOT
    text = pumped(
        fluid=f'density = "{density:.12g} kg/m3"\nviscosity = "1 mPa.s"\nvapour_pressure = "0.5069 psi"',
        site='gravity = "32.2 ft/s2"\natmospheric_pressure = "14.7 psi"',
        vessel="",
        loss='k = 20\nbore = "4 in"',
        draw="0.5 cfs",
        elevation="1 m",
    )
    return Example(
        "U8", "Greatest height of a pump above the water", f"{MUNSON}, Ex. 12.3", SEEN, text,
        [Quantity("height", found, "ft", 7.65, relative=0.001, recomputed=own)],
        search=Search("pump suction.elevation", 0.0, 5.0,
                      lambda r: pump_reading("NPSH available [m]")(r) - 15 * FOOT),
    )


def hot_water_npsh():
    """The source counts 2.31 ft of cold water to the psi."""
    density = 0.985 * 144 / 2.31 * POUND / FOOT**3
    text = pumped(
        fluid=f'density = "{density:.12g} kg/m3"\nviscosity = "0.47 mPa.s"\nvapour_pressure = "2.889 psi"',
        site='atmospheric_pressure = "14.7 psi"',
        vessel='elevation = "45 ft"',
        loss=f'rated_flow = "100 gpm"\nrated_drop = "{0.378 * FOOT * density * STANDARD_GRAVITY:.12g} Pa"',
        draw="100 gpm",
    )
    return Example(
        "U9", "NPSH available, hot water from a height", "Practical Pumping Handbook, 4.4.2.5", SEEN, text,
        [
            Quantity("pressure head of the surface",
                     lambda r: 14.7 * UNITS["psi"] / (r.solution.liquid.density * STANDARD_GRAVITY),
                     "ft", 34.474, relative=0.0005),
            Quantity("NPSH available", pump_reading("NPSH available [m]"), "ft", 72.32, relative=0.001,
                     recomputed=(14.7 - 2.889) * 2.31 / 0.985 + 45 - 0.378, recomputed_relative=2e-5),
            Quantity("the same by the function",
                     lambda r: hw.npsh_available("14.7 psi", "2.889 psi", density,
                                                 surface_elevation="45 ft", head_loss="0.378 ft"),
                     "ft", 72.32, relative=0.001, in_table=False),
        ],
        note="The terms are printed (34.474, 45, 6.775 and 0.378 ft); the total is their sum.",
    )


def cold_water_npsh():
    density = 999.0
    foot = density * STANDARD_GRAVITY * FOOT  # [Pa]
    text = pumped(
        fluid=f'density = "{density} kg/m3"\nviscosity = "1.12 mPa.s"\nvapour_pressure = "{0.6 * foot:.12g} Pa"',
        site=f'atmospheric_pressure = "{34 * foot:.12g} Pa"',
        vessel='elevation = "15 ft"',
        loss=f'rated_flow = "100 gpm"\nrated_drop = "{2.4 * foot:.12g} Pa"  # entrance 0.4, friction 2 ft',
        draw="100 gpm",
    )
    return Example(
        "U10", "NPSH available, cold water from a height", "NPSH chapter of a water treatment text", SEEN,
        text,
        [Quantity("NPSH available", pump_reading("NPSH available [m]"), "ft", 46, relative=0.005,
                  recomputed=34 + 15 - 0.6 - 0.4 - 2, recomputed_relative=1e-5)],
    )


def small_pump_on_a_system():
    litre = UNITS["L/min"]
    q = sqrt((7.46 - 3.52) / (0.0453 + 0.0261))
    text = f"""
[fluid]
name = "water"
density = "1000 kg/m3"
[[vessel]]
name = "lower"
[[vessel]]
name = "upper"
elevation = "3.52 m"
[[junction]]
name = "discharge"
[[pump]]
name = "P-1"
from = "lower"
to = "discharge"
coefficients = [7.46, {0.0453 / litre**2:.12g}, 2]  # H = 7.46 - 0.0453 Q2, Q in L/min
[[restriction]]
name = "system"
from = "discharge"
to = "upper"
rated_flow = "10 L/min"
rated_drop = "2.61 mH2O"  # 0.0261 Q2
"""
    return Example(
        "U7", "Small pump on a system", "problem after Cengel & Cimbala, Fluid Mechanics", MEMORY, text,
        [
            Quantity("flow", flow("P-1"), "L/min", 7.43, relative=0.001, recomputed=q),
            Quantity("head", head("discharge"), "m", 4.96, relative=0.001,
                     recomputed=7.46 - 0.0453 * q**2),
        ],
        note="Inputs seen; the answer from memory.",
    )


def hi_viscous_pump():
    text = """
[fluid]
name = "oil"
density = "900 kg/m3"
kinematic_viscosity = "120 cSt"
[[vessel]]
name = "tank"
level = "5 m"
[[junction]]
name = "discharge"
draw = "103.2 m3/h"
[[pump]]
name = "P-1"
from = "tank"
to = "discharge"
rpm = 2950
rated_flow = "110 m3/h"
curve = [["0 m3/h", "95 m"], ["110 m3/h", "77 m"], ["150 m3/h", "60 m"]]
efficiency = [["60 m3/h", 0.55], ["110 m3/h", 0.68], ["150 m3/h", 0.6]]
"""
    factors = "printed from B with the constant in US units, 0.4 % lower"
    correction = hw.viscous_correction("110 m3/h", 77, 2950, 0.68, "120 cSt")
    own_b = 16.5 * sqrt(120) * 77**0.0625 / (110**0.375 * 2950**0.25)
    return Example(
        "U11", "Pump on viscous oil", HI_9_6_7, MEMORY, text,
        [
            Quantity("B", lambda _: correction.b, "", 5.50, relative=0.005, reason=factors,
                     recomputed=own_b),
            Quantity("CQ", pump_reading("viscous flow factor [-]"), "", 0.938, relative=0.0005 + 0.0005,
                     reason=factors),
            Quantity("C_eta", pump_reading("viscous efficiency factor [-]"), "", 0.738, relative=0.005,
                     reason=factors),
            Quantity("head at 103.2 m³/h", pump_reading("gain [m]"), "m", 72.2, relative=0.005,
                     reason=factors),
            Quantity("efficiency", pump_reading("efficiency [-]"), "", 0.50, absolute=0.005),
            Quantity("shaft power", pump_reading("shaft power [W]"), "kW", 36.4, relative=0.005,
                     reason=factors),
            *(Quantity(f"CH at {q:g} of the best flow", value(correction.head_factor, q), "",
                       recomputed=ch, recomputed_relative=1e-4)
              for q, ch in ((0.6, 0.9576), (0.8, 0.9474), (1.2, 0.9286))),
        ],
        note="The points of the curves beside the best one are ours. Formulas seen, numbers from memory.",
    )


# --- Formulas ------------------------------------------------------------------------------------


def pump_formulas():
    exponent = log((60 - 31) / (60 - 52)) / log(0.10 / 0.05)
    coefficient = 8 / 0.05**exponent

    def fit(i):
        return lambda _: hw.pump_coefficients(60, (0.05, 52), (0.10, 31))[i]

    def fitted_head(_):
        a, b, c = hw.pump_coefficients(60, (0.05, 52), (0.10, 31))
        return a - b * 0.08**c

    def doubled(i):
        return lambda _: hw.pump_at_speed("400 gpm", "48 ft", "45 kW", 2)[i]

    return [
        Formula("U12", "Pump laws", f"{DOE}, pump-law example", EXACT, [
            Quantity("flow", doubled(0), "gpm", 800, relative=1e-9),
            Quantity("head", doubled(1), "ft", 192, relative=1e-9),
            Quantity("power", doubled(2), "kW", 360, relative=1e-9),
        ]),
        Formula("U13", "Specific speed", "textbook pump, 1100 rev/min, 0.25 m³/s, 60 m", MEMORY, [
            Quantity("specific speed", value(hw.specific_speed, 1100, 0.25, 60), "", 25.5, relative=0.001,
                     recomputed=1100 * 0.5 / 60**0.75),
            Quantity("in gal/min and ft",
                     lambda _: hw.specific_speed(1100, 0.25 / GPM, 60 / FOOT), "",
                     recomputed=1318, recomputed_relative=0.001),
        ]),
        Formula("U14", "Curve through three points", "closed form", DERIVED, [
            Quantity("exponent", fit(2), "", recomputed=exponent),
            Quantity("coefficient", fit(1), "", recomputed=coefficient),
            Quantity("head at 0.08 m³/s", fitted_head, "m", recomputed=40.842, recomputed_relative=1e-5),
        ]),
        Formula("U15", "Heating of the liquid", "energy balance", DERIVED, [
            Quantity("60 m at 50 %", value(hw.pump_temperature_rise, 60, 0.5, 4186, 9.81), "K",
                     recomputed=9.81 * 60 / 4186),
            Quantity("200 ft at 40 %", value(hw.pump_temperature_rise, "200 ft", 0.4, 4186.8), "°F",
                     recomputed=200 * 1.5 / 778, recomputed_relative=0.001),  # 778 is rounded
        ]),
    ]


# --- Relief valves -------------------------------------------------------------------------------


def relief_valve_sizing():
    drop = (250 * 1.1 - 50) * UNITS["psi"]
    density = 0.90 * 999.0  # of a relative density of 0.90
    bare = hw.relief_area(1800 * GPM, density, drop, back_pressure=0.97)
    # 2800 Q G/(mu sqrt A) with 2000 SSU is 12700 Q/(U sqrt A).
    re = 12700 * 1800 / (2000 * sqrt(6.38))
    kv = 1 / (0.9935 + 2.878 / re**0.5 + 342.75 / re**1.5)
    # By viscosity instead: nu in which that Reynolds number is the SI one.
    nu = 2000 * 0.2158e-6  # [m²/s], of 2000 SSU
    constant = "38 gpm/(in² psi^0.5) of the standard is rounded"
    return Formula(
        "R1", "Relief valve for crude oil", API_520, MEMORY, [
            Quantity("area without viscosity", lambda _: bare, "in²", 4.752, relative=0.001,
                     reason=constant, recomputed=1800 / (38 * 0.65 * 0.97) * sqrt(0.90 / 225),
                     recomputed_relative=0.001),
            Quantity("next lettered orifice", lambda _: hw.relief_orifice(bare)[1], "in²", 6.38,
                     relative=1e-9),
            Quantity("Reynolds number", value(hw.relief_reynolds, 1800 * GPM, 6.38 * INCH**2, nu), "",
                     4525, relative=0.025,
                     reason="the standard's formula for SSU takes 0.2207 mm²/s each, tables 0.2158"),
            Quantity("Kv", value(hw.relief_viscosity_factor, re), "", 0.964, absolute=0.0005,
                     recomputed=kv),
            Quantity("area", value(hw.relief_area, 1800 * GPM, density, drop, back_pressure=0.97,
                                   viscosity=kv), "in²", 4.930, relative=0.001, reason=constant),
        ])


def relief_valve_passing():
    """The area of R1 lets its flow pass at set pressure and overpressure, without back pressure."""
    area = 4.752 * 0.97 * sqrt(225 / 275)
    text = f"""
[fluid]
name = "crude oil"
density = "{0.90 * 999.0} kg/m3"
viscosity = "1 mPa.s"
[[junction]]
name = "protected"
feed = "1800 gpm"
[[relief_valve]]
name = "PSV-1"
from = "protected"
set_pressure = "250 psi"
overpressure = 0.10
area = "{area * INCH**2 * 1e6:.12g} mm2"
"""
    return Example(
        "R2", "The same relief valve at work", API_520, MEMORY, text,
        [Quantity("pressure at 1800 gpm", pressure("protected"), "psi", 275, relative=0.002,
                  reason="38 gpm/(in² psi^0.5) of the standard is rounded")],
        note="The area of the example, less its bellows factor, for 275 psi of drop instead of 225.",
    )


# --- Orifice plates ------------------------------------------------------------------------------


def orifice_plates():
    table = {  # corner tappings, 100 mm: {b: {Re: C}}
        0.20: {5e3: 0.60445, 1e4: 0.60169, 3e4: 0.59931, 1e5: 0.59813, 1e6: 0.59738, 1e7: 0.59721,
               1e8: 0.59717},
        0.50: {5e3: 0.62757, 1e4: 0.61858, 3e4: 0.61091, 1e5: 0.60687, 1e6: 0.60378, 1e7: 0.60268,
               1e8: 0.60221},
        0.60: {1e4: 0.62820, 3e4: 0.61651, 1e5: 0.61034, 1e6: 0.60541, 1e7: 0.60352, 1e8: 0.60267},
    }

    def c(b, re):
        return hw.orifice_discharge_coefficient(re, 0.1, 0.1 * b)

    def loss(b, c):
        root = sqrt(1 - b**4 * (1 - c**2))
        return (root - c * b**2) / (root + c * b**2), (root / (c * b**2) - 1) ** 2

    quantities = [
        Quantity(f"C, b {b}, Re {re:g}", value(c, b, re), "", recomputed=expected,
                 recomputed_absolute=6e-6)
        for b, row in table.items() for re, expected in row.items()
    ]
    for b, expected in ((0.5, 0.60687), (0.6, 0.61034)):
        ratio, k = loss(b, expected)
        quantities += [
            Quantity(f"loss ratio, b {b}", lambda _, b=b: hw.orifice_loss_ratio(b, c(b, 1e5)), "",
                     recomputed=ratio, recomputed_relative=1e-4),
            Quantity(f"K, b {b}", lambda _, b=b: hw.orifice_k(b, c(b, 1e5)), "", recomputed=k,
                     recomputed_relative=1e-4),
        ]
    return Formula("O1", "Orifice plates with corner tappings", ISO_5167, DERIVED, quantities)


def metered_line():
    """What an orifice plate of K takes from a line, against eq. (7) and the flow equation."""
    b, bore, q = 0.5, 0.1, 1e5 * 1e-6 * 0.1 * 3.141592653589793 / 4
    c = 0.60687
    tappings = (q * sqrt(1 - b**4) / (c * 3.141592653589793 / 4 * (b * bore) ** 2)) ** 2 * 1000 / 2
    text = f"""
[fluid]
name = "water"
density = "1000 kg/m3"
kinematic_viscosity = "1e-6 m2/s"
[[junction]]
name = "upstream"
feed = "{q:.12g} m3/s"  # Reynolds number 1e5
[[vessel]]
name = "downstream"
[[restriction]]
name = "FE-1"
from = "upstream"
to = "downstream"
bore = "100 mm"
k = {hw.orifice_k(b, hw.orifice_discharge_coefficient(1e5, bore, b * bore)):.12g}
"""
    return Example(
        "O2", "Orifice plate in a line", ISO_5167, DERIVED, text,
        [Quantity("permanent loss", pressure("upstream"), "Pa", recomputed=0.73189 * tappings,
                  recomputed_relative=1e-4)],
    )


EXAMPLES = [
    small_pump_on_a_system(), munson_12_3(), hot_water_npsh(), cold_water_npsh(), hi_viscous_pump(),
    relief_valve_passing(), metered_line(),
]
FORMULAS = [*pump_formulas(), relief_valve_sizing(), orifice_plates()]
