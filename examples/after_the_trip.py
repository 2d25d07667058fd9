"""The pump trips: how hard does its check valve slam, and what would make it milder?

Between the trip and the new rest the pump runs down, I dw/dt = -torque, the line decelerates, and the check
valve shuts late, at a reverse velocity v. The column that it stops answers with a pressure of about rho a v
(Joukowsky). So it is asked again with the valve quicker, and with a heavier rotor.

    after_the_trip.py                                    P-1 of the caustic transfer
    after_the_trip.py networks/cooling_loop.toml P-21B   another plant and pump
    after_the_trip.py --picture slam.svg                 pressures against time
"""

import argparse
import pathlib

import handwheel as hw

PLANT = pathlib.Path(__file__).parent.parent / "networks" / "caustic_transfer.toml"


def what_if(net, pump, changes, duration):
    """Settings, what they are called -> the worst slam and the highest pressure."""
    print("What would change it?                              caught, m/s   slam, bar   highest, bar gauge")
    for name, settings in changes:
        run = hw.simulate(net, [hw.trip(pump, at="0.2 s")], duration, settings=settings)
        slams = run.slams
        caught = slams["reverse velocity [m/s]"].max() if len(slams) else 0.0
        rise = slams["rise [Pa]"].max() / 1e5 if len(slams) else 0.0
        print(f"  {name:<48}{caught:12.2f}{rise:12.2f}{run.extremes['highest [Pa]'].max() / 1e5:21.2f}")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("plant", nargs="?", default=PLANT)
    parser.add_argument("pump", nargs="?", default="P-1")
    parser.add_argument("--picture")
    asked = parser.parse_args()
    net = hw.load(asked.plant)
    run = hw.simulate(net, [hw.trip(asked.pump, at="0.2 s")], duration="5 s")
    print(run)  # the verdict, what happens, extremes, what was assumed, cautions

    valves = [valve.name for valve in net.check_valves]
    lag = lambda seconds: {f"{name}.closing_lag": seconds for name in valves}  # noqa: E731
    what_if(net, asked.pump, [("as it stands", {}),
                              ("check valves shut 0.05 s after reversal (springs)", lag(0.05)),
                              ("and follow the flow exactly", lag(0.0)),
                              ("as it stands, 0.02 kg m2 to turn", {f"{asked.pump}.inertia": 0.02})], "5 s")
    print("\nEstimates: free gas, friction in waves and the disc's own motion are not in it. A slam is settled by\n"
          "the maker's data and a licensed engineer.")
    if asked.picture:
        run.plot().figure.savefig(asked.picture)


if __name__ == "__main__":
    main()
