"""How do loop corrections find the flows, pass by pass, and does Newton agree?

Hardy Cross (Univ. Illinois Eng. Exp. Station Bulletin 286, 1936): guess flows that balance at every
junction; then, loop after loop, add to the flow around it
    dQ = - sum(h) / sum(dh/dQ),     h = r Q |Q|,  r = f L/D / (2 g A²),
until no loop's drops disagree. Here f = 0.02 throughout, so that a pocket calculator can follow.

            P-1          P-2
    source ------ north ------ east        north draws 10, east 25, south 20 m3/h
       |            |            |
       | P-3        | P-4        | P-5
       +---------- south --------+
"""

import handwheel as hw

M3_PER_H = 1 / 3600

net = hw.Network()
net.title = "Two loops by hand"
net.add_vessel("source", level="30 m")
net.add_junction("north", draw="10 m3/h")
net.add_junction("east", draw="25 m3/h")
net.add_junction("south", draw="20 m3/h")
for name, start, end, length, bore in [
    ("P-1", "source", "north", "80 m", "100 mm"),
    ("P-2", "north", "east", "60 m", "80 mm"),
    ("P-3", "source", "south", "120 m", "100 mm"),
    ("P-4", "north", "south", "50 m", "50 mm"),
    ("P-5", "south", "east", "90 m", "80 mm"),
]:
    net.add_pipe(name, start, end, length=length, bore=bore, friction_factor=0.02)

# A first guess that balances at every junction, in the order of the pipes.
guess = [flow * M3_PER_H for flow in (30, 15, 25, 5, 10)]
by_hand = hw.solve(net, method="hardy_cross", record_loop_corrections=True, initial_flow=guess,
                   head_tolerance=1e-4, step_tolerance=1e-6)
newton = hw.solve(net)

for number, loop in enumerate(by_hand.loops, 1):
    path = " ".join(("+" if sign > 0 else "-") + name for name, sign in zip(loop.components, loop.signs))
    print(f"loop {number}: {path}")
passes = by_hand.loop_corrections.pivot(index="pass", columns="loop", values="correction [m3/s]")
print("\npass" + "".join(f"{f'loop {loop + 1}, m3/h':>16}" for loop in passes.columns))
for number, row in passes.iterrows():
    print(f"{number:>4}" + "".join(f"{correction / M3_PER_H:>16.5f}" for correction in row))

print("\npipe     guess   by hand    newton   m3/h")
for name, start in zip(net.component_names, guess):
    print(f"{name:<6}{start / M3_PER_H:>8.2f}{by_hand.flow[name] / M3_PER_H:>10.4f}"
          f"{newton.flow[name] / M3_PER_H:>10.4f}")
largest = max(abs(by_hand.flow.values - newton.flow.values)) / M3_PER_H
print(f"\n{by_hand.summary.message}.\n{newton.summary.message}.")
print(f"They differ by at most {largest:.1e} m3/h.")
