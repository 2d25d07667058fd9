"""Pipe losses as one would work them by hand, to round-off: the second opinion of the examples.

Shares nothing with the package. SI throughout; f is the Darcy factor.
"""

import math

from scipy.optimize import brentq

GRAVITY = 9.81  # [m/s²], the usual rounding of the books


def colebrook(re: float, roughness: float) -> float:
    """1/sqrt(f) = -2 log10(r/3.7 + 2.51/(Re sqrt(f))), by Newton's method on x = 1/sqrt(f)."""
    x = 7.0
    for _ in range(50):
        inside = roughness / 3.7 + 2.51 * x / re
        slope = 1.0 + 2.0 / math.log(10.0) * 2.51 / re / inside
        step = (x + 2.0 * math.log10(inside)) / slope
        x -= step
        if abs(step) < 1e-15 * x:
            break
    return 1.0 / x**2


def friction_factor(re: float, roughness: float) -> float:
    if re <= 2000.0:
        return 64.0 / re
    if re < 4000.0:
        raise ValueError("no formula is agreed on between laminar and turbulent flow")
    return colebrook(re, roughness)


def head_loss(q, bore, length, *, nu=None, eps=0.0, f=None, k=0.0, g=GRAVITY):
    """h = (f L/D + K) V²/2g, with f from Reynolds number unless it is given. Odd in q."""
    if q == 0.0:
        return 0.0
    v = abs(q) / (math.pi / 4.0 * bore**2)
    if f is None:
        f = friction_factor(v * bore / nu, eps / bore)
    return math.copysign((f * length / bore + k) * v**2 / (2.0 * g), q)


def flow_of(head, bore, length, *, nu, eps=0.0, k=0.0, g=GRAVITY):
    """The turbulent flow that loses `head`."""
    lowest = 4000.0 * nu * math.pi / 4.0 * bore * (1.0 + 1e-9)
    return root(lambda q: head_loss(q, bore, length, nu=nu, eps=eps, k=k, g=g) - head, lowest,
                20.0 * bore**2)


def flow_by_factor(head, bore, length, f, *, k=0.0, g=GRAVITY):
    """The flow that loses `head` at a fixed f."""
    return math.pi / 4.0 * bore**2 * math.sqrt(2.0 * g * head / (f * length / bore + k))


def root(function, low, high):
    return brentq(function, low, high, xtol=1e-14, rtol=1e-14)
