"""The pump trips: can liquid run backwards, from where to where, and how much?

A stopped pump is a path: drop = stopped_k * rated head * (flow / rated flow)². A check valve bars it, but
seats wear and discs stick: so it is asked again with each one passing, and each one stuck open.

    can_it_run_back.py                                          P-1 of the caustic transfer
    can_it_run_back.py networks/cooling_loop.toml P-21B         another plant and pump
"""

import pathlib
import sys

import handwheel as hw

PLANT = pathlib.Path(__file__).parent.parent / "networks" / "caustic_transfer.toml"
M3_PER_H = 1 / 3600


def main(plant=PLANT, pump="P-1"):
    net = hw.load(plant)
    study = hw.backflow(net, trip=pump)
    print(study)  # the verdict, then a table, the ways it takes, and what holds

    print("Which hand valve, shut as well, stops the most? (left to run backwards in the worst state, m3/h)")
    for valve in net.valves:
        if valve.opening > 0:
            shut = hw.backflow(net, {f"{valve.name}.opening": 0}, trip=pump)
            solved = [state.flow for state in shut.states if state.solved]
            left = f"{max(solved) / M3_PER_H:10.2f}" if solved else "no solution"
            print(f"  {valve.name:<18}{left}")
    print("\nWork on a pump only under permit, behind shut, proven and locked hand valves: a check valve and\n"
          "a tripped pump are never isolation.")


if __name__ == "__main__":
    main(*sys.argv[1:])
