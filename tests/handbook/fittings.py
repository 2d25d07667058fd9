"""Resistance coefficients of fittings, read off a network with a vanishingly short pipe.

The pipe is 1 nm long, so that its friction is below 1e-8 of a fitting's loss.
"""

from hand_calculation import GRAVITY
from quantities import (
    DERIVED,
    INCH,
    MEMORY,
    SEEN,
    Example,
    Quantity,
    area,
    loss_coefficient,
)

HOOPER = "Hooper, Chem. Eng. 88, 24 Aug 1981"
DARBY = "Darby, Chemical Engineering Fluid Mechanics, 2nd ed., Table 7-3"
FT_TABLE = "Technical Paper 410, Flow of Fluids, older printings"


def line(name, bore_inches, re, fitting, nu=1e-6):
    bore = bore_inches * INCH
    return f"""
[[junction]]
name = "{name} inlet"
feed = "{re * nu / bore * area(bore):.12g} m3/s"  # Re {re:g}
[[pipe]]
name = "{name}"
from = "{name} inlet"
to = "drain"
length = "1e-9 m"
bore = "{bore_inches} in"
fittings = {{ "{fitting}" = 1 }}
"""


def start_of(method):
    return f"""
[site]
gravity = "9.81 m/s2"
[model]
fittings = "{method}"
[fluid]
name = "water"
density = "1000 kg/m3"
kinematic_viscosity = "1e-6 m2/s"
[[vessel]]
name = "drain"
"""


def two_k():
    rows = [  # name, bore [in], Re, fitting, K1, K∞
        ("long-radius elbow, Re 1e5", 2.067, 1e5, "elbow 90 long radius", 800, 0.20),
        ("long-radius elbow, Re 1e3", 2.067, 1e3, "elbow 90 long radius", 800, 0.20),
        ("screwed elbow", 2.067, 1e5, "elbow 90 threaded", 800, 0.40),
        ("globe valve", 2.067, 1e5, "globe valve", 1500, 4.00),
        ("long-radius elbow, 6 in", 6.065, 1e5, "elbow 90 long radius", 800, 0.20),
        ("screwed elbow, 6 in", 6.065, 1e5, "elbow 90 threaded", 800, 0.40),
        ("globe valve, 6 in", 6.065, 1e5, "globe valve", 1500, 4.00),
    ]
    text = start_of("two-K") + "".join(line(n, d, re, what) for n, d, re, what, *_ in rows)
    return Example(
        "F-2K", "Two-K method", HOOPER, DERIVED, text,
        [
            Quantity(f"K, {name}", loss_coefficient(name, GRAVITY),
                     recomputed=k1 / re + k_infinity * (1 + 1 / bore))
            for name, bore, re, _, k1, k_infinity in rows
        ],
        note="The form was seen, the constants are from memory.",
    )


def three_k():
    rows = [  # name, nominal bore [in], Re, fitting, K1, Ki, Kd
        ("screwed elbow, Re 1e5", 2, 1e5, "elbow 90 threaded", 800, 0.14, 4.0),
        ("screwed elbow, Re 100", 2, 100, "elbow 90 threaded", 800, 0.14, 4.0),
        ("gate valve", 2, 1e5, "gate valve", 300, 0.037, 3.9),
        ("globe valve", 2, 1e5, "globe valve", 1500, 1.70, 3.6),
        ("screwed elbow, 6 in", 6, 1e5, "elbow 90 threaded", 800, 0.14, 4.0),
        ("gate valve, 6 in", 6, 1e5, "gate valve", 300, 0.037, 3.9),
        ("globe valve, 6 in", 6, 1e5, "globe valve", 1500, 1.70, 3.6),
    ]
    text = start_of("three-K") + "".join(line(n, d, re, what) for n, d, re, what, *_ in rows)
    return Example(
        "F-3K", "Three-K method", DARBY, DERIVED, text,
        [
            Quantity(f"K, {name}", loss_coefficient(name, GRAVITY),
                     recomputed=k1 / re + ki * (1 + kd / nominal**0.3))
            for name, nominal, re, _, k1, ki, kd in rows
        ],
        note="Form and constants seen. A pipe given by its bore takes that bore as the nominal one.",
    )


def connections():
    rows = [("sharp entrance, Re 1e5", 1e5, "entrance sharp", 0.5 + 160 / 1e5),
            ("sharp entrance, Re 1e3", 1e3, "entrance sharp", 0.5 + 160 / 1e3),
            ("exit", 1e5, "exit", 1.0)]
    text = start_of("two-K") + "".join(line(n, 2.067, re, what) for n, re, what, _ in rows)
    return Example(
        "F-ends", "Entrance and exit", HOOPER, MEMORY, text,
        [Quantity(f"K, {name}", loss_coefficient(name, GRAVITY), "", k, relative=1e-6, in_table=False)
         for name, _, _, k in rows],
    )


def fully_turbulent_factors():
    rows = [  # NPS, bore [in], fT as printed, fT by the rough-pipe law with 0.0018 in
        ("1/2", 0.622, 0.027, 0.02590), ("3/4", 0.824, 0.025, 0.02398), ("1", 1.049, 0.023, 0.02250),
        ("1-1/4", 1.380, 0.022, 0.02097), ("1-1/2", 1.610, 0.021, 0.02018),
        ("2", 2.067, 0.019, 0.01899), ("2-1/2", 2.469, 0.018, 0.01821), ("3", 3.068, 0.018, 0.01732),
        ("4", 4.026, 0.017, 0.01629), ("5", 5.047, 0.016, 0.01550), ("6", 6.065, 0.015, 0.01490),
        ("8", 7.981, 0.014, 0.01407), ("10", 10.020, 0.014, 0.01343), ("12", 11.938, 0.013, 0.01297),
        ("14", 13.124, 0.013, 0.01273), ("16", 15.000, 0.013, 0.01241), ("18", 16.876, 0.012, 0.01213),
    ]
    text = start_of("equivalent length") + "".join(
        line(f"NPS {size}", bore, 1e6, "elbow 90 threaded") for size, bore, *_ in rows)

    def per_elbow(size):
        k = loss_coefficient(f"NPS {size}", GRAVITY)
        return lambda r: k(r) / 30.0

    return Example(
        "F-fT", "Fully turbulent factor, from the standard elbow's K = 30 fT", FT_TABLE, SEEN, text,
        [
            Quantity(f"fT, NPS {size}", per_elbow(size), "", printed, relative=0.05,
                     reason="older printings lie up to 5 % above the rough-pipe law in small sizes",
                     recomputed=own, recomputed_relative=4e-4, in_table=size in ("1", "2", "6"))
            for size, _, printed, own in rows
        ],
        note="Seen second-hand: a K table that equals 30 fT and 340 fT; the 5 in value from memory. "
             "Recomputed: four digits.",
    )


EXAMPLES = [two_k(), three_k(), connections(), fully_turbulent_factors()]
