"""Array types shared by every computing module, and columns that cannot be written to."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from pandas.api.extensions import ExtensionArray

FloatArray: TypeAlias = NDArray[np.float64]
IntArray: TypeAlias = NDArray[np.int64]
BoolArray: TypeAlias = NDArray[np.bool_]
#: Text or mixed cells, as they were read.
ObjectArray: TypeAlias = NDArray[Any]

Record = TypeVar("Record")


def frozen(record: Record) -> Record:
    """Return a record of columns that nobody can write to, for a plugin's code.

    Parameters
    ----------
    record
        A dataclass instance; the records and mappings in it are frozen too.

    Notes
    -----
    Numbers are copied into memory that cannot be made writable again, nor written to through what
    an array is a view of. Columns of Python objects are copies.

    Examples
    --------
    >>> @dataclasses.dataclass
    ... class Sizes:
    ...     pitch_m: FloatArray
    >>> sizes = frozen(Sizes(np.ones(2)))
    >>> sizes.pitch_m.flags.writeable
    False
    >>> sizes.pitch_m.flags.writeable = True
    Traceback (most recent call last):
    ValueError: cannot set WRITEABLE flag to True of this array
    """
    held = {f.name: _frozen(getattr(record, f.name)) for f in dataclasses.fields(record)}  # type: ignore[arg-type]
    return dataclasses.replace(record, **held)  # type: ignore[type-var]


def frozen_array(values: NDArray[Any]) -> NDArray[Any]:
    """Return a copy of an array that cannot be written to; of objects, one that is not yours."""
    if values.dtype.hasobject or not values.size:
        copied = values.copy()
        copied.flags.writeable = False
        return copied
    return np.frombuffer(values.tobytes(), dtype=values.dtype).reshape(values.shape)


def coded_texts(codes: IntArray, names: Sequence[str]) -> ExtensionArray:
    """Text column from codes, made in one go: a list of a million lines has few names.

    Parameters
    ----------
    codes
        Index into `names` of each cell.
    names
        The different texts.

    Returns
    -------
    A column as pandas holds text, to be put into a table.

    Examples
    --------
    >>> list(coded_texts(np.array([1, 0, 1]), ("meets", "fails")))
    ['fails', 'meets', 'fails']
    """
    import pyarrow as pa  # noqa: PLC0415 - heavy: loaded when a table is first made

    coded = pa.DictionaryArray.from_arrays(pa.array(codes), pa.array(names, pa.large_string()))
    return _text_maker()(coded.cast(pa.large_string()))


def text_column(texts: Sequence[str]) -> ExtensionArray:
    """Text column of texts that mostly differ, as `coded_texts` returns one."""
    import pyarrow as pa  # noqa: PLC0415 - heavy: loaded when a table is first made

    return _text_maker()(pa.array(texts, pa.large_string()))


@cache
def _text_maker() -> Callable[[object], ExtensionArray]:
    """Return what makes a column of text of an Arrow array, as pandas makes one of strings."""
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    made: Callable[[object], ExtensionArray] = pd.StringDtype(
        "pyarrow", na_value=np.nan
    ).__from_arrow__  # type: ignore[attr-defined]
    return made


def _frozen(value: object) -> object:
    if isinstance(value, np.ndarray):
        return frozen_array(value)
    if isinstance(value, Mapping):
        return MappingProxyType({name: _frozen(held) for name, held in value.items()})
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return frozen(value)
    return value
