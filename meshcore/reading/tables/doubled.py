"""Two columns for one thing: the second fills what the first leaves blank, and is held to it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

import numpy as np
import pandas as pd

from meshcore.arrays import FloatArray, ObjectArray
from meshcore.messages import Message, MessageLog
from meshcore.reading.columns import QuantityColumn, cell_texts, read_column
from meshcore.reading.tables.cells import COUNT_UNIT, UNCOMPARED, Cells
from meshcore.reading.texts import is_blank, tidy
from meshcore.reading.vocabulary import fold, words
from meshcore.units import Kind

#: Whether two texts name one alloy.
SameAlloy = Callable[[str, str], bool]
#: Columns that hold a number with or without a unit.
_KINDS: Mapping[str, Kind] = {
    "mesh_count": "count", "pitch": "length", "aperture": "length", "wire_diameter": "length",
    "open_area": "share", "width": "length", "length": "length", "quantity": "number",
}  # fmt: skip
#: Two sizes agree within this [-], or within what their last digits leave open up to the second:
#: 0.016 in is 0.40 mm in every list (common practice, no source).
_AGREEMENT, _AGREEMENT_OF_DIGITS = 0.01, 0.03
_BARE = re.compile(r"[+\-]?(?:\d[\d.,' ]*|[.,]\d+)")


def fill_doubled(
    cells: Cells, column: Callable[[str], ObjectArray], same_alloy: SameAlloy | None
) -> None:
    """Fill each column from the second of its kind, and say of every line where they differ.

    Parameters
    ----------
    cells
        The list's cells.
    column
        Returns the texts of a column, to be filled in place.
    same_alloy
        Whether two texts name one alloy; where it is not known, they are compared as texts.
    """
    for place, name in cells.headings.doubled.items():
        if name in UNCOMPARED:
            continue
        second = cell_texts(cells.table.iloc[:, place])
        if name == "services":
            _put_together(column(name), second)
            continue
        own = column(name)
        both = _given(own) & _given(second)
        if name in _KINDS:
            _hold_sizes(cells, place, name, both)
        else:
            _hold_words(cells, place, name, both, same_alloy)
        _fill_blanks(cells, place, name, own, second)


def _given(texts: ObjectArray) -> ObjectArray:
    return np.array([not is_blank(str(text)) for text in texts], dtype=np.bool_)


def _put_together(own: ObjectArray, second: ObjectArray) -> None:
    for row in np.flatnonzero(_given(second)).tolist():
        own[row] = str(second[row]) if is_blank(str(own[row])) else f"{own[row]}; {second[row]}"


def _fill_blanks(
    cells: Cells, place: int, name: str, own: ObjectArray, second: ObjectArray
) -> None:
    heading = str(cells.table.columns[place])
    unit = cells.headings.doubled_unit.get(place, "")
    first_unit = cells.headings.unit.get(name, "")
    for row in np.flatnonzero(~_given(own) & _given(second)).tolist():
        text = tidy(str(second[row]))
        bare = name in _KINDS and _BARE.fullmatch(text) is not None
        if bare and not unit and first_unit:
            cells.log.add([row], _of_no_unit(heading, name, text))
            continue
        own[row] = f"{text} {unit}" if bare and unit else text
        said = f'taken from the column "{heading}", which alone is filled.'
        cells.log.add([row], Message(name, own[row], said, "note", code="column.second_taken"))


def _of_no_unit(heading: str, name: str, text: str) -> Message:
    noun = name.replace("_", " ")
    said = f"a {noun} in a second column that says no unit, so it is not read. Write its unit."
    return Message(heading, text, said, "review", code="column.second_without_unit")


def _hold_sizes(cells: Cells, place: int, name: str, both: ObjectArray) -> None:
    """Refuse lines whose two sizes differ by more than their rounding."""
    if not both.any():
        return
    first = _read(cells, cells.series(name), name, cells.headings.unit.get(name, ""))
    unit = cells.headings.doubled_unit.get(place, "")
    other = _read(cells, cells.table.iloc[:, place], name, unit)
    rough = np.nan_to_num(first.half_width) + np.nan_to_num(other.half_width)
    allowed = _allowed(name, first.values, rough)
    with np.errstate(invalid="ignore"):
        apart = ~(np.abs(first.values - other.values) <= allowed)
    texts, seconds = cell_texts(pd.Series(first.texts)), cell_texts(pd.Series(other.texts))
    same = np.array([fold(str(a)) == fold(str(b)) for a, b in zip(texts, seconds, strict=True)])
    headings = f'"{cells.headings.column[name]}" and "{cells.table.columns[place]}"'
    for row in np.flatnonzero(both & apart & ~(same & np.isnan(other.values))).tolist():
        said = (
            f'the columns {headings} say "{texts[row]}" and "{seconds[row]}" for it, and they '
            "differ. Write the one that is meant."
        )
        cells.log.add([row], Message(name, str(texts[row]), said, code="column.sizes_differ"))


def _allowed(name: str, values: FloatArray, rough: FloatArray) -> FloatArray:
    if name == "quantity":
        return np.zeros(len(values))
    allowed: FloatArray = np.maximum(
        _AGREEMENT * np.abs(values), np.minimum(rough, _AGREEMENT_OF_DIGITS * np.abs(values))
    )
    return allowed


def _read(cells: Cells, series: pd.Series | None, name: str, unit: str) -> QuantityColumn:
    """Read a column for comparison alone: what is wrong with it is said elsewhere."""
    kind = _KINDS[name]
    # As texts, since their last digits tell how nearly the two can agree.
    texts = [""] * len(cells.table) if series is None else cell_texts(series)
    given = pd.Series(texts, dtype=object)
    scratch = MessageLog(len(cells.table))
    own_unit = "" if kind == "number" else unit or (COUNT_UNIT if kind == "count" else "")
    return read_column(given, kind, name, scratch, own_unit, cells.hints(given))


def _hold_words(
    cells: Cells, place: int, name: str, both: ObjectArray, same_alloy: SameAlloy | None
) -> None:
    """Put lines to review whose two names differ."""
    own, heading = cells.texts(name), str(cells.table.columns[place])
    second = cell_texts(cells.table.iloc[:, place])
    for row in np.flatnonzero(both).tolist():
        first, other = tidy(str(own[row])), tidy(str(second[row]))
        if fold(first) == fold(other) or _mean_the_same(name, first, other, same_alloy):
            continue
        said = f'"{heading}" says "{other}"; "{first}" is taken. Correct one.'
        cells.log.add([row], Message(name, other, said, "review", code="column.differs"))


def _mean_the_same(name: str, first: str, other: str, same_alloy: SameAlloy | None) -> bool:
    if name == "alloy" and same_alloy is not None:
        return same_alloy(first, other)
    known = words(name)
    meant = known.get(fold(first))
    return meant is not None and meant == known.get(fold(other))
