"""Columns of totals, held against the number and the length of their lines."""

from __future__ import annotations

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.enquiry import PIECE
from meshcore.messages import Message
from meshcore.reading.columns import QuantityColumn, different_texts
from meshcore.reading.sizes.totals import agrees
from meshcore.reading.tables.cells import Cells
from meshcore.reading.tables.heading_units import split_unit
from meshcore.reading.tables.heading_words import folded, folded_words
from meshcore.reading.texts import Reading, is_blank, read_text


def hold_totals(
    cells: Cells, quantity: FloatArray, length: QuantityColumn, forms: IntArray
) -> None:
    """Put to review lines whose total length is not that of so many of the length stated."""
    names = [str(c) for c in cells.table.columns]
    for place, heading in enumerate(names):
        name, unit, _ = split_unit(heading)
        named = {folded(heading), folded(name)} & folded_words("heading_total").keys()
        if not named or heading in cells.headings.column.values():
            continue
        positions, unique = different_texts(cells.table.iloc[:, place])
        for number, text in enumerate(unique):
            if is_blank(text):
                continue
            read = read_text(text, "length", "total length", unit)
            if isinstance(read, Reading):
                _hold(
                    cells, heading, text, read.value, positions == number, quantity, length, forms
                )


def _hold(
    cells: Cells,
    heading: str,
    text: str,
    total: float,
    rows: BoolArray,
    quantity: FloatArray,
    length: QuantityColumn,
    forms: IntArray,
) -> None:
    parts = quantity * length.values
    apart = [
        row for row in rows.nonzero()[0].tolist()
        if forms[row] != PIECE and parts[row] > 0 and not agrees(total, float(parts[row]))
    ]  # fmt: skip
    for row in apart:
        said = (
            f"{total:.6g} m in all, but {quantity[row]:g} × {length.values[row]:.6g} m is "
            f"{parts[row]:.6g} m, which is priced. Write the ones that are meant."
        )
        message = Message(heading, text, said, "review", code="length.total_differs")
        cells.log.add([row], message)
