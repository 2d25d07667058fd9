"""Chunks of scenarios on executors of concurrent.futures' kind: pools of processes, clusters.

A chunk is the same rows whatever the number of workers, and solving it again gives the same bits. So a chunk
that was lost with its worker is submitted again, and a result goes to the rows of its chunk, once.

The network is not a part of the chunks. They carry its digest, and a worker keeps the networks it has compiled.
It gets the text as the result of a task if the executor is Dask's; else from a file, if the worker sees
this machine's files; else it says that it lacks it, and the chunk comes again with the text.
"""

from __future__ import annotations

import collections
import concurrent.futures
import hashlib
import logging
import os
import pathlib
import queue
import socket
import tempfile
import threading
import uuid
import warnings
from typing import Any, Callable, NamedTuple, Optional

import numpy as np

from ._columns import Column
from ._core import CompiledNetwork, _Batch, __version__, loads
from ._errors import Error, SettingError
from ._scenarios import Run
from ._stores import INTERRUPTED, Output

_log = logging.getLogger("handwheel")
_MOST_TRIES = 3
_MOST_IN_FLIGHT = 256


class Job(NamedTuple):
    """What all chunks share."""

    run: str  # no two runs share a job, for executors that know their results by the arguments
    version: str
    digest: str  # of the network's text
    targets: list[str]
    outputs: list[Output]
    options: dict[str, Any]  # of _Batch


class ChunkResult(NamedTuple):
    worker: str
    lacks_network: bool
    read_network: bool = False
    result: Optional[dict[str, Any]] = None
    arrays: Optional[dict[str, np.ndarray]] = None


# --- In the worker ---

_MOST_KEPT = 8
_kept: collections.OrderedDict[str, CompiledNetwork] = collections.OrderedDict()
_lock = threading.Lock()


def keep(digest: str, compiled: CompiledNetwork) -> None:
    _kept[digest] = compiled
    _kept.move_to_end(digest)
    while len(_kept) > _MOST_KEPT:
        _kept.popitem(last=False)


def _find_network(digest: str, text: Optional[str], path: Optional[str]) -> tuple[Optional[CompiledNetwork], bool]:
    """The network, and whether it had to be read; None: it is nowhere to be had."""
    with _lock:  # held while compiling too: the threads of a worker want the same
        if digest in _kept:
            keep(digest, _kept[digest])
            return _kept[digest], False
        if text is None and path is not None and os.path.exists(path):
            text = pathlib.Path(path).read_text(encoding="utf-8")
        if text is None or digest_of(text) != digest:
            return None, False
        keep(digest, CompiledNetwork(loads(text, "<network of the batch>")))
        return _kept[digest], True


def solve_chunk(job: Job, columns: list[Column], text: Optional[str], path: Optional[str], tries: int) -> ChunkResult:
    """`tries` tells a second try from the first, as `run` in the job tells runs apart."""
    worker = f"{socket.gethostname()}:{os.getpid()}"
    if job.version != __version__:
        raise SettingError(f"worker {worker} has handwheel {__version__}, and {job.version} asks; expected one "
                           "version everywhere.")
    compiled, read = _find_network(job.digest, text, path)
    if compiled is None:
        return ChunkResult(worker, lacks_network=True)
    arrays = {output.reading: output.array(len(columns[0])) for output in job.outputs}
    into = [(output.reading, output.of, arrays[output.reading]) for output in job.outputs]
    batch = _Batch(compiled, job.targets, **job.options)
    result = batch.solve([column.for_solver() for column in columns], into, None)
    return ChunkResult(worker, False, read, result, arrays)


# --- In the program that asks ---


def digest_of(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


class Dispatch:
    """One run on an executor."""

    def __init__(self, executor: Any, compiled: CompiledNetwork, columns: list[Column], outputs: list[Output],
                 options: dict[str, Any], store: Any, rows_per_task: int,
                 progress: Optional[Callable[[int, int], Optional[bool]]]) -> None:
        self._text = compiled.network.dumps()
        self._job = Job(uuid.uuid4().hex, __version__, digest_of(self._text), [c.target for c in columns], outputs, options)
        with _lock:
            keep(self._job.digest, compiled)  # of this process, and of those forked from it
        self._executor, client = _executor_and_client(executor)
        # As a task, which Dask does again if all who have its result die; it would wait forever for scattered data. Its
        # key is its own: one that an earlier run lets go may be lost to this one.
        key = f"handwheel-network-{self._job.run}"
        self._text_on_cluster = client.submit(str, self._text, key=key) if client else None
        self._columns, self._store, self._progress = columns, store, progress
        self._total = len(columns[0])
        starts = range(0, self._total, rows_per_task)
        self._chunks = [(start, min(start + rows_per_task, self._total)) for start in starts]
        self._results: dict[int, dict[str, Any]] = {}  # by chunk
        self._waiting = collections.deque((chunk, 1, False) for chunk in range(len(self._chunks)))
        self._running: dict[Any, tuple[int, int, bool]] = {}
        self._bringing = 0  # of them, chunks that bring the network with them
        self._finished: queue.SimpleQueue = queue.SimpleQueue()
        self._workers: set[str] = set()
        self._left: list[int] = []  # chunks that the executor cannot do
        self._done_rows = 0
        self._stopped = False

    def run(self) -> Run:
        with tempfile.TemporaryDirectory(prefix="handwheel-") as directory:
            self._path = os.path.join(directory, "network.toml")
            pathlib.Path(self._path).write_text(self._text, encoding="utf-8")
            try:
                while (self._waiting or self._running) and not self._stopped:
                    self._submit()
                    if self._running:
                        self._collect(self._finished.get())
                if self._left and not self._stopped:
                    self._solve_here()
            except KeyboardInterrupt:
                self._stopped = True
            finally:
                for future in self._running:
                    future.cancel()
        return self._summary()

    def _submit(self) -> None:
        """More at a time as more workers are seen, and none while one of them is brought the network: those would
        only come back for want of it."""
        most = min(_MOST_IN_FLIGHT, 2 + 4 * len(self._workers))
        while self._waiting and len(self._running) < most and (self._waiting[0][2] or not self._bringing):
            chunk, tries, with_text = self._waiting.popleft()
            text = self._text if with_text else self._text_on_cluster
            columns = [column.rows(*self._chunks[chunk]) for column in self._columns]
            try:
                future = self._executor.submit(solve_chunk, self._job, columns, text, self._path, tries)
            except (RuntimeError, OSError) as error:  # broken, or shut down
                _log.warning("the executor takes no more work: %r", error)
                self._left += [chunk, *(other for other, _, _ in self._waiting)]
                self._waiting.clear()
                return
            self._running[future] = (chunk, tries, with_text)
            self._bringing += with_text
            future.add_done_callback(self._finished.put)

    def _collect(self, future: Any) -> None:
        chunk, tries, with_text = self._running.pop(future)
        self._bringing -= with_text
        error = concurrent.futures.CancelledError() if future.cancelled() else future.exception()
        if isinstance(error, (Error, ImportError)):
            raise error
        if error is not None:
            self._again(chunk, tries, repr(error))
            return
        answer = future.result()
        if answer.lacks_network:
            self._waiting.appendleft((chunk, tries, True))
            return
        self._workers.add(answer.worker)
        if answer.result["interrupted"]:
            self._again(chunk, tries, f"{answer.worker} was interrupted")
        else:
            if answer.read_network:
                _log.info("%s read the network", answer.worker)
            self._accept(chunk, answer.result, answer.arrays)

    def _again(self, chunk: int, tries: int, why: str) -> None:
        _log.warning("chunk %d, try %d: %s", chunk, tries, why)
        if tries < _MOST_TRIES:
            self._waiting.append((chunk, tries + 1, True))
        else:
            self._left.append(chunk)

    def _accept(self, chunk: int, result: dict[str, Any], arrays: dict[str, np.ndarray]) -> None:
        start, stop = self._chunks[chunk]
        self._store.put(start, arrays)
        self._results[chunk] = result
        self._done_rows += stop - start
        if self._progress is not None and self._progress(self._done_rows, self._total) is False:
            self._stopped = True

    def _solve_here(self) -> None:
        warnings.warn(f"the executor failed; the remaining {len(self._left)} of {len(self._chunks)} chunks are solved "
                      "in this process.", RuntimeWarning, stacklevel=4)
        for chunk in sorted(self._left):
            columns = [column.rows(*self._chunks[chunk]) for column in self._columns]
            answer = solve_chunk(self._job, columns, self._text, None, 0)
            self._stopped = self._stopped or answer.result["interrupted"]
            if self._stopped:
                return
            self._accept(chunk, answer.result, answer.arrays)

    def _summary(self) -> Run:
        outcome = np.full(self._total, INTERRUPTED, dtype=np.uint8)
        failed_rows, reasons, lanes, imbalance = [], [], 0, 0.0
        for chunk, (start, stop) in enumerate(self._chunks):
            if chunk not in self._results:
                self._store.forget(start, stop)
                continue
            result = self._results[chunk]
            outcome[start:stop] = result["outcome"]
            failed_rows.append(result["failed_rows"] + start)
            reasons += result["reasons"]
            lanes += result["num_in_lanes"]
            imbalance = max(imbalance, result["worst_flow_imbalance"])
        rows = np.concatenate([np.empty(0, dtype=np.int64), *failed_rows])
        return Run(outcome, rows, reasons, lanes, imbalance, self._stopped)


def _executor_and_client(executor: Any) -> tuple[Any, Any]:
    """Dask's Client or what its get_executor() gives, and its client; of others no client."""
    if hasattr(executor, "get_executor"):
        return executor.get_executor(), executor
    if not callable(getattr(executor, "submit", None)):
        raise SettingError(f"executor is of type {type(executor).__name__}; expected one as of concurrent.futures, with "
                           "submit(), or a dask.distributed Client.")
    client = getattr(executor, "_client", None)
    return executor, client if hasattr(client, "get_executor") else None
