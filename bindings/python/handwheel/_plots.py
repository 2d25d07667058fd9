"""What draws with matplotlib, which is imported only then."""

from __future__ import annotations

from typing import Any, Optional

import numpy as np

_HOUR = 3600.0
# Told apart by colour-blind readers too (Okabe and Ito's colours, 2008).
_COLOURS = ["#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9", "#555555"]
_DASHES = ["-", (0, (5, 2)), (0, (1.5, 1.5)), (0, (5, 2, 1.5, 2))]
_MOST_LINES = 7  # of the second setting


def _axis(sweep: Any, index: int) -> tuple[np.ndarray, str]:
    """What stands along an axis, and its label."""
    two = len(sweep.targets) == 2
    values = sweep.values[index] if two else sweep.values
    names = sweep.flow.index.names
    name, _, kind = sweep.targets[index].rpartition(".")
    if kind == "opening":
        return values * 100.0, f"opening of {name}, % of travel"
    return values, str(names[index])


def plot_sweep(sweep: Any, components: Optional[Any] = None, ax: Optional[Any] = None) -> Any:
    import matplotlib.pyplot as plt

    two = len(sweep.targets) == 2
    if isinstance(components, str):
        components = [components]
    if components is None:
        components = sweep.most_changing(1 if two else 4)
    flow = sweep.flow
    unknown = [name for name in components if name not in flow.columns]
    if unknown:
        from . import NetworkError

        raise NetworkError(f'no component is named "{unknown[0]}".', unknown[0])
    if ax is None:
        _, ax = plt.subplots(layout="constrained")
    along, label = _axis(sweep, 0)
    if along.dtype == bool:
        along = along.astype(str)
    for i, name in enumerate(components):
        if two:
            table = flow[name].to_numpy().reshape(len(along), -1) * _HOUR
            chosen = np.unique(np.linspace(0, table.shape[1] - 1, _MOST_LINES).astype(int))
            for j, column in enumerate(chosen):
                ax.plot(along, table[:, column], color=_COLOURS[j % len(_COLOURS)],
                        linestyle=_DASHES[i % len(_DASHES)],
                        label=f"{name}, {flow.index.names[1]} = {sweep.values[1][column]}")
        else:
            ax.plot(along, flow[name].to_numpy() * _HOUR, color=_COLOURS[i % len(_COLOURS)],
                    linestyle=_DASHES[i // len(_COLOURS) % len(_DASHES)], label=name)
    ax.set_xlabel(label)
    ax.set_ylabel("flow, m³/h")
    ax.grid(color="#e4e4e4", linewidth=0.8)
    ax.set_axisbelow(True)
    ax.legend(frameon=False)
    return ax


def _most_changing(run: Any, most: int = 4) -> list[str]:
    """Points whose pressure changes most, of those that change alike one."""
    pressure = run.pressure
    ranges = (pressure.max() - pressure.min()).sort_values(ascending=False, kind="stable")
    chosen: list[str] = []
    for name in ranges.index:
        if len(chosen) == most or ranges[name] == 0:
            break
        if all(np.abs(pressure[name] - pressure[other]).mean() > 0.02 * ranges[name]
               for other in chosen):
            chosen.append(name)
    return chosen


def plot_transient(run: Any, names: Optional[Any] = None, ax: Optional[Any] = None) -> Any:
    import matplotlib.pyplot as plt

    if isinstance(names, str):
        names = [names]
    if names is None:
        names = _most_changing(run) or list(run.pressure.columns[:1])
    pressure, flow = run.pressure, run.flow
    unknown = [name for name in names if name not in pressure and name not in flow]
    if unknown:
        from . import NetworkError

        raise NetworkError(f'nothing is named "{unknown[0]}".', unknown[0])
    if ax is None:
        _, ax = plt.subplots(layout="constrained")
    points = [name for name in names if name in pressure]
    flows = [name for name in names if name not in pressure]
    beside = ax.twinx() if points and flows else ax
    for i, name in enumerate(points + flows):
        on, table, unit = (ax, pressure, 1e-5) if name in points else (beside, flow, _HOUR)
        on.plot(run.time, table[name].to_numpy() * unit, color=_COLOURS[i % len(_COLOURS)],
                linestyle="-" if name in points else _DASHES[1], linewidth=1.2, label=name)
    ax.set_xlabel("time, s")
    (ax if points else beside).set_ylabel("pressure, bar gauge" if points else "flow, m³/h")
    if points and flows:
        beside.set_ylabel("flow, m³/h (dashed)")
    ax.grid(color="#e4e4e4", linewidth=0.8)
    ax.set_axisbelow(True)
    lines = ax.get_lines() + (list(beside.get_lines()) if beside is not ax else [])
    ax.legend(lines, [line.get_label() for line in lines], frameon=False)
    return ax
