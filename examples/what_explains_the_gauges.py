"""The scrubber gets too little: does a rough line, a wheel that lies or a blocked valve explain the gauges?

The model shows what the gauges would show if all were well. Fitting turns that round: the numbers p for which
    chi-square = sum over gauges of ((reading - model(p)) / uncertainty)^2
is least. About as many as there are gauges beyond the numbers fitted is as good as it gets; much more says
that the cause is another one, or that a gauge is wrong.
"""

import pathlib

import pandas as pd

import handwheel as hw

PLANT = pathlib.Path(__file__).parent.parent / "networks" / "caustic_transfer.toml"

# Read on one morning, first as the plant stands, then with HV-3 throttled to 40 %. The plant is of our
# own invention, and so are its readings.
READINGS = pathlib.Path(__file__).parent / "gauge_readings.csv"

SUSPECTS = {
    "L-5 is rough inside": "L-5.roughness",
    "HV-2 is blocked": "HV-2.blockage",
    "HV-4 is blocked": "HV-4.blockage",
    "HV-4's wheel lies": "HV-4.opening",
    "the mixer is fouled": "MX-1.rated_drop",
}

net = hw.load(PLANT)
readings = pd.read_csv(READINGS, comment="#")
print(f"{net.title}: {len(readings)} readings. Each cause alone:\n")
print(f"  {'':22}{'chi-square':>10}  expected   would have to be")
for cause, number in SUSPECTS.items():
    fit = hw.fit(net, readings, vary=[number])
    (found,) = fit.numbers
    print(f"  {cause:22}{fit.chi_square:>10.0f}{fit.degrees_of_freedom:>10}   {number} = {found.value:.3g} {found.unit}")

print("\nHV-4 comes nearest; whether its wheel lies or it is blocked, these gauges cannot say: open it up. No\n"
      "cause alone explains them all. The likely ones together:\n")
fit = hw.fit(net, readings, vary=["HV-2.blockage", "HV-4.blockage", "L-5.roughness"])
print(fit)

if fit.without:
    print(f"Without {', '.join(sorted(set(fit.suspicious)))}: chi-square {fit.without.chi_square:.1f}, "
          f"{fit.without.degrees_of_freedom} expected; a worse one comes in {fit.without.probability:.0%} of cases.")
