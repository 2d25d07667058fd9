"""HV-3 is blocked, or its diaphragm is cut: where does the caustic go, and how much?

A blocked valve has lost a share of its flow coefficient: Kv = (1 - blockage) Kv(opening). A cut
diaphragm no longer shuts, and it leaks past stem and bonnet to the open air:
    leak = vent_kv sqrt(pressure in the valve / 1 bar * 1000 kg/m3 / density).
"""

import pathlib

import handwheel as hw

PLANT = pathlib.Path(__file__).parent.parent / "networks" / "caustic_transfer.toml"
M3_PER_H = 1 / 3600
BAR = 1e5

CUT = {"HV-3.condition": "diaphragm cut"}
SHUT = {"HV-3.opening": 0}
STOPPED = {**CUT, **SHUT, "P-1.running": False}
STATES = {
    "sound": {},
    "half blocked": {"HV-3.condition": "blocked", "HV-3.blockage": 0.5},
    "cut": CUT,
    "cut, and torn at the stem": {**CUT, "HV-3.vent_kv": "0.5 m3/h"},
    "sound, shut": SHUT,
    "cut, shut": {**CUT, **SHUT},
    "cut, shut, P-1 stopped": STOPPED,
    "HV-2 and HV-4 shut too": {**STOPPED, "HV-2.opening": 0, "HV-4.opening": 0},
}

net = hw.load(PLANT)
print(f"{net.title}: HV-3, which stands {net['HV-3'].opening:.0%} open")
print(f"  {'HV-3 is':<27}{'neutraliser':>12}{'scrubber':>10}{'open air':>10}{'before HV-3':>13}")
print(f"  {'':<27}{'m3/h':>12}{'m3/h':>10}{'l/h':>10}{'bar gauge':>13}")
for state, settings in STATES.items():
    s = hw.solve(net, settings)
    if not s.converged:
        raise SystemExit(f"{state}: {s.summary.message}")
    into = [round(s.outflow[name] / M3_PER_H, 2) + 0.0 for name in ("neutraliser", "scrubber head tank")]
    leak = s.leak["HV-3"] / M3_PER_H * 1000
    print(f"  {state:<27}{into[0]:>12.2f}{into[1]:>10.2f}{leak:>10.0f}{s.pressure['header'] / BAR:>13.2f}")
print("""
A block shows at the gauge before HV-3 and not at its wheel. A cut diaphragm isolates nothing: with the
pump stopped the roof tank feeds the leak, and with HV-2 and HV-4 shut the neutraliser still does, for
its level stands above HV-3 and no valve is between.
Caustic burns and blinds, and how much a tear lets out is a guess. Stay clear; isolating, draining and
locking out is for those allowed to, as local codes, the site's permit and a licensed engineer decide.""")
