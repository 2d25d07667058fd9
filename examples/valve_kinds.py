"""What does each kind of valve do to the flow as it is turned, and what is it good for?

The answer depends on the line as well. If a valve of coefficient c (over that fully open) takes a
share s of the line's drop when fully open, and all losses go with the square of the flow, then
    flow / flow fully open = 1 / sqrt(1 - s + s / c²).
With s = 10 %, usual in a plant, hardly anything happens until the valve is nearly shut.

    valve_kinds.py                  a table of all kinds
    valve_kinds.py --write FOLDER   a page with a picture for each kind (examples/valve_kinds has them)

Pages and table are made of the data that the solver uses, and solved with it.
"""

import argparse
import pathlib

import numpy as np

import handwheel as hw

SHARE = 0.1  # of the line's drop, that the valve takes fully open
SIZES = [25, 50, 80, 100, 150]  # DN
SHOWN_SIZE = "DN80"
SHOWN_BORE = 0.080  # [m]
GRAVITY = 9.80665  # [m/s²]
M3_PER_H = 1 / 3600
KPA = 1e3
ORIENTATIONS = {
    "horizontal": "horizontal flow",
    "vertical up": "upward flow",
    "vertical down": "downward flow",
}
ASSISTS = ["none", "spring", "weight"]
DECELERATIONS = [1, 2, 4, 8]  # [m/s²]
BLUE, ORANGE, GREEN = "#0072B2", "#D55E00", "#009E73"  # told apart by colour-blind readers too
GREY = "#555555"
LOOKS = {
    "none": (BLUE, "o", "no assist"),
    "spring": (ORANGE, "s", "with a spring"),
    "weight": (GREEN, "^", "with a weight"),
}
STYLE = {"svg.hashsalt": "handwheel", "font.size": 10.5}
CAUTION = (
    "> **Estimates**, for use until the maker's data replace them. A check valve is never isolation, and a\n"
    "> shut valve is isolation only as the site's permit and lock-out rules say. Local codes and a licensed\n"
    "> engineer decide.\n"
)


# --- Numbers -------------------------------------------------------------------------------------


def line_with(kind):
    """Two tanks, and between them a valve of the kind and losses for the rest of the drop."""
    net = hw.Network()
    net.fluid.name = "water"
    net.fluid.temperature = "20 degC"
    net.add_vessel("high tank", elevation=0, level="2 m")
    net.add_vessel("low tank", elevation=0, level=0)
    net.add_junction("between", elevation=0)
    rest = hw.valve_kind(kind).full_open_k.value * (1 - SHARE) / SHARE
    net.add_restriction("line", "high tank", "between", k=rest, bore=SHOWN_BORE)
    net.add_valve("HV-1", "between", "low tank", kind=kind, bore=SHOWN_BORE)
    return net


def solved(net, settings=None):
    solution = hw.solve(net, settings or {})
    if not solution.converged:
        raise SystemExit(f"{settings}: {solution.summary.message}")
    return solution


def flows_in_line(kind, openings):
    """Flow in the line at each opening, over that with the valve fully open."""
    net = line_with(kind)
    flow = [solved(net, {"HV-1.opening": opening}).flow["HV-1"] for opening in [*openings, 1]]
    return np.array(flow[:-1]) / flow[-1]


def check_valve_line(kind, orientation, assist):
    net = hw.Network()
    net.fluid.name = "water"
    net.fluid.temperature = "20 degC"
    net.add_vessel("tank", elevation=0, level="10 m")
    net.add_junction("user", elevation=0)
    net.add_check_valve("NRV-1", "tank", "user", kind=kind, bore=SHOWN_BORE, orientation=orientation,
                        assist=assist)
    return net


def drop_over_check_valve(net, velocity):
    """Pressure drop [Pa] in water at 20 °C."""
    draw = velocity * np.pi / 4 * SHOWN_BORE**2
    solution = solved(net, {"user.draw": draw})
    return solution.drop["NRV-1"] * hw.water("20 degC").density * GRAVITY


def full_lift_velocity(net):
    """Velocity that just holds the check valve fully open [m/s]."""
    return solved(net, {"user.draw": 1e-6}).table("check valves")["minimum velocity [m/s]"].iloc[0]


def suited_orientation(kind):
    return next(o for o in ORIENTATIONS if getattr(kind, o.replace(" ", "_")).value)


# --- Text ----------------------------------------------------------------------------------------


def number(value):
    return f"{value:.0f}" if value >= 1000 else f"{value:.3g}"


def percent(share):
    return f"{share:.0%}".replace("%", " %")


def typeset(text):
    return text.replace("+-", "±").replace("degC", "°C")


def table(headings, rows, right=()):
    """A Markdown table; columns numbered in `right` have numbers."""
    rules = ["---:" if i in right else "---" for i in range(len(headings))]
    lines = [headings, rules, *rows]
    return "".join("| " + " | ".join(str(cell) for cell in line) + " |\n" for line in lines)


def datum_row(what, datum, shown=None):
    return [what, number(datum.value) if shown is None else shown, datum.trust, typeset(datum.source)]


def in_kpa(datum):
    return number(datum.value / KPA)


def fitness_row(what, fitness):
    return [what, "yes" if fitness.value else "no", fitness.trust, typeset(fitness.source)]


def file_name(kind):
    prefix = "check_valve_" if isinstance(kind, hw.CheckValveKind) else ""
    return prefix + kind.name.replace(" ", "_").replace("-", "_")


def page_start(kind, title, picture_says):
    return (f"# {title}\n\n{typeset(kind.what_it_is)}\n\n"
            f"## When not to use it\n\n{typeset(kind.when_not_to_use)}\n\n"
            f"![{picture_says}]({file_name(kind)}.svg)\n\n")


def page_end():
    return f"{CAUTION}\n[All kinds of valve](README.md)\n"


# --- Pages of valves -----------------------------------------------------------------------------


def curve_table(kind):
    openings = np.linspace(0, 1, 11)
    return table(
        ["opening", *[percent(h) for h in openings]],
        [["flow coefficient", *[percent(c) for c in kind.relative_coefficient(openings)]],
         ["flow in the line", *[percent(q) for q in flows_in_line(kind.name, openings)]]],
        right=range(1, 12))


def size_table(kind):
    bores = [size / 1000 for size in SIZES]
    turns = [number(kind.turns(bore)) for bore in bores]
    rows = [["Kv, m³/h", *[number(kind.kv(bore) / M3_PER_H) for bore in bores], "derived",
             "from K, on a bore equal to the DN"]]
    if not kind.quarter_turn:
        rows.append(["travel, mm", *[number(kind.stem_travel(bore) * 1000) for bore in bores], "derived",
                     "from travel over DN"])
    rows.append(["turns of the lever" if kind.quarter_turn else "turns of the handwheel", *turns,
                 kind.turns_of_any_size.trust, typeset(kind.turns_of_any_size.source)])
    return table(["fully open", *[f"DN{size}" for size in SIZES], "trust", "source"], rows,
                 right=range(1, 1 + len(SIZES)))


def defaults_table(kind):
    rows = [
        datum_row("K, fully open", kind.full_open_k),
        datum_row("flow coefficient against opening", kind.characteristic, "the curve"),
        datum_row("FL (pressure recovery), fully open", kind.recovery_fully_open),
        datum_row("FL, nearly shut", kind.recovery_nearly_shut),
        datum_row("Fd (valve style)", kind.style_modifier),
        datum_row("stem travel over DN", kind.travel_over_bore,
                  "none" if kind.quarter_turn else None),
        datum_row("turndown", kind.turndown, f"{number(kind.turndown.value)} : 1"),
        datum_row("least opening to throttle at", kind.least_throttle,
                  percent(kind.least_throttle.value)),
    ]
    return table(["datum", "value", "trust", "source"], rows, right=[1])


def fitness_table(kind):
    return table(["fit for", "", "trust", "why"], [
        fitness_row("throttling", kind.throttling),
        fitness_row("solids: grit, fibres, sludge", kind.solids),
        fitness_row("settling, abrasive slurry", kind.slurry),
        fitness_row("vacuum", kind.vacuum),
    ])


def valve_page(kind):
    half = kind.relative_coefficient(0.5), flows_in_line(kind.name, [0.5])[0]
    says = (f"Half open, the {kind.name} valve has {percent(half[0])} of its flow coefficient, and the line "
            f"{percent(half[1])} of its flow")
    return (
        page_start(kind, f"Valve: {kind.name}", says)
        + f"*{says}. The line is one where the fully open valve takes {percent(SHARE)} of the drop.*\n\n"
        + curve_table(kind)
        + f"\nIn a network file: `kind = \"{kind.name}\"`. The maker's `kv`, `curve`, `fl`, `travel` and `turns`\n"
        "replace what follows.\n\n## Fully open, by size\n\n" + size_table(kind)
        + "\n## Defaults and where they come from\n\n" + defaults_table(kind)
        + "\n## Fit for\n\n" + fitness_table(kind) + "\n" + page_end())


# --- Pages of check valves -----------------------------------------------------------------------


def check_size_table(kind):
    k = [number(kind.full_open_k(size / 1000)) for size in SIZES]
    return table(["fully open", *[f"DN{size}" for size in SIZES], "trust", "source"],
                 [["K", *k, "derived", "resistance times fT of clean steel at that bore"]],
                 right=range(1, 1 + len(SIZES)))


def lift_table(kind):
    orientation = suited_orientation(kind)
    rows = []
    for assist in ASSISTS:
        net = check_valve_line(kind.name, orientation, assist)
        rows.append([assist, number(kind.cracking_pressure(orientation, assist) / KPA),
                     number(full_lift_velocity(net)), "derived",
                     "from the data below: at the minimum velocity, or later if weight and assist need more"])
    return table([f"{ORIENTATIONS[orientation]}, assist", "cracks at, kPa", "fully open from, m/s", "trust",
                  "source"], rows, right=[1, 2])


def cracking_table(kind):
    rows = []
    for orientation in ORIENTATIONS:
        fitness = getattr(kind, orientation.replace(" ", "_"))
        pressures = [number(kind.cracking_pressure(orientation, assist) / KPA) for assist in ASSISTS]
        rows.append([orientation, *pressures, "yes" if fitness.value else "no", fitness.trust,
                     typeset(fitness.source)])
    return table(["flow", "no assist, kPa", "spring, kPa", "weight, kPa", "suits", "trust", "why"], rows,
                 right=[1, 2, 3])


def slam_table(kind):
    rows = []
    for assist in ["none", "spring"]:
        speeds = [number(kind.slam_reverse_velocity(a, assist)) for a in DECELERATIONS]
        rows.append([f"reverse velocity, m/s, assist {assist}", *speeds, "from memory",
                     "the shape of published curves (Provoost; Thorley; Ballun): within 50 % at best"])
    return table(["flow comes to rest at", *[f"{a} m/s²" for a in DECELERATIONS], "trust", "source"], rows,
                 right=range(1, 1 + len(DECELERATIONS)))


def check_defaults_table(kind):
    return table(["datum", "value", "trust", "source"], [
        datum_row("resistance, K over fT", kind.resistance),
        datum_row("minimum velocity × √density, ft/s (lb/ft³)½", kind.minimum_velocity_constant),
        datum_row("cracking pressure by weight, horizontal, kPa", kind.weight_horizontal,
                  in_kpa(kind.weight_horizontal)),
        datum_row("cracking pressure by weight, vertical up, kPa", kind.weight_vertical_up,
                  in_kpa(kind.weight_vertical_up)),
        datum_row("a spring adds, kPa", kind.spring_adds, in_kpa(kind.spring_adds)),
        datum_row("a lever and weight adds, kPa", kind.counterweight_adds, in_kpa(kind.counterweight_adds)),
        datum_row("slam lag: flow reversal to shut, s", kind.slam_lag),
    ], right=[1])


def check_valve_page(kind):
    orientation = suited_orientation(kind)
    constant = number(kind.minimum_velocity(hw.water("20 degC").density))
    least = number(full_lift_velocity(check_valve_line(kind.name, orientation, "none")))
    says = (f"Below {least} m/s of water a {kind.name} check valve without assist is not fully open: its "
            "closing part floats")
    return (
        page_start(kind, f"Check valve: {kind.name}", says)
        + f"*{says},\nand may flutter and wear. Drop against velocity of water, {SHOWN_SIZE}, "
        f"{ORIENTATIONS[orientation]}.\nThe ends of the dashed curves are by the data, their shape is our guess.*"
        "\n\n" + lift_table(kind)
        + f"\nIn a network file: `kind = \"{kind.name}\"`. The maker's `kv`, `cracking_pressure` and "
        "`min_velocity` replace\nwhat follows.\n\n## Fully open, by size\n\n" + check_size_table(kind)
        + f"\nLeast velocity in water that holds it fully open, by the constant below: {constant} m/s (derived).\n\n"
        "## Cracking pressure by orientation of the flow\n\n" + cracking_table(kind)
        + "\nPressures are derived: weight, and what the assist adds. 0: nothing pushes it shut, so it may stay\n"
        "open.\n\n## Slam\n\n" + slam_table(kind)
        + "\nFor comparing kinds, never for passing or failing one.\n\n"
        "## Defaults and where they come from\n\n" + check_defaults_table(kind)
        + "\n## Fit for\n\n" + table(["fit for", "", "trust", "why"], [
            fitness_row("solids: rags, grit, sludge", kind.solids)])
        + "\n" + page_end())


# --- Index ---------------------------------------------------------------------------------------


def link(kind):
    return f"[{kind.name}]({file_name(kind)}.md)"


def yes_or_no(*fitness):
    return ["yes" if f.value else "no" for f in fitness]


def index_page():
    valves = [[link(v), typeset(v.what_it_is), percent(flows_in_line(v.name, [0.5])[0]),
               *yes_or_no(v.throttling, v.solids, v.slurry, v.vacuum)]
              for v in map(hw.valve_kind, hw.valve_kinds())]
    check_valves = [[link(c), typeset(c.what_it_is),
                     *yes_or_no(c.horizontal, c.vertical_up, c.vertical_down, c.solids)]
                    for c in map(hw.check_valve_kind, hw.check_valve_kinds())]
    rates = [[r.name, r.what, r.trust, typeset(r.source)]
             for r in map(hw.leakage_rate, hw.leakage_rates())]
    return (
        "# Kinds of valve\n\n"
        "What each kind is, when not to use it, what it does to the flow, and the defaults the solver uses for\n"
        "it, each with its source. The trust words: *seen* in the publication named; recalled *from memory*, so\n"
        "check a copy before relying on it; *common practice* of the trade, no source; *derived* by a formula or\n"
        "from other data. `handwheel kinds \"diaphragm weir\"` shows the same in a terminal, and\n"
        "`handwheel.valve_kind(\"diaphragm weir\")` gives it to Python.\n\n"
        "## Valves\n\n"
        f"Half open: flow left in a line where the fully open valve takes {percent(SHARE)} of the drop.\n\n"
        + table(["kind", "what it is", "half open", "throttling", "solids", "slurry", "vacuum"], valves,
                right=[2])
        + "\n## Check valves\n\n"
        + table(["kind", "what it is", "horizontal", "vertical up", "vertical down", "solids"], check_valves)
        + "\n## Leakage of shut seats\n\n"
        "What standards of testing let a new seat pass; one in service often passes more.\n\n"
        + table(["rate", "allows", "trust", "source"], rates) + "\n" + CAUTION
        + "\nThese pages are written by [valve_kinds.py](../valve_kinds.py).\n")


def text_pages():
    """{file name: text} of every page."""
    pages = {"README.md": index_page()}
    for kind in map(hw.valve_kind, hw.valve_kinds()):
        pages[file_name(kind) + ".md"] = valve_page(kind)
    for kind in map(hw.check_valve_kind, hw.check_valve_kinds()):
        pages[file_name(kind) + ".md"] = check_valve_page(kind)
    return pages


# --- Pictures ------------------------------------------------------------------------------------


def tidy(axes, title):
    axes.set_title(title, loc="left", fontsize=11)
    axes.grid(color="#e4e4e4", linewidth=0.8)
    axes.set_axisbelow(True)
    axes.spines[["top", "right"]].set_visible(False)


def save(plt, figure, path):
    # Without date and maker, the same numbers give the same file.
    figure.savefig(path, metadata={"Date": None, "Creator": None})
    plt.close(figure)


def draw_valve(plt, kind, path):
    openings = np.linspace(0, 1, 101)
    coefficient = kind.relative_coefficient(openings) * 100
    figure, (left, right) = plt.subplots(1, 2, figsize=(8.4, 4.1), sharey=True, layout="constrained")
    figure.get_layout_engine().set(rect=(0, 0.08, 1, 0.92))  # below it the legend
    for axes in (left, right):
        shade = axes.axvspan(0, kind.least_throttle.value * 100, color="#ececec", linewidth=0)
        axes.set(xlim=(0, 100), ylim=(0, 103), xlabel="opening, % of travel")
    curve, = left.plot(openings * 100, coefficient, color=BLUE, linewidth=2.2, clip_on=False)
    points, = left.plot(*(kind.characteristic.value.T * 100), "o", color=BLUE, markersize=5.5,
                        markerfacecolor="white", markeredgewidth=1.6, clip_on=False)
    right.plot(openings * 100, coefficient, color=BLUE, linewidth=1.2, linestyle=(0, (4, 2)))
    flow, = right.plot(openings * 100, flows_in_line(kind.name, openings) * 100, color=ORANGE,
                       linewidth=2.4, clip_on=False)
    left.set_ylabel("% of fully open")
    tidy(left, f"{kind.name}: the valve")
    tidy(right, f"in a line where it takes {percent(SHARE)} of the drop")
    figure.legend([curve, points, flow, shade],
                  ["flow coefficient", "its data", "flow in the line", "throttles badly or wears"],
                  loc="lower center", ncols=4, frameon=False, fontsize=10)
    save(plt, figure, path)


def drop_curve(net, velocities):
    return [drop_over_check_valve(net, v) / KPA for v in velocities]


def draw_check_valve(plt, kind, path):
    orientation = suited_orientation(kind)
    nets = {assist: check_valve_line(kind.name, orientation, assist) for assist in ASSISTS}
    lifted = {assist: full_lift_velocity(net) for assist, net in nets.items()}
    fastest = 1.25 * max(lifted.values())
    figure, axes = plt.subplots(figsize=(7.2, 4.4), layout="constrained")
    opened = np.linspace(min(lifted.values()), fastest, 80)
    axes.plot(opened, drop_curve(nets[min(lifted, key=lifted.get)], opened), color=GREY, linewidth=2.4,
              label="fully open")
    for assist, (colour, marker, label) in LOOKS.items():
        floating = np.linspace(1e-4, lifted[assist], 60)
        drop = drop_curve(nets[assist], floating)
        axes.plot(floating, drop, color=colour, linewidth=2, linestyle=(0, (3, 1.5)))
        # A ring: the others' marks may lie in it.
        fill = {"markerfacecolor": "none", "markeredgewidth": 2} if assist == "none" else {}
        axes.plot(floating[-1], drop[-1], marker, color=colour, markersize=12 if fill else 7,
                  linestyle=(0, (3, 1.5)), linewidth=2, label=label, zorder=3, **fill)
    axes.set(xlim=(0, fastest), ylim=(0, None), xlabel="velocity of water in the bore, m/s",
             ylabel="drop, kPa")
    axes.legend(title="dashed: floating", loc="upper left", frameon=False, alignment="left")
    tidy(axes, f"{kind.name} check valve, {SHOWN_SIZE}, {ORIENTATIONS[orientation]}")
    save(plt, figure, path)


def draw_pictures(folder):
    import matplotlib

    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    plt.rcParams.update(STYLE)
    for kind in map(hw.valve_kind, hw.valve_kinds()):
        draw_valve(plt, kind, folder / f"{file_name(kind)}.svg")
    for kind in map(hw.check_valve_kind, hw.check_valve_kinds()):
        draw_check_valve(plt, kind, folder / f"{file_name(kind)}.svg")


# --- The answer ----------------------------------------------------------------------------------


def print_table():
    openings = [0.75, 0.5, 0.25]
    print(f"Flow left in a line where the fully open valve takes {percent(SHARE)} of the drop\n")
    print(f"{'':<26}" + "".join(f"{percent(h) + ' open':>12}" for h in openings) + "   to throttle with?")
    for kind in map(hw.valve_kind, hw.valve_kinds()):
        flows = "".join(f"{percent(q):>12}" for q in flows_in_line(kind.name, openings))
        print(f"{kind.name:<26}{flows}   {'yes' if kind.throttling.value else 'no'}")


def main():
    parser = argparse.ArgumentParser(description="What each kind of valve does to the flow.")
    parser.add_argument("--write", type=pathlib.Path, metavar="FOLDER")
    arguments = parser.parse_args()
    print_table()
    if arguments.write:
        arguments.write.mkdir(parents=True, exist_ok=True)
        for name, text in text_pages().items():
            (arguments.write / name).write_text(text, encoding="utf-8")
        draw_pictures(arguments.write)
    print("\nEstimates, from the usual curve of each kind: the maker's table is better. A check valve is never\n"
          "isolation; local codes, the site's permit and lock-out rules and a licensed engineer decide.")


if __name__ == "__main__":
    main()
