"""Columns of quantities: text, bare numbers and pint quantities to SI arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, ObjectArray
from meshcore.messages import Message, MessageLog
from meshcore.reading.texts import CEILINGS, beyond_reason, is_blank, read_text
from meshcore.units import Kind, unit_factor

if TYPE_CHECKING:
    import pandas as pd

#: How a missing cell of pandas prints.
_MISSING = frozenset({"nan", "<NA>", "NaT", "None"})
#: Python writes no whole number of more digits than this as text; a double holds 1024 bits.
_WIDEST_WHOLE_BITS = 1024


@dataclass(frozen=True, slots=True)
class QuantityColumn:
    """A column of quantities.

    Parameters
    ----------
    values
        SI values; NaN where blank or unreadable.
    half_width
        Half of the last digit typed, in SI: "0.075 mm" means ±0.0005 mm. NaN for a column of
        bare numbers, whose digits were never typed.
    given
        Lines where something was typed.
    texts
        What was read, as typed.
    """

    values: FloatArray
    half_width: FloatArray
    given: BoolArray
    texts: ObjectArray


def read_column(
    cells: pd.Series | Sequence[object],
    kind: Kind,
    field: str,
    log: MessageLog,
    unit: str = "",
) -> QuantityColumn:
    """Read a column; each different text is read once, and bare numbers are not read at all.

    Parameters
    ----------
    cells
        One cell a line: text, numbers, pint quantities or blanks.
    kind, field, unit
        As for `read_text`.
    log
        Receives a refusal for each line that cannot be read.

    Returns
    -------
    The column in SI units.
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a column is first read

    series = cells if isinstance(cells, pd.Series) else pd.Series(list(cells), dtype=object)
    factor = unit_factor(unit, kind) if unit or kind == "number" else None
    if pd.api.types.is_numeric_dtype(series.dtype) and factor is not None:
        numbers = series.to_numpy(dtype=np.float64, na_value=np.nan)
        values = numbers if factor == 1.0 else numbers * factor
        blank = np.full(len(values), np.nan)
        given = ~np.isnan(values)
        return QuantityColumn(
            _within_reason(values, numbers, kind, field, log), blank, given, numbers
        )
    return _read_cells(series, kind, field, log, unit)


def _within_reason(
    values: FloatArray, numbers: FloatArray, kind: Kind, field: str, log: MessageLog
) -> FloatArray:
    """Refuse infinite numbers and those beyond reason; all others as they are."""
    ceiling = CEILINGS.get(kind, np.finfo(np.float64).max)
    beyond = np.abs(values) > ceiling
    if not beyond.any():
        return values
    shown = [f"{number:g}" for number in numbers[beyond].tolist()]
    log.add_each(np.flatnonzero(beyond), [beyond_reason(field, text, kind) for text in shown])
    return np.where(beyond, np.nan, values)


def _read_cells(
    series: pd.Series, kind: Kind, field: str, log: MessageLog, unit: str
) -> QuantityColumn:
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a column is first read

    texts = cell_texts(series)
    codes, unique = pd.factorize(texts)
    values = np.full(len(unique), np.nan)
    half_widths = np.full(len(unique), np.nan)
    given = np.zeros(len(unique), dtype=np.bool_)
    for number, text in enumerate(unique):
        if is_blank(text):
            continue
        given[number] = True
        reading = read_text(text, kind, field, unit)
        if isinstance(reading, Message):
            log.add(codes == number, reading)
        else:
            values[number], half_widths[number] = reading.value, reading.half_width
    return QuantityColumn(values[codes], half_widths[codes], given[codes], texts)


def cell_texts(series: pd.Series) -> ObjectArray:
    """Text of each cell, blank for missing; whole floats lose their ``.0``."""
    return np.array([_cell_text(cell) for cell in series.tolist()], dtype=object)


def _cell_text(cell: object) -> str:
    if isinstance(cell, str):
        return cell
    if isinstance(cell, int) and cell.bit_length() > _WIDEST_WHOLE_BITS:
        return f"a whole number of {cell.bit_length()} bits"
    if cell is None or str(cell) in _MISSING:
        return ""
    if isinstance(cell, float):
        return repr(int(cell)) if cell.is_integer() else repr(cell)
    magnitude, units = getattr(cell, "magnitude", None), getattr(cell, "units", None)
    return str(cell) if magnitude is None or np.ndim(magnitude) else f"{float(magnitude)!r} {units}"
