"""Settings of many scenarios: tables in, columns of numbers or of a few words and flags out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple, Optional, Union

import numpy as np

from ._core import Network
from ._errors import Error, SettingError

EXPECTED = ('expected a pandas DataFrame or a dict of arrays with a column per setting, such as '
            '{"HV-3.opening": [0.2, 0.4]}')


class Column(NamedTuple):
    """What one property takes, scenario by scenario."""

    target: str
    numbers: Optional[np.ndarray]  # float64 in SI; else words or flags:
    codes: Optional[np.ndarray] = None  # int32, into
    values: tuple = ()

    def __len__(self) -> int:
        return len(self.codes if self.numbers is None else self.numbers)

    def rows(self, start: int, stop: int) -> Column:
        """Some of the scenarios, as a view."""
        if self.numbers is not None:
            return Column(self.target, self.numbers[start:stop])
        return Column(self.target, None, self.codes[start:stop], self.values)

    def for_solver(self) -> Union[np.ndarray, tuple]:
        return (self.codes, self.values) if self.numbers is None else self.numbers

    def array(self) -> np.ndarray:
        if self.numbers is not None:
            return self.numbers
        values = np.empty(len(self.values), dtype=object)
        values[:] = self.values
        return values[self.codes]


def read_settings(network: Network, settings: Any) -> tuple[list[Column], Any]:
    """Columns of one length, and the labels of the rows. Raises SettingError for whatever is wrong
    with a table as such; a number that is out of its range is a matter of its scenario alone."""
    import pandas as pd

    table = _columns_of(settings)
    index = settings.index if isinstance(settings, pd.DataFrame) else None
    rows = len(index) if index is not None else _common_length(table)
    if rows == 0:
        raise SettingError("settings has no rows; expected one for every scenario.")
    trial = network.copy()
    columns = [_column(trial, target, given, rows) for target, given in table.items()]
    return columns, pd.RangeIndex(rows) if index is None else index


def _columns_of(settings: Any) -> dict[str, Any]:
    import pandas as pd

    if isinstance(settings, pd.DataFrame):
        repeated = settings.columns[settings.columns.duplicated()]
        if len(repeated) > 0:
            raise SettingError(f'settings has two columns "{repeated[0]}"; expected one for each.')
        table = {target: settings[target] for target in settings.columns}
    elif isinstance(settings, Mapping):
        table = dict(settings)
    else:
        raise SettingError(f"settings is of type {type(settings).__name__}; {EXPECTED}.")
    if not table:
        raise SettingError(f"settings is empty; {EXPECTED}.")
    for target in table:
        if not isinstance(target, str):
            raise SettingError(f"a column of settings is called {target!r}, of type "
                               f'{type(target).__name__}; expected text such as "HV-3.opening".')
    return table


def _is_one_value(given: Any) -> bool:
    """A number, text or flag, which counts for every scenario."""
    return isinstance(given, (str, bool, int, float, np.generic))


def _common_length(table: dict[str, Any]) -> int:
    lengths = {}
    for target, given in table.items():
        if _is_one_value(given):
            continue
        if not hasattr(given, "__len__") or isinstance(given, (bytes, Mapping, set, frozenset)):
            raise SettingError(f'"{target}" is of type {type(given).__name__}; expected an array or '
                               "a list with a value per scenario (list(...) makes one of an iterator).")
        lengths[target] = len(given)
    if not lengths:
        raise SettingError("settings has one value each and no array; hw.solve(net, settings) is for "
                           "a single scenario.")
    first = next(iter(lengths))
    for target, length in lengths.items():
        if length != lengths[first]:
            raise SettingError(f'"{target}" has {length} values and "{first}" {lengths[first]}; expected '
                               "one each for every scenario.")
    return lengths[first]


def _column(trial: Network, target: str, given: Any, rows: int) -> Column:
    present = trial.get(target)  # raises for an unknown component or property
    codes, values = None, ()
    if _is_one_value(given):
        codes, values = np.zeros(rows, dtype=np.int32), (given,)
    elif hasattr(given, "cat"):  # a categorical Series
        codes, values = given.cat.codes.to_numpy(np.int32), tuple(given.cat.categories)
        _refuse_missing(target, codes < 0)
    else:
        array = _array(target, given)
        if array.dtype.kind in "fiu":
            return _numbers(trial, target, array, present)
        codes, values = _distinct(target, array)
    return _words_or_numbers(trial, target, codes, values)


def _array(target: str, given: Any) -> np.ndarray:
    if isinstance(given, (list, tuple)):  # numpy would make texts of ["1 m", 2.0], and rows of lists
        array = np.empty(len(given), dtype=object)
        for row, value in enumerate(given):
            array[row] = value
        return _plain(array)
    array = np.asarray(given)
    if array.ndim != 1:
        raise SettingError(f'"{target}" has {array.ndim} dimensions; expected one, a value per scenario.')
    if array.dtype.kind not in "fiubOU":
        raise SettingError(f'"{target}" holds {array.dtype}; expected numbers, texts with a unit, words or '
                           "flags.")
    return _plain(array)


def _plain(array: np.ndarray) -> np.ndarray:
    """Objects that are all numbers or all flags, as such."""
    if array.dtype.kind != "O":
        return array
    types = set(map(type, array))
    if types == {bool}:
        return array.astype(bool)
    if all(issubclass(t, (int, float, np.integer, np.floating)) and t is not bool for t in types):
        return array.astype(np.float64)
    return array


def _refuse_missing(target: str, missing: np.ndarray) -> None:
    if missing.any():
        raise SettingError(f'"{target}" has no value (NaN or None) in row {int(np.argmax(missing))}, and in '
                           f"{int(missing.sum())} of {len(missing)}; expected one for every scenario "
                           "(drop such rows, or fill them in).")


def _numbers(trial: Network, target: str, array: np.ndarray, present: Any) -> Column:
    numbers = np.ascontiguousarray(array, dtype=np.float64)
    _refuse_missing(target, np.isnan(numbers))
    endless = np.isinf(numbers)
    if endless.any():
        raise SettingError(f'"{target}" is infinite in row {int(np.argmax(endless))}; expected finite numbers.')
    takes_no_number = isinstance(present, (bool, list)) or (isinstance(present, str) and present != "")
    if takes_no_number:
        _try(trial, target, float(numbers[0]), 0)
    return Column(target, numbers)


def _distinct(target: str, array: np.ndarray) -> tuple[np.ndarray, tuple]:
    """Each value once, and which of them every row has."""
    import pandas as pd

    if array.dtype.kind == "b":
        return array.astype(np.int32), (False, True)
    if array.dtype.kind == "O":
        _refuse_missing(target, pd.isna(array))
    if array.dtype.kind == "U" or {str} == set(map(type, array)):
        codes, values = pd.factorize(array.astype(object))
        return codes.astype(np.int32), tuple(values)
    # Of several types: True, 1 and 1.0 are one value to a hash, but not to a property.
    codes, values = np.empty(len(array), dtype=np.int32), {}
    for row, value in enumerate(array):
        try:
            key = (type(value), hash(value), value)
        except TypeError:  # a list, of a curve
            key = (type(value), id(value))
        codes[row], _ = values.setdefault(key, (len(values), value))
    return codes, tuple(value for _, value in values.values())


def _words_or_numbers(trial: Network, target: str, codes: np.ndarray, values: tuple) -> Column:
    """Texts with a unit are numbers once read; words and flags stay what they are."""
    used, rows = np.unique(codes, return_index=True)  # a categorical may have more than it uses
    read = {code: _try(trial, target, values[code], row) for code, row in zip(used, rows)}
    _refuse_some_units(target, [(values[code], row) for code, row in zip(used, rows) if type(read[code]) is float])
    if all(type(value) is float for value in read.values()):
        numbers = np.array([read.get(code, np.nan) for code in range(len(values))])
        return Column(target, numbers[codes])
    return Column(target, None, codes, values)


def _refuse_some_units(target: str, quantities: list[tuple[Any, int]]) -> None:
    """A text without a unit is SI; among others that have one, it is a slip."""
    texts = [(value, row) for value, row in quantities if isinstance(value, str)]
    bare = [item for item in texts if item[0].strip().lstrip("+-")[-1:].isdigit()]
    if bare and len(bare) < len(texts):
        unit = next(item for item in texts if item not in bare)
        raise SettingError(f'"{target}" has a unit in row {unit[1]} ("{unit[0]}") and none in row {bare[0][1]} '
                           f'("{bare[0][0]}"); expected one in each.')


def _try(trial: Network, target: str, value: Any, row: int) -> Any:
    """What the property is once set so. Raises SettingError naming the row."""
    try:
        trial.set({target: value})
    except Error as error:
        raise SettingError(f"{error} (row {row} of settings)") from None
    return trial.get(target)
