"""One pipe: find the head loss (type 1), the flow (type 2) or the bore (type 3).

Where a book reads f off a chart, Colebrook-White runs here and the tolerance is the chart's. Where a
book fixes f, `friction_factor` holds it.
"""

from math import log10, pi, radians, sin, sqrt

from hand_calculation import flow_of, head_loss, root
from quantities import (
    DERIVED,
    FOOT,
    INCH,
    MEMORY,
    POUND,
    POUND_FORCE,
    SEEN,
    UNITS,
    Example,
    Quantity,
    Search,
    area,
    darcy_factor,
    drop,
    driven_line,
    fed_line,
    flow,
    found,
    head,
    pressure,
    reynolds,
    velocity,
)

CHART = "the book reads f off a chart"
POUND_FORCE_SECOND_PER_FT2 = POUND_FORCE / FOOT**2  # [Pa·s]
G_STANDARD = 9.80665  # [m/s²]
G_US = 32.2 * FOOT  # [m/s²], as American books round it
SLUG = POUND_FORCE / FOOT  # [kg]

WHITE = "White, Fluid Mechanics"
CENGEL = "Cengel & Cimbala, Fluid Mechanics"
MUNSON = "Munson et al., Fundamentals of Fluid Mechanics"
GEANKOPLIS = "Geankoplis, Transport Processes and Unit Operations"
DE_NEVERS = "de Nevers, Fluid Mechanics for Chemical Engineers"
STREETER = "Streeter & Wylie, Fluid Mechanics"
DOUGLAS = "Douglas et al., Fluid Mechanics"
SCHASCHKE = "Schaschke, Fluid Mechanics Worked Examples"
VENNARD = "Vennard, Elementary Fluid Mechanics"
DOE = "DOE-HDBK-1012/3-92"


def white_6_7():
    h = head_loss(0.2, 0.2, 500, nu=1e-5, eps=0.26e-3)
    fall = 500 * sin(radians(10))
    return Example(
        "P1", "Oil in cast iron, falling at 10°", f"{WHITE}, Ex. 6.7", MEMORY,
        fed_line(
            fluid='density = "900 kg/m3"\nkinematic_viscosity = "1e-5 m2/s"',
            pipe='length = "500 m"\nbore = "200 mm"\nmaterial = "cast iron"',
            feed="0.2 m3/s",
            rise=f"{-fall:.10f} m",
        ),
        [
            Quantity("velocity", velocity("line"), "m/s", 6.4, absolute=0.05,
                     recomputed=0.2 / area(0.2)),
            Quantity("friction factor", darcy_factor("line", 500, 0.2, 9.81), "", 0.0225,
                     relative=0.015, reason=CHART),
            Quantity("head loss", drop("line"), "m", 117, relative=0.005, recomputed=h),
            Quantity("pressure drop", pressure("inlet"), "kPa", 265, relative=0.02,
                     reason="printed from the rounded heads 117 m - 87 m",
                     recomputed=900 * 9.81 * (h - fall) / 1e3),
        ],
        note="Inputs and f seen; head loss and pressure drop from memory.",
    )


def moody_1944():
    q, nu = 6 * FOOT * area(6 * INCH), 1.1e-5 * FOOT**2
    h = head_loss(q, 6 * INCH, 200 * FOOT, nu=nu, eps=0.0048 * INCH, g=G_US)
    density = 62.4 / 32.2 * SLUG / FOOT**3  # of a specific weight of 62.4 lbf/ft³
    return Example(
        "P2", "Water in asphalted cast iron", f"Moody, Trans. ASME 66 (1944); {WHITE}, Ex. 6.6", SEEN,
        fed_line(
            fluid=f'density = "{density:.12g} kg/m3"\nkinematic_viscosity = "1.1e-5 ft2/s"',
            pipe='length = "200 ft"\nbore = "6 in"\nroughness = "0.0048 in"',
            feed=f"{q:.12g} m3/s",  # 6 ft/s
            gravity="32.2 ft/s2",
        ),
        [
            Quantity("head loss", drop("line"), "ft", 4.5, relative=0.015, reason="f read as 0.02",
                     recomputed=h / FOOT),
            Quantity("pressure drop", pressure("inlet"), "lbf/ft²", 280, relative=0.015,
                     reason="f read as 0.02", recomputed=62.4 * h / FOOT),
        ],
    )


def white_6_9():
    q = flow_of(8, 0.3, 100, nu=2e-5, eps=0.0002 * 0.3)
    return Example(
        "P3", "Flow of oil under a known head", f"{WHITE}, Ex. 6.9 (number varies by edition)", MEMORY,
        driven_line(
            fluid='density = "950 kg/m3"\nkinematic_viscosity = "2e-5 m2/s"',
            pipe='length = "100 m"\nbore = "300 mm"\nroughness = "0.06 mm"',
            upper='level = "8 m"',
        ),
        [
            Quantity("velocity", velocity("line"), "m/s", 4.84, relative=0.001,
                     recomputed=q / area(0.3)),
            Quantity("flow", flow("line"), "m³/s", 0.342, absolute=0.0005, recomputed=q),
            Quantity("Reynolds number", reynolds("line", 0.3, 2e-5), "", 72600, relative=0.001),
            Quantity("friction factor", darcy_factor("line", 100, 0.3, 9.81), "", 0.0201,
                     absolute=0.00005),
        ],
    )


def cengel_8_2():
    q, nu = 0.9 * area(0.003), 1.519e-6
    h = head_loss(q, 0.003, 9, nu=nu)
    return Example(
        "P4", "Laminar water in a 3 mm tube", f"{CENGEL}, Ex. 8-2", SEEN,
        fed_line(
            fluid='density = "1000 kg/m3"\nviscosity = "1.519 mPa.s"',
            pipe='length = "9 m"\nbore = "3 mm"',
            feed=f"{q:.12g} m3/s",  # 0.9 m/s
        ),
        [
            Quantity("head loss", drop("line"), "m", 4.46, relative=0.002, recomputed=h),
            Quantity("pressure drop", pressure("inlet"), "kPa", 43.7, relative=0.002,
                     recomputed=9.81 * h),
        ],
    )


def cengel_8_3():
    h = head_loss(0.006, 0.05, 60, nu=1.138e-3 / 999, eps=0.002e-3)
    rounding = "the book rounds V to 3.06 m/s"
    return Example(
        "P5", "Water in stainless steel", f"{CENGEL}, Ex. 8-3", SEEN,
        fed_line(
            fluid='density = "999 kg/m3"\nviscosity = "1.138 mPa.s"',
            pipe='length = "60 m"\nbore = "5 cm"\nmaterial = "stainless steel"',
            feed="0.006 m3/s",
        ),
        [
            Quantity("friction factor", darcy_factor("line", 60, 0.05, 9.81), "", 0.0172,
                     relative=0.005),
            Quantity("head loss", drop("line"), "m", 9.85, relative=0.005, reason=rounding,
                     recomputed=h),
            Quantity("pressure drop", pressure("inlet"), "kPa", 96.5, relative=0.005,
                     reason=rounding, recomputed=999 * 9.81 * h / 1e3),
        ],
    )


def cengel_8_4():
    nu = 1.895e-5 / 1.145
    bore = root(lambda d: head_loss(0.35, d, 150, nu=nu) - 20, 0.1, 1.0)
    return Example(
        "P6", "Bore of a smooth air duct", f"{CENGEL}, Ex. 8-4", SEEN,
        fed_line(
            fluid='density = "1.145 kg/m3"\nviscosity = "1.895e-5 Pa.s"',
            pipe='length = "150 m"\nbore = "300 mm"\nroughness = "0 mm"',
            feed="0.35 m3/s",
        ),
        [
            Quantity("bore", found, "m", 0.267, relative=0.002, recomputed=bore),
            Quantity("velocity", velocity("line"), "m/s", 6.24, relative=0.002,
                     recomputed=0.35 / area(bore)),
            Quantity("friction factor", lambda r: r.drop["line"] * r.found / 150 * 2 * 9.81
                     / r.velocity["line"] ** 2, "", 0.0180, relative=0.0025),
        ],
        search=Search("line.bore", 0.1, 1.0, lambda r: r.drop["line"] - 20.0),
    )


def cengel_8_1():
    def laminar_flow(degrees):
        drive = 648e3 - 888 * 9.81 * 40 * sin(radians(degrees))
        return drive * pi * 0.05**4 / (128 * 0.8 * 40)  # Poiseuille

    def line(name, degrees):
        return f"""
[[vessel]]
name = "{name} end"
elevation = "{40 * sin(radians(degrees)):.12f} m"
gas_pressure = "97 kPa"
[[pipe]]
name = "{name}"
from = "start"
to = "{name} end"
length = "40 m"
bore = "5 cm"
"""
    text = """
[site]
gravity = "9.81 m/s2"
[fluid]
name = "oil"
density = "888 kg/m3"
viscosity = "0.800 Pa.s"
[[vessel]]
name = "start"
gas_pressure = "745 kPa"
""" + line("level", 0) + line("rising", 15) + line("falling", -15)
    return Example(
        "P7", "Laminar oil, level and inclined 15°", f"{CENGEL}, Ex. 8-1", MEMORY, text,
        [
            Quantity(f"flow, {name}", flow(name), "m³/s", printed, relative=0.002,
                     recomputed=laminar_flow(degrees))
            for name, degrees, printed in (("level", 0, 0.00311), ("rising", 15, 0.00267),
                                           ("falling", -15, 0.00354))
        ],
    )


def munson_pipeline():
    viscosity = 8e-5 * POUND_FORCE_SECOND_PER_FT2
    q = 117 * UNITS["cfs"]
    density = 53.7 / 32.2 * SLUG / FOOT**3  # of a specific weight of 53.7 lbf/ft³
    nu = viscosity / density
    length, bore = 799 * 5280 * FOOT, 4 * FOOT
    given = head_loss(q, bore, length, f=0.0125, g=G_US)
    colebrook = head_loss(q, bore, length, nu=nu, eps=0.00015 * FOOT, g=G_US)
    text = f"""
[site]
gravity = "32.2 ft/s2"
[fluid]
name = "crude oil"
density = "{density:.12g} kg/m3"
viscosity = "{viscosity:.12g} Pa.s"  # 8e-5 lbf s/ft2
[[junction]]
name = "first station"
feed = "117 cfs"
[[junction]]
name = "first station again"
feed = "117 cfs"
[[vessel]]
name = "port"
[[pipe]]
name = "by the chart"
from = "first station"
to = "port"
length = "{799 * 5280} ft"
bore = "4 ft"
friction_factor = 0.0125
[[pipe]]
name = "by Colebrook"
from = "first station again"
to = "port"
length = "{799 * 5280} ft"
bore = "4 ft"
roughness = "0.00015 ft"
"""
    return Example(
        "P8", "Crude oil over 799 miles", f"{MUNSON}, pipeline example (8.9 or 8.10 by edition)", SEEN,
        text,
        [
            Quantity("velocity", velocity("by the chart"), "ft/s", 9.31, absolute=0.005),
            Quantity("head loss with f = 0.0125", drop("by the chart"), "ft", 17700, relative=0.003,
                     recomputed=given / FOOT),
            Quantity("head loss with Colebrook-White", drop("by Colebrook"), "ft",
                     recomputed=colebrook / FOOT),
        ],
        note="The chart's f is 2.7 % below Colebrook-White.",
    )


def geankoplis_2_10_1():
    pressure_drop = 0.0655 * 996 * 9.80665
    v = pressure_drop * 0.00222**2 / (32 * 1.13e-3 * 0.317)  # Poiseuille
    return Example(
        "P9", "Laminar flow from a small head", f"{GEANKOPLIS}, Ex. 2.10-1 and 2.10-2", SEEN,
        driven_line(
            fluid='density = "875 kg/m3"\nviscosity = "1.13 mPa.s"',
            pipe='length = "0.317 m"\nbore = "2.22 mm"',
            upper=f'gas_pressure = "{pressure_drop:.8f} Pa"  # 0.0655 m of water of 996 kg/m3',
            gravity="9.80665 m/s2",
        ),
        [
            Quantity("velocity", velocity("line"), "m/s", 0.275, relative=0.001, recomputed=v),
            Quantity("flow", flow("line"), "m³/s", 1.065e-6, relative=0.001,
                     recomputed=v * area(0.00222)),
            Quantity("Reynolds number", reynolds("line", 0.00222, 1.13e-3 / 875), "", 473,
                     absolute=0.5),
            Quantity("Fanning factor", lambda r: darcy_factor("line", 0.317, 0.00222, 9.80665)(r) / 4,
                     "", 0.0338, relative=0.002),
        ],
    )


def geankoplis_2_10_3():
    q, nu = 4.57 * area(0.0525), 4.46e-3 / 801
    h = head_loss(q, 0.0525, 36.6, nu=nu, eps=4.6e-5, g=9.80665)
    return Example(
        "P10", "Turbulent liquid in commercial steel", f"{GEANKOPLIS}, Ex. 2.10-3", SEEN,
        fed_line(
            fluid='density = "801 kg/m3"\nviscosity = "4.46 mPa.s"',
            pipe='length = "36.6 m"\nbore = "52.5 mm"\nroughness = "0.046 mm"',
            feed=f"{q:.12g} m3/s",  # 4.57 m/s
            gravity="9.80665 m/s2",
        ),
        [
            Quantity("Reynolds number", reynolds("line", 0.0525, nu), "", 43090, relative=0.0005),
            Quantity("Fanning factor", lambda r: darcy_factor("line", 36.6, 0.0525, 9.80665)(r) / 4,
                     "", 0.0060, relative=0.01, reason=CHART),
            Quantity("friction", lambda r: 9.80665 * r.drop["line"], "J/kg", 174.8, relative=0.01,
                     reason=CHART, recomputed=9.80665 * h),
        ],
    )


def doe_darcy():
    q = 700 / 60 * UNITS["cfs"]
    bore, eps = 20 * INCH, 0.0016 * INCH
    viscosity = 1.978e-7 * POUND_FORCE_SECOND_PER_FT2
    density = 60 * POUND / FOOT**3
    h = head_loss(q, bore, 100 * FOOT, nu=viscosity / density, eps=eps, g=G_STANDARD)
    return Example(
        "P11", "Hot water in a 20 in line", f"{DOE}, Darcy equation example", MEMORY,
        fed_line(
            fluid=f'density = "60 lb/ft3"\nviscosity = "{viscosity:.12g} Pa.s"  # 1.978e-7 lbf s/ft2',
            pipe='length = "100 ft"\nbore = "20 in"\nroughness = "0.0016 in"',
            feed=f"{700 / 60:.12g} cfs",  # 700 lb/s
            gravity="9.80665 m/s2",
        ),
        [
            Quantity("velocity", velocity("line"), "ft/s", 5.35, absolute=0.005),
            Quantity("head loss", drop("line"), "ft", 0.32, relative=0.05,
                     reason="f rounded to 0.012", recomputed=h / FOOT),
        ],
        note="The printed viscosity is too small for real water at 200 °F; used as printed.",
    )


def de_nevers_6_4():
    q, bore = 300 * UNITS["gpm"], 3.068 * INCH
    density = 62.3 * POUND / FOOT**3
    h = head_loss(q, bore, 3000 * FOOT, nu=0.05 / density, eps=0.0018 * INCH, g=G_STANDARD)
    return Example(
        "P12", "Viscous liquid just turbulent", f"{DE_NEVERS}, Ex. 6.4", SEEN,
        fed_line(
            fluid='density = "62.3 lb/ft3"\nviscosity = "50 cP"',
            pipe='length = "3000 ft"\nbore = "3.068 in"\nroughness = "0.0018 in"',
            feed="300 gpm",
            gravity="9.80665 m/s2",
        ),
        [
            Quantity("Fanning factor", lambda r: darcy_factor("line", 3000 * FOOT, bore, G_STANDARD)(r) / 4,
                     "", 0.0091, relative=0.015, reason=CHART),
            Quantity("pressure drop", pressure("inlet"), "psi", 484, relative=0.015, reason=CHART,
                     recomputed=density * G_STANDARD * h / UNITS["psi"]),
        ],
    )


def schaschke_8_6():
    q = 15 / 3600
    v = q / area(0.05)
    text = """
[site]
gravity = "9.8 m/s2"
[fluid]
name = "liquid"
density = "780 kg/m3"
viscosity = "1.7 mPa.s"
[[vessel]]
name = "upper tank"
[[junction]]
name = "pipe inlet"
feed = "15 m3/h"
[[junction]]
name = "pipe outlet"
[[pipe]]
name = "line"
from = "pipe inlet"
to = "pipe outlet"
length = "100 m"
bore = "50 mm"
friction_factor = 0.026  # Fanning 0.0065
[[restriction]]
name = "entrance and exit"
from = "pipe outlet"
to = "upper tank"
k = 1.5
bore = "50 mm"
"""
    return Example(
        "P13", "Level difference that drives 15 m³/h", f"{SCHASCHKE}, Ex. 8.6", SEEN, text,
        [
            Quantity("frictional pressure drop", lambda r: 780 * 9.8 * r.drop["line"], "kPa", 91.3,
                     relative=0.0005, recomputed=0.026 * 100 / 0.05 * 780 * v**2 / 2 / 1e3),
            Quantity("level difference", head("pipe inlet"), "m", 12.29, relative=0.0005,
                     recomputed=(0.026 * 100 / 0.05 + 1.5) * v**2 / 19.6),
        ],
    )


def streeter_riveted_steel():
    q = flow_of(6, 0.3, 300, nu=1.13e-6, eps=0.003, g=9.806)
    return Example(
        "P14", "Water in riveted steel", f"{STREETER}, riveted-steel example", MEMORY,
        driven_line(
            fluid='density = "999 kg/m3"\nkinematic_viscosity = "1.13e-6 m2/s"',
            pipe='length = "300 m"\nbore = "300 mm"\nmaterial = "riveted steel"',
            upper='level = "6 m"',
            gravity="9.806 m/s2",
        ),
        [
            Quantity("friction factor", darcy_factor("line", 300, 0.3, 9.806), "", 0.038,
                     relative=0.003),
            Quantity("flow", flow("line"), "m³/s", 0.1245, relative=0.003, recomputed=q),
        ],
    )


def streeter_oil():
    h = head_loss(0.14, 0.2, 400, nu=1e-5, eps=0.25e-3, g=9.806)
    return Example(
        "P15", "Oil in cast iron", f"{STREETER}, head-loss example", MEMORY,
        fed_line(
            fluid='density = "900 kg/m3"\nkinematic_viscosity = "1e-5 m2/s"',
            pipe='length = "400 m"\nbore = "200 mm"\nroughness = "0.25 mm"',
            feed="0.140 m3/s",
            gravity="9.806 m/s2",
        ),
        [
            Quantity("Reynolds number", reynolds("line", 0.2, 1e-5), "", 89127, absolute=1),
            Quantity("head loss", drop("line"), "m", 46.58, relative=0.01, reason="f rounded to 0.023",
                     recomputed=h),
        ],
        note="The density is ours; it does not enter the answers.",
    )


def douglas_10_3():
    def pipe(name, feed):
        return f"""
[[junction]]
name = "{name} inlet"
feed = "{feed}"
[[pipe]]
name = "{name}"
from = "{name} inlet"
to = "outlet"
length = "750 m"
bore = "40 mm"
roughness = "0.08 mm"
"""
    text = """
[site]
gravity = "9.81 m/s2"
[fluid]
name = "water at 15 degC"
density = "1000 kg/m3"
kinematic_viscosity = "1.14e-6 m2/s"
[[vessel]]
name = "outlet"
""" + pipe("slow", "4 L/min") + pipe("fast", "30 L/min")

    def h(litres_per_minute):
        return head_loss(litres_per_minute / 6e4, 0.04, 750, nu=1.14e-6, eps=0.08e-3)

    return Example(
        "P16, P17", "Laminar and turbulent water in one pipe", f"{DOUGLAS}, Ex. 10.3", SEEN, text,
        [
            Quantity("head loss at 4 L/min", drop("slow"), "mm", 92.5, relative=0.001,
                     recomputed=h(4) * 1e3),
            Quantity("head loss at 30 L/min", drop("fast"), "m", 4.84, relative=0.015, reason=CHART,
                     recomputed=h(30)),
        ],
    )


def vennard_9_4():
    q, bore = 4.53 * FOOT * area(3 * INCH), 3 * INCH
    viscosity = 0.0012 * POUND_FORCE_SECOND_PER_FT2
    density = 0.9 * 1.935 * SLUG / FOOT**3
    h = head_loss(q, bore, 1000 * FOOT, nu=viscosity / density, g=G_US)
    return Example(
        "P18", "Laminar oil in a 3 in pipe", f"{VENNARD}, Ex. 9.4", SEEN,
        fed_line(
            fluid=f'density = "{density:.12g} kg/m3"  # 0.90 of 1.935 slug/ft3\n'
                  f'viscosity = "{viscosity:.12g} Pa.s"  # 0.0012 lbf s/ft2',
            pipe='length = "1000 ft"\nbore = "3 in"',
            feed=f"{q:.12g} m3/s",  # 4.53 ft/s
            gravity="32.2 ft/s2",
        ),
        [
            Quantity("head loss", drop("line"), "ft", 49.6, relative=0.002, recomputed=h / FOOT),
        ],
    )


def de_nevers_6_1():
    q, bore = 50 * UNITS["gpm"], 3.068 * INCH
    return Example(
        "P19", "Laminar liquid, drop per 100 ft", f"{DE_NEVERS}, Ex. 6.1", SEEN,
        fed_line(
            fluid='density = "62.3 lb/ft3"\nviscosity = "50 cP"',
            pipe='length = "100 ft"\nbore = "3.068 in"',
            feed="50 gpm",
            gravity="9.80665 m/s2",
        ),
        [
            Quantity("pressure drop", pressure("inlet"), "psi", 0.771, relative=0.002,
                     recomputed=128 * 0.05 * 100 * FOOT * q / (pi * bore**4) / UNITS["psi"]),
        ],
    )


def direct_flow_formula():
    """Colebrook-White turned round: the flow follows from the head without iteration."""
    bore, length, h, nu, eps, g = 0.1, 250.0, 12.0, 1e-6, 1e-4, 9.81
    shear = sqrt(2 * g * bore * h / length)
    q = -pi / 2 * bore**2 * shear * log10(eps / bore / 3.7 + 2.51 * nu / (bore * shear))
    return Example(
        "P20", "Flow by the closed form of Colebrook-White", "Colebrook, J. Inst. Civ. Eng. 11 (1939)",
        DERIVED,
        driven_line(
            fluid='density = "1000 kg/m3"\nkinematic_viscosity = "1e-6 m2/s"',
            pipe='length = "250 m"\nbore = "100 mm"\nroughness = "0.1 mm"',
            upper='level = "12 m"',
        ),
        [Quantity("flow", flow("line"), "m³/s", recomputed=q, recomputed_relative=1e-8)],
    )


EXAMPLES = [
    white_6_7(), moody_1944(), white_6_9(), cengel_8_2(), cengel_8_3(), cengel_8_4(), cengel_8_1(),
    munson_pipeline(), geankoplis_2_10_1(), geankoplis_2_10_3(), doe_darcy(), de_nevers_6_4(),
    schaschke_8_6(), streeter_riveted_steel(), streeter_oil(), douglas_10_3(), vennard_9_4(),
    de_nevers_6_1(), direct_flow_formula(),
]
