"""What flows where in the caustic transfer, and what does throttling one valve change?"""

import pathlib

import handwheel as hw

PLANT = pathlib.Path(__file__).parent.parent / "networks" / "caustic_transfer.toml"
CUBIC_METRES_PER_HOUR = 3600.0
BAR = 1e5

net = hw.load(PLANT)
as_is = hw.solve(net)
throttled = hw.solve(net, {"HV-3.opening": 0.3})
if not (as_is.converged and throttled.converged):
    raise SystemExit(f"no solution: {as_is.summary.message}; {throttled.summary.message}")

print(f"{net.title}: as it stands, and with HV-3 throttled to 30 %")
print(f"  {'flow, m3/h':<22}{'as it stands':>14}{'throttled':>12}")
for name in as_is.flow:
    print(f"  {name:<22}{as_is.flow[name] * CUBIC_METRES_PER_HOUR:>14.2f}"
          f"{throttled.flow[name] * CUBIC_METRES_PER_HOUR:>12.2f}")
print(f"  {'pressure, bar gauge':<22}")
for name in as_is.pressure:
    print(f"  {name:<22}{as_is.pressure[name] / BAR:>14.2f}{throttled.pressure[name] / BAR:>12.2f}")
print(as_is.summary.message)
print("Estimates: a check valve is never isolation; local codes, the site's permit and lock-out rules\n"
      "and a licensed engineer decide.")
