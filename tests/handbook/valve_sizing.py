"""Valves that choke, cavitate, stand between reducers or pass viscous liquid; leaking seats; what
opens and shuts a check valve."""

from math import log10, pi, radians, sin, sqrt

from quantities import (
    DERIVED,
    FOOT,
    MEMORY,
    SEEN,
    STANDARD_GRAVITY,
    UNITS,
    Example,
    Formula,
    Quantity,
    Search,
    flow,
    found,
    table_value,
    value,
)
from valves import COLD_WATER, IEC

import handwheel as hw

SECONDARY = "listing on a valve-service page"
FT_METHOD = "tables of the fT method"
BAR = 1e5  # [Pa]
KV = 1 / 3600  # [m³/s] of 1 m³/h
GPM, PSI = UNITS["gpm"], UNITS["psi"]
EXACT_N2 = 0.00160032  # for Kv, mm and 999.1 kg/m³; 0.00160 in print
ABSOLUTE = '[site]\natmospheric_pressure = "0 kPa"  # so that gauge is absolute\n'


def valve_reading(name, column):
    return table_value("valves", name, column)


def between_vessels(fluid, p1, p2, valve):
    return f"""
{ABSOLUTE}[fluid]
name = "liquid"
{fluid}
[[vessel]]
name = "upstream"
gas_pressure = "{p1}"
[[vessel]]
name = "downstream"
gas_pressure = "{p2}"
[[valve]]
name = "valve"
from = "upstream"
to = "downstream"
{valve}
"""


# --- Printed examples ----------------------------------------------------------------------------


def iec_globe_valve():
    text = between_vessels(
        'density = "965.4 kg/m3"\nkinematic_viscosity = "3.26e-7 m2/s"\n'
        'vapour_pressure = "70.1 kPa"\ncritical_pressure = "22120 kPa"',
        "680 kPa", "220 kPa",
        'kind = "globe"\nbore = "150 mm"\nkv = "165 m3/h"\nfl = 0.90')

    def ff(r):
        liquid = r.solution.liquid
        return hw.critical_pressure_ratio_factor(liquid.vapour_pressure, liquid.critical_pressure)

    def rev(r):
        return hw.valve_reynolds(r.flow["valve"], "165 m3/h", "150 mm",
                                 r.solution.liquid.kinematic_viscosity, 0.90, 0.46)

    return Example(
        "V11", "Globe valve on hot water, is it choked?", f"{IEC}, annex, worked example", MEMORY, text,
        [
            Quantity("FF", ff, "", 0.944, absolute=0.0005, recomputed=0.96 - 0.28 * sqrt(70.1 / 22120)),
            Quantity("choked drop", valve_reading("valve", "choked drop [Pa]"), "kPa", 497,
                     absolute=0.5,
                     recomputed=0.81 * (680 - (0.96 - 0.28 * sqrt(70.1 / 22120)) * 70.1)),
            Quantity("valve Reynolds number", rev, "", 2.97e6, relative=0.002),
            Quantity("flow, drop 460 kPa", flow("valve"), "m³/h", 360, relative=0.003,
                     reason="Kv printed to three digits", in_table=False),  # as V2
        ],
    )


PROPANE = ('density = "499.55 kg/m3"  # relative density 0.5\nviscosity = "0.1 mPa.s"\n'
           'vapour_pressure = "124.3 psi"\ncritical_pressure = "616.3 psi"')
PROPANE_SOURCE = f"ISA-75.01.01 ({IEC}) procedure, sizing example of textbooks"
PROPANE_K = {  # of 3 in in 8 in
    "inlet": 0.5 * (1 - (3 / 8) ** 2) ** 2,
    "outlet": (1 - (3 / 8) ** 2) ** 2,
    "bernoulli": 1 - (3 / 8) ** 4,
}


def propane_in_a_wider_line():
    own = EXACT_N2 * 76.2**4 / (121 * 0.864978) ** 2  # K of the valve
    sum_k = PROPANE_K["inlet"] + PROPANE_K["outlet"]
    fp = 1 / sqrt(1 + sum_k / own)
    flp = 1 / sqrt((PROPANE_K["inlet"] + PROPANE_K["bernoulli"]) / own + 1 / 0.89**2)
    ff = 0.96 - 0.28 * sqrt(124.3 / 616.3)
    bare = 121 * sqrt(25 / 0.5)
    around = hw.reducers("3 in", "8 in", "8 in")
    text = between_vessels(
        PROPANE, "314.7 psi", "289.7 psi",
        'kind = "globe"\nbore = "3 in"\ncv = "121 gpm"\nfl = 0.89\npipe_bore = "8 in"')
    return Example(
        "V12", "3 in globe valve in an 8 in line, by its pipe bore", PROPANE_SOURCE, MEMORY, text,
        [
            Quantity("K1", lambda _: around.inlet_loss, "", 0.37, absolute=0.005,
                     recomputed=PROPANE_K["inlet"]),
            Quantity("K2", lambda _: around.outlet_loss, "", 0.74, absolute=0.005,
                     recomputed=PROPANE_K["outlet"]),
            Quantity("sum of K", lambda _: around.sum, "", 1.11, absolute=0.005, recomputed=sum_k),
            Quantity("FP", lambda r: r.flow["valve"] / GPM / bare, "", 0.90, absolute=0.005,
                     recomputed=fp, recomputed_relative=1e-5),
            Quantity("FLP", lambda _: hw.combined_recovery_factor(121 * 0.864978 * KV, "3 in", 0.89,
                                                                  around),
                     "", 0.81, absolute=0.005, recomputed=flp, recomputed_relative=1e-5),
            Quantity("choked drop with reducers", valve_reading("valve", "choked drop [Pa]"), "psi",
                     recomputed=(flp / fp) ** 2 * (314.7 - ff * 124.3), recomputed_relative=1e-5),
        ],
        note="Inputs and procedure seen; the results for the 3 in valve from memory.",
    )


def propane_required_cv():
    text = between_vessels(
        PROPANE, "314.7 psi", "289.7 psi",
        'kind = "globe"\nbore = "3 in"\ncv = "121 gpm"\nfl = 0.89\npipe_bore = "8 in"')
    return Example(
        "V13", "Flow coefficient that passes 800 gpm of propane", PROPANE_SOURCE, MEMORY, text,
        [Quantity("Cv", found, "gpm", 125.7, relative=0.006,
                  reason="the example keeps the FP, rounded, of the first trial, Cv 121")],
        search=Search("valve.cv", 60 * GPM, 250 * GPM, lambda r: r.flow["valve"] - 800 * GPM),
    )


def choked_between_reducers():
    k = EXACT_N2 * 80**4 / 100**2
    x = (80 / 154.1) ** 2
    k1, k2, kb = 0.5 * (1 - x) ** 2, (1 - x) ** 2, 1 - x * x
    fp = 1 / sqrt(1 + (k1 + k2) / k)
    flp = 1 / sqrt((k1 + kb) / k + 1 / 0.75**2)
    ff = 0.96 - 0.28 * sqrt(0.02339 / 220.64)
    choked = (flp / fp) ** 2 * (10 - ff * 0.02339)
    relative_density = 0.998
    fluid = (f'density = "{relative_density * 999.1:.12g} kg/m3"\nviscosity = "1 mPa.s"\n'
             'vapour_pressure = "2339 Pa"\ncritical_pressure = "220.64 bar"')
    valve = 'kind = "globe"\nbore = "80 mm"\nkv = "100 m3/h"\nfl = 0.75\npipe_bore = "154.1 mm"'
    return [
        Example(
            "V14a", "Valve between reducers, choked", IEC, DERIVED,
            between_vessels(fluid, "10 bar", "2 bar", valve),
            [
                Quantity("choked drop", valve_reading("valve", "choked drop [Pa]"), "bar",
                         recomputed=choked, recomputed_relative=1e-5),
                Quantity("flow", flow("valve"), "m³/h",
                         recomputed=100 * fp * sqrt(choked / relative_density),
                         recomputed_relative=1e-5),
            ],
        ),
        Example(
            "V14b", "Valve between reducers, not choked", IEC, DERIVED,
            between_vessels(fluid, "10 bar", "7 bar", valve),
            [Quantity("flow", flow("valve"), "m³/h", recomputed=100 * fp * sqrt(3 / relative_density),
                      recomputed_relative=1e-5)],
        ),
    ]


def choked_on_warm_water():
    text = ABSOLUTE + """[fluid]
name = "water at 60 degC"
density = "983.2 kg/m3"
viscosity = "0.466 mPa.s"
vapour_pressure = "0.19946 bar"
[[vessel]]
name = "upstream"
gas_pressure = "5 bar"
[[vessel]]
name = "downstream"
gas_pressure = "0.5 bar"
""" + "".join(f"""[[valve]]
name = "FL {fl}"
from = "upstream"
to = "downstream"
kind = "globe"
bore = "80 mm"
kv = "40 m3/h"
fl = {fl}
""" for fl in (0.9, 0.6))
    quantities = []
    for fl in (0.9, 0.6):
        drop = fl**2 * (5 - (0.96 - 0.28 * sqrt(0.19946 / 220.64)) * 0.19946)
        quantities += [
            Quantity(f"choked drop, FL {fl}", valve_reading(f"FL {fl}", "choked drop [Pa]"), "bar",
                     recomputed=drop),
            Quantity(f"flow, FL {fl}", flow(f"FL {fl}"), "m³/h",
                     recomputed=40 * sqrt(drop / (983.2 / 999.1)), recomputed_relative=1e-5),
        ]
    return Example("V15", "Choked valves on warm water", IEC, DERIVED, text, quantities)


# --- Viscous flow --------------------------------------------------------------------------------


def reynolds_factor(q, nu, kv=10.0, d=25.0, fl=0.9, fd=0.46, n=6.25):
    """FR of the standard with its own constants N2, N4; q, kv [m³/h], d [mm]. n1 = N2/(C/d²)²."""
    rev = (0.0707 * fd * q / (nu * sqrt(kv * fl))
           * (fl**2 * kv**2 / (0.0016 * d**4) + 1) ** 0.25)
    transitional = 1 + 0.33 * sqrt(fl) / n**0.25 * log10(rev / 1e4)
    laminar = 0.026 / fl * sqrt(n * rev)
    return min(transitional, laminar, 1.0) if rev >= 10 else min(laminar, 1.0)


def viscous_valves():
    """Kv 10 in 25 mm, FL 0.9, Fd 0.46 (a globe valve)."""
    reason = {"recomputed_relative": 0.002}  # the standard rounds N2, N4 (0.06 %) and n1
    valve = 'kind = "globe"\nbore = "25 mm"\nkv = "10 m3/h"\nfl = 0.90\n'

    def text(nu, feeds, with_drop):
        parts = [f"""[fluid]
name = "oil"
density = "{0.9 * 999.1:.12g} kg/m3"
kinematic_viscosity = "{nu} m2/s"
[[vessel]]
name = "drain"
"""]
        for feed in feeds:
            parts.append(f"""[[junction]]
name = "feed {feed}"
feed = "{feed} m3/h"
[[valve]]
name = "at {feed}"
from = "feed {feed}"
to = "drain"
{valve}""")
        if with_drop:
            parts.append(f"""[[vessel]]
name = "1 bar"
gas_pressure = "1 bar"
[[valve]]
name = "at 1 bar"
from = "1 bar"
to = "drain"
{valve}""")
        return "".join(parts)

    def fixed_point(nu):
        q = 5.0
        for _ in range(200):
            q = 0.5 * (q + reynolds_factor(q, nu) * 10 * sqrt(1 / 0.9))
        return q

    def fr(name):
        return valve_reading(name, "FR [-]")

    return [
        Example(
            "V16a", "Viscous oil through a valve, transitional", IEC, DERIVED,
            text("5e-4", (5, 1), True),
            [
                Quantity("FR at 5 m³/h", fr("at 5"), "", recomputed=reynolds_factor(5, 5e-4), **reason),
                Quantity("FR at 1 m³/h", fr("at 1"), "", recomputed=reynolds_factor(1, 5e-4), **reason),
                Quantity("flow at 1 bar", flow("at 1 bar"), "m³/h", recomputed=fixed_point(5e-4),
                         **reason),
                Quantity("FR at 1 bar", fr("at 1 bar"), "",
                         recomputed=reynolds_factor(fixed_point(5e-4), 5e-4), **reason),
                Quantity("valve Reynolds number at 5 m³/h",
                         lambda r: hw.valve_reynolds(r.flow["at 5"], "10 m3/h", "25 mm", 5e-4, 0.9,
                                                     0.46),
                         "", recomputed=111.76, **reason),
                Quantity("FR at 5 m³/h by the function",
                         lambda r: hw.valve_reynolds_factor(111.76, "10 m3/h", "25 mm", 0.9), "",
                         recomputed=reynolds_factor(5, 5e-4), **reason),
            ],
        ),
        Example(
            "V16b", "Viscous oil through a valve, laminar", IEC, DERIVED, text("5e-3", (), True),
            [
                Quantity("flow at 1 bar", flow("at 1 bar"), "m³/h", recomputed=fixed_point(5e-3),
                         recomputed_relative=0.004),  # as above, squared: Q goes as FR²
                Quantity("FR at 1 bar", fr("at 1 bar"), "",
                         recomputed=reynolds_factor(fixed_point(5e-3), 5e-3),
                         recomputed_relative=0.004),
            ],
        ),
    ]


# --- Cavitation ----------------------------------------------------------------------------------


def cavitation():
    text = between_vessels(
        'density = "998.2 kg/m3"\nviscosity = "1 mPa.s"\nvapour_pressure = "0.0234 bar"', "8 bar",
        "3 bar", 'kind = "globe"\nbore = "150 mm"\nkv = "100 m3/h"\nfl = 0.9')
    at_12_bar = between_vessels(
        'density = "998.2 kg/m3"\nviscosity = "1 mPa.s"\nvapour_pressure = "0.0234 bar"', "12 bar",
        "11 bar", 'kind = "globe"\nbore = "150 mm"\nkv = "100 m3/h"\nfl = 0.9')
    xfz = 0.90 / sqrt(1 + 3 * 0.46 * sqrt(100 / 0.9))
    sigma = (8 - 0.0234) / 5
    return [
        Example(
            "V17a", "Cavitation index of a valve", "ISA-RP75.23, definitions", DERIVED, text,
            [
                Quantity("xF", valve_reading("valve", "xF [-]"), "", recomputed=1 / sigma),
                Quantity("sigma", lambda _: hw.cavitation_index("8 bar", "3 bar", "0.0234 bar"), "",
                         recomputed=sigma),
            ],
        ),
        Example(
            "V17b", "Drop ratio of audible cavitation", "IEC 60534-8-4", DERIVED, at_12_bar,
            [
                Quantity("xFz at 12 bar", valve_reading("valve", "xFz [-]"), "",
                         recomputed=xfz * 0.5**0.125),
                Quantity("xFz at 6 bar",
                         lambda _: hw.audible_cavitation_ratio("100 m3/h", 0.9, 0.46), "",
                         recomputed=xfz),
            ],
        ),
    ]


# --- Seats ---------------------------------------------------------------------------------------


def leak_by_name_of_the_rate():
    sizes = {"NPS 6": 18, "NPS 12": 36, "NPS 24": 72}  # mL/min
    text = COLD_WATER + f"""[[vessel]]
name = "held"
gas_pressure = "21.6 bar"
[[vessel]]
name = "drain"
""" + "".join(f"""[[check_valve]]
name = "{size}"
from = "drain"
to = "held"
kind = "swing"
size = "{size}"
condition = "passing"
leakage = "API 598 metal check"
rating = "{21.6 / 1.1:.15g} bar"  # tested at 1.1 times this
""" for size in sizes)
    return Example(
        "V18", "Metal-seated check valves that pass their seat test", f"API 598, {SECONDARY}", SEEN, text,
        [Quantity(f"leak, {size}", lambda r, size=size: -r.flow[size], "mL/min", leak, relative=0.001,
                  reason="the law is linear below a Reynolds number of 1")
         for size, leak in sizes.items()],
    )


def leak_formulas():
    test = "20 bar"

    def leak(rate, size):
        return value(hw.leak_in_test, rate, size, test)

    return [
        Formula("V19", "Allowable seat leakage", f"API 598, ISO 5208 and MSS SP-61, {SECONDARY}", SEEN, [
            Quantity("API 598 metal seat, NPS 8", leak("API 598 metal seat", "NPS 8"), "drops/min", 16,
                     relative=1e-6),
            Quantity("ISO 5208 D, DN 50", leak("ISO 5208 D", "DN50"), "drops/min", 4.8, relative=1e-6),
            Quantity("ISO 5208 D, DN 50, by volume", leak("ISO 5208 D", "DN50"), "mL/min", 0.30,
                     relative=1e-6),
            Quantity("MSS SP-61, NPS 6", leak("MSS SP-61", "NPS 6"), "drops/min", 15.96, relative=0.003,
                     reason="printed as 2.66 drops to the inch, for 2.667"),
        ]),
        Formula("V20", "Class IV leakage", "FCI 70-2, as quoted in an engineering forum", SEEN, [
            Quantity("share of the rated coefficient",
                     value(hw.seat_leak_kv, "FCI 70-2 class IV", "DN100", test, rated_kv=1.0), "",
                     1e-4, relative=1e-6),
        ]),
    ]


def small_line_arithmetic():
    """Printed with K of a 2 in valve in a 4 in line: 0.8437 = 1.5 (1 - 1/4)²."""
    kv = 59.7 * 0.864978 * KV
    line, wide = hw.reducers("2 in", "4 in", "4 in"), hw.reducers("2 in", "7.981 in", "7.981 in")
    return Formula(
        "V21", "Reducers of a sizing manual", "sample problem of a sizing manual (origin unnamed)", SEEN,
        [
            Quantity("FP", value(hw.piping_geometry_factor, kv, "2 in", line), "", 0.9086,
                     relative=0.0005),
            Quantity("FLP", value(hw.combined_recovery_factor, kv, "2 in", 0.85, line), "", 0.7695,
                     relative=0.0005, reason="KB1 printed 0.9357 for 0.9375"),
            Quantity("K1, 2 in in 7.981 in", lambda _: wide.inlet_loss, "", 0.4391, relative=0.0005),
            Quantity("K2, 2 in in 7.981 in", lambda _: wide.outlet_loss, "", 0.8782, relative=0.0005),
        ])


# --- Check valves --------------------------------------------------------------------------------


def minimum_velocities():
    text = """
[fluid]
name = "water"
density = "62.3 lb/ft3"
viscosity = "1 mPa.s"
[[vessel]]
name = "drain"
""" + "".join(f"""[[junction]]
name = "{kind} inlet"
feed = "10 m3/h"
[[check_valve]]
name = "{kind}"
from = "{kind} inlet"
to = "drain"
kind = "{kind}"
size = "DN80"
""" for kind in ("swing", "lift"))
    reason = "the table's constants are whole numbers; a metric form rounds them anew"
    return Example(
        "V22", "Least velocity that holds check valves open", FT_METHOD, MEMORY, text,
        [
            Quantity(f"{kind}, constant {c}",
                     table_value("check valves", kind, "minimum velocity [m/s]"), "ft/s",
                     c / sqrt(62.3), relative=0.001, reason=reason)
            for kind, c in (("swing", 35), ("lift", 40))
        ],
    )


def check_valve_statics():
    seat = pi / 4 * 0.05**2
    g = STANDARD_GRAVITY
    rho = 998.2
    lift_weight = hw.submerged_weight(0.35, 7850, rho)
    swing_weight = hw.submerged_weight(4, 7850, rho)
    own_weight = 0.35 * g * (1 - rho / 7850)
    own_swing = 4 * g * (1 - rho / 7850)
    own = own_swing * 0.09 * sin(radians(5)) / (pi / 4 * 0.01 * 0.095)
    return Formula(
        "V23", "Cracking pressure from the parts", "statics", DERIVED, [
            Quantity("lift check, upward flow", value(hw.lift_cracking_pressure, 0, lift_weight, 0.05),
                     "Pa", recomputed=own_weight / seat),
            Quantity("lift check, upward flow, 12 N spring",
                     value(hw.lift_cracking_pressure, 12, lift_weight, 0.05), "Pa",
                     recomputed=(12 + own_weight) / seat),
            Quantity("lift check, horizontal stroke, 12 N spring",
                     value(hw.lift_cracking_pressure, 12, 0, 0.05), "Pa", recomputed=12 / seat),
            Quantity("swing check, seat tilted 5°",
                     value(hw.swing_cracking_pressure, swing_weight, 0.09, radians(5), 0.1, 0.095),
                     "Pa", recomputed=own),
            Quantity("swing check, upright seat",
                     value(hw.swing_cracking_pressure, swing_weight, 0.09, 0, 0.1, 0.095), "Pa",
                     recomputed=0.0, recomputed_absolute=1e-9),
        ])


def stopped_columns():
    slug = 14.59390294  # [kg]
    density = 62.4 / 32 * slug / FOOT**3  # of a specific weight of 62.4 lbf/ft³ with g = 32 ft/s²
    return [
        Formula("V24", "Water hammer as a valve shuts at once",
                "US Army TM 5-813-9, figure 4-5, worked calculation", SEEN, [
                    Quantity("pressure rise",
                             value(hw.slam_pressure, density, 2690 * FOOT, 6.48 * FOOT), "psi", 236.1,
                             relative=0.002, reason="the page takes g as 32 ft/s²"),
                    Quantity("pressure rise as a head",
                             lambda _: hw.slam_pressure(density, 2690 * FOOT, 6.48 * FOOT)
                             / (density * 32 * FOOT), "ft", 544.7, relative=0.001),
                ]),
        Formula("V25", "Column behind a check valve", "N. Joukowsky, 1898; Newton's second law", DERIVED, [
            Quantity("slam at 0.30 m/s", value(hw.slam_pressure, 998.2, 1300, 0.30), "bar",
                     recomputed=998.2 * 1300 * 0.3 / BAR),
            Quantity("deceleration, 30 m over 600 m", value(hw.rigid_column_deceleration, 30, 600),
                     "m/s²", recomputed=STANDARD_GRAVITY * 30 / 600),
        ]),
    ]


EXAMPLES = [
    iec_globe_valve(), propane_in_a_wider_line(), propane_required_cv(), *choked_between_reducers(),
    choked_on_warm_water(), *viscous_valves(), *cavitation(), leak_by_name_of_the_rate(),
    minimum_velocities(),
]
FORMULAS = [*leak_formulas(), small_line_arithmetic(), check_valve_statics(), *stopped_columns()]
