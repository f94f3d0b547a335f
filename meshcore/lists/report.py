"""How a list was read: what is told before anything is priced."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from meshcore.enquiry import READ_LATER
from meshcore.lists.grids import column_letters
from meshcore.lists.mapping import ColumnMapping, ListMapping
from meshcore.lists.set_aside import MOST_TEXT, SPELLED, told_set_aside
from meshcore.lists.table import SetAside, Table, numbered
from meshcore.reading.tables.service_words import service_of
from meshcore.reading.vocabulary import words


@dataclass(frozen=True, slots=True)
class LeftSheet:
    """A sheet that was not read, why, and what it says."""

    name: str
    why: str
    texts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Hidden:
    """Rows and columns of a sheet that are hidden, and were not read."""

    sheet: str
    rows: tuple[int, ...]
    columns: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class ReadingReport:
    """How a list was read.

    Parameters
    ----------
    source
        Name of the file.
    about
        How its cells were taken: encoding, separator, what could not be looked at.
    tables
        The tables that were read, without their lines.
    line_counts
        How many lines each of them has.
    set_aside
        Rows that are no lines, and why.
    left_sheets
        Sheets that were not read, and why.
    hidden
        Hidden rows and columns, which are never read.
    repeated
        How many cells were filled from the one above, by ditto marks.
    mapping
        What each heading was read as; with it the file is read just so again.
    """

    source: str
    about: tuple[str, ...]
    tables: tuple[Table, ...]
    line_counts: tuple[int, ...]
    set_aside: tuple[SetAside, ...] = ()
    left_sheets: tuple[LeftSheet, ...] = ()
    hidden: tuple[Hidden, ...] = ()
    repeated: int = 0
    mapping: ListMapping = field(default_factory=lambda: ListMapping(()))

    @property
    def left_headings(self) -> tuple[str, ...]:
        """Headings that no enquiry column was read from."""
        every = [c.heading for t in self.tables for c in t.columns if not c.field]
        left = (h for h in every if h not in READ_LATER and not service_of(h, words("service")))
        return tuple(dict.fromkeys(left))

    @property
    def service_headings(self) -> tuple[str, ...]:
        """Headings that name a service, under which it is asked for line by line."""
        every = [c.heading for t in self.tables for c in t.columns if not c.field]
        return tuple(dict.fromkeys(h for h in every if service_of(h, words("service"))))

    def __str__(self) -> str:
        rows = [f"Read {self.source}{_in_brackets(self.about)}."]
        for table, lines in zip(self.tables, self.line_counts, strict=True):
            rows.append(
                f"{_place(table)}: {lines} {'line' if lines == 1 else 'lines'}, {_read(table)}."
            )
        if self.service_headings:
            rows.append(f"Columns of a service each: {', '.join(self.service_headings)}.")
        if self.left_headings:
            rows.append(f"Columns left unread: {', '.join(self.left_headings)}.")
        if self.repeated:
            rows.append(f"Cells filled from the line above (ditto marks): {self.repeated}.")
        rows += told_set_aside(self.set_aside)
        rows += [text for one in self.hidden for text in _hidden(one)]
        rows += [_left(one) for one in self.left_sheets]
        return "\n".join(rows)


def settled_mapping(tables: Sequence[Table]) -> ListMapping:
    """Return the mapping that reads the same tables in the same way."""
    every: dict[str, ColumnMapping] = {}
    for table in tables:
        own: dict[str, ColumnMapping] = {}
        for column in table.columns:
            said = ColumnMapping(column.heading, column.field, column.unit)
            first = own.setdefault(column.heading, said)
            if first != said and said.field:  # another thing under a heading of the same name
                name = numbered(column.heading, column.place)
                own[name] = replace(said, heading=name)
        every |= {heading: said for heading, said in own.items() if heading}
    sheets = tuple(dict.fromkeys(t.sheet for t in tables if t.sheet))
    headless = any(not t.heading_rows for t in tables)
    return ListMapping(tuple(every.values()), sheets, headless)


def _in_brackets(about: tuple[str, ...]) -> str:
    return f" ({'; '.join(about)})" if about else ""


def _place(table: Table) -> str:
    sheet = f"sheet {table.sheet}, " if table.sheet else ""
    if not table.heading_rows:
        return f"{sheet}no headings".capitalize()
    rows = " and ".join(map(str, table.heading_rows))
    place = f"{sheet}headings in row {rows} from column {table.first_letters}"
    return place[0].upper() + place[1:]


def _read(table: Table) -> str:
    read = [
        f'"{c.heading}" as {c.field}{f" in {c.unit}" if c.unit else ""}'
        for c in table.columns if c.field
    ]  # fmt: skip
    return ", ".join(read)


def _hidden(one: Hidden) -> list[str]:
    said = []
    sheet = f" of sheet {one.sheet}" if one.sheet else ""
    if one.rows:
        rows = ", ".join(map(str, one.rows))
        said.append(f"Hidden row {rows}{sheet} not read. Unhide what is asked for.")
    if one.columns:
        columns = ", ".join(map(column_letters, one.columns))
        said.append(f"Hidden column {columns}{sheet} not read. Unhide what is asked for.")
    return said


def _left(one: LeftSheet) -> str:
    texts = "; ".join(f'"{text[:MOST_TEXT]}"' for text in one.texts[:SPELLED])
    return f"{one.why[0].upper()}{one.why[1:]} {one.name} not read{f': {texts}' if texts else ''}."
