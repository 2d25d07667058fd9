"""Valves as a network sees them: coefficients, resistance, partial openings, leaking seats."""

from math import sqrt

from quantities import (
    DERIVED,
    EXACT,
    INCH,
    MEMORY,
    SEEN,
    STANDARD_GRAVITY,
    UNITS,
    Example,
    Quantity,
    area,
    flow,
    loss_coefficient,
)

IEC = "IEC 60534-2-1"
KV_TABLE = "published table of full-open valves (annex on Kv; origin unnamed)"
GATE_TABLE = "published Kv and zeta table of gate valves (origin unnamed)"
PERRY = "Perry's Chemical Engineers' Handbook, local-loss table"
API_598 = "API 598, metal-seated check valve"

COLD_WATER = """
[fluid]
name = "water at 15 degC"
density = "999.1 kg/m3"
kinematic_viscosity = "1.14e-6 m2/s"
"""


def fed_valve(name, feed, body):
    return f"""
[[junction]]
name = "{name} inlet"
feed = "{feed}"
[[valve]]
name = "{name}"
from = "{name} inlet"
to = "drain"
{body}
"""


def water_per_bar():
    text = COLD_WATER + """
[[vessel]]
name = "1 bar"
gas_pressure = "1 bar"
[[vessel]]
name = "1 psi"
gas_pressure = "1 psi"
[[vessel]]
name = "drain"
[[valve]]
name = "by Kv"
from = "1 bar"
to = "drain"
kind = "globe"
bore = "50 mm"
kv = "40 m3/h"
[[valve]]
name = "by Cv"
from = "1 psi"
to = "drain"
kind = "globe"
bore = "50 mm"
cv = "40 gpm"
[[valve]]
name = "Kv from Cv"
from = "1 bar"
to = "drain"
kind = "globe"
bore = "50 mm"
cv = "40 gpm"
"""
    return Example(
        "V1", "Definitions of Kv and Cv", IEC, EXACT, text,
        [
            Quantity("flow at 1 bar, Kv 40", flow("by Kv"), "m³/h", 40, relative=1e-6),
            Quantity("flow at 1 psi, Cv 40", flow("by Cv"), "gpm", 40, relative=1e-6),
            Quantity("Kv over Cv", lambda r: r.flow["Kv from Cv"] * 3600 / 40, "", 0.865,
                     absolute=0.0005, recomputed=0.864978),
        ],
    )


def iec_globe_valve():
    text = """
[site]
atmospheric_pressure = "0 kPa"  # so that gauge is absolute
[fluid]
name = "hot water"
density = "965.4 kg/m3"
kinematic_viscosity = "3.26e-7 m2/s"
[[vessel]]
name = "upstream"
gas_pressure = "680 kPa"
[[vessel]]
name = "downstream"
gas_pressure = "220 kPa"
[[valve]]
name = "globe valve"
from = "upstream"
to = "downstream"
kind = "globe"
bore = "150 mm"
kv = "165 m3/h"
"""
    return Example(
        "V2", "Globe valve on hot water, not choked", f"{IEC}, annex, worked example", MEMORY, text,
        [Quantity("flow", flow("globe valve"), "m³/h", 360, relative=0.003,
                  reason="Kv printed to three digits",
                  recomputed=165 * sqrt(4.6 / (965.4 / 999.1)))],
    )


def valve_between_reducers(id, title, source, trust, note, cv, bore, k_in, k_out, drop, g, quantities):
    text = f"""
[fluid]
name = "liquid"
density = "{g * 999.1:.12g} kg/m3"  # relative density {g}
viscosity = "0.1 mPa.s"
[[vessel]]
name = "upstream"
gas_pressure = "{drop}"
[[vessel]]
name = "downstream"
[[junction]]
name = "valve inlet"
[[junction]]
name = "valve outlet"
[[restriction]]
name = "reducer"
from = "upstream"
to = "valve inlet"
bore = "{bore} in"
k = {k_in:.12g}
[[valve]]
name = "valve"
from = "valve inlet"
to = "valve outlet"
kind = "globe"
bore = "{bore} in"
cv = "{cv} gpm"
[[restriction]]
name = "expander"
from = "valve outlet"
to = "downstream"
bore = "{bore} in"
k = {k_out:.12g}
"""
    return Example(id, title, source, trust, text, quantities, note=note)


def piping_factor(cv, bore, sum_k):
    """FP = 1/sqrt(1 + SumK/N2 (C/d²)²), N2 from physics at 999.1 kg/m³ (890.29; 890 in print)."""
    exact_n2 = 2 * (area(bore * INCH) / (UNITS["gpm"] * sqrt(999.1 / UNITS["psi"]))) ** 2 / bore**4
    return 1 / sqrt(1 + sum_k / exact_n2 * (cv / bore**2) ** 2)


def propane_valve():
    area_ratio = (3 / 8) ** 2
    k_in, k_out = 0.5 * (1 - area_ratio) ** 2, (1 - area_ratio) ** 2
    bare = 121 * sqrt(25 / 0.5)  # [gpm]
    own = piping_factor(121, 3, k_in + k_out)
    return valve_between_reducers(
        "V3", "3 in globe valve in an 8 in line of propane", f"ISA-75.01.01 ({IEC}) procedure, sizing "
        "example of textbooks", MEMORY,
        "Inputs and procedure seen; the results for the 3 in valve from memory.",
        121, 3, k_in, k_out, "25 psi", 0.5,
        [
            Quantity("piping factor FP", lambda r: r.flow["valve"] / UNITS["gpm"] / bare, "", 0.90,
                     absolute=0.005, recomputed=own),
            Quantity("flow at 25 psi", flow("valve"), "gpm", recomputed=own * bare),
        ],
    )


def piping_factor_arithmetic():
    bare = 59.7 * sqrt(10)
    return valve_between_reducers(
        "V4", "Piping factor with given fittings", "sample problem of a sizing manual (origin unnamed)",
        SEEN,
        "The printed sum of K, 0.8437 = 1.5 (1 - 1/4)², is that of a 2 in valve in a 4 in line.",
        59.7, 2, 0.8437 / 3, 0.8437 * 2 / 3, "10 psi", 1.0,
        [Quantity("piping factor FP", lambda r: r.flow["valve"] / UNITS["gpm"] / bare, "", 0.9086,
                  relative=0.0005, recomputed=piping_factor(59.7, 2, 0.8437))],
    )


def k_of_kv(kv, bore):
    """K = N2 d⁴/Kv², N2 from physics at 999.1 kg/m³ (0.00160032 with d in mm; 0.0016 in print)."""
    velocity = kv / 3600 / area(bore)
    return 2 * 1e5 / (999.1 * velocity**2)


def zeta_from_kv(id, title, source, kind, rows, tolerance):
    text = COLD_WATER + '[[vessel]]\nname = "drain"\n' + "".join(
        fed_valve(f"DN {dn}", f"{3600 * area(dn / 1000):.10g} m3/h",  # 1 m/s
                  f'kind = "{kind}"\nbore = "{dn} mm"\nkv = "{kv} m3/h"')
        for dn, kv, _ in rows)
    return Example(
        id, title, source, SEEN, text,
        [
            Quantity(f"zeta, DN {dn}, Kv {kv}", loss_coefficient(f"DN {dn}", STANDARD_GRAVITY), "",
                     zeta, **tolerance,
                     recomputed=k_of_kv(kv, dn / 1000))
            for dn, kv, zeta in rows
        ],
    )


def zeta_tables():
    return [
        zeta_from_kv(
            "V5", "Kv to zeta, full-open valves", KV_TABLE, "ball",
            [(50, 175, 0.32), (65, 325, 0.27), (80, 525, 0.24), (100, 850, 0.22), (125, 1395, 0.20),
             (150, 2200, 0.17), (400, 17070, 0.14)],
            {"relative": 0.03, "reason": "zeta printed to two digits"}),
        zeta_from_kv(
            "V6", "Kv to zeta, gate valves", GATE_TABLE, "gate",
            [(50, 555, 0.03), (65, 650, 0.07), (80, 1050, 0.06), (100, 1945, 0.04)],
            {"absolute": 0.005}),
    ]


PARTIAL_OPENINGS = {  # kind: {opening: K}
    "diaphragm weir": {1.0: 2.3, 0.75: 2.6, 0.5: 4.3, 0.25: 21},
    "gate": {1.0: 0.17, 0.75: 0.9, 0.5: 4.5, 0.25: 24},
    "butterfly": {85 / 90: 0.24, 80 / 90: 0.52, 70 / 90: 1.54, 50 / 90: 10.8, 30 / 90: 118},
    "plug": {85 / 90: 0.05, 80 / 90: 0.29, 70 / 90: 1.56, 50 / 90: 17.3, 30 / 90: 206},
}


def partial_openings():
    examples = []
    for kind, rows in PARTIAL_OPENINGS.items():
        text = COLD_WATER + '[[vessel]]\nname = "drain"\n' + "".join(
            fed_valve(f"{opening:.3f} open", f"{area(0.05):.10g} m3/s",  # 1 m/s
                      f'kind = "{kind}"\nbore = "50 mm"\nopening = {opening:.15g}')
            for opening in rows)
        examples.append(Example(
            f"V7 {kind}", f"Partly open {kind} valve", PERRY, SEEN, text,
            [
                Quantity(f"K, {opening:.3g} open", loss_coefficient(f"{opening:.3f} open",
                                                                    STANDARD_GRAVITY), "", k,
                         relative=0.005,
                         reason="the kind's coefficients carry three to four digits",
                         in_table=False)
                for opening, k in rows.items()
            ],
            note="Numbers seen; that they are Perry's is from memory. They are also the source of the "
                 "built-in characteristics, so this checks the way from there to a head loss.",
        ))
    return examples


def globe_by_plug_disc():
    """Perry's plug disc as a maker's curve: K 9, 13, 36, 112."""
    ks = {1.0: 9.0, 0.75: 13.0, 0.5: 36.0, 0.25: 112.0}
    curve = ", ".join(f"[{h}, {sqrt(9.0 / k):.15g}]" for h, k in sorted(ks.items()))
    text = COLD_WATER + '[[vessel]]\nname = "drain"\n' + "".join(
        fed_valve(f"{opening} open", f"{area(0.05):.10g} m3/s",
                  f'kind = "globe"\nbore = "50 mm"\nk = 9\ncurve = [[0, 0], {curve}]\n'
                  f"opening = {opening}")
        for opening in ks)
    return Example(
        "V8", "Partly open globe valve, entered as a table", PERRY, SEEN, text,
        [Quantity(f"K, {opening:.3g} open", loss_coefficient(f"{opening} open", STANDARD_GRAVITY), "",
                  k, relative=1e-6, in_table=False) for opening, k in ks.items()],
    )


def throttled_gravity_line():
    """12 m of head on K 14 in 52.5 mm, and a weir diaphragm valve of Perry's K."""
    ks = {1.0: 2.3, 0.75: 2.6, 0.5: 4.3, 0.25: 21.0}
    curve = ", ".join(f"[{h}, {sqrt(2.3 / k):.15g}]" for h, k in sorted(ks.items()))
    text = """
[fluid]
name = "water"
density = "998.2 kg/m3"
viscosity = "1.002 mPa.s"
[[vessel]]
name = "head tank"
elevation = "12 m"
[[vessel]]
name = "receiver"
""" + "".join(f"""
[[junction]]
name = "before {opening}"
[[restriction]]
name = "line {opening}"
from = "head tank"
to = "before {opening}"
bore = "52.5 mm"
k = 14  # all other losses
[[valve]]
name = "{opening} open"
from = "before {opening}"
to = "receiver"
kind = "diaphragm weir"
bore = "52.5 mm"
k = 2.3
curve = [[0, 0], {curve}]
opening = {opening}
""" for opening in ks)
    g, bore = STANDARD_GRAVITY, 0.0525
    quantities = []
    for opening, k in ks.items():
        v2 = 2 * g * 12 / (14 + k)
        quantities.append(Quantity(f"flow, {opening:.3g} open", flow(f"{opening} open"), "m³/h",
                                   recomputed=area(bore) * sqrt(v2) * 3600))
        quantities.append(Quantity(
            f"valve drop, {opening:.3g} open",
            lambda r, name=f"{opening} open": 998.2 * g * r.drop[name], "kPa",
            recomputed=998.2 * k * v2 / 2 / 1e3))
    return Example("V9", "Throttled gravity line", f"K of {PERRY}", DERIVED, text, quantities)


def leaking_check_valve():
    """Allowable seat leakage as a coefficient: 3 mL/min per inch at the test pressure."""
    leak_kv = 18e-6 * 60 / sqrt(21.6)  # [m³/h], relative density 1
    text = COLD_WATER + "".join(f"""
[[vessel]]
name = "{bar} bar"
gas_pressure = "{bar} bar"
[[check_valve]]
name = "NRV at {bar} bar"
from = "drain"
to = "{bar} bar"
kind = "swing"
size = "NPS 6"
condition = "passing"
leak_kv = "{leak_kv:.12g} m3/h"
""" for bar in (21.6, 4)) + '[[vessel]]\nname = "drain"\n'
    return Example(
        "V10", "Leak through a shut NPS 6 check valve", API_598, DERIVED, text,
        [
            Quantity("leak at the test pressure, 21.6 bar", lambda r: -r.flow["NRV at 21.6 bar"],
                     "mL/min", recomputed=18, recomputed_relative=0.001),
            Quantity("leak at 4 bar", lambda r: -r.flow["NRV at 4 bar"], "mL/min",
                     recomputed=18 * sqrt(4 / 21.6), recomputed_relative=0.001),
        ],
        note="18 mL/min as printed; the test pressure is an assumed one, and the coefficient follows from "
             "both. What is checked is the square law from there.",
    )


EXAMPLES = [
    water_per_bar(), iec_globe_valve(), propane_valve(), piping_factor_arithmetic(), *zeta_tables(),
    *partial_openings(), globe_by_plug_disc(), throttled_gravity_line(), leaking_check_valve(),
]
