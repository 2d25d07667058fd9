"""What solve_many returns."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, NamedTuple, Union

import numpy as np

from ._columns import Column
from ._core import CompiledNetwork, Network, _caution, _outcomes
from ._core import loads as _loads
from ._errors import SettingError
from ._stores import INTERRUPTED, ROWS_PER_BLOCK, FileStore, MemoryStore, columns_in

if TYPE_CHECKING:
    import pandas as pd

SOLVED = _outcomes.index("solved")
_HOUR = 3600.0
_LEAST_FLOW = 0.001 / _HOUR  # what counts as running backwards [m3/s], as in backflow
_MOST_SHOWN = 5


class Run(NamedTuple):
    """How it went, apart from the readings."""

    outcome: np.ndarray  # uint8, an index into _core._outcomes
    failed_rows: np.ndarray  # int64
    reasons: list[str]
    num_in_lanes: int
    worst_flow_imbalance: float
    interrupted: bool


class Scenarios:
    """Steady states of many scenarios: a row per scenario, labelled as the rows of the settings are.

    flow, velocity, drop, head and pressure are pandas DataFrames; those held in memory are views on one array,
    those in a file are read when asked for. s[1000:2000] is some of the rows, and of a file reads only
    those. A row that was not solved is NaN; outcome and failures tell why. print(s) gives the verdict.
    """

    def __init__(self, compiled: CompiledNetwork, columns: list[Column], index: Any,
                 store: Union[MemoryStore, FileStore], run: Run, start: int = 0) -> None:
        self._compiled = compiled
        self._columns = columns
        self._index = index
        self._store = store
        self._run = run
        self._start = start  # of these rows in the store

    # --- Readings ---

    @property
    def flow(self) -> pd.DataFrame:
        """Flow from -> to [m³/s], a column per component."""
        return self._frame("flow")

    @property
    def velocity(self) -> pd.DataFrame:
        """Velocity in the bore [m/s], a column per component; NaN without a bore."""
        return self._frame("velocity")

    @property
    def drop(self) -> pd.DataFrame:
        """Head at `from` less head at `to` [m], a column per component; NaN where shut in."""
        return self._frame("drop")

    @property
    def head(self) -> pd.DataFrame:
        """Head [m], a column per vessel and junction; NaN where shut in."""
        return self._frame("head")

    @property
    def pressure(self) -> pd.DataFrame:
        """Gauge pressure [Pa], a column per vessel and junction; NaN where shut in."""
        return self._frame("pressure")

    def _frame(self, reading: str) -> pd.DataFrame:
        import pandas as pd

        if reading not in self._store.names:
            raise SettingError(f"{reading} was not asked for; there is {', '.join(self._store.names)} "
                               f'(outputs=[..., "{reading}"] adds it).')
        array = self._store.get(reading, self._start, self._start + len(self))
        return pd.DataFrame(array, index=self._index, columns=self._store.names[reading], copy=False)

    # --- How it went ---

    @property
    def outcome(self) -> pd.Series:
        """"solved", "refused", "no solution", "not converged" or "interrupted", a categorical Series."""
        import pandas as pd

        kinds = pd.Categorical.from_codes(self._run.outcome.astype(np.int8), categories=list(_outcomes))
        return pd.Series(kinds, index=self._index, name="outcome")

    @property
    def failures(self) -> pd.Series:
        """The reasons of the rows that failed, a Series of those alone; rows never reached apart."""
        import pandas as pd

        rows = self._index[self._run.failed_rows]
        return pd.Series(self._run.reasons, index=rows, name="reason", dtype=object)

    @property
    def interrupted(self) -> bool:
        """Whether Ctrl-C or the progress function stopped it; outcome says which rows are missing."""
        return self._run.interrupted

    @property
    def num_solved(self) -> int:
        """Scenarios with a solution."""
        return int(np.count_nonzero(self._run.outcome == SOLVED))

    @property
    def num_in_lanes(self) -> int:
        """Of all, how many were solved side by side in vector lanes; the others one at a time."""
        return self._run.num_in_lanes

    @property
    def worst_flow_imbalance(self) -> float:
        """Of all, the largest imbalance of a junction over the largest flow of its scenario [-]."""
        return self._run.worst_flow_imbalance

    @property
    def settings(self) -> pd.DataFrame:
        """What was set, SI numbers, words and flags."""
        import pandas as pd

        return pd.DataFrame({c.target: c.array() for c in self._columns}, index=self._index, copy=False)

    @property
    def network(self) -> Network:
        """The network that the scenarios change, a copy."""
        return self._compiled.network

    @property
    def summary(self) -> str:
        """One line: how many were solved, and what became of the others."""
        counts = np.bincount(self._run.outcome, minlength=len(_outcomes))
        others = [f"{_count(n)} {kind}" for kind, n in zip(_outcomes, counts) if kind != "solved" and n > 0]
        return ", ".join([f"{_count(counts[SOLVED])} of {_count(len(self))} scenarios solved", *others])

    def __len__(self) -> int:
        """The number of scenarios."""
        return len(self._run.outcome)

    def __getitem__(self, rows: slice) -> Scenarios:
        """Some of the rows, by position, as Scenarios: s[:1000]."""
        if not isinstance(rows, slice):
            raise SettingError("rows are taken as a slice, s[:1000]; columns from a DataFrame, s.flow[\"L-4\"].")
        start, stop, step = rows.indices(len(self))
        if step != 1:
            raise SettingError(f"rows in steps of {step}; expected consecutive rows.")
        stop = max(start, stop)
        failed = (self._run.failed_rows >= start) & (self._run.failed_rows < stop)
        run = self._run._replace(
            outcome=self._run.outcome[start:stop],
            failed_rows=self._run.failed_rows[failed] - start,
            reasons=[self._run.reasons[i] for i in np.flatnonzero(failed)],
        )
        return Scenarios(self._compiled, [c.rows(start, stop) for c in self._columns], self._index[start:stop],
                         self._store, run, self._start + start)

    def __repr__(self) -> str:
        title = self.network.title
        return f"<Scenarios{f' of {title!r}' if title else ''}: {self.summary}>"

    def __str__(self) -> str:
        return "\n".join([*self._verdict(), *self._reasons(), *self._flows(), _caution])

    # --- The report ---

    def _verdict(self) -> list[str]:
        title = self.network.title
        lines = [(f"{title}: " if title else "") + self.summary + "."]
        if self.interrupted:
            missing = np.count_nonzero(self._run.outcome == INTERRUPTED)
            lines.append(f"Interrupted: {_count(missing)} scenarios are missing, so this is no full picture.")
        if "flow" in self._store.names and self.num_solved > 0:
            for name, rows in self._backwards():
                lines.append(f"Liquid runs backwards through {name} in {_count(rows)} of them.")
        return lines

    def _backwards(self) -> list[tuple[str, int]]:
        """Check valves and pumps through which liquid runs backwards, and in how many scenarios."""
        network = self.network
        one_way = {part.name for part in [*network.check_valves, *network.pumps]}
        columns = [(k, n) for k, n in enumerate(self._store.names["flow"]) if n in one_way]
        counts = np.zeros(len(columns), dtype=int)
        for flow in self._blocks("flow"):
            counts += np.count_nonzero(flow[:, [k for k, _ in columns]] < -_LEAST_FLOW, axis=0)
        return [(name, int(n)) for (_, name), n in zip(columns, counts) if n > 0]

    def _reasons(self) -> list[str]:
        """Each reason once, the most frequent first."""
        rows: dict[str, list[int]] = {}
        for row, reason in zip(self._run.failed_rows, self._run.reasons):
            rows.setdefault(reason, []).append(int(row))
        lines = []
        for reason, where in sorted(rows.items(), key=lambda item: -len(item[1]))[:_MOST_SHOWN]:
            lines.append(f"  {_count(len(where))} failed, such as row {self._index[where[0]]}: {reason}")
        if len(rows) > _MOST_SHOWN:
            lines.append(f"  and {_count(len(rows) - _MOST_SHOWN)} more reasons; see failures.")
        return lines

    def _flows(self) -> list[str]:
        """The flows that differ most between scenarios; of parts in series, one."""
        if "flow" not in self._store.names or self.num_solved == 0:
            return []
        names = self._store.names["flow"]
        low, high = np.full(len(names), np.inf), np.full(len(names), -np.inf)
        for flow in self._blocks("flow"):
            low, high = np.fmin(low, np.fmin.reduce(flow)), np.fmax(high, np.fmax.reduce(flow))
        low, high = (np.round(flow * _HOUR, 3) + 0.0 for flow in (low, high))
        lines = ["  flow, m3/h              lowest   highest"]
        shown: set[tuple[float, float]] = set()
        for k in np.argsort(low - high, kind="stable"):
            if (low[k], high[k]) in shown or len(shown) == _MOST_SHOWN:
                continue
            shown.add((low[k], high[k]))
            lines.append(f"  {names[k]:<20}{low[k]:>10.2f}{high[k]:>10.2f}")
        return lines

    def _blocks(self, reading: str) -> Any:
        for first in range(0, len(self), ROWS_PER_BLOCK):
            stop = min(first + ROWS_PER_BLOCK, len(self))
            yield self._store.get(reading, self._start + first, self._start + stop)


def _count(n: int) -> str:
    """123 456, as the trade writes it."""
    return f"{int(n):,}".replace(",", " ")


def open_scenarios(path: Union[str, os.PathLike]) -> Scenarios:
    """What solve_many wrote to a file (to="results.h5", "results.zarr"), as Scenarios.

    Readings stay in the file until asked for. Rows are numbered from 0. Raises SettingError for a file that is
    no such thing, ImportError without h5py or zarr.
    """
    import pandas as pd

    store = FileStore.open(path)
    with store.reading() as root:
        compiled = CompiledNetwork(_loads(bytes(root["network"][:]).decode(), str(path)))
        columns = list(columns_in(root))
        reasons = [text.decode() for text in root["failures/reason"][:]]
        run = Run(root["outcome"][:], root["failures/row"][:], reasons, int(root.attrs["num_in_lanes"]),
                  float(root.attrs["worst_flow_imbalance"]), bool(root.attrs["interrupted"]))
    return Scenarios(compiled, columns, pd.RangeIndex(len(run.outcome)), store, run)
