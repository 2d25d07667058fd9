"""solve_many: one network, many scenarios."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterable
from typing import Any, Callable, Optional, Union

import numpy as np

from ._columns import Column, read_settings
from ._core import CompiledNetwork, Network, _Batch, __version__, _caution, _is_by_point, _outcomes, _readings
from ._errors import NetworkError, SettingError
from ._executors import Dispatch
from ._scenarios import Run, Scenarios
from ._stores import INTERRUPTED, ROWS_PER_BLOCK, FileStore, MemoryStore, Output

_BYTES_PER_TASK = 8_000_000
Progress = Callable[[int, int], Optional[bool]]


def solve_many(
    network: Union[Network, CompiledNetwork],
    settings: Any,
    *,
    outputs: Union[str, Iterable[str], None] = None,
    workers: Optional[int] = None,
    executor: Any = None,
    case: str = "",
    to: Union[str, os.PathLike, None] = None,
    rows_per_task: Optional[int] = None,
    progress: Union[bool, Progress, None] = None,
    flow_tolerance: float = 1e-9,
    head_tolerance: float = 1e-6,
    step_tolerance: float = 1e-9,
    max_num_iterations: int = 0,
) -> Scenarios:
    """The steady state of every scenario: each sets a few properties of the network. Returns Scenarios.

    settings: a pandas DataFrame or a dict of arrays with a column per property, "HV-3.opening", and a row per
    scenario; hw.grid and hw.sample make such. Values are SI numbers, texts with a unit, words or flags. case
    is applied first.
    outputs: "flow", "velocity", "drop", "head", "pressure" of everything, or of one part, "L-4.flow"; None: all.
    Arrays of float64, a row per scenario.

    A scenario without a solution is a row of NaN with its reason in failures; so is one with a number out of its
    property's range. What is wrong with the table as such (an unknown property, a missing value, a
    text that cannot be read, columns of several lengths) raises SettingError, a ValueError, before the start.

    workers: threads, by default one per core; the results are the same bits whatever their number. Other Python
    threads run meanwhile. executor takes the work elsewhere: anything with submit() as of concurrent.futures, or
    a dask.distributed Client. It gets chunks of rows_per_task scenarios (by default 8 MB of results, 100 to
    10 000 rows); workers then counts threads in each, by default 1. A chunk lost with its worker is done again. If the executor fails for good, the remaining chunks
    are solved here, with a RuntimeWarning.
    to: a file for results larger than memory, .h5 or .hdf5 (h5py) or .zarr (zarr), which appears once finished.
    progress: True for a bar (tqdm's if installed), or a function called with (done, total), which stops by
    returning False. Ctrl-C stops too, and what is done is returned: see interrupted.

    The method is newton, from the same flows in every scenario, so that none depends on another. The
    tolerances are those of solve.
    """
    compiled = _compile(network, case)
    columns, index = read_settings(compiled.network, settings)
    wanted = _outputs(compiled, outputs)
    options = dict(workers=_threads(workers, executor), flow_tolerance=float(flow_tolerance),
                   head_tolerance=float(head_tolerance), step_tolerance=float(step_tolerance),
                   max_num_iterations=max_num_iterations)
    chunk = _rows_per_task(rows_per_task, wanted)
    batch = _Batch(compiled, [column.target for column in columns], **options)  # refuses what cannot be set
    rows = len(columns[0])
    if to is None:
        store: Union[MemoryStore, FileStore] = MemoryStore(rows, wanted)
    else:
        store = FileStore.create(to, rows, wanted, ROWS_PER_BLOCK if executor is None else chunk)
    try:
        with _Telling(progress) as tell:
            if executor is None:
                run = _run_here(batch, columns, wanted, store, tell)
            else:
                run = Dispatch(executor, compiled, columns, wanted, options, store, chunk, tell).run()
        if to is not None:
            _finish(store, compiled, columns, run)
    except BaseException:
        if to is not None:
            store.abandon()
        raise
    return Scenarios(compiled, columns, index, store, run)


def _compile(network: Any, case: str) -> CompiledNetwork:
    if not isinstance(network, (Network, CompiledNetwork)):
        raise SettingError(f"network is of type {type(network).__name__}; expected a Network, as hw.load gives.")
    if case:
        changed = network.network if isinstance(network, CompiledNetwork) else network.copy()
        changed.apply_case(case)
        return CompiledNetwork(changed)
    return network if isinstance(network, CompiledNetwork) else CompiledNetwork(network)


def _outputs(compiled: CompiledNetwork, asked: Any) -> list[Output]:
    if asked is None:
        asked = _readings
    elif isinstance(asked, str):
        asked = [asked]
    elif not isinstance(asked, Iterable):
        raise SettingError(f"outputs is of type {type(asked).__name__}; expected such as "
                           '["flow", "header.pressure"].')
    names: dict[str, list[str]] = {}  # by reading; none: all
    whole = set()
    for item in asked:
        if not isinstance(item, str):
            raise SettingError(f'outputs holds {item!r}; expected such as "flow" or "L-4.flow".')
        name, _, reading = item.rpartition(".")
        _is_by_point(reading)  # raises for an unknown one
        chosen = names.setdefault(reading, [])
        if name == "":
            whole.add(reading)
        elif name not in chosen:
            chosen.append(name)
    if not names:
        raise SettingError('outputs is empty; expected such as ["flow", "header.pressure"].')
    return [_output(compiled, reading, [] if reading in whole else names[reading]) for reading in names]


def _output(compiled: CompiledNetwork, reading: str, names: list[str]) -> Output:
    by_point = _is_by_point(reading)
    known = compiled.point_names if by_point else compiled.component_names
    place = {name: k for k, name in enumerate(known)}
    for name in names:
        if name not in place:
            compiled.network[name]  # raises for an unknown name, with a suggestion
            raise NetworkError(f'outputs asks for "{name}.{reading}", but {reading} is one of each '
                               f"{'vessel and junction' if by_point else 'component'}.", name)
    return Output(reading, names or known, [place[name] for name in names])


def _threads(workers: Any, executor: Any) -> int:
    if workers is None:
        return 1 if executor is not None else _cores()
    _check_count("workers", workers)
    return int(workers)


def _rows_per_task(asked: Any, outputs: list[Output]) -> int:
    """Enough to be worth the overhead of some milliseconds, and no burden to hold; of the plant's size alone."""
    if asked is not None:
        _check_count("rows_per_task", asked)
        return int(asked)
    bytes_per_row = 8 * sum(len(output.names) for output in outputs)
    return min(max(_BYTES_PER_TASK // bytes_per_row, 100), 10_000)


def _cores() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _check_count(name: str, value: Any) -> None:
    if isinstance(value, bool) or not isinstance(value, (int, np.integer)) or value < 1:
        raise SettingError(f"{name} is {value!r}; expected a whole number, 1 or more.")


def _run_here(batch: _Batch, columns: list[Column], outputs: list[Output], store: Any,
              tell: Optional[Progress]) -> Run:
    """In one go, or to a file block by block."""
    rows = len(columns[0])
    in_memory = isinstance(store, MemoryStore)
    block = rows if in_memory else min(rows, ROWS_PER_BLOCK)
    arrays = store.arrays if in_memory else {output.reading: output.array(block) for output in outputs}
    outcome = np.full(rows, INTERRUPTED, dtype=np.uint8)
    failed_rows, reasons, lanes, imbalance, interrupted, done = [], [], 0, 0.0, False, 0
    told_to_stop = False

    def tell_of_block(done_of_block: int, _: int) -> bool:
        nonlocal told_to_stop
        told_to_stop = tell(done + done_of_block, rows) is False
        return not told_to_stop

    try:
        while done < rows and not interrupted:
            stop = min(done + block, rows)
            parts = {reading: array[: stop - done] for reading, array in arrays.items()}
            into = [(output.reading, output.of, parts[output.reading]) for output in outputs]
            values = [column.rows(done, stop).for_solver() for column in columns]
            result = batch.solve(values, into, tell_of_block if tell else None)
            if not in_memory:
                store.put(done, parts)
            outcome[done:stop] = result["outcome"]
            failed_rows.append(result["failed_rows"] + done)
            reasons += result["reasons"]
            lanes += result["num_in_lanes"]
            imbalance = max(imbalance, result["worst_flow_imbalance"])
            done = stop
            interrupted = result["interrupted"] or (told_to_stop and done < rows)
    except KeyboardInterrupt:  # outside of the solver, which returns what it has
        interrupted = True
        store.forget(done, rows)
    return Run(outcome, np.concatenate([np.empty(0, dtype=np.int64), *failed_rows]), reasons, lanes, imbalance,
               interrupted)


def _finish(store: FileStore, compiled: CompiledNetwork, columns: list[Column], run: Run) -> None:
    network = compiled.network
    store.finish(columns, run.outcome, _outcomes, (run.failed_rows, run.reasons), network.dumps(),
                 {"title": network.title, "handwheel": __version__, "interrupted": run.interrupted,
                  "num_in_lanes": run.num_in_lanes, "worst_flow_imbalance": run.worst_flow_imbalance,
                  "caution": _caution})


class _Telling:
    """progress as a function, or None; True is a bar."""

    def __init__(self, progress: Union[bool, Progress, None]) -> None:
        if progress is not None and not isinstance(progress, bool) and not callable(progress):
            raise SettingError(f"progress is of type {type(progress).__name__}; expected True or a function.")
        self._progress = progress
        self._bar: Any = None
        self._last = 0.0

    def __enter__(self) -> Optional[Progress]:
        if self._progress is None or self._progress is False:
            return None
        if self._progress is not True:
            return self._progress
        try:
            from tqdm.auto import tqdm
        except ImportError:
            return self._plainly
        self._bar = tqdm(unit=" scenarios", file=sys.stderr)
        return self._on_bar

    def __exit__(self, *_: Any) -> None:
        if self._bar is not None:
            self._bar.close()

    def _on_bar(self, done: int, total: int) -> None:
        self._bar.total = total
        self._bar.update(done - self._bar.n)

    def _plainly(self, done: int, total: int) -> None:
        if done == total or time.monotonic() - self._last > 1.0:
            self._last = time.monotonic()
            print(f"{done} of {total} scenarios", file=sys.stderr)
