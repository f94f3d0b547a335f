"""Cells of a table that leave their field open: "tbc", "to follow", a mark of a question."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.facts import Fact
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.tables import Cell

#: Columns that a cell may leave open.
_OPEN = frozenset({"quantity", "mesh_count", "aperture", "pitch", "wire_diameter", "alloy"})


def left_open(cell: Cell, items: Sequence[Item]) -> list[Fact]:
    """Return the question that a cell leaves open: "tbc", "to follow", or a mark of a question."""
    told = [i for i in items if i.kind != "mark" or i.text == "?"]
    if cell.column not in _OPEN or not told:
        return []
    if not all("open" in i.tags or i.text == "?" for i in told):
        return []
    one = told[0]
    value = 1.0 if cell.column == "quantity" else ""
    why = f'"{one.text}" stands for it'
    return [Fact(cell.column, value, one.text, one.start, one.end, why=why)]
