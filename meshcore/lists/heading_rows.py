"""Which rows of a sheet are headings, and of which tables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.lists.grids import Grid, Row, shown
from meshcore.lists.rows import is_ditto
from meshcore.lists.table import CERTAIN, CLOTH, NUMBERED, Column, Meaning, Table, numbered
from meshcore.reading.tables.headings import heading_meaning, meanings_beside, priced_from

#: Headings are first looked for in this many rows that say something.
HEADING_ROWS = 20


def first_heading(rows: Sequence[Row], meaning: Meaning) -> int | None:
    """Place of the first row that is surely headings, else of that which knows most."""
    counts = [len(_known(cells, meaning)) for _, cells in rows[:HEADING_ROWS]]
    for place in range(min(len(rows) - 1, len(counts))):
        both = [rows[place][1], rows[place + 1][1]]
        if all(map(_may_be_headings, both)):
            joined = _worth(_joined(both[0], both[1], meaning))[0]
            counts[place] = max(counts[place], joined)
    certain = next((n for n, count in enumerate(counts) if count >= CERTAIN), None)
    if certain is not None:
        return certain
    # Of few known words alone, a row that holds numbers too is a line and no heading.
    counts = [n if _may_be_headings(rows[at][1]) else 0 for at, n in enumerate(counts)]
    best = max(range(len(counts)), key=lambda n: (counts[n], -n), default=None)
    return best if best is not None and counts[best] else None


def next_heading(rows: Sequence[Row], after: int, meaning: Meaning) -> int | None:
    """Find the row of the next headings after a row; None where there are no more."""
    for place in range(after, len(rows)):
        cells = rows[place][1]
        if _may_be_headings(cells):
            known = _known(cells, meaning)
            said = sum(1 for cell in cells if shown(cell))
            if len(known) >= CERTAIN and len(known) * 2 >= said and known & CLOTH:
                return place
    return None


def are_unknown_headings(cells: Sequence[object], columns: Sequence[Column]) -> bool:
    """Whether a row below headings has words alone where its columns hold sizes and counts."""
    said = [(c, shown(cell)) for c, cell in zip(columns, cells, strict=True) if shown(cell)]
    if len(said) < CERTAIN or not _may_be_headings(cells):
        return False
    sizes = [text for column, text in said if column.field in NUMBERED]
    return len(sizes) >= CERTAIN and not any(
        any(c.isdigit() for c in text) or is_ditto(text) or not any(c.isalpha() for c in text)
        for text in sizes
    )


def _may_be_headings(cells: Sequence[object]) -> bool:
    """Whether no cell of a row is a number, or text that begins with one."""
    return all(
        cell is None or (isinstance(cell, str) and not cell.lstrip()[:1].isdigit())
        for cell in cells
    )


def _known(cells: Sequence[object], meaning: Meaning) -> set[str]:
    return {meaning(shown(c))[0] for c in cells if isinstance(c, str) and shown(c)} - {""}


def headings_at(grid: Grid, start: int, meaning: Meaning) -> tuple[list[Table], int]:
    """Tables whose headings begin at a row, beside each other, and where their lines begin."""
    rows = grid.rows
    number, cells = rows[start]
    tries: list[tuple[tuple[Column, ...], tuple[int, ...], int]]
    tries = [(_columns(cells, meaning), (number,), start + 1)]
    if start + 1 < len(rows) and _may_be_headings(rows[start + 1][1]):
        below_number, below = rows[start + 1]
        tries.append((_columns(below, meaning), (below_number,), start + 2))
        joined = _joined(cells, below, meaning)
        tries.append((joined, (number, below_number), start + 2))
    best = max(range(len(tries)), key=lambda n: (*_worth(tries[n][0]), -n))
    if best == 1:  # the headings begin in the row below, and may go on under it
        return headings_at(grid, start + 1, meaning)
    columns, numbers, after = tries[best]
    columns = as_asked(columns, meaning)
    return [Table(grid.name, numbers, part) for part in _beside(columns)], after


def as_asked(columns: Sequence[Column], meaning: Meaning) -> tuple[Column, ...]:
    """Return a list's columns as their neighbours tell; those that pricing added are not read."""
    if meaning is heading_meaning:  # what a mapping settles is not guessed again
        beside = meanings_beside([c.heading for c in columns])
        columns = [
            replace(c, field=field, unit=unit)
            for c, (field, unit) in zip(columns, beside, strict=True)
        ]
    added = priced_from([c.heading for c in columns])
    return (*columns[:added], *(replace(c, field="", unit="") for c in columns[added:]))


def _worth(columns: Sequence[Column]) -> tuple[int, int]:
    return len({c.field for c in columns if c.field}), sum(1 for c in columns if c.unit)


def _columns(cells: Sequence[object], meaning: Meaning) -> tuple[Column, ...]:
    columns: list[Column] = []
    seen: set[str] = set()
    for place, text in enumerate(shown(cell) for cell in cells):
        found = meaning(text) if text else ("", "")
        if text in seen and meaning is not heading_meaning:
            again = meaning(numbered(text, place))  # a mapping tells headings of one name apart
            found = again if again[0] else found
        seen.add(text)
        columns.append(Column(place, text, *found))
    return tuple(columns)


def _joined(
    upper: Sequence[object], lower: Sequence[object], meaning: Meaning
) -> tuple[Column, ...]:
    """Columns whose heading runs over two rows, or stands in either."""
    columns = []
    for place in range(max(len(upper), len(lower))):
        above = shown(upper[place]) if place < len(upper) else ""
        below = shown(lower[place]) if place < len(lower) else ""
        tries = [f"{above} {below}".strip()]
        if above.endswith("-"):
            tries = [f"{above[:-1]}{below}", f"{above[:-1]} {below}"]
        tries += [text for text in (below, above) if text]
        text = next((t for t in tries if t and meaning(t)[0]), tries[0])
        columns.append(Column(place, text, *(meaning(text) if text else ("", ""))))
    return tuple(columns)


def _beside(columns: Sequence[Column]) -> list[tuple[Column, ...]]:
    """Part columns into tables beside each other, where a blank heading parts two that repeat."""
    parts: list[list[Column]] = [[]]
    for column in columns:
        if column.heading:
            parts[-1].append(column)
        elif parts[-1]:
            parts.append([])
    parts = [part for part in parts if part]
    fields = [{c.field for c in part if c.field} for part in parts]
    several = len(parts) > 1 and all(
        len(known) >= CERTAIN and known & CLOTH and known & fields[0] for known in fields
    )
    return [tuple(part) for part in parts] if several else [tuple(columns)]
