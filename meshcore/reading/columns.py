"""Columns of quantities: text, bare numbers and pint quantities to SI arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray
from meshcore.enquiry import FORMS
from meshcore.messages import Message, MessageLog
from meshcore.reading.decimal_marks import TWO_READINGS, with_decimal_mark
from meshcore.reading.refusals import about
from meshcore.reading.texts import (
    CEILINGS,
    NO_HINTS,
    Hints,
    Reading,
    Stated,
    beyond_reason,
    is_blank,
    read_text,
)
from meshcore.reading.unit_words import unit_factor
from meshcore.units import Kind

if TYPE_CHECKING:
    import pandas as pd

#: How a missing cell of pandas prints.
_MISSING = frozenset({"nan", "<NA>", "NaT", "None"})
#: Python writes no whole number of more digits than this as text; a double holds 1024 bits.
_WIDEST_WHOLE_BITS = 1024
#: Up to as many cells are told apart one by one, which is quicker than with pandas [-].
FEW = 256


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
    also
        What cells state of other fields, each with its rows.
    """

    values: FloatArray
    half_width: FloatArray
    given: BoolArray
    texts: ObjectArray
    also: tuple[tuple[IntArray, Stated], ...] = ()


def read_column(
    cells: pd.Series | Sequence[object],
    kind: Kind,
    field: str,
    log: MessageLog,
    unit: str = "",
    hints: Hints = NO_HINTS,
    forms: IntArray | None = None,
    different: tuple[IntArray, list[str]] | None = None,
) -> QuantityColumn:
    """Read a column; each different text is read once, and bare numbers are not read at all.

    Parameters
    ----------
    cells
        One cell a line: text, numbers, pint quantities or blanks.
    kind, field, unit
        As for `read_text`.
    log
        Receives a refusal for each line that cannot be read, and a note where a doubtful text was
        understood.
    hints
        What is known besides; the decimal mark is also told from the rest of the column.
    forms
        Form code of each line where it is known, by which sizes are judged; -1 where it is not.
    different
        The column's `different_texts`, where they are known already.

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
    texts = different_texts(series) if different is None else different
    return _read_cells(*texts, kind, field, log, unit, hints, forms)


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
    places: IntArray,
    unique: list[str],
    kind: Kind,
    field: str,
    log: MessageLog,
    unit: str,
    hints: Hints,
    forms: IntArray | None,
) -> QuantityColumn:
    at, known_forms = _with_forms(places, len(unique), forms)
    hints = with_decimal_mark(unique, hints)
    count = len(known_forms)
    values, half_widths = np.full(count, np.nan), np.full(count, np.nan)
    given = np.zeros(count, dtype=np.bool_)
    also: list[tuple[IntArray, Stated]] = []
    for number, (place, form) in enumerate(known_forms):
        text = unique[place]
        if is_blank(text):
            continue
        given[number] = True
        here = replace(hints, form=form) if form else hints
        reading = read_text(text, kind, field, unit, here)
        if isinstance(reading, Message):
            log.add(at == number, reading)
            continue
        values[number], half_widths[number] = reading.value, reading.half_width
        if reading.said or reading.also:
            also += _told(reading, at == number, text, field, log)
    texts = np.array(unique, dtype=object)[places] if unique else np.array([], dtype=object)
    return QuantityColumn(values[at], half_widths[at], given[at], texts, tuple(also))


def _with_forms(
    places: IntArray, texts: int, forms: IntArray | None
) -> tuple[IntArray, list[tuple[int, str]]]:
    """Part equal texts by the form of their lines; give (place of the text, form) of each part."""
    if forms is None:
        return places, [(n, "") for n in range(texts)]
    mixed = places * (len(FORMS) + 1) + (forms + 1)
    parts, at = np.unique(mixed, return_inverse=True)
    names = ("", *FORMS)
    return at.astype(np.int64), [
        (int(part) // len(names), names[int(part) % len(names)]) for part in parts
    ]


def _told(
    reading: Reading, rows: BoolArray, text: str, field: str, log: MessageLog
) -> list[tuple[IntArray, Stated]]:
    """Note how a text was understood; return what it states of other fields."""
    if reading.said:
        log.add(rows, about(reading.said, field, text))
    return [(np.flatnonzero(rows), stated) for stated in reading.also]


def different_texts(series: pd.Series) -> tuple[IntArray, list[str]]:
    """Return for each cell the place of its text among the different texts, and those."""
    if len(series) <= FEW:
        seen: dict[str, int] = {}
        own = [seen.setdefault(cell_text(cell), len(seen)) for cell in series.tolist()]
        return np.array(own, dtype=np.int64), list(seen)
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a column is first read

    try:
        places, cells = pd.factorize(series, use_na_sentinel=False)
    except TypeError:  # a cell that cannot be hashed, such as a list: compare what it shows
        return different_texts(pd.Series(cell_texts(series), dtype=object))
    texts = [cell_text(cell) for cell in cells.tolist()]
    again, unique = pd.factorize(np.array(texts, dtype=object))
    return again[places].astype(np.int64), [str(text) for text in unique]


#: Columns of a table that mostly say the same over and over: each text is looked at once.
_OF_FEW_TEXTS = ("category", "str")


def cell_texts(series: pd.Series) -> ObjectArray:
    """Text of each cell, blank for missing; whole floats lose their ``.0``."""
    if len(series) > FEW and series.dtype.name in _OF_FEW_TEXTS:
        places, unique = different_texts(series)
        return np.array(unique, dtype=object)[places]
    return np.array([cell_text(cell) for cell in series.tolist()], dtype=object)


def cell_text(cell: object) -> str:
    """Text of one cell, as `cell_texts` writes it."""
    if isinstance(cell, str):
        return cell
    if isinstance(cell, int) and cell.bit_length() > _WIDEST_WHOLE_BITS:
        return f"a whole number of {cell.bit_length()} bits"
    if cell is None or str(cell) in _MISSING:
        return ""
    if isinstance(cell, float):
        return certain_text(cell)
    magnitude, units = getattr(cell, "magnitude", None), getattr(cell, "units", None)
    if magnitude is None or np.ndim(magnitude):
        return str(cell)
    return f"{certain_text(float(magnitude))} {units}"


def certain_text(number: float) -> str:
    """Write a number so that it has one reading: 1.125 could be taken for thousands.

    Examples
    --------
    >>> certain_text(2.0), certain_text(0.5), certain_text(1.125)
    ('2', '0.5', '1.1250')
    """
    text = repr(int(number)) if number.is_integer() else repr(number)
    return f"{text}0" if TWO_READINGS.fullmatch(text.lstrip("-")) else text
