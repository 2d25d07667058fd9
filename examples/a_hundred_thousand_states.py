"""P-1 trips and check valves stick: in which states of the plant does caustic run back into the day tank?

Two vessels drain into a third whenever an open way leads down from them,
    elevation + level + gas_pressure / (density g)  at one end above that at the other,
and a check valve that sticks opens a way. So every state is solved: openings of HV-3 and HV-4, three levels,
and each of three check valves stuck, alone and in pairs. The shipped plant has NRV-1 alone; here NRV-3 and
NRV-4 are added in the two branches, to see what they would be worth.

    a_hundred_thousand_states.py                          the answer
    a_hundred_thousand_states.py --picture states.svg     the answer, and its picture (SVG, PNG, ... by suffix)
    a_hundred_thousand_states.py --steps 3                fewer openings and levels
"""

import argparse
import itertools
import pathlib
import textwrap

import numpy as np

import handwheel as hw

PLANT = pathlib.Path(__file__).parent.parent / "networks" / "caustic_transfer.toml"
M3_PER_H = 1 / 3600
RETURN = 0.1  # what counts [m3/h]
CHECK_VALVES = ["NRV-1", "NRV-3", "NRV-4"]


def plant():
    """The shipped plant, P-1 tripped, with a check valve in either branch."""
    net = hw.load(PLANT)
    net.apply_case("P-1 tripped")
    added = [("NRV-3", "mixer", "MX-1", "DN50"), ("NRV-4", "HV-4 out", "L-5", "DN40")]
    for name, before, behind, size in added:
        net.add_junction(f"{name} out", elevation=net[before].elevation)
        net.add_check_valve(name, before, f"{name} out", kind="ball", size=size)
        net[behind].from_ = f"{name} out"
    return net


def scenarios(steps):
    """Every combination of openings and levels, with every set of up to two check valves stuck."""
    states = hw.grid({
        "stuck": [set(pick) for n in range(3) for pick in itertools.combinations(CHECK_VALVES, n)],
        "HV-3.opening": np.linspace(0, 1, 2 * steps + 1),
        "HV-4.opening": np.linspace(0, 1, 2 * steps + 1),
        "day tank.level": np.linspace(0.4, 3.0, steps),
        "neutraliser.level": np.linspace(0.5, 4.0, steps),
        "scrubber head tank.level": np.linspace(0.2, 1.8, steps),
    })  # fmt: skip
    stuck = states.pop("stuck")
    for name in CHECK_VALVES:
        states[f"{name}.condition"] = np.where([name in which for which in stuck], "stuck open", "sound")
    names = [" and ".join(sorted(which)) or "none" for which in stuck]
    return states, np.array(names)


def print_table(back, names):
    print(f"{'stuck open':<17}{'states':>9}{'run back':>10}{'half of all, over':>19}{'worst, m3/h':>13}")
    for name in dict.fromkeys(names):
        flow = back[names == name]
        running = np.count_nonzero(flow > RETURN)
        print(f"{name:<17}{len(flow):>9}{running:>10}{np.median(flow):>19.2f}{flow.max():>13.2f}")


def print_answer(back, names):
    alone = np.array([" and " not in name for name in names])
    worst = names[np.argmax(back)]
    through = {name: (back[names == name] > RETURN).mean() for name in dict.fromkeys(names)}
    ways = [f"{name} (in {share:.0%} of the states)" for name, share in through.items() if share > 0]
    print()
    for sentence in (
        f"With the check valves sound or any one of them stuck, {np.count_nonzero(back[alone] > RETURN)} of "
        f"{alone.sum()} states run back into the day tank.",
        f"It runs back through {' or '.join(ways)}." if ways else "Nor does any with two of them stuck.",
        f"The worst is {back.max():.1f} m3/h, with {worst} stuck, so whoever works on P-1 shuts, proves and locks "
        "HV-1 and HV-2 under permit: these are estimates, and a check valve is never isolation.",
    ):  # fmt: skip
        print(textwrap.fill(sentence, 100))


def draw(back, names, path):
    """How often as much or more runs back."""
    import matplotlib.pyplot as plt

    plt.rcParams.update({"svg.hashsalt": "handwheel", "font.size": 11})
    figure, axes = plt.subplots(figsize=(7.2, 4.2), layout="constrained")
    share = np.linspace(0, 100, 201)
    styles = zip(["#0072B2", "#D55E00", "#009E73", "#CC79A7"], ["-", (0, (5, 2)), (0, (1.5, 1.5)), "-."])
    quiet = []
    for name in dict.fromkeys(names):
        flow = back[names == name]
        if flow.max() < RETURN:
            quiet.append(name)
            continue
        colour, dashes = next(styles)
        axes.plot(share, np.percentile(flow, 100 - share), color=colour, linestyle=dashes, linewidth=2.2,
                  label=f"{name} stuck")  # fmt: skip
    axes.set(xlabel="share of the states, %", ylabel="runs back into the day tank, at least, m³/h", xlim=(0, 100))
    axes.set_ylim(0, None)
    axes.set_title("P-1 tripped; nothing runs back with these stuck:\n" + ", ".join(quiet), fontsize=10, loc="left")
    axes.grid(color="#e4e4e4", linewidth=0.8)
    axes.set_axisbelow(True)
    axes.legend(frameon=False)
    figure.savefig(path, metadata={"Date": None} if path.suffix == ".svg" else None)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--picture", type=pathlib.Path)
    parser.add_argument("--steps", type=int, default=5)
    options = parser.parse_args()

    net = plant()
    states, names = scenarios(options.steps)
    many = hw.solve_many(net, states, outputs=["L-1.flow"])
    print(many.summary)
    solved = (many.outcome == "solved").to_numpy()
    back = np.maximum(-many.flow["L-1"][solved].to_numpy() / M3_PER_H, 0.0)
    print_table(back, names[solved])
    print_answer(back, names[solved])
    if options.picture:
        draw(back, names[solved], options.picture)


if __name__ == "__main__":
    main()
