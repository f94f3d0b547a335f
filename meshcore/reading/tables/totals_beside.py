"""Columns of totals, held against the number and the length of their lines."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.enquiry import PIECE
from meshcore.messages import Message
from meshcore.reading.columns import QuantityColumn, different_texts
from meshcore.reading.sizes.totals import AGREEMENT
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
        read = [None if is_blank(t) else read_text(t, "length", "length", unit) for t in unique]
        totals = np.array([r.value if isinstance(r, Reading) else np.nan for r in read])[positions]
        parts = quantity * length.values
        with np.errstate(invalid="ignore"):
            apart = (forms != PIECE) & (parts > 0) & (np.abs(totals - parts) > AGREEMENT * parts)
        for row in np.flatnonzero(apart).tolist():
            said = (
                f"{totals[row]:.6g} m in all, but {quantity[row]:g} × {length.values[row]:.6g} m "
                f"is {parts[row]:.6g} m, which is priced. Write the ones that are meant."
            )
            text = unique[positions[row]]
            message = Message(heading, text, said, "review", code="length.total_differs")
            cells.log.add([row], message)
