"""Where the tables stand in a sheet: headings, lines, and rows that are no lines."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from meshcore.lists.grids import Grid, Row, column_letters, shown
from meshcore.lists.rows import UNKNOWN_HEADINGS, is_ditto, why_no_line
from meshcore.reading.tables.filling import IN_ONE_CELL
from meshcore.reading.tables.heading_units import split_unit, unit_word
from meshcore.reading.tables.headings import (
    DESCRIPTION,
    SIZE,
    heading_meaning,
    meanings_beside,
    priced_from,
)

#: Heading → the enquiry column that it stands for and its unit, empty where unknown.
Meaning = Callable[[str], tuple[str, str]]
#: Headings are first looked for in this many rows that say something.
HEADING_ROWS = 20
#: A table further on is told from a stray word by as many known headings as this [-].
_CERTAIN = 3
#: So many cells that hold a unit and nothing else are a row of units [-].
_UNITS = 2
#: A table of cloth names at least one of these.
_CLOTH = frozenset(
    {"mesh_count", "pitch", "aperture", "wire_diameter", "open_area", "alloy", "shape",
     "dimensions", SIZE, DESCRIPTION}
)  # fmt: skip


#: Columns that hold numbers in most lines.
_NUMBERED = frozenset(
    {"mesh_count", "pitch", "aperture", "wire_diameter", "open_area", "width", "length",
     "quantity", "dimensions", SIZE}
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    Parameters
    ----------
    place
        Its number in the sheet, from 0.
    heading
        What stands over it; ``column 8`` where nothing does.
    field, unit
        The enquiry column that it stands for, and the unit in its heading; empty if none.
    """

    place: int
    heading: str
    field: str
    unit: str


@dataclass(frozen=True, slots=True)
class SetAside:
    """A row of the file that is no line of the list, with what it says and why."""

    sheet: str
    row: int
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Table:
    """One table of a sheet.

    Parameters
    ----------
    sheet
        Name of the sheet.
    heading_rows
        Rows of the file that its headings stand in; empty where it has none.
    columns
        Its columns, in order.
    lines
        Its lines: row of the file, and the cells of `columns`.
    """

    sheet: str
    heading_rows: tuple[int, ...]
    columns: tuple[Column, ...]
    lines: tuple[tuple[int, tuple[object, ...]], ...] = ()

    @property
    def known(self) -> frozenset[str]:
        """Enquiry columns that its headings stand for."""
        return frozenset(c.field for c in self.columns if c.field)

    @property
    def is_certain(self) -> bool:
        """Whether so many headings are known that it can only be a list of cloth."""
        return len(self.known) >= _CERTAIN and bool(self.known & _CLOTH)

    @property
    def first_letters(self) -> str:
        """Letters of its first column."""
        return column_letters(self.columns[0].place + 1)


@dataclass(slots=True)
class Found:
    """What a sheet holds: its tables, and rows that belong to none."""

    tables: list[Table] = field(default_factory=list)
    aside: list[SetAside] = field(default_factory=list)


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
    start = None if headless else _first_heading(grid.rows, meaning)
    if start is None:
        if headless:
            found.tables += _with_lines(grid, [_headless(grid, meaning)], grid.rows, found)
        return found
    found.aside += [
        SetAside(grid.name, n, _text(cells), "above the headings") for n, cells in grid.rows[:start]
    ]
    while start is not None:
        heads, after = _headings_at(grid, start, meaning)
        found.aside += [
            SetAside(grid.name, n, _text(cells), "above the headings")
            for n, cells in grid.rows[start:after]
            if n not in heads[0].heading_rows
        ]
        following = _next_heading(grid.rows, after, meaning)
        for units, body in _by_units(grid.rows[after:following], heads):
            own = heads if units is None else [_in_units(h, units, meaning) for h in heads]
            found.tables += _with_lines(grid, own, body, found)
        start = following
    return found


def _by_units(
    body: Sequence[Row], heads: Sequence[Table]
) -> Iterator[tuple[Row | None, Sequence[Row]]]:
    """Part the rows below headings where a row of units alone stands over those that follow."""
    sizes = {c.place for head in heads for c in head.columns if c.field in _NUMBERED}
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
    fits = [isinstance(cells[n], str) and bool(unit_word(text)) for n, text in said]
    return len(said) >= _UNITS and all(fits) and sum(n in sizes for n, _ in said) >= _UNITS


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


def _first_heading(rows: Sequence[Row], meaning: Meaning) -> int | None:
    """Place of the first row that is surely headings, else of that which knows most."""
    counts = [len(_known(cells, meaning)) for _, cells in rows[:HEADING_ROWS]]
    for place in range(min(len(rows) - 1, len(counts))):
        both = [rows[place][1], rows[place + 1][1]]
        if all(map(_may_be_headings, both)):
            joined = _worth(_joined(both[0], both[1], meaning))[0]
            counts[place] = max(counts[place], joined)
    certain = next((n for n, count in enumerate(counts) if count >= _CERTAIN), None)
    if certain is not None:
        return certain
    # Of few known words alone, a row that holds numbers too is a line and no heading.
    counts = [n if _may_be_headings(rows[at][1]) else 0 for at, n in enumerate(counts)]
    best = max(range(len(counts)), key=lambda n: (counts[n], -n), default=None)
    return best if best is not None and counts[best] else None


def _next_heading(rows: Sequence[Row], after: int, meaning: Meaning) -> int | None:
    for place in range(after, len(rows)):
        cells = rows[place][1]
        if _may_be_headings(cells):
            known = _known(cells, meaning)
            said = sum(1 for cell in cells if shown(cell))
            if len(known) >= _CERTAIN and len(known) * 2 >= said and known & _CLOTH:
                return place
    return None


def _are_unknown_headings(cells: Sequence[object], columns: Sequence[Column]) -> bool:
    """Whether a row below headings has words alone where its columns hold sizes and counts."""
    said = [(c, shown(cell)) for c, cell in zip(columns, cells, strict=True) if shown(cell)]
    if len(said) < _CERTAIN or not _may_be_headings(cells):
        return False
    sizes = [text for column, text in said if column.field in _NUMBERED]
    return len(sizes) >= _CERTAIN and not any(
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


def _headings_at(grid: Grid, start: int, meaning: Meaning) -> tuple[list[Table], int]:
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
        return _headings_at(grid, start + 1, meaning)
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
    return tuple(
        Column(place, text, *(meaning(text) if text else ("", "")))
        for place, text in enumerate(shown(cell) for cell in cells)
    )


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
        len(known) >= _CERTAIN and known & _CLOTH and known & fields[0] for known in fields
    )
    return [tuple(part) for part in parts] if several else [tuple(columns)]


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
            if not why and _are_unknown_headings(own, columns):
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
