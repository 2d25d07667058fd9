"""Which opening of HV-3 gives 12 m3/h to the neutraliser without starving the scrubber?

The scrubber needs 5 m3/h, and gets less the more HV-3 lets through. For each target the search takes
    miss = (what the gauge shows - what is wanted) / what is wanted,   0 where only "at least" is asked and met,
and makes the sum of squares of the misses as small as the bounds let it, higher priorities first; how flow
follows the openings (the derivatives) comes out of the equations themselves.

    which_opening.py            the answer, and five that need more thought
"""

import pathlib

import handwheel as hw

PLANT = pathlib.Path(__file__).parent.parent / "networks" / "caustic_transfer.toml"


def heading(text):
    print(f"\n--- {text} ---")


def main():
    net = hw.load(PLANT)
    found = hw.find_settings(net, vary=["HV-3.opening"],
                             targets={"L-4.flow": "12 m3/h", "L-5.flow": ("5 m3/h", None)})
    print(found)

    heading("20 m3/h instead: the nearest, and why no more")
    print(hw.find_settings(net, vary=["HV-3.opening"], targets={"L-4.flow": "20 m3/h"}).verdict)

    heading("14 m3/h, but the scrubber, which needs 6.5 m3/h now, comes first")
    first = hw.find_settings(net, vary=["HV-3.opening"],
                             targets={"L-4.flow": "14 m3/h", "L-5.flow": ("6.5 m3/h", None)},
                             priorities={"L-5.flow": 2})
    print(first.verdict)

    heading("both, by turning HV-4 as well")
    both = hw.find_settings(net, vary=["HV-3.opening", "HV-4.opening"],
                            targets={"L-4.flow": "14 m3/h", "L-5.flow": ("6.5 m3/h", None)})
    print(both.verdict)

    heading("9 m3/h: what the valve says to that")
    print(hw.find_settings(net, vary=["HV-3.opening"], targets={"L-4.flow": "9 m3/h"}).verdict)

    heading("8 m3/h in all, by slowing the pump: what the check valve says to that")
    print(hw.find_settings(net, vary=["P-1.speed"], targets={"P-1.flow": "8 m3/h"}).verdict)

    s = hw.solve(net, found.settings)  # what was found is a setting like any other
    assert abs(s.flow["L-4"] * 3600 - 12) < 0.001 and s.flow["L-5"] * 3600 >= 5


if __name__ == "__main__":
    main()
