"""Lengths of rolls, and the words that stand for one: "full roll", "half roll"."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pandas as pd

from meshcore.arrays import BoolArray, IntArray, ObjectArray
from meshcore.messages import Message
from meshcore.reading.columns import QuantityColumn, certain_text, read_column
from meshcore.reading.sizes.rolls import FULL, roll_word
from meshcore.reading.tables.cells import Cells
from meshcore.reading.tables.forms import parts_of_rolls
from meshcore.reading.texts import NO_HINTS, is_blank, tidy


def read_lengths(
    cells: Cells,
    implied: ObjectArray | None,
    roll_lengths: Mapping[str, float],
    forms: IntArray,
) -> QuantityColumn:
    """Read lengths; words such as "full roll" stand for one, in this column or in the form's."""
    series = cells.series("length")
    numeric = series is not None and series.dtype.kind in "fi"
    if implied is None and (series is None or numeric):
        read = cells.quantity("length", "length", TAKES, forms)
        _hold_against_parts(cells, roll_lengths, read)
        return read
    texts = cells.texts("length")
    if implied is not None:
        texts = np.where(np.array([is_blank(t) for t in texts]), implied, texts)
    sizes = {word: f"{certain_text(metres)} m" for word, metres in roll_lengths.items()}
    names = {text: _roll_name(text, sizes) for text in set(texts.tolist())}
    known = {text: sizes.get(name, text) for text, name in names.items()}
    worded = pd.Series([known[text] for text in texts.tolist()], dtype=object)
    _say_parts(cells, texts, names, known)
    unit = cells.headings.unit.get("length", "")
    hints = NO_HINTS if series is None else cells.hints(series, TAKES)
    read = read_column(worded, "length", "length", cells.log, unit, hints, forms)
    if implied is not None:
        _hold_against_form(cells, implied, roll_lengths, read)
    _hold_against_parts(cells, roll_lengths, read)
    return read


#: What a cell of lengths may state besides: 48" x 100'.
TAKES = frozenset({"width"})


def _say_parts(
    cells: Cells, texts: ObjectArray, names: Mapping[str, str], known: Mapping[str, str]
) -> None:
    """Say how long the part of a roll is that stands for a length."""
    for text, name in names.items():
        if name and name != FULL and known[text] != text:
            said = f"a {name} is {known[text]} here."
            message = Message("length", text, said, "note", code="length.part_of_roll")
            cells.log.add(texts == text, message)


#: A roll named in the form and a length beside it are one roll if they are as near as this [-]: a
#: full roll is 30 m as well as 100 ft (common practice, no source).
_ONE_ROLL = 0.1


def _hold_against_form(
    cells: Cells, implied: ObjectArray, roll_lengths: Mapping[str, float], read: QuantityColumn
) -> None:
    """Put to review a form that names a roll of another length than the one stated."""
    for word in set(implied.tolist()) & set(roll_lengths):
        _hold_apart(cells, word, implied == word, roll_lengths[word], read)


def _hold_against_parts(
    cells: Cells, roll_lengths: Mapping[str, float], read: QuantityColumn
) -> None:
    """Put to review a form that names a part of a roll beside a length that is none of it."""
    if FULL in roll_lengths:
        for share, rows in parts_of_rolls(cells).items():
            _hold_apart(cells, f"{share:g} of a roll", rows, share * roll_lengths[FULL], read)


def _hold_apart(cells: Cells, word: str, rows: BoolArray, due: float, read: QuantityColumn) -> None:
    with np.errstate(invalid="ignore"):
        apart = rows & (np.abs(read.values - due) > _ONE_ROLL * due)
    for row in np.flatnonzero(apart).tolist():
        said = (
            f"{word} is {due:.6g} m here, but the length is {read.values[row]:.6g} m, "
            "which is taken. Write the one that is meant."
        )
        message = Message("form", word, said, "review", code="form.length_conflict")
        cells.log.add([row], message)


def _roll_name(text: str, sizes: Mapping[str, str]) -> str:
    """Return the name of a roll length in a text: as the policy has it, or as the trade says it."""
    word = tidy(text).casefold()
    return word if word in sizes else roll_word(text)
