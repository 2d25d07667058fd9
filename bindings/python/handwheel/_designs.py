"""Which scenarios to look at: every combination, or a sample. Plain DataFrames, to be looked at."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal, Optional

import numpy as np

from ._errors import SettingError

if TYPE_CHECKING:
    import pandas as pd

METHODS = ("latin hypercube", "sobol", "random")


def grid(values: Mapping[str, Sequence[Any]]) -> pd.DataFrame:
    """Every combination of values, a pandas DataFrame with a row per combination for solve_many.

    values: {"component.property": list or array}. The last varies fastest. Raises SettingError if it is
    empty, or one of the lists is.
    """
    import pandas as pd

    if not isinstance(values, Mapping) or not values:
        raise SettingError('values of a grid: expected a dict such as {"HV-3.opening": [0.2, 0.4], '
                           '"P-1.running": [True, False]}.')
    for target, given in values.items():
        if isinstance(given, (str, bytes)) or not hasattr(given, "__len__"):
            raise SettingError(f'values of "{target}" are no list; expected such as [0, 0.5, 1].')
        if len(given) == 0:
            raise SettingError(f'no values of "{target}"; expected one or more.')
    axes = [pd.Series(list(given)).to_numpy() for given in values.values()]
    counts = [len(axis) for axis in axes]
    places = np.unravel_index(np.arange(np.prod(counts)), counts)
    return pd.DataFrame({t: axis[place] for t, axis, place in zip(values, axes, places)}, columns=list(values))


def sample(
    distributions: Mapping[str, Any],
    n: int,
    *,
    method: Literal["latin hypercube", "sobol", "random"] = "latin hypercube",
    seed: Optional[int] = None,
) -> pd.DataFrame:
    """n scenarios drawn from distributions, a pandas DataFrame for solve_many. Needs scipy.

    distributions: {"component.property": what}, of which each is a pair (low, high) in SI, for a uniform
    distribution; a frozen distribution of scipy.stats, or anything with its ppf; or a list of equally
    likely values: words, flags or numbers. The properties are drawn independently of each other.
    method: "latin hypercube" (McKay, Beckman and Conover, Technometrics 21, 1979), "sobol" (scrambled;
    best with n a power of 2) or "random". The same seed gives the same scenarios. Raises SettingError for
    what is none of these, ImportError without scipy.
    """
    import pandas as pd

    if not isinstance(distributions, Mapping) or not distributions:
        raise SettingError('distributions of a sample: expected a dict such as {"HV-3.opening": (0.2, 0.8)}.')
    if isinstance(n, bool) or not isinstance(n, (int, np.integer)) or n < 1:
        raise SettingError(f"n is {n!r}; expected a number of scenarios, 1 or more.")
    inverses = [_inverse(target, given) for target, given in distributions.items()]
    unit = _unit_sample(len(inverses), int(n), method, seed)
    drawn = {t: inverse(unit[:, k]) for k, (t, inverse) in enumerate(zip(distributions, inverses))}
    return pd.DataFrame(drawn, columns=list(distributions))


def _inverse(target: str, given: Any) -> Any:
    """From a probability to a value, for arrays."""
    if hasattr(given, "ppf"):
        return lambda p: np.asarray(given.ppf(p), dtype=np.float64)
    if isinstance(given, tuple):
        return _uniform(target, given)
    if isinstance(given, (list, np.ndarray)) and len(given) > 0:
        choices = np.array(given, dtype=None if isinstance(given, np.ndarray) else object)
        if all(isinstance(value, (int, float)) and not isinstance(value, bool) for value in choices):
            choices = choices.astype(np.float64)
        return lambda p: choices[np.minimum((p * len(choices)).astype(int), len(choices) - 1)]
    raise SettingError(f'the distribution of "{target}" is {given!r}; expected a pair (low, high), a frozen '
                       "distribution of scipy.stats, or a list of equally likely values.")


def _uniform(target: str, given: tuple) -> Any:
    numbers = [isinstance(x, (int, float, np.number)) and not isinstance(x, bool) for x in given]
    if len(given) != 2 or not all(numbers) or not given[0] < given[1] or not np.isfinite(given).all():
        raise SettingError(f'the range of "{target}" is {given!r}; expected two finite numbers in SI, the lower '
                           "first. Equally likely values are a list, not a tuple.")
    low, high = map(float, given)
    return lambda p: low + p * (high - low)


def _unit_sample(dimensions: int, n: int, method: str, seed: Optional[int]) -> np.ndarray:
    """Points of the unit cube, none of them on its border, where a normal distribution is infinite."""
    if method not in METHODS:
        raise SettingError(f'method "{method}" is unknown; expected one of {", ".join(METHODS)}.')
    try:
        from scipy.stats import qmc
    except ImportError as error:
        raise ImportError("hw.sample needs scipy: apt-get install python3-scipy, or pip install scipy. "
                          "hw.grid and tables of one's own do without it.") from error
    if method == "random":
        points = np.random.default_rng(seed).random((n, dimensions))
    elif method == "sobol":
        points = qmc.Sobol(dimensions, seed=seed).random(n)
    else:
        points = qmc.LatinHypercube(dimensions, seed=seed).random(n)
    return np.clip(points, 2.0**-53, 1.0 - 2.0**-53)
