"""Sheets without a row of headings: a description a line, or headings below one another."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.lists.grids import Grid, ListError, shown
from meshcore.lists.table import CERTAIN, CLOTH, Column, Meaning, Table
from meshcore.reading.running_text.descriptions import describe
from meshcore.reading.tables.field_names import DESCRIPTION

#: A line of text that says so much of cloth describes it: a count or size, and what else.
_SAYS_CLOTH = frozenset({"mesh_count", "pitch", "aperture", "wire_diameter"})
_SAID = 2


def descriptions_alone(grids: Sequence[Grid]) -> list[Table]:
    """Return the tables of sheets that are one description a row, and nothing else."""
    return [_described(grid) for grid in grids if grid.rows and all(map(_describes, _cells(grid)))]


def _cells(grid: Grid) -> list[list[str]]:
    return [[shown(cell) for cell in cells if shown(cell)] for _, cells in grid.rows]


def _describes(texts: list[str]) -> bool:
    if len(texts) != 1:
        return False
    fields = describe(texts[0], lambda _name: False).fields
    return len(_SAYS_CLOTH & fields.keys()) >= _SAID


def _described(grid: Grid) -> Table:
    place = next(n for n, cell in enumerate(grid.rows[0][1]) if shown(cell))
    column = Column(place, f"column {place + 1}", DESCRIPTION, "")
    lines = tuple((row, (next(shown(c) for c in cells if shown(c)),)) for row, cells in grid.rows)
    return Table(grid.name, (), (column,), lines)


def refuse_turned(grids: Sequence[Grid], meaning: Meaning, name: str) -> None:
    """Refuse a sheet whose headings stand below one another, so that each column is a line.

    Raises
    ------
    ListError
        If there is such a sheet.
    """
    for grid in grids:
        first = [next((shown(c) for c in cells if shown(c)), "") for _, cells in grid.rows]
        known = {meaning(text)[0] for text in first if text} - {""}
        if len(known) >= CERTAIN and known & CLOTH:
            sheet = f"sheet {grid.name}: " if grid.name else ""
            raise ListError(
                f"{name}: {sheet}its headings stand below one another ({', '.join(first[:_SHOWN])} "
                "…), so that each line is a column. Turn it, so that the headings are one row and "
                "each line is a row below them."
            )


#: As many headings as the refusal shows.
_SHOWN = 4
