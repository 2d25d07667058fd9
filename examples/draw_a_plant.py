"""What does the plant look like, and what flows where when the pump has tripped and the check valve sticks?

    draw_a_plant.py OUT.svg                               the caustic transfer in that case
    draw_a_plant.py OUT.svg networks/sludge_line.toml     another plant, as it stands
    draw_a_plant.py --write networks                      the diagrams of all shipped plants, as they stand
"""

import pathlib
import sys

import handwheel as hw

NETWORKS = pathlib.Path(__file__).parent.parent / "networks"
CASE = "P-1 tripped, NRV-1 stuck open"


def draw(out, plant=None):
    if plant is None:
        s = hw.solve(hw.load(NETWORKS / "caustic_transfer.toml"), case=CASE)
    else:
        s = hw.solve(hw.load(plant))
    s.diagram(out, date="")  # a date for the title block, if there is to be one
    for finding in s.advice:
        print(f"{finding.severity}: {finding.message}")
    print(f"{out} shows where each of them is.")


def write(folder):
    for plant in sorted(NETWORKS.glob("*.toml")):
        out = pathlib.Path(folder) / f"{plant.stem}.svg"
        hw.solve(hw.load(plant)).diagram(out)
        print(out)


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    write(sys.argv[2]) if sys.argv[1] == "--write" else draw(*sys.argv[1:])
