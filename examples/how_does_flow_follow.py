"""How does flow follow the handwheel of HV-3, and what does every branch get?

Flows split so that every path between two vessels sees the same heads:
    elevation + level at its ends differ by  sum of drops - pump head  along it.
Throttling HV-3 raises the header's head, so that the scrubber gets part of what the neutraliser loses. A
valve governs as long as most of the drop is its own: authority = its drop fully open / its drop shut.

    how_does_flow_follow.py                           the tables
    how_does_flow_follow.py --picture throttling.svg  the tables, and their picture (SVG, PNG, ... by suffix)
"""

import argparse
import pathlib

import numpy as np

import handwheel as hw

PLANT = pathlib.Path(__file__).parent.parent / "networks" / "caustic_transfer.toml"
M3_PER_H = 1 / 3600
BAR = 1e5
BRANCHES = {"L-1": "from the pump", "L-4": "to the neutraliser", "L-5": "to the scrubber"}


def print_table(sweep):
    print(f"{'HV-3 %':>7}" + "".join(f"{what:>20}" for what in BRANCHES.values()) + f"{'header':>10}")
    print(f"{'open':>7}" + f"{'m3/h':>20}" * len(BRANCHES) + f"{'bar g':>10}")
    flow, pressure = sweep.flow / M3_PER_H, sweep.pressure / BAR
    for opening in [0, 0.1, 0.2, 0.3, 0.4, 0.6, 0.8, 1]:
        row = int(np.argmin(abs(sweep.values - opening)))
        flows = "".join(f"{round(flow[branch].iloc[row], 2) + 0.0:>20.2f}" for branch in BRANCHES)
        print(f"{opening * 100:>7.0f}{flows}{pressure['header'].iloc[row]:>10.2f}")


def print_usefulness(sweep):
    hv3 = sweep.installed().iloc[0]
    print(f"\nHV-3 installed: authority {hv3['authority']:.2f}, {hv3['drop open [m]']:.1f} m fully open of "
          f"{hv3['drop shut [m]']:.1f} m shut.")
    print(f"It controls best from {hv3['best from']:.0%} to {hv3['best to']:.0%} open; from "
          f"{hv3['enough from']:.0%} on, nine tenths of its full flow pass.")


def draw(net, sweep, path):
    import matplotlib.pyplot as plt

    plt.rcParams.update({"svg.hashsalt": "handwheel", "font.size": 11})
    figure, axes = plt.subplots(figsize=(7.2, 4.2), layout="constrained")
    sweep.plot(list(BRANCHES), ax=axes)
    styles = {"L-1": ("#555555", (0, (4, 2))), "L-4": ("#0072B2", "-"), "L-5": ("#D55E00", "-")}
    for line, (branch, what) in zip(axes.lines, BRANCHES.items()):
        colour, dashes = styles[branch]
        line.set(color=colour, linestyle=dashes, linewidth=2.2)
        axes.annotate(what, (100, line.get_ydata()[-1]), xytext=(6, 0), textcoords="offset points",
                      va="center", color=colour)
    axes.get_legend().remove()
    now = net["HV-3"].opening * 100
    axes.axvline(now, color="#999999", linewidth=0.8)
    axes.annotate("as it stands", (now, 0), xytext=(4, 5), textcoords="offset points",
                  color="#555555", fontsize=9.5)
    axes.set(xlim=(0, 100), ylim=(0, None))
    axes.set_title(f"{net.title}: turning HV-3", loc="left", fontsize=12)
    axes.locator_params(axis="y", integer=True, nbins=5)
    axes.spines[["top", "right"]].set_visible(False)
    # Without date and maker, the same numbers give the same file.
    figure.savefig(path, metadata={"Date": None, "Creator": None} if path.suffix == ".svg" else None)


def main():
    parser = argparse.ArgumentParser(description="How flow follows the handwheel of HV-3.")
    parser.add_argument("--picture", type=pathlib.Path, metavar="FILE")
    arguments = parser.parse_args()
    net = hw.load(PLANT)
    sweep = hw.sweep(net, "HV-3.opening", np.linspace(0, 1, 101))
    if len(sweep.failures):
        raise SystemExit(f"no solution: {sweep.failures.iloc[0]}")
    print_table(sweep)
    print_usefulness(sweep)
    if arguments.picture:
        draw(net, sweep, arguments.picture)
    print("\nEstimates, from the usual curve of a weir valve: its maker's table is better. Try a new\n"
          "setting in small steps, watching the gauges, as the site's rules and a licensed engineer allow.")


if __name__ == "__main__":
    main()
