"""When P-1 trips, can liquid run backwards: from where, to where, how much, by check valve condition?

A stopped pump is a path: drop = stopped_k * rated head * (flow / rated flow)². A shut check valve is
one only if its seat passes, drop = flow² / (leak Av² g), or if it is stuck open. So the answer is the
steady state with P-1.running = False, the levels as they stand at that moment.
"""

import pathlib

import handwheel as hw

PLANT = pathlib.Path(__file__).parent.parent / "networks" / "caustic_transfer.toml"
M3_PER_H = 1 / 3600
LEAST = 0.001 * M3_PER_H  # below it a flow is called none

CONDITIONS = {
    "sound": {},
    "passing": {"NRV-1.condition": "passing"},
    "stuck half open": {"NRV-1.condition": "stuck open", "NRV-1.stuck_opening": 0.5},
    "stuck open": {"NRV-1.condition": "stuck open"},
    "stuck open, HV-2 shut": {"NRV-1.condition": "stuck open", "HV-2.opening": 0},
}


def describe(solution):
    """Which vessels lose liquid, and which gain it."""
    moves = []
    for vessel in solution.network.vessels:
        gain = solution.outflow[vessel.name]
        if abs(gain) > LEAST:
            verb = "gains" if gain > 0 else "loses"
            moves.append(f"{vessel.name} {verb} {abs(gain) / M3_PER_H:.1f}")
    return "; ".join(moves) or "nothing moves"


net = hw.load(PLANT)
print(f"{net.title}: P-1 tripped")
print(f"  {'NRV-1':<22}{'back through P-1':>17}   vessels, m3/h")
for condition, settings in CONDITIONS.items():
    s = hw.solve(net, {"P-1.running": False, **settings})
    if not s.converged:
        raise SystemExit(f"NRV-1 {condition}: {s.summary.message}")
    backwards = max(-s.flow["P-1"], 0.0) / M3_PER_H
    print(f"  {condition:<22}{backwards:>12.2f} m3/h   {describe(s)}")
print("""
Note the first line: with a sound check valve the roof tank still drains into the neutraliser.
Caustic burns. These are steady estimates for the levels given, not the moment of the trip. A check
valve and a tripped pump are never isolation: work on P-1 only under permit, locked out behind shut and
proven hand valves, as local codes, the site's rules and a licensed engineer decide.""")
