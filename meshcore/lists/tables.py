"""Where the tables stand in a sheet: headings, lines, and rows that are no lines."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from meshcore.lists.grids import Grid, Row, shown
from meshcore.lists.heading_rows import (
    are_unknown_headings,
    first_heading,
    headings_at,
    next_heading,
)
from meshcore.lists.rows import UNKNOWN_HEADINGS, why_no_line
from meshcore.lists.table import NUMBERED, Column, Found, Meaning, SetAside, Table
from meshcore.reading.tables.filling import IN_ONE_CELL
from meshcore.reading.tables.heading_units import split_unit, unit_word

#: So many cells that hold a unit and nothing else are a row of units [-].
_UNITS = 2


def find_tables(grid: Grid, meaning: Meaning, headless: bool = False) -> Found:
    """Find the tables of a sheet, one below or beside the other.

    Parameters
    ----------
    grid
        The sheet.
    meaning
        What a heading stands for.
    headless
        Whether the sheet has no headings: its columns are then called ``column 1`` and so on.
    """
    found = Found()
    start = None if headless else first_heading(grid.rows, meaning)
    if start is None:
        if headless:
            found.tables += _with_lines(grid, [_headless(grid, meaning)], grid.rows, found)
        return found
    found.aside += [
        SetAside(grid.name, n, _text(cells), "above the headings") for n, cells in grid.rows[:start]
    ]
    while start is not None:
        heads, after = headings_at(grid, start, meaning)
        found.aside += [
            SetAside(grid.name, n, _text(cells), "above the headings")
            for n, cells in grid.rows[start:after]
            if n not in heads[0].heading_rows
        ]
        following = next_heading(grid.rows, after, meaning)
        for units, body in _by_units(grid.rows[after:following], heads):
            own = heads if units is None else [_in_units(h, units, meaning) for h in heads]
            found.tables += _with_lines(grid, own, body, found)
        start = following
    return found


def _by_units(
    body: Sequence[Row], heads: Sequence[Table]
) -> Iterator[tuple[Row | None, Sequence[Row]]]:
    """Part the rows below headings where a row of units alone stands over those that follow."""
    sizes = {c.place for head in heads for c in head.columns if c.field in NUMBERED}
    starts = [n for n, (_, cells) in enumerate(body) if _are_units(cells, sizes)]
    units: Row | None = None
    begin = 0
    for place in starts:
        if begin < place or units is None:
            yield units, body[begin:place]
        units, begin = body[place], place + 1
    yield units, body[begin:]


def _are_units(cells: Sequence[object], sizes: set[int]) -> bool:
    """Whether a row says nothing but units, two of them or more, in columns of sizes."""
    said = [(place, shown(cell)) for place, cell in enumerate(cells) if shown(cell)]
    if len(said) < _UNITS or sum(n in sizes for n, _ in said) < _UNITS:
        return False
    return all(isinstance(cells[n], str) and bool(unit_word(text)) for n, text in said)


def _in_units(head: Table, units: Row, meaning: Meaning) -> Table:
    """Return a table's headings with the units of a row further down in the place of their own."""
    number, cells = units
    columns = []
    for column in head.columns:
        text = shown(cells[column.place]) if column.place < len(cells) else ""
        if not text:
            columns.append(column)
            continue
        name = split_unit(column.heading)[0] if column.unit else column.heading
        heading = f"{name} {text}"
        columns.append(Column(column.place, heading, *meaning(heading)))
    return replace(head, heading_rows=(number,), columns=tuple(columns))


def _headless(grid: Grid, meaning: Meaning) -> Table:
    width = max((len(cells) for _, cells in grid.rows), default=0)
    names = [f"column {n + 1}" for n in range(width)]
    return Table(grid.name, (), tuple(Column(n, t, *meaning(t)) for n, t in enumerate(names)))


def _with_lines(
    grid: Grid, heads: list[Table], body: Sequence[Row], found: Found
) -> Iterator[Table]:
    """Tables with their lines; rows that are none are set aside."""
    for head in heads:
        whole = len(heads) == 1
        columns = _all_columns(head, body) if whole else head.columns
        lines: list[tuple[int, tuple[object, ...]]] = []
        for number, cells in body:
            own = tuple(cells[c.place] if c.place < len(cells) else None for c in columns)
            if not any(shown(cell) for cell in own):
                continue
            why = why_no_line(own, [c.field for c in columns])
            if not why and are_unknown_headings(own, columns):
                why = UNKNOWN_HEADINGS
            if why:
                found.aside.append(SetAside(grid.name, number, _text(own), why))
            else:
                lines.append((number, own))
        lines = _apart(grid, columns, lines)
        kept = [
            n for n, c in enumerate(columns)
            if c.heading or any(shown(cells[n]) for _, cells in lines)
        ]  # fmt: skip
        named = tuple(
            replace(columns[n], heading=columns[n].heading or f"column {columns[n].place + 1}")
            for n in kept
        )
        yield replace(
            head, columns=named,
            lines=tuple((row, tuple(cells[n] for n in kept)) for row, cells in lines),
        )  # fmt: skip


def _apart(
    grid: Grid, columns: Sequence[Column], lines: list[tuple[int, tuple[object, ...]]]
) -> list[tuple[int, tuple[object, ...]]]:
    """Lines, of which each quantity that is one cell of several lines says so."""
    places = {c.place for c in columns if c.field == "quantity"}
    spans = [(first, last, place) for first, last, place in grid.merged if place in places]
    for first, last, place in spans:
        within = [n for n, (row, _) in enumerate(lines) if first <= row <= last]
        if len(within) > 1:
            for n in within:
                row, cells = lines[n]
                one = f"{IN_ONE_CELL}{first} to {last}"
                cells = tuple(
                    f"{shown(cell)}{one}" if c.place == place and shown(cell) else cell
                    for c, cell in zip(columns, cells, strict=True)
                )
                lines[n] = (row, cells)
    return lines


def _all_columns(head: Table, body: Sequence[Row]) -> tuple[Column, ...]:
    """Columns of a table, with those that hold cells under no heading."""
    width = max((len(cells) for _, cells in body), default=0)
    beyond = range(len(head.columns), width)
    return (*head.columns, *(Column(place, "", "", "") for place in beyond))


def _text(cells: Sequence[object]) -> str:
    return re.sub(r"\s+", " ", " · ".join(shown(cell) for cell in cells if shown(cell)))
