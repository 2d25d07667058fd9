"""If HV-3 goes to 40 %, what does every branch get? And at the other openings?

Flows split so that every path between two vessels sees the same heads:
    elevation + level at its ends differ by  sum of drops - pump head  along it.
Throttling HV-3 raises the header's head, so that the scrubber gets part of what the neutraliser loses.

    throttle_a_valve.py                          the table
    throttle_a_valve.py --picture throttling.svg  the table, and its picture (SVG, PNG, ... by suffix)
"""

import argparse
import pathlib

import numpy as np

import handwheel as hw

PLANT = pathlib.Path(__file__).parent.parent / "networks" / "caustic_transfer.toml"
M3_PER_H = 1 / 3600
BAR = 1e5
BRANCHES = {"L-1": "from the pump", "L-4": "to the neutraliser", "L-5": "to the scrubber"}


def solve_at(net, opening):
    solution = hw.solve(net, {"HV-3.opening": opening})
    if not solution.converged:
        raise SystemExit(f"HV-3 at {opening:.0%}: {solution.summary.message}")
    return solution


def print_table(net, openings):
    print(f"{'HV-3 %':>7}" + "".join(f"{what:>20}" for what in BRANCHES.values()) + f"{'header':>10}")
    print(f"{'open':>7}" + f"{'m3/h':>20}" * len(BRANCHES) + f"{'bar g':>10}")
    for opening in openings:
        s = solve_at(net, opening)
        flows = "".join(f"{round(s.flow[branch] / M3_PER_H, 2) + 0.0:>20.2f}" for branch in BRANCHES)
        print(f"{opening * 100:>7.0f}{flows}{s.pressure['header'] / BAR:>10.2f}")


def draw(net, path):
    import matplotlib.pyplot as plt

    plt.rcParams.update({"svg.hashsalt": "handwheel", "font.size": 11})
    openings = np.linspace(0, 1, 101)
    solutions = [solve_at(net, opening) for opening in openings]
    styles = {"L-1": ("#555555", (0, (4, 2))), "L-4": ("#0072B2", "-"), "L-5": ("#D55E00", "-")}
    figure, axes = plt.subplots(figsize=(7.2, 4.2), layout="constrained")
    for branch, what in BRANCHES.items():
        colour, dashes = styles[branch]
        flow = [s.flow[branch] / M3_PER_H for s in solutions]
        axes.plot(openings * 100, flow, color=colour, linestyle=dashes, linewidth=2.2)
        axes.annotate(what, (100, flow[-1]), xytext=(6, 0), textcoords="offset points",
                      va="center", color=colour)
    now = net["HV-3"].opening * 100
    axes.axvline(now, color="#999999", linewidth=0.8)
    axes.annotate("as it stands", (now, 0), xytext=(4, 5), textcoords="offset points",
                  color="#555555", fontsize=9.5)
    axes.set(xlim=(0, 100), ylim=(0, None), xlabel="opening of HV-3, % of travel", ylabel="flow, m³/h")
    axes.set_title(f"{net.title}: turning HV-3", loc="left", fontsize=12)
    axes.locator_params(axis="y", integer=True, nbins=5)
    axes.grid(color="#e4e4e4", linewidth=0.8)
    axes.spines[["top", "right"]].set_visible(False)
    # Without date and maker, the same numbers give the same file.
    figure.savefig(path, metadata={"Date": None, "Creator": None} if path.suffix == ".svg" else None)


def main():
    parser = argparse.ArgumentParser(description="What every branch gets as HV-3 is throttled.")
    parser.add_argument("--picture", type=pathlib.Path, metavar="FILE")
    arguments = parser.parse_args()
    net = hw.load(PLANT)
    print_table(net, [0, 0.1, 0.2, 0.3, 0.4, 0.6, 0.8, 1])
    if arguments.picture:
        draw(net, arguments.picture)
    print("\nEstimates, from the usual curve of a weir valve: its maker's table is better. Try a new\n"
          "setting in small steps, watching the gauges, as the site's rules and a licensed engineer allow.")


if __name__ == "__main__":
    main()
