"""Pipes with fittings, changes of bore, and pumps at work on a system."""

from math import pi

from hand_calculation import flow_by_factor, head_loss, root
from quantities import (
    EXACT,
    FOOT,
    INCH,
    MEMORY,
    POUND_FORCE,
    SEEN,
    UNITS,
    Example,
    Quantity,
    Search,
    area,
    darcy_factor,
    drop,
    fed_line,
    flow,
    found,
    head,
    static_pressure,
    table_value,
    velocity,
)
from single_pipes import (
    CENGEL,
    CHART,
    DOE,
    G_US,
    GEANKOPLIS,
    MUNSON,
    POUND_FORCE_SECOND_PER_FT2,
    SCHASCHKE,
    SLUG,
    WHITE,
)

COULSON = "Coulson & Richardson, Chemical Engineering vol. 1"
SUBRAMANYA = "Subramanya, 1000 Solved Problems in Fluid Mechanics"
DAUGHERTY = "Daugherty & Franzini, Fluid Mechanics"
HORSEPOWER = 550 * FOOT * POUND_FORCE  # [W]


# --- Pipes with fittings and changes of bore -----------------------------------------------------


def munson_8_8():
    density = 1.94 * SLUG / FOOT**3
    viscosity = 2.34e-5 * POUND_FORCE_SECOND_PER_FT2
    q, bore, outlet = 0.0267 * UNITS["cfs"], 0.0625 * FOOT, 0.5 * INCH

    def line(name, losses):
        return f"""
[[junction]]
name = "{name} (1)"
feed = "0.0267 cfs"
[[pipe]]
name = "{name}"
from = "{name} (1)"
to = "{name} tap"
length = "60 ft"
bore = "0.0625 ft"
{losses}
[[junction]]
name = "{name} tap"
elevation = "20 ft"
[[nozzle]]
name = "{name} spout"
from = "{name} tap"
bore = "0.5 in"
"""
    text = f"""
[site]
gravity = "32.2 ft/s2"
[fluid]
name = "water at 60 degF"
density = "{density:.12g} kg/m3"  # 1.94 slug/ft3
viscosity = "{viscosity:.12g} Pa.s"  # 2.34e-5 lbf s/ft2
""" + line("frictionless", "friction_factor = 1e-12") + line(
        "pipe friction", 'roughness = "5e-6 ft"'
    ) + line("all losses", 'roughness = "5e-6 ft"\nk = 18  # globe valve 10, four elbows 6, faucet 2')

    def inlet_pressure(eps=0.0, f=None, k=0.0):
        exit_head = (q / area(outlet)) ** 2 / (2 * G_US)
        loss = head_loss(q, bore, 60 * FOOT, nu=viscosity / density, eps=eps, f=f, k=k, g=G_US)
        pipe_velocity_head = (q / area(bore)) ** 2 / (2 * G_US)
        static = 20 * FOOT + loss + exit_head - pipe_velocity_head
        return density * G_US * static / UNITS["psi"]

    eps = 5e-6 * FOOT
    slip = 2e-5  # a nozzle's law is high by 1/Re, here 1/68 000 of its velocity head
    return Example(
        "M1", "Faucet on the second floor", f"{MUNSON}, Ex. 8.8", SEEN, text,
        [
            Quantity(f"pressure at (1), {name}", static_pressure(f"{name} (1)", name, density), "psi",
                     printed, relative=0.005, recomputed=own, recomputed_relative=slip)
            for name, printed, own in (
                ("frictionless", 10.7, inlet_pressure(f=1e-12)),
                ("pipe friction", 21.3, inlet_pressure(eps=eps)),
                ("all losses", 30.5, inlet_pressure(eps=eps, k=18.0)))
        ],
    )


def cengel_8_8():
    nu = 1.307e-3 / 999.7
    h = head_loss(0.006, 0.05, 89, nu=nu, eps=0.26e-3, k=2.36)
    return Example(
        "M2", "Level that feeds a shower room", f"{CENGEL}, Ex. 8-8", SEEN,
        fed_line(
            fluid='density = "999.7 kg/m3"\nviscosity = "1.307 mPa.s"',
            pipe='length = "89 m"\nbore = "5 cm"\nmaterial = "cast iron"\n'
                 "k = 2.36  # entrance 0.5, two elbows 0.6, gate valve 0.2, exit 1.06",
            feed="0.006 m3/s",
            rise="4 m",
        ),
        [
            Quantity("head loss", drop("line"), "m", 27.9, relative=0.003, recomputed=h),
            Quantity("supply level", head("inlet"), "m", 31.9, relative=0.003, recomputed=4 + h),
        ],
    )


def coulson_3_6():
    k = (1 - (40 / 50) ** 2) ** 2
    v = 7.2 / 3600 / area(0.04)
    text = f"""
[site]
gravity = "9.81 m/s2"
[fluid]
name = "water"
[[junction]]
name = "narrow"
feed = "7.2 m3/h"
[[vessel]]
name = "wide"
[[restriction]]
name = "enlargement"
from = "narrow"
to = "wide"
bore = "40 mm"
k = {k:.12g}  # (1 - 40^2/50^2)^2
"""
    return Example(
        "M3", "Sudden enlargement, 40 to 50 mm", f"{COULSON}, Ex. 3.6", SEEN, text,
        [Quantity("head loss", drop("enlargement"), "mm", 16.7, absolute=0.05,
                  recomputed=k * v**2 / 19.62 * 1e3)],
    )


def geankoplis_2_10_7():
    q, bore, nu = 0.005, 0.1023, 1.005e-3 / 998.2
    h = head_loss(q, bore, 170, nu=nu, eps=4.6e-5, k=3.05, g=9.80665)
    return Example(
        "M4", "Pump power for a 15 m lift", f"{GEANKOPLIS}, Ex. 2.10-7", SEEN,
        fed_line(
            fluid='density = "998.2 kg/m3"\nviscosity = "1.005 mPa.s"',
            pipe='length = "170 m"\nbore = "102.3 mm"\nroughness = "0.046 mm"\n'
                 "k = 3.05  # contraction 0.55, two elbows 1.5, exit 1.0",
            feed="0.005 m3/s",
            gravity="9.80665 m/s2",
            rise="15 m",
        ),
        [Quantity("pump power at 65 %", lambda r: 998.2 * 9.80665 * q * r.head["inlet"] / 0.65, "kW",
                  1.182, relative=0.005, reason="the chart's f is 6 % low; the lift dominates",
                  recomputed=998.2 * 9.80665 * q * (15 + h) / 0.65 / 1e3)],
    )


def white_6_16():
    q, nu = 0.2 * UNITS["cfs"], 1.1e-5 * FOOT**2
    h = head_loss(q, 2 * INCH, 400 * FOOT, nu=nu, eps=0.002 * INCH, k=12.2, g=G_US)
    density = 1.94 * SLUG / FOOT**3
    return Example(
        "M5", "Pump between two reservoirs", f"{WHITE}, Ex. 6.16", MEMORY,
        fed_line(
            fluid=f'density = "{density:.12g} kg/m3"  # 1.94 slug/ft3\n'
                  'kinematic_viscosity = "1.1e-5 ft2/s"',
            pipe='length = "400 ft"\nbore = "2 in"\nroughness = "0.002 in"\n'
                 "k = 12.2  # entrance, globe valve, bend, elbow, gate valve half shut, exit",
            feed="0.2 cfs",
            gravity="32.2 ft/s2",
            rise="100 ft",
        ),
        [
            Quantity("pump head", head("inlet"), "ft", 185, relative=0.01, reason=CHART,
                     recomputed=100 + h / FOOT),
            Quantity("pump power in horsepower",
                     lambda r: density * G_US * q * r.head["inlet"] / HORSEPOWER, "", 4.2,
                     absolute=0.05),
        ],
    )


def subramanya_11_31():
    density = 9790 / 9.81
    suction = head_loss(0.02, 0.15, 20, f=0.02, k=0.5)
    delivery = head_loss(0.02, 0.12, 300, f=0.02, k=1.0)
    v = 0.02 / area(0.15)
    text = f"""
[site]
gravity = "9.81 m/s2"
atmospheric_pressure = "97.9 kPa"  # 10 m of water
[fluid]
name = "water"
density = "{density:.12g} kg/m3"  # specific weight 9.79 kN/m3
[[vessel]]
name = "sump"
elevation = "95 m"
[[vessel]]
name = "reservoir"
elevation = "110 m"
[[junction]]
name = "pump suction"
elevation = "100 m"
draw = "0.02 m3/s"
[[junction]]
name = "pump delivery"
elevation = "100 m"
feed = "0.02 m3/s"
[[pipe]]
name = "suction pipe"
from = "sump"
to = "pump suction"
length = "20 m"
bore = "15 cm"
friction_factor = 0.02
k = 0.5
[[pipe]]
name = "delivery pipe"
from = "pump delivery"
to = "reservoir"
length = "300 m"
bore = "12 cm"
friction_factor = 0.02
k = 1.0
"""
    gauge = static_pressure("pump suction", "suction pipe", density)
    return Example(
        "M6", "Power and suction pressure of a pump", f"{SUBRAMANYA}, Ex. 11.31", SEEN, text,
        [
            Quantity("pump power",
                     lambda r: 9790 * 0.02 * (r.head["pump delivery"] - r.head["pump suction"]), "kW",
                     4.57, absolute=0.005, recomputed=9.79 * 0.02 * (15 + suction + delivery)),
            Quantity("suction pressure, absolute", lambda r: 97900.0 + gauge(r), "kPa", 46.29,
                     relative=0.001, recomputed=9.79 * (10 - 5 - suction - v**2 / 19.62)),
        ],
    )


def daugherty_8_5():
    q = flow_by_factor(260 * FOOT, 10 * INCH, 5000 * FOOT, 0.02, k=1.5, g=G_US)
    text = """
[site]
gravity = "32.2 ft/s2"
[fluid]
name = "water"
[[vessel]]
name = "upper"
level = "260 ft"
[[vessel]]
name = "lower"
[[pipe]]
name = "line"
from = "upper"
to = "lower"
length = "5000 ft"
bore = "10 in"
friction_factor = 0.02
k = 1.5
"""
    return Example(
        "M8", "Long line between reservoirs", f"{DAUGHERTY}, Ex. 8.5", SEEN, text,
        [Quantity("flow", flow("line"), "cfs", 6.40, relative=0.001, recomputed=q / UNITS["cfs"])],
    )


def subramanya_11_1():
    density = 9790 / 9.81
    k = (1 - (6 / 9) ** 2) ** 2
    q = 0.45 / 60
    v1, v2 = q / area(0.06), q / area(0.09)
    # The network holds total heads; the gauges on the two pipes show less by the velocity heads.
    text = f"""
[site]
gravity = "9.81 m/s2"
[fluid]
name = "water"
density = "{density:.12g} kg/m3"  # specific weight 9.79 kN/m3
[[junction]]
name = "section 1"
feed = "450 L/min"
[[vessel]]
name = "section 2"
[[restriction]]
name = "expansion"
from = "section 1"
to = "section 2"
bore = "6 cm"
k = {k:.12g}  # (1 - 6^2/9^2)^2
"""
    def downstream(r):
        rise = 0.5 * density * (v1**2 - v2**2) - density * 9.81 * r.drop["expansion"]
        return 20e3 + rise
    return Example(
        "M10", "Sudden expansion, 6 to 9 cm", f"{SUBRAMANYA}, Ex. 11.1", SEEN, text,
        [
            Quantity("velocity before", velocity("expansion"), "m/s", recomputed=v1),
            Quantity("pressure after", downstream, "kPa", 21.73, relative=0.0005,
                     recomputed=20 + density * v2 * (v1 - v2) / 1e3),  # momentum balance
        ],
    )


def schaschke_8_5():
    q = 40 / 60 / 873
    loss = head_loss(q, 0.025, 18, f=0.022, k=2.5)
    return Example(
        "M12", "Height that feeds a vessel under pressure", f"{SCHASCHKE}, Ex. 8.5", SEEN,
        f"""
[site]
gravity = "9.81 m/s2"
[fluid]
name = "liquid"
density = "873 kg/m3"
viscosity = "0.88 mPa.s"
[[junction]]
name = "supply"
feed = "{q:.12g} m3/s"  # 40 kg/min
[[vessel]]
name = "receiver"
gas_pressure = "55 kPa"
[[pipe]]
name = "line"
from = "supply"
to = "receiver"
length = "18 m"
bore = "25 mm"
friction_factor = 0.022  # Fanning 0.0055
k = 2.5  # 1.5 and one velocity head at the exit
""",
        [Quantity("least height", head("supply"), "m", 8.684, relative=0.0002,
                  recomputed=55e3 / (873 * 9.81) + loss)],
    )


# --- Pumps ---------------------------------------------------------------------------------------

# White's pump H = 490 - 0.26 Q² against the system H = 120 + 0.335 Q² (ft, cfs).
WHITE_B = 0.26 * FOOT / UNITS["cfs"] ** 2  # [m/(m³/s)²]
WHITE_SYSTEM = """
[fluid]
name = "water"
density = "1000 kg/m3"
[[vessel]]
name = "lower"
[[vessel]]
name = "upper"
elevation = "120 ft"
[[junction]]
name = "header"
[[restriction]]
name = "system"
from = "header"
to = "upper"
rated_flow = "10 cfs"
rated_drop = "10.2108 mH2O"  # 33.5 ft
"""


def white_pump(name, start, end):
    return f"""
[[pump]]
name = "{name}"
from = "{start}"
to = "{end}"
coefficients = [149.352, {WHITE_B:.12g}, 2]  # 490 ft, 0.26 ft/cfs2
"""


def white_pumps():
    source = f"{WHITE}, pump-matching example, ch. 11"
    single = (370 / 0.595) ** 0.5
    parallel = (370 / (0.335 + 0.26 / 4)) ** 0.5
    series = ((980 - 120) / (0.335 + 0.52)) ** 0.5
    return [
        Example(
            "U1", "One pump on a system", source, MEMORY,
            WHITE_SYSTEM + white_pump("P-1", "lower", "header"),
            [
                Quantity("flow", flow("system"), "cfs", 24.9, relative=0.003, recomputed=single),
                Quantity("head", head("header"), "ft", 329, relative=0.003,
                         recomputed=120 + 0.335 * single**2),
            ],
        ),
        Example(
            "U2", "Two pumps in parallel", source, MEMORY,
            WHITE_SYSTEM + white_pump("P-1", "lower", "header") + white_pump("P-2", "lower", "header"),
            [
                Quantity("flow", flow("system"), "cfs", 30.4, relative=0.004, recomputed=parallel),
                Quantity("head", head("header"), "ft", 430, relative=0.004,
                         recomputed=120 + 0.335 * parallel**2),
                Quantity("flow of one pump", flow("P-2"), "cfs", recomputed=parallel / 2),
            ],
        ),
        Example(
            "U3", "Two pumps in series", source, MEMORY,
            WHITE_SYSTEM + '[[junction]]\nname = "between"\n' + white_pump("P-1", "lower", "between")
            + white_pump("P-2", "between", "header"),
            [
                Quantity("flow", flow("system"), "cfs", 31.7, relative=0.003, recomputed=series),
                Quantity("head", head("header"), "ft", 457, relative=0.003,
                         recomputed=120 + 0.335 * series**2),
            ],
        ),
    ]


def coulson_8_8():
    text = """
[fluid]
name = "water"
density = "1000 kg/m3"
[[vessel]]
name = "lower"
[[vessel]]
name = "upper"
elevation = "10 m"
[[junction]]
name = "discharge"
[[pump]]
name = "P-1"
from = "lower"
to = "discharge"
efficiency = [["0.0028 m3/s", 0.5], ["0.0059 m3/s", 0.5]]
curve = [
  ["0.0028 m3/s", "23.2 m"],
  ["0.0039 m3/s", "21.3 m"],
  ["0.0050 m3/s", "18.9 m"],
  ["0.0056 m3/s", "15.2 m"],
  ["0.0059 m3/s", "11.0 m"],
]
[[restriction]]
name = "system"
from = "discharge"
to = "upper"
rated_flow = "0.005 m3/s"
rated_drop = "5.5125 mH2O"  # 2.205e5 Q2
"""
    reason = "the book interpolates linearly; any monotone curve through the points lies within 2 %"
    return Example(
        "U4", "Pump curve by points on a system", f"{COULSON}, Ex. 8.8", SEEN, text,
        [
            Quantity("flow", flow("P-1"), "m³/s", 0.0054, relative=0.02, reason=reason),
            Quantity("head", head("discharge"), "m", 16.43, relative=0.02, reason=reason),
            Quantity("power at 50 %", table_value("pumps", "P-1", "shaft power [W]"), "kW", 1.74,
                     relative=0.02, reason=reason),
        ],
    )


def doe_pump_laws():
    text = """
[fluid]
name = "water"
density = "1000 kg/m3"
[[vessel]]
name = "suction"
[[vessel]]
name = "return"
[[junction]]
name = "discharge"
[[pump]]
name = "P-1"
from = "suction"
to = "discharge"
curve = [["0 gpm", "60 ft"], ["400 gpm", "48 ft"], ["600 gpm", "35 ft"]]
speed = 2.0  # 3600 rpm; the curve is that of 1800 rpm
[[restriction]]
name = "system"
from = "discharge"
to = "return"
rated_flow = "400 gpm"
rated_drop = "14.6304 mH2O"  # 48 ft
"""
    return Example(
        "U5", "Pump at twice its speed", f"{DOE}, pump-law example", EXACT, text,
        [
            Quantity("flow", flow("P-1"), "gpm", 800, relative=1e-6),
            Quantity("head", head("discharge"), "ft", 192, relative=1e-6),
        ],
        note="The points of the curve beside (400 gpm, 48 ft) are ours; the answer does not depend "
             "on them.",
    )


def cengel_8_7():
    nu = 1.002e-3 / 998
    low, high = 4100 * nu * pi / 4 * 0.04, 0.02  # the small pipe stays turbulent

    def loss(q, bore):
        return head_loss(q, bore, 36, nu=nu, eps=4.5e-5)

    def small_flow(large):
        return root(lambda q: loss(q, 0.04) - loss(large, 0.08), low, high)

    def shortfall(large):
        total = large + small_flow(large)
        return 998 * 9.81 * total * (8 + loss(large, 0.08)) - 5600

    large = root(shortfall, 0.01, 0.06)
    small = small_flow(large)
    text = """
[site]
gravity = "9.81 m/s2"
[fluid]
name = "water at 20 degC"
density = "998 kg/m3"
viscosity = "1.002 mPa.s"
[[vessel]]
name = "reservoir B"
elevation = "13 m"
[[junction]]
name = "pump discharge"
feed = "0.03 m3/s"
[[pipe]]
name = "small"
from = "pump discharge"
to = "reservoir B"
length = "36 m"
bore = "4 cm"
material = "commercial steel"
[[pipe]]
name = "large"
from = "pump discharge"
to = "reservoir B"
length = "36 m"
bore = "8 cm"
material = "commercial steel"
"""
    return Example(
        "U6", "Pump of known power on two parallel pipes", f"{CENGEL}, Ex. 8-7", MEMORY, text,
        [
            Quantity("total flow", found, "m³/s", 0.0300, absolute=0.00006, recomputed=small + large),
            Quantity("flow, small pipe", flow("small"), "m³/s", 0.00415, relative=0.002,
                     recomputed=small),
            Quantity("flow, large pipe", flow("large"), "m³/s", 0.0259, relative=0.002,
                     recomputed=large),
            Quantity("velocity, small pipe", velocity("small"), "m/s", 3.30, relative=0.002),
            Quantity("velocity, large pipe", velocity("large"), "m/s", 5.15, relative=0.002),
            Quantity("friction factor, small pipe", darcy_factor("small", 36, 0.04, 9.81), "", 0.0221,
                     relative=0.0025),
            Quantity("friction factor, large pipe", darcy_factor("large", 36, 0.08, 9.81), "", 0.0182,
                     relative=0.0025),
            Quantity("head loss", drop("small"), "m", 11.1, absolute=0.05),
            Quantity("pump head", lambda r: r.head["pump discharge"] - 5.0, "m", 19.1, absolute=0.05,
                     recomputed=8 + loss(large, 0.08)),
        ],
        search=Search(
            "pump discharge.feed", 0.01, 0.1,
            # 8 kW at 70 %, from a reservoir whose level is 5 m.
            lambda r: 998 * 9.81 * (r.flow["small"] + r.flow["large"])
            * (r.head["pump discharge"] - 5.0) - 5600.0,
        ),
        note="Head loss, friction factors and pump head seen in a quotation; the rest from memory.",
    )


EXAMPLES = [
    munson_8_8(), cengel_8_8(), coulson_3_6(), geankoplis_2_10_7(), white_6_16(), subramanya_11_31(),
    daugherty_8_5(), subramanya_11_1(), schaschke_8_5(), *white_pumps(), coulson_8_8(),
    doe_pump_laws(), cengel_8_7(),
]
