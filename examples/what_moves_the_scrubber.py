"""What moves the scrubber's flow most: which handwheel, the pump's speed, a level, or dirt in a pipe?

Around a steady state every flow answers a small change in proportion:
    change of flow = d flow / d setting * change of setting.
The slopes come from the network's equations, linearised at the solution and factorised once. How far a
tenth of them would mislead is seen by solving again.
"""

import pathlib

import handwheel as hw

PLANT = pathlib.Path(__file__).parent.parent / "networks" / "caustic_transfer.toml"
M3_PER_H = 1 / 3600
L_PER_H = M3_PER_H / 1000

# What somebody could do, or what could happen, and by how much.
CHANGES = {
    "HV-1.opening": -0.1,
    "HV-2.opening": -0.1,
    "HV-3.opening": -0.1,
    "HV-4.opening": -0.1,
    "P-1.speed": -0.02,
    "day tank.level": -0.5,
    "neutraliser.level": 0.5,
    "scrubber head tank.level": 0.5,
    "L-2.roughness": 0.1e-3,
    "fluid.temperature": -10,
}
UNITS = {"opening": ("%", 100), "speed": ("%", 100), "level": ("m", 1), "roughness": ("mm", 1e3),
         "temperature": ("degC", 1)}


def in_words(target):
    unit, scale = UNITS[target.rsplit(".", 1)[1]]
    return f"{CHANGES[target] * scale:+g} {unit}"


net = hw.load(PLANT)
net["L-2"].roughness = "0.05 mm"        # a number, to vary: the file gives a material
slopes = hw.sensitivities(net, list(CHANGES))
now = slopes.solution.flow["L-5"]
predicted = {target: slopes.flow.loc[target, "L-5"] * change for target, change in CHANGES.items()}
order = sorted(CHANGES, key=lambda target: -abs(predicted[target]))

print(f"{net.title}: the scrubber gets {now / M3_PER_H:.2f} m3/h by L-5. What would change that?\n")
print(f"  {'':<26}{'by':>12}{'L-5, litres/h':>16}{'solved anew':>14}")
for target in order:
    value = slopes.value[target] + CHANGES[target]
    solved = hw.solve(net, {target: value}).flow["L-5"] - now
    print(f"  {target:<26}{in_words(target):>12}{predicted[target] / L_PER_H:>+16.0f}{solved / L_PER_H:>+14.0f}")

first, last = order[0], order[-1]
print(f"\nMost: {first} {in_words(first)}. Least: {last} {in_words(last)}.")
print("Estimates: a check valve is never isolation; local codes, the site's permit and lock-out rules")
print("and a licensed engineer decide.")
