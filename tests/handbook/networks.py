"""Series, parallel, branched and looped pipes."""

from math import log10, pi, sqrt

from hand_calculation import GRAVITY, flow_by_factor, flow_of, head_loss, root
from quantities import (
    DERIVED,
    EXACT,
    FOOT,
    MEMORY,
    SEEN,
    UNITS,
    Example,
    Quantity,
    Search,
    darcy_factor,
    drop,
    flow,
    found,
    head,
    mass_flow,
    pressure,
    velocity,
)
from single_pipes import DOUGLAS, MUNSON, SLUG, STREETER, VENNARD, WHITE
from systems import DAUGHERTY, SUBRAMANYA


def pipe(name, start, end, length, bore, *more):
    return "\n".join([
        "[[pipe]]", f'name = "{name}"', f'from = "{start}"', f'to = "{end}"', f'length = "{length}"',
        f'bore = "{bore}"', *more, ""])


def vessel(name, elevation="0 m", *more):
    return "\n".join(["[[vessel]]", f'name = "{name}"', f'elevation = "{elevation}"', *more, ""])


def junction(name, *more):
    return "\n".join(["[[junction]]", f'name = "{name}"', *more, ""])


def start_of(fluid, gravity="9.81 m/s2", *more):
    return "\n".join([
        "[site]", f'gravity = "{gravity}"', "[fluid]", 'name = "liquid"', fluid, *more, ""])


WATER = 'density = "1000 kg/m3"\nkinematic_viscosity = "1e-6 m2/s"'

# --- Series and parallel -------------------------------------------------------------------------

WHITE_PIPES = {  # length [m], bore [cm], roughness [mm]
    "pipe 1": (100, 8, 0.24),
    "pipe 2": (150, 6, 0.12),
    "pipe 3": (80, 4, 0.20),
}
WHITE_FLUID = 'density = "1000 kg/m3"\nkinematic_viscosity = "1.02e-6 m2/s"'
WHITE_ENDS = vessel("A", "5 m", 'gas_pressure = "150 kPa"') + vessel("B")


def white_pipe(name, start, end):
    length, bore, eps = WHITE_PIPES[name]
    return pipe(name, start, end, f"{length} m", f"{bore} cm", f'roughness = "{eps} mm"')


def white_head():
    return 5 + 150e3 / (1000 * GRAVITY)


def white_6_17():
    nu = 1.02e-6

    def loss(q):
        return sum(head_loss(q, d / 100, length, nu=nu, eps=eps / 1000)
                   for length, d, eps in WHITE_PIPES.values())

    q = root(lambda q: loss(q) - white_head(), 1e-3, 1e-2)
    text = (start_of(WHITE_FLUID) + WHITE_ENDS + junction("1-2") + junction("2-3")
            + white_pipe("pipe 1", "A", "1-2") + white_pipe("pipe 2", "1-2", "2-3")
            + white_pipe("pipe 3", "2-3", "B"))
    return Example(
        "N1", "Three pipes in series", f"{WHITE}, Ex. 6.17", MEMORY, text,
        [
            Quantity("flow", flow("pipe 1"), "m³/h", 10.2, absolute=0.05, recomputed=q * 3600),
            Quantity("velocity in pipe 1", velocity("pipe 1"), "m/s", 0.565, relative=0.003),
            *(Quantity(f"friction factor, {name}",
                       darcy_factor(name, WHITE_PIPES[name][0], WHITE_PIPES[name][1] / 100, GRAVITY),
                       "", printed, relative=0.004, reason="third digit of an iteration by hand")
              for name, printed in (("pipe 1", 0.0288), ("pipe 2", 0.0260), ("pipe 3", 0.0314))),
        ],
    )


def white_6_18():
    def own(name):
        length, bore, eps = WHITE_PIPES[name]
        return flow_of(white_head(), bore / 100, length, nu=1.02e-6, eps=eps / 1000) * 3600

    text = start_of(WHITE_FLUID) + WHITE_ENDS + "".join(
        white_pipe(name, "A", "B") for name in WHITE_PIPES)
    return Example(
        "N2", "The same pipes in parallel", f"{WHITE}, Ex. 6.18", MEMORY, text,
        [
            *(Quantity(f"flow, {name}", flow(name), "m³/h", printed, relative=0.003,
                       recomputed=own(name))
              for name, printed in (("pipe 1", 62.5), ("pipe 2", 25.9), ("pipe 3", 11.4))),
            Quantity("total flow", lambda r: sum(r.flow[name] for name in WHITE_PIPES), "m³/h", 99.8,
                     relative=0.003, recomputed=sum(map(own, WHITE_PIPES))),
        ],
    )


def daugherty_8_8():
    pipes = [("first", 300, 0.300, 0.019), ("second", 150, 0.200, 0.021), ("third", 250, 0.250, 0.020)]
    resistance = sum(head_loss(1.0, d, length, f=f) for _, length, d, f in pipes)
    ends = ["upper", "1-2", "2-3", "lower"]
    text = (start_of(WATER) + vessel("upper", "10 m") + vessel("lower") + junction("1-2")
            + junction("2-3")
            + "".join(pipe(name, ends[i], ends[i + 1], f"{length} m", f"{d} m",
                           f"friction_factor = {f}")
                      for i, (name, length, d, f) in enumerate(pipes)))
    return Example(
        "N3", "Three pipes in series, fixed f", f"{DAUGHERTY}, Ex. 8.8", SEEN, text,
        [Quantity("flow", flow("first"), "m³/s", 0.084, absolute=0.0005,
                  recomputed=sqrt(10 / resistance))],
    )


def subramanya_11_4():
    """Lines between the same two vessels; the equivalent pipe is the one that passes as much."""
    source = f"{SUBRAMANYA}, Ex. 11.4"
    ends = start_of(WATER) + vessel("upper", "10 m") + vessel("lower")
    f = "friction_factor = 0.02"
    series = (junction("1-2") + junction("2-3") + pipe("first", "upper", "1-2", "1800 m", "50 cm", f)
              + pipe("second", "1-2", "2-3", "1200 m", "40 cm", f)
              + pipe("third", "2-3", "lower", "600 m", "30 cm", f))
    parallel = (pipe("first", "upper", "lower", "1800 m", "50 cm", f)
                + pipe("second", "upper", "lower", "1200 m", "40 cm", f)
                + pipe("third", "upper", "lower", "600 m", "30 cm", f))
    resistance = 1800 / 0.5**5 + 1200 / 0.4**5 + 600 / 0.3**5
    conductance = sqrt(0.5**5 / 1800) + sqrt(0.4**5 / 1200) + sqrt(0.3**5 / 600)

    def as_much(r):
        return r.flow["equivalent"] - r.flow["first"]

    def as_much_as_all(r):
        return r.flow["equivalent"] - r.flow["first"] - r.flow["second"] - r.flow["third"]

    return [
        Example(
            "N4a", "Length of 40 cm pipe equal to a series", source, SEEN,
            ends + series + pipe("equivalent", "upper", "lower", "3000 m", "40 cm", f),
            [Quantity("length", found, "m", 4318.2, relative=0.0002,
                      recomputed=resistance * 0.4**5)],
            search=Search("equivalent.length", 1000, 10000, as_much),
        ),
        Example(
            "N4b", "Bore of 3600 m of pipe equal to a series", source, SEEN,
            ends + series + pipe("equivalent", "upper", "lower", "3600 m", "40 cm", f),
            [Quantity("bore", found, "cm", 38.57, relative=0.0002,
                      recomputed=(3600 / resistance) ** 0.2 * 100)],
            search=Search("equivalent.bore", 0.1, 1.0, as_much),
        ),
        Example(
            "N4c", "Length of 50 cm pipe equal to three in parallel", source, SEEN,
            ends + parallel + pipe("equivalent", "upper", "lower", "3600 m", "50 cm", f),
            [Quantity("length", found, "m", 377.37, relative=0.0002,
                      recomputed=0.5**5 / conductance**2)],
            search=Search("equivalent.length", 50, 5000, as_much_as_all),
        ),
    ]


def douglas_14_3():
    f = "friction_factor = 0.032  # Fanning 0.008"
    text = (start_of(WATER) + vessel("upper", "10 m") + vessel("lower")
            + pipe("50 mm", "upper", "lower", "100 m", "50 mm", f, "k = 1.5")
            + pipe("100 mm", "upper", "lower", "100 m", "100 mm", f, "k = 1.5")
            + pipe("single", "upper", "lower", "100 m", "110 mm", f))
    small = flow_by_factor(10, 0.05, 100, 0.032, k=1.5)
    large = flow_by_factor(10, 0.1, 100, 0.032, k=1.5)
    single = (0.032 * 100 * (small + large) ** 2 * 8 / (pi**2 * GRAVITY * 10)) ** 0.2
    return Example(
        "N5", "Two pipes between reservoirs, and the one equal to them", f"{DOUGLAS}, Ex. 14.3", SEEN,
        text,
        [
            Quantity("flow, 50 mm", flow("50 mm"), "m³/s", 0.0034, absolute=0.00005, recomputed=small),
            Quantity("flow, 100 mm", flow("100 mm"), "m³/s", 0.0190, relative=0.003,
                     recomputed=large),
            Quantity("total flow", lambda r: r.flow["50 mm"] + r.flow["100 mm"], "m³/s", 0.0224,
                     relative=0.003, recomputed=small + large),
            Quantity("bore of the single pipe, its entry and exit neglected", found, "mm", 106,
                     absolute=0.5, recomputed=single * 1e3),
        ],
        search=Search("single.bore", 0.05, 0.2,
                      lambda r: r.flow["single"] - r.flow["50 mm"] - r.flow["100 mm"]),
    )


def brodkey_10_9():
    sizes = {"4 cm": (50, 0.04), "6 cm": (150, 0.06), "8 cm": (100, 0.08)}
    text = (start_of('density = "1000 kg/m3"\nviscosity = "1 mPa.s"', "9.81 m/s2", "[model]",
                     'friction = "smooth"')
            + vessel("A", "0 m", 'gas_pressure = "147 kPa"') + vessel("B")
            + "".join(pipe(name, "A", "B", f"{length} m", name, 'roughness = "0 mm"')
                      for name, (length, _) in sizes.items()))

    def own(name):  # 1/sqrt(f) = 2 log10(Re sqrt(f)) - 0.8, and Re sqrt(f) follows from the head
        length, d = sizes[name]
        re_root_f = d / 1e-6 * sqrt(2 * 147.0 * d / length)  # 147 J/kg
        v = sqrt(2 * 147.0 * d / length) * (2 * log10(re_root_f) - 0.8)
        return 1000 * v * pi / 4 * d**2

    return Example(
        "N6", "Three smooth pipes in parallel", "Brodkey & Hershey, Transport Phenomena, Ex. 10.9",
        SEEN, text,
        [
            *(Quantity(f"flow, {name}", mass_flow(name, 1000), "kg/s", printed, relative=0.001,
                       recomputed=own(name))
              for name, printed in (("4 cm", 4.74), ("6 cm", 7.59), ("8 cm", 20.42))),
            Quantity("total flow", lambda r: 1000 * sum(r.flow[name] for name in sizes), "kg/s", 32.7,
                     absolute=0.1, reason="the printed parts add up to 32.75",
                     recomputed=sum(map(own, sizes))),
        ],
    )


# --- Branched ------------------------------------------------------------------------------------


def munson_8_14():
    f = "friction_factor = 0.02"
    text = (start_of(WATER, "32.2 ft/s2") + vessel("A", "100 ft") + vessel("B", "20 ft") + vessel("C")
            + junction("N") + pipe("from A", "A", "N", "1000 ft", "1 ft", f)
            + pipe("to B", "N", "B", "500 ft", "1 ft", f) + pipe("to C", "N", "C", "400 ft", "1 ft", f))

    def flows(h):
        g = 32.2
        return tuple(flow_by_factor(dh, 1, length, 0.02, g=g)
                     for dh, length in ((100 - h, 1000), (h - 20, 500), (h, 400)))

    def surplus(h):
        a, b, c = flows(h)
        return a - b - c

    h = root(surplus, 20.0, 100.0)
    a, b, c = flows(h)
    return Example(
        "N7", "Three reservoirs, fixed f", f"{MUNSON}, Ex. 8.14", SEEN, text,
        [
            Quantity("flow from A", flow("from A"), "cfs", 12.5, relative=0.002, recomputed=a),
            Quantity("flow to B", flow("to B"), "cfs", 2.26, relative=0.015,
                     reason="a small difference; printed from rounded coefficients", recomputed=b),
            Quantity("flow to C", flow("to C"), "cfs", 10.3, absolute=0.05, recomputed=c),
            Quantity("head of the junction", head("N"), "ft", recomputed=h),
        ],
    )


def daugherty_8_9():
    density = 62.4 / 32.2 * SLUG / FOOT**3  # of a specific weight of 62.4 lbf/ft³
    text = (start_of(f'density = "{density:.12g} kg/m3"\nkinematic_viscosity = "1.1e-5 ft2/s"',
                     "32.2 ft/s2")
            + vessel("A level", "200 ft") + vessel("B level", "200 ft") + vessel("C end", "50 ft")
            + junction("P", 'elevation = "120 ft"')
            + pipe("A", "A level", "P", "2000 ft", "6 in", "friction_factor = 0.020")
            + pipe("B", "B level", "P", "1600 ft", "4 in", "friction_factor = 0.032")
            + pipe("C", "P", "C end", "4000 ft", "8 in", "friction_factor = 0.024"))
    return Example(
        "N8", "Two supplies into one line", f"{DAUGHERTY}, Ex. 8.9", SEEN, text,
        [
            Quantity("flow, A", flow("A"), "cfs", 1.528, relative=0.0005),
            Quantity("flow, B", flow("B"), "cfs", 0.490, relative=0.0007),
            Quantity("flow, C", flow("C"), "cfs", 2.018, relative=0.0005),
            Quantity("pressure at P", pressure("P"), "psi", 2.06, absolute=0.005),
            Quantity("head at P", head("P"), "ft", recomputed=124.755, recomputed_relative=1e-5),
        ],
        note="B's level inferred from the printed numbers. Recomputed head: five decimals by hand.",
    )


def vennard_9_16():
    # The law is taken as Hazen-Williams (Q^1.852); bore ours, C such that 5 cfs lose 70 ft.
    n, bore, length = 1.852, 0.35, 5000 * FOOT
    c = (10.6744 * length * (5 * UNITS["cfs"]) ** n / (bore**4.8704 * 70 * FOOT)) ** (1 / n)
    hw = f"hazen_williams_c = {c:.12g}"
    text = (start_of(WATER) + vessel("supply", "70 ft") + vessel("town") + junction("end of the loop")
            + pipe("main, first part", "supply", "end of the loop", "2000 ft", "350 mm", hw)
            + pipe("loop", "supply", "end of the loop", "2000 ft", "350 mm", hw)
            + pipe("main, second part", "end of the loop", "town", "3000 ft", "350 mm", hw)
            + pipe("main alone", "supply", "town", "5000 ft", "350 mm", hw))
    total = 5 / (0.6 + 0.4 * 0.5**n) ** (1 / n)
    return Example(
        "N8b", "Gain from a second line beside part of a main", f"{VENNARD}, Ex. 9.16", SEEN, text,
        [
            Quantity("flow of the main alone", flow("main alone"), "cfs", recomputed=5),
            Quantity("flow with the loop", flow("main, second part"), "cfs", 6.0, relative=0.01,
                     reason="one decimal of the gain", recomputed=total),
        ],
    )


# --- Looped --------------------------------------------------------------------------------------


def alperovits_shamir():
    nodes = [  # elevation [m], demand [m³/h], printed pressure head [m], recomputed [m]
        (2, 150, 100, 53.25, 53.245), (3, 160, 100, 30.46, 30.463), (4, 155, 120, 43.45, 43.447),
        (5, 150, 270, 33.81, 33.805), (6, 165, 330, 30.44, 30.442), (7, 160, 200, 30.55, 30.550)]
    pipes = [  # from, to, bore [in], recomputed flow [m³/h]
        (1, 2, 18, 1120.000), (2, 3, 10, 336.871), (2, 4, 16, 683.129), (4, 5, 4, 32.569),
        (4, 6, 16, 530.559), (6, 7, 10, 200.559), (3, 5, 10, 236.871), (5, 7, 1, -0.559)]
    text = start_of(WATER, "9.80665 m/s2") + vessel("1", "210 m") + "".join(
        junction(str(name), f'elevation = "{z} m"', f'draw = "{demand} m3/h"')
        for name, z, demand, _, _ in nodes
    ) + "".join(
        pipe(f"pipe {i}", start, end, "1000 m", f"{bore} in", "hazen_williams_c = 130")
        for i, (start, end, bore, _) in enumerate(pipes, 1))

    def pressure_head(name, z):
        return lambda r: r.head[str(name)] - z

    return Example(
        "N9", "Two loops, Hazen-Williams",
        "Alperovits & Shamir, Water Resour. Res. 13 (1977); heads as in Savic & Walters, J. Water "
        "Resour. Plann. Manage. 123 (1997)", MEMORY, text,
        [
            *(Quantity(f"pressure head, node {name}", pressure_head(name, z), "m", printed,
                       absolute=0.02, reason="two decimals; constants differ in the literature",
                       recomputed=own, recomputed_absolute=0.0006)
              for name, z, _, printed, own in nodes),
            *(Quantity(f"flow, pipe {i}", flow(f"pipe {i}"), "m³/h", recomputed=own,
                       recomputed_absolute=0.0006, recomputed_relative=0)
              for i, (_, _, _, own) in enumerate(pipes, 1)),
        ],
        note="The last pipe is 1 in, its flow 2000 times smaller than the main's and reversed. "
             "Recomputed figures: an independent nodal solution, to three decimals.",
    )


LOOP_SOURCE = '"Pipe Network Analysis", worked example, Chemical Engineer\'s Guide (2015)'
LOOP_PIPES = [  # from, to, L [m], D [m], start [L/s], printed h [m], converged Q [L/s], converged h [m]
    ("A", "B", 300, 0.30, 200, 7.95, 204.9621, 8.2963),
    ("A", "D", 250, 0.25, 100, 4.34, 95.0379, 3.9025),
    ("B", "E", 125, 0.20, 120, 9.94, 125.2356, 10.7672),
    ("D", "G", 300, 0.20, 100, 16.62, 95.0379, 14.9500),
    ("B", "C", 350, 0.20, 80, 12.47, 79.7266, 12.3185),
    ("E", "F", 350, 0.20, 70, 9.58, 33.0861, 2.1843),
    ("C", "F", 125, 0.20, 30, 0.65, 29.7266, 0.6330),
    ("G", "E", 125, 0.15, 50, 7.87, 7.8506, 0.2110),
    ("G", "H", 350, 0.20, 50, 4.94, 87.1873, 14.7039),
    ("F", "H", 125, 0.15, 100, 31.11, 62.8127, 12.3086),
]
LOOP_HEADS = {"B": 91.7037, "C": 79.3852, "D": 96.0975, "E": 80.9365, "F": 78.7522, "G": 81.1475,
              "H": 66.4436}
LOOPS = [{1: 1, 3: 1, 8: -1, 4: -1, 2: -1}, {5: 1, 7: 1, 6: -1, 3: -1}, {6: 1, 10: 1, 9: -1, 8: 1}]
# [m³/s], printed; and recomputed with Colebrook-White by an independent program, as LOOP_HEADS.
FIRST_STEP = (0.00066, -0.00261, -0.03133)
FIRST_STEP_RECOMPUTED = (0.00065123, -0.00260300, -0.03135952)


def three_loops_at_start():
    """Each pipe by itself at the flow that the book starts from."""
    text = start_of(WATER) + vessel("drain") + "".join(
        junction(f"{i}", f'feed = "{start} L/s"')
        + pipe(f"pipe {i}", f"{i}", "drain", f"{length} m", f"{bore} m", 'roughness = "0.26 mm"')
        for i, (_, _, length, bore, start, *_) in enumerate(LOOP_PIPES, 1))
    return Example(
        "N10a", "Three loops: head losses at the first guess", LOOP_SOURCE, SEEN, text,
        [
            Quantity(f"head loss, pipe {i}", drop(f"pipe {i}"), "m", printed, relative=0.008, absolute=0.01,
                     reason="two decimals, and the source uses another friction formula: f differs by up to 0.6 %",
                     recomputed=head_loss(start / 1e3, bore, length, nu=1e-6, eps=0.26e-3))
            for i, (_, _, length, bore, start, printed, _, _) in enumerate(LOOP_PIPES, 1)
        ],
    )


def three_loops():
    draws = {"C": 50, "E": 100, "H": 150}
    text = start_of(WATER) + vessel("A", "100 m") + "".join(
        junction(name, f'draw = "{draws.get(name, 0)} L/s"') for name in LOOP_HEADS
    ) + "".join(
        pipe(f"pipe {i}", start, end, f"{length} m", f"{bore} m", 'roughness = "0.26 mm"')
        for i, (start, end, length, bore, *_) in enumerate(LOOP_PIPES, 1))
    return Example(
        "N10", "Three loops, converged", LOOP_SOURCE, DERIVED, text,
        [
            *(Quantity(f"flow, pipe {i}", flow(f"pipe {i}"), "L/s", recomputed=q,
                       recomputed_relative=0, recomputed_absolute=1e-4)
              for i, (*_, q, _) in enumerate(LOOP_PIPES, 1)),
            *(Quantity(f"head loss, pipe {i}", drop(f"pipe {i}"), "m", recomputed=h,
                       recomputed_relative=0, recomputed_absolute=1e-3)
              for i, (*_, h) in enumerate(LOOP_PIPES, 1)),
            *(Quantity(f"head, {name}", head(name), "m", recomputed=h, recomputed_relative=0,
                       recomputed_absolute=1e-3)
              for name, h in LOOP_HEADS.items()),
        ],
        note="The source prints its first step only (checked apart). Recomputed figures: loop Newton and "
             "a nodal solution, independent of this project, which agree to 1e-12.",
    )


# --- Exact ---------------------------------------------------------------------------------------

SQUARE_LAW_FLUID = '[fluid]\nname = "water"\ndensity = "1000 kg/m3"\n'


def square_law(name, start, end, k):
    """h [m] = k Q² [m³/s]."""
    return f"""
[[restriction]]
name = "{name}"
from = "{start}"
to = "{end}"
rated_flow = "1 m3/s"
rated_drop = "{k} mH2O"
"""


def bridge():
    text = (SQUARE_LAW_FLUID + vessel("4") + junction("1", 'feed = "10 m3/s"') + junction("2")
            + junction("3")
            + "".join(square_law(f"{a}-{b}", a, b, k)
                      for a, b, k in (("1", "2", 1), ("1", "3", 5), ("2", "3", 1), ("2", "4", 5),
                                      ("3", "4", 1))))
    exact = [("1-2", 20 / 3), ("1-3", 10 / 3), ("2-3", 10 / 3), ("2-4", 10 / 3), ("3-4", 20 / 3)]
    return Example(
        "N11a", "Bridge of square laws", "by antisymmetry", EXACT, text,
        [
            *(Quantity(f"flow, {name}", flow(name), "m³/s", q, relative=1e-8) for name, q in exact),
            Quantity("head from 1 to 4", head("1"), "m", 100, relative=1e-8),
        ],
    )


def parallel_square_laws():
    ks = {"first": 1.0, "second": 1.0, "third": 4.0, "fourth": 25.0}
    text = SQUARE_LAW_FLUID + vessel("end") + junction("start", 'feed = "2.7 m3/s"') + "".join(
        square_law(name, "start", "end", k) for name, k in ks.items())
    # 1/sqrt(k) of the whole is 1 + 1 + 1/2 + 1/5 = 2.7: one metre drives it.
    return Example(
        "N11b", "Parallel square laws", "1/sqrt(k) = sum of 1/sqrt(k_i)", EXACT, text,
        [
            Quantity("head", head("start"), "m", 1.0, relative=1e-8),
            *(Quantity(f"flow, {name}", flow(name), "m³/s", k**-0.5, relative=1e-8)
              for name, k in ks.items()),
        ],
    )


def streeter_three_reservoirs():
    text = (start_of('density = "998 kg/m3"\nkinematic_viscosity = "1.007e-6 m2/s"', "9.806 m/s2")
            + vessel("R1", "30 m") + vessel("R2", "18 m") + vessel("R3", "9 m") + junction("J")
            + pipe("1", "R1", "J", "3000 m", "1 m", 'roughness = "0.2 mm"')
            + pipe("2", "R2", "J", "600 m", "0.45 m", 'roughness = "0.9 mm"')
            + pipe("3", "R3", "J", "1000 m", "0.6 m", 'roughness = "0.6 mm"'))
    return Example(
        "N11c", "Three reservoirs, variable f", f"{STREETER}, three-reservoir example (inputs)",
        DERIVED, text,
        [
            Quantity("head of the junction", head("J"), "m", recomputed=24.88133009,
                     recomputed_relative=1e-8),
            *(Quantity(f"flow, pipe {name}", flow(name), "m³/s", recomputed=q,
                       recomputed_relative=1e-8)
              for name, q in (("1", 1.197730485), ("2", -0.3292192935), ("3", -0.8685111913))),
        ],
        note="The printed answer was not recalled; recomputed independently of this project.",
    )


EXAMPLES = [
    white_6_17(), white_6_18(), daugherty_8_8(), *subramanya_11_4(), douglas_14_3(), brodkey_10_9(),
    munson_8_14(), daugherty_8_9(), vennard_9_16(), alperovits_shamir(), three_loops_at_start(),
    three_loops(), bridge(), parallel_square_laws(), streeter_three_reservoirs(),
]
