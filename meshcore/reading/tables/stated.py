"""What a cell states of another field, put there: "8/2 mm" as an aperture has the wire."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from meshcore.arrays import BoolArray, IntArray, ObjectArray
from meshcore.messages import Message, MessageLog
from meshcore.reading.columns import QuantityColumn
from meshcore.reading.numbers.readings import Stated
from meshcore.reading.shape_texts import pieces_counted
from meshcore.reading.tables.cells import Cells
from meshcore.reading.texts import is_blank

#: A size that two cells state agrees this nearly, a count altogether [-].
_AGREEMENT = 0.01


def with_stated(
    column: QuantityColumn,
    sources: Sequence[tuple[IntArray, Stated]],
    field: str,
    stated_in: str,
    log: MessageLog,
) -> QuantityColumn:
    """Fill a column where it is blank and another cell states it; refuse what does not agree.

    Parameters
    ----------
    column
        The column as read.
    sources
        What other cells state, each with its rows; only those of `field` are used.
    field, stated_in
        The column's field, and the field of the cells that state it.
    log
        Receives a note of what was filled in, and a refusal where two cells do not agree.
    """
    own = [(rows, stated) for rows, stated in sources if stated.field == field]
    if not own:
        return column
    agreement = 0.0 if field == "quantity" else _AGREEMENT
    values, half = column.values.copy(), column.half_width.copy()
    given, texts = column.given.copy(), column.texts.astype(object)
    for rows, stated in own:
        blank = rows[~given[rows]]
        values[blank], half[blank] = stated.value, 0.0
        given[blank] = True
        texts[blank] = stated.text
        where = stated_in.replace("_", " ")
        said = f"taken from the {where}, where it stands too."
        log.add(blank, Message(field, stated.text, said, "note", code="size.stated_elsewhere"))
        typed = rows[given[rows] & ~np.isin(rows, blank)]
        apart = np.abs(values[typed] - stated.value) > agreement * stated.value
        for row in typed[apart].tolist():
            why = (
                f"{stated.text} stands for it under the {where} as well, and they differ. Write "
                "the one that is meant."
            )
            log.add([row], Message(field, str(texts[row]), why, code="size.cells_disagree"))
    return QuantityColumn(values, half, given, texts, column.also)


def with_stated_texts(
    texts: ObjectArray, sources: Sequence[tuple[IntArray, Stated]], field: str
) -> ObjectArray:
    """Fill texts where they are blank and another cell states them."""
    filled = texts.copy()
    for rows, stated in sources:
        if stated.field == field:
            for row in rows.tolist():
                if is_blank(str(filled[row])):
                    filled[row] = stated.text
    return filled


def counted_in_shapes(
    shape: ObjectArray, dimensions: ObjectArray, pieces: BoolArray
) -> list[tuple[IntArray, Stated]]:
    """Return what pieces' texts say of the quantity, "Ø200 mm x 4 off", each with its rows."""
    rows_of: dict[float, list[int]] = {}
    for row in np.flatnonzero(pieces).tolist():
        count = pieces_counted(str(shape[row]), str(dimensions[row]))
        if count is not None:
            rows_of.setdefault(count, []).append(row)
    return [
        (np.array(rows), Stated("quantity", count, f"{count:g}")) for count, rows in rows_of.items()
    ]


def say_what_stands_beside(
    cells: Cells, alloy: IntArray, beside_alloy: Callable[[str, int], Message | None]
) -> None:
    """Put to review what cells say beside an alloy: "or equal", a temper, a second grade."""
    different = cells.different_texts("alloy")
    if different is None:
        return
    positions, unique = different
    first = np.unique(positions, return_index=True)[1]
    for number, index in enumerate(alloy[first].tolist()):
        said = beside_alloy(unique[number], index) if index >= 0 else None
        if said is not None:
            cells.log.add(positions == number, said)
