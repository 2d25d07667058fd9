"""Which valves must be shut to work on P-1, without counting a check valve or a tripped pump?

Only hand valves in order count. The smallest sets of them are the minimal cuts, in the plant's graph,
between the pump and every vessel or feed that can push liquid at it. What a shut valve lets by if it
passes is a steady state with a small hole in its place: flow = Kv sqrt(drop / 1 bar).
"""

import pathlib
import textwrap

import handwheel as hw

PLANT = pathlib.Path(__file__).parent.parent / "networks" / "caustic_transfer.toml"
BAR = 1e5
M3_PER_H = 1 / 3600


def say(text, indent="  "):
    print(textwrap.fill(text, 98, initial_indent=indent, subsequent_indent=" " * len(indent)))


net = hw.load(PLANT)
answer = hw.isolate(net, "P-1")
print(f"{net.title}: which valves for work on P-1?\n")
say(answer.verdict)

print("\nThe sets, smallest first")
for chosen in answer.sets:
    print(f"  {', '.join(chosen.valves)}")
    for valve in chosen.boundary:
        behind = ", ".join(source.name for source in valve.sources)
        second = "nothing else holds" if valve.single else f"then {' and '.join(valve.second_valves)}"
        print(f"    {valve.valve:<5}{valve.pressure / BAR:>5.2f} bar behind it now; {behind}; {second}")

print("\nNever counted")
for part in answer.not_counted:
    say(part.reason)

print("\nWhat to do, in order")
for number, step in enumerate(answer.steps, 1):
    say(step, f"  {number}. ")

print("\nThree lists that somebody might write on a permit")
for shut in (["HV-1", "HV-2"], ["HV-1", "NRV-1"], ["HV-1", "HV-2", "HV-3", "HV-4"]):
    check = hw.verify_isolation(net, "P-1", shut)
    print(f"  {', '.join(shut)}: {'yes' if check.isolates else 'NO'}")
    for path in check.open_paths:
        print(f"    open from {path.source} through {', '.join(path.through)}")
    for leak in check.leaks:
        passing = f"with {', '.join(leak.passing)} passing" if leak.passing else "if all of them hold"
        print(f"    {leak.flow / M3_PER_H:6.2f} m3/h out at {check.vent} {passing}")

print("\nCautions")
for caution in answer.cautions:
    say(caution, "  - ")
