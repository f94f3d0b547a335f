"""Array types shared by every computing module, and columns that cannot be written to."""

from __future__ import annotations

import dataclasses
from typing import Any, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
IntArray: TypeAlias = NDArray[np.int64]
BoolArray: TypeAlias = NDArray[np.bool_]
#: Text or mixed cells, as they were read.
ObjectArray: TypeAlias = NDArray[Any]

Record = TypeVar("Record")


def read_only(record: Record) -> Record:
    """Return a record of columns whose arrays cannot be written to, for a stranger's code.

    Parameters
    ----------
    record
        A dataclass instance; the records and mappings in it are guarded too. Nothing is copied.

    Examples
    --------
    >>> @dataclasses.dataclass
    ... class Sizes:
    ...     pitch_m: FloatArray
    >>> read_only(Sizes(np.ones(2))).pitch_m.flags.writeable
    False
    """
    held = {f.name: _guarded(getattr(record, f.name)) for f in dataclasses.fields(record)}  # type: ignore[arg-type]
    return dataclasses.replace(record, **held)  # type: ignore[type-var]


def _guarded(value: object) -> object:
    if isinstance(value, np.ndarray):
        view = value.view()
        view.flags.writeable = False
        return view
    if isinstance(value, dict):
        return {name: _guarded(held) for name, held in value.items()}
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return read_only(value)
    return value
