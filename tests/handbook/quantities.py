"""What a worked example is: a network, what to read off its solution, and what the book printed; or
a formula that no network uses, called by itself."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

INCH, FOOT = 0.0254, 0.3048  # [m], exact
POUND = 0.45359237  # [kg], exact
STANDARD_GRAVITY = 9.80665  # [m/s²]
POUND_FORCE = POUND * STANDARD_GRAVITY  # [N]
US_GALLON = 231 * INCH**3  # [m³]

# SI value of one unit; written out here so that the package's own conversions are under test too.
UNITS = {
    "": 1.0,
    "m": 1.0,
    "cm": 1e-2,
    "mm": 1e-3,
    "ft": FOOT,
    "m/s": 1.0,
    "ft/s": FOOT,
    "m³/s": 1.0,
    "L/s": 1e-3,
    "m³/h": 1.0 / 3600.0,
    "L/min": 1e-3 / 60.0,
    "mL/min": 1e-6 / 60.0,
    "drops/min": 1e-6 / 60.0 / 16.0,  # API 598 counts 16 drops to 1 mL
    "cfs": FOOT**3,
    "gpm": US_GALLON / 60.0,
    "kg/s": 1.0,
    "t/h": 1000.0 / 3600.0,
    "Pa": 1.0,
    "kPa": 1e3,
    "bar": 1e5,
    "psi": POUND_FORCE / INCH**2,
    "lbf/ft²": POUND_FORCE / FOOT**2,
    "Pa/m": 1.0,
    "kPa/m": 1e3,
    "kg/m³": 1.0,
    "mPa·s": 1e-3,
    "m/s²": 1.0,
    "N": 1.0,
    "in²": INCH**2,
    "K": 1.0,
    "°F": 5.0 / 9.0,  # of difference
    "J/kg": 1.0,
    "kW": 1e3,
}


class Result:
    """A solution, and the value that a search found (NaN without one)."""

    def __init__(self, solution: Any, found: float = math.nan):
        self.solution = solution
        self.found = found  # [SI]
        self.flow = solution.flow  # [m³/s]
        self.velocity = solution.velocity  # [m/s]
        self.drop = solution.drop  # [m]
        self.head = solution.head  # [m]
        self.pressure = solution.pressure  # [Pa]


Reader = Callable[[Result], float]


@dataclass(frozen=True)
class Quantity:
    what: str
    read: Reader  # SI value
    unit: str = ""
    # As printed, in `unit`, with the tolerance on it: relative, absolute, or both (the wider counts).
    published: float | None = None
    relative: float = 0.0
    absolute: float = 0.0
    reason: str = ""  # of the tolerance, if more than the rounding of the printed figure
    # Recomputed independently, in `unit`: by hand_calculation.py, or by the means the example states.
    recomputed: float | None = None
    recomputed_relative: float = 1e-6
    recomputed_absolute: float = 0.0
    in_table: bool = True  # shown in the validation table

    def __post_init__(self):
        if self.published is None and self.recomputed is None:
            raise ValueError(f"{self.what}: nothing to compare with")
        if self.published is not None and not self.tolerance > 0.0:
            raise ValueError(f"{self.what}: no tolerance")

    @property
    def tolerance(self) -> float:  # on `published`, in `unit`
        return max(self.relative * abs(self.published), self.absolute)

    @property
    def recomputed_tolerance(self) -> float:
        return max(self.recomputed_relative * abs(self.recomputed), self.recomputed_absolute)

    def computed(self, result: Result) -> float:
        return self.read(result) / UNITS[self.unit]


@dataclass(frozen=True)
class Search:
    """Vary one property [SI] between two values until the residual vanishes: "find the diameter"."""

    target: str  # "component.property"
    low: float
    high: float
    residual: Reader


# How far the source itself is to be trusted.
SEEN = "seen"  # inputs and answer were read in a public copy
MEMORY = "from memory"  # recalled from the named source
EXACT = "exact"  # follows from the definition; provable by hand
DERIVED = "derived"  # no printed answer: computed from the cited formula


@dataclass(frozen=True)
class Example:
    id: str
    title: str
    source: str  # author, title, number of the example
    trust: str
    network: str  # TOML
    quantities: list[Quantity]
    search: Search | None = None
    note: str = ""


@dataclass(frozen=True)
class Formula:
    """Functions called by themselves; `read` of its quantities is given None."""

    id: str
    title: str
    source: str
    trust: str
    quantities: list[Quantity]
    note: str = ""


def value(function: Callable[..., float], *arguments: Any, **keywords: Any) -> Reader:
    return lambda _: function(*arguments, **keywords)


# --- Readers -------------------------------------------------------------------------------------


def flow(component: str) -> Reader:
    return lambda r: r.flow[component]


def velocity(component: str) -> Reader:
    return lambda r: r.velocity[component]


def drop(component: str) -> Reader:
    return lambda r: r.drop[component]


def head(point: str) -> Reader:
    return lambda r: r.head[point]


def pressure(point: str) -> Reader:
    return lambda r: r.pressure[point]


def found(r: Result) -> float:
    return r.found


def table_value(table: str, component: str, column: str) -> Reader:
    """A cell of solution.table(); column headings are in SI."""
    return lambda r: float(r.solution.table(table).loc[component, column])


def pressure_gradient(pipe: str, length: float, density: float, gravity: float) -> Reader:
    """Of friction, a metre of pipe [Pa/m]."""
    return lambda r: density * gravity * r.drop[pipe] / length


def mass_flow(component: str, density: float) -> Reader:
    return lambda r: density * r.flow[component]


def reynolds(component: str, bore: float, nu: float) -> Reader:
    return lambda r: r.velocity[component] * bore / nu


def loss_coefficient(component: str, gravity: float) -> Reader:
    """K on the velocity head in the component's bore."""
    return lambda r: 2.0 * gravity * r.drop[component] / r.velocity[component] ** 2


def darcy_factor(pipe: str, length: float, bore: float, gravity: float) -> Reader:
    """f of a pipe without further losses."""
    k = loss_coefficient(pipe, gravity)
    return lambda r: k(r) * bore / length


def fanning_factor(pipe: str, length: float, bore: float, gravity: float) -> Reader:
    f = darcy_factor(pipe, length, bore, gravity)
    return lambda r: f(r) / 4.0


def static_pressure(point: str, pipe: str, density: float) -> Reader:
    """The pressure a gauge on the pipe shows. A point's own pressure belongs to its total head."""
    return lambda r: r.pressure[point] - 0.5 * density * r.velocity[pipe] ** 2


# --- Networks that many examples share -----------------------------------------------------------


def area(bore: float) -> float:
    return math.pi / 4.0 * bore * bore


def fed_line(fluid: str, pipe: str, feed: str, gravity: str = "9.81 m/s2", rise: str = "0 m") -> str:
    """Find the head loss: a known flow enters at "inlet" and leaves to "outlet", `rise` higher."""
    return f"""
[site]
gravity = "{gravity}"
[fluid]
name = "liquid"
{fluid}
[[junction]]
name = "inlet"
feed = "{feed}"
[[vessel]]
name = "outlet"
elevation = "{rise}"
[[pipe]]
name = "line"
from = "inlet"
to = "outlet"
{pipe}
"""


def driven_line(fluid: str, pipe: str, upper: str, lower: str = "", gravity: str = "9.81 m/s2") -> str:
    """Find the flow: two vessels hold the ends of one pipe."""
    return f"""
[site]
gravity = "{gravity}"
[fluid]
name = "liquid"
{fluid}
[[vessel]]
name = "upper"
{upper}
[[vessel]]
name = "lower"
{lower}
[[pipe]]
name = "line"
from = "upper"
to = "lower"
{pipe}
"""
