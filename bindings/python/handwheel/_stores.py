"""Where results go: arrays in memory, or a file of HDF5 or Zarr as they come.

    /                 attributes: title, caution, handwheel (version), interrupted, ...
    /flow             a row per scenario, a column per name, float64; attribute unit; NaN: not solved
    /flow_names       its columns, UTF-8; and so for every reading that was asked for
    /outcome          per scenario, an index into the attribute meaning
    /failures/row, reason
    /settings/0, ...  a dataset per setting, attribute target; words and flags as indices into the JSON
                      texts of /settings/0_values
    /network          the text of the network file, UTF-8
"""

from __future__ import annotations

import json
import os
import pathlib
import shutil
from typing import Any, Iterator, NamedTuple, Union

import numpy as np

from ._columns import Column
from ._core import _outcomes
from ._errors import SettingError

INTERRUPTED = _outcomes.index("interrupted")
UNITS = {"flow": "m3/s", "velocity": "m/s", "drop": "m", "head": "m", "pressure": "Pa"}
ROWS_PER_BLOCK = 8192


class Output(NamedTuple):
    """One reading of the points or components that are named."""

    reading: str
    names: list[str]
    of: list[int]  # their places in the network; empty: all

    def array(self, rows: int) -> np.ndarray:
        return np.empty((rows, len(self.names)))


class MemoryStore:
    """All results at once."""

    def __init__(self, rows: int, outputs: list[Output]) -> None:
        self.names = {output.reading: output.names for output in outputs}
        self.arrays = {output.reading: output.array(rows) for output in outputs}

    def put(self, start: int, arrays: dict[str, np.ndarray]) -> None:
        for reading, array in arrays.items():
            self.arrays[reading][start : start + len(array)] = array

    def get(self, reading: str, start: int, stop: int) -> np.ndarray:
        """A view."""
        return self.arrays[reading][start:stop]

    def forget(self, start: int, stop: int) -> None:
        for array in self.arrays.values():
            array[start:stop] = np.nan


class FileStore:
    """A file that takes results as they come. Until it is finished it has another name."""

    def __init__(self, path: Union[str, os.PathLike]) -> None:
        self.path = pathlib.Path(path)
        self.kind = _kind_of(self.path)
        self.names: dict[str, list[str]] = {}
        self.last_put = slice(0, 0)

    @classmethod
    def create(cls, path: Any, rows: int, outputs: list[Output], rows_per_block: int) -> FileStore:
        store = cls(path)
        if not store.path.absolute().parent.is_dir():
            raise SettingError(f"{store.path}: there is no directory {store.path.parent}.")
        if store.path.exists():
            raise SettingError(f"{store.path} is there already; remove it, or choose another name.")
        store.unfinished = store.path.with_name(store.path.name + ".unfinished")
        store._discard()
        store.root = _open(store.unfinished, store.kind, "w")
        for output in outputs:
            width = len(output.names)
            shape, chunk = (rows, width), (min(rows, rows_per_block), width)
            data = store.root.create_dataset(output.reading, shape=shape, chunks=chunk, dtype="f8",
                                             fillvalue=np.nan)
            data.attrs["unit"] = UNITS[output.reading]
            _write_texts(store.root, output.reading + "_names", output.names)
            store.names[output.reading] = output.names
        return store

    @classmethod
    def open(cls, path: Any) -> FileStore:
        store = cls(path)
        if not store.path.exists():
            raise SettingError(f"there is no {store.path}.")
        try:
            with store.reading() as root:
                store.names = {r: _texts(root[r + "_names"]) for r in UNITS if r in root}
                root["outcome"]
        except (OSError, KeyError, ValueError) as error:
            raise SettingError(f"{store.path} holds no scenarios: {error}") from None
        return store

    def reading(self) -> Any:
        return _Closing(_open(self.path, self.kind, "r"))

    def put(self, start: int, arrays: dict[str, np.ndarray]) -> None:
        for reading, array in arrays.items():
            self.last_put = slice(start, start + len(array))
            self.root[reading][start : start + len(array)] = array

    def get(self, reading: str, start: int, stop: int) -> np.ndarray:
        with self.reading() as root:
            return root[reading][start:stop]

    def forget(self, start: int, stop: int) -> None:
        """What has never been put is NaN; see finish for what was put in vain."""

    def finish(self, columns: list[Column], outcome: np.ndarray, meaning: tuple[str, ...],
               failures: tuple[np.ndarray, list[str]], network: str, attributes: dict[str, Any]) -> None:
        root = self.root
        if (outcome[self.last_put] == INTERRUPTED).all():  # Ctrl-C while it was being put
            for reading in self.names:
                root[reading][self.last_put] = np.nan
        root.attrs.update(attributes)
        root.create_dataset("outcome", data=outcome).attrs["meaning"] = list(meaning)
        root.create_dataset("network", data=np.frombuffer(network.encode(), dtype=np.uint8))
        group = root.create_group("failures")
        group.create_dataset("row", data=failures[0])
        _write_texts(group, "reason", failures[1])
        group = root.create_group("settings")
        for k, column in enumerate(columns):
            data = column.codes if column.numbers is None else column.numbers
            group.create_dataset(str(k), data=data).attrs["target"] = column.target
            if column.numbers is None:
                _write_texts(group, f"{k}_values", [json.dumps(value, default=_plain) for value in column.values])
        self.close()
        os.replace(self.unfinished, self.path)

    def close(self) -> None:
        if self.kind == "hdf5":
            self.root.close()
        self.root = None

    def abandon(self) -> None:
        self.close()
        self._discard()

    def _discard(self) -> None:
        if self.unfinished.is_dir():
            shutil.rmtree(self.unfinished)
        elif self.unfinished.exists():
            self.unfinished.unlink()


def columns_in(root: Any) -> Iterator[Column]:
    group = root["settings"]
    k = 0
    while str(k) in group:
        data = group[str(k)]
        if f"{k}_values" in group:
            values = tuple(json.loads(text) for text in _texts(group[f"{k}_values"]))
            yield Column(data.attrs["target"], None, data[:], values)
        else:
            yield Column(data.attrs["target"], data[:])
        k += 1


def _kind_of(path: pathlib.Path) -> str:
    if path.suffix in (".h5", ".hdf5"):
        return "hdf5"
    if path.suffix == ".zarr":
        return "zarr"
    raise SettingError(f'{path}: what kind of file is "{path.suffix}"? Expected .h5 or .hdf5 for HDF5, .zarr for '
                       "Zarr.")


def _open(path: pathlib.Path, kind: str, mode: str) -> Any:
    if kind == "hdf5":
        try:
            import h5py
        except ImportError as error:
            raise ImportError("HDF5 files need h5py: apt-get install python3-h5py, or pip install h5py.") from error
        return h5py.File(path, mode)
    try:
        import zarr
    except ImportError as error:
        raise ImportError("Zarr files need zarr: apt-get install python3-zarr, or pip install zarr.") from error
    return zarr.open_group(str(path), mode=mode)


class _Closing:
    """An open file as a context: a group of Zarr needs no closing."""

    def __init__(self, root: Any) -> None:
        self.root = root

    def __enter__(self) -> Any:
        return self.root

    def __exit__(self, *_: Any) -> None:
        if hasattr(self.root, "close"):
            self.root.close()


def _write_texts(group: Any, name: str, texts: list[str]) -> None:
    encoded = [text.encode() for text in texts]
    width = max(map(len, encoded), default=0)
    group.create_dataset(name, data=np.array(encoded, dtype=f"S{max(width, 1)}"))


def _texts(data: Any) -> list[str]:
    return [text.decode() for text in data[:]]


def _plain(value: Any) -> Any:
    return value.item() if isinstance(value, np.generic) else list(value)
