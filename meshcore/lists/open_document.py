"""Lists in OpenDocument workbooks: cells as they show, what is hidden left out and said."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import IO
from xml.etree.ElementTree import Element, iterparse

from meshcore.lists.grids import Grid, ListError, within
from meshcore.lists.unpacking import SHEET_COLUMNS, check_unpacked
from meshcore.reading.tables.heading_units import unit_word

_OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
_STYLE = "{urn:oasis:names:tc:opendocument:xmlns:style:1.0}"
#: A number as it shows, and the unit behind it.
_SHOWN_UNIT = re.compile(r"^[+\-]?[\d.,'\s]*\d\s*(?P<unit>[^\d\s.,'].*)$")
#: A cell that says something is never repeated so often in a list [cells].
_MOST_REPEATED = 10_000


@dataclass(slots=True)
class _Sheet:
    """A sheet while it is read."""

    name: str
    hidden: bool
    rows: list[tuple[int, list[object]]] = field(default_factory=list)
    hidden_columns: set[int] = field(default_factory=set)
    in_hidden_rows: list[int] = field(default_factory=list)
    in_hidden_columns: set[int] = field(default_factory=set)
    down: dict[int, tuple[int, object]] = field(default_factory=dict)
    merged: list[tuple[int, int, int]] = field(default_factory=list)
    at_row: int = 1
    at_column: int = 1
    taken: int = 0

    def grid(self) -> Grid:
        """Return it as a grid."""
        return Grid(
            self.name,
            tuple(self.rows),
            self.hidden,
            tuple(self.in_hidden_rows),
            tuple(sorted(self.in_hidden_columns)),
            merged=tuple(self.merged),
        )


def read_ods(content: bytes, name: str) -> list[Grid]:
    """Read the sheets of an .ods workbook.

    Raises
    ------
    ListError
        If it is no such workbook, or cannot be read.
    """
    try:
        check_unpacked(content, name)
        with zipfile.ZipFile(io.BytesIO(content)) as parts, parts.open("content.xml") as xml:
            return [sheet.grid() for sheet in _sheets(xml, name)]
    except ListError:
        raise
    except Exception as error:
        raise ListError(
            f"{name}: not an OpenDocument workbook that can be read ({error}). Open it, save it "
            "again as .xlsx or .csv, and read that."
        ) from error


def _sheets(xml: IO[bytes], name: str) -> Iterator[_Sheet]:
    """Read sheets one by one; each row is let go when it has been taken."""
    undisplayed: set[str] = set()
    sheet: _Sheet | None = None
    for event, element in iterparse(xml, events=("start", "end")):
        tag = element.tag
        if event == "start" and tag == f"{_TABLE}table":
            hidden = element.get(f"{_TABLE}style-name") in undisplayed
            sheet = _Sheet(element.get(f"{_TABLE}name", ""), hidden)
        elif event == "end" and tag == f"{_STYLE}style":
            shown = element.find(f"{_STYLE}table-properties")
            if shown is not None and shown.get(f"{_TABLE}display") == "false":
                undisplayed.add(element.get(f"{_STYLE}name", ""))
        elif event == "end" and sheet is not None and tag == f"{_TABLE}table-column":
            _take_column(sheet, element)
        elif event == "end" and sheet is not None and tag == f"{_TABLE}table-row":
            _take_row(sheet, element)
            within("rows", len(sheet.rows), name)
            within("spread_cells", sheet.taken, name)
            element.clear()
        elif event == "end" and sheet is not None and tag == f"{_TABLE}table":
            yield sheet
            sheet = None


def _take_column(sheet: _Sheet, element: Element) -> None:
    count = _repeated(element, "columns")
    if element.get(f"{_TABLE}visibility") in ("collapse", "filter"):
        last = sheet.at_column + min(count, SHEET_COLUMNS)
        sheet.hidden_columns.update(range(sheet.at_column, last))
    sheet.at_column += count


def _take_row(sheet: _Sheet, element: Element) -> None:
    count = _repeated(element, "rows")
    cells = _cells(sheet, element)
    said = [n for n, cell in cells.items() if n not in sheet.hidden_columns]
    sheet.in_hidden_columns.update(n for n in cells if n in sheet.hidden_columns)
    if said:
        hidden = element.get(f"{_TABLE}visibility") in ("collapse", "filter")
        for number in range(sheet.at_row, sheet.at_row + min(count, _MOST_REPEATED)):
            if hidden:
                sheet.in_hidden_rows.append(number)
            else:
                row = [cells[n] if n in said else None for n in range(1, max(said) + 1)]
                sheet.rows.append((number, row))
                sheet.taken += len(row)
    sheet.at_row += count


def _cells(sheet: _Sheet, element: Element) -> dict[int, object]:
    """Cells of a row that say something, by their column from 1."""
    cells: dict[int, object] = {}
    column = 1
    for cell in element:
        if cell.tag not in (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell"):
            continue
        count = _repeated(cell, "columns")
        value = _value(cell)
        left, above = sheet.down.get(column, (0, None))
        if value in (None, "") and left and cell.tag.endswith("covered-table-cell"):
            value = above
        if left:
            sheet.down[column] = (left - 1, above)
        spanned = int(cell.get(f"{_TABLE}number-rows-spanned", "1"))
        across = int(cell.get(f"{_TABLE}number-columns-spanned", "1"))
        if spanned > 1 and across == 1:
            sheet.down[column] = (spanned - 1, value)
            sheet.merged.append((sheet.at_row, sheet.at_row + spanned - 1, column - 1))
        if value not in (None, ""):
            for place in range(column, min(column + min(count, _MOST_REPEATED), SHEET_COLUMNS + 1)):
                cells[place] = value
        column += count
    return cells


def _repeated(element: Element, what: str) -> int:
    return int(element.get(f"{_TABLE}number-{what}-repeated", "1"))


def _value(cell: Element) -> object:
    """Value of a cell, with the unit or the percent sign that it shows."""
    kind = cell.get(f"{_OFFICE}value-type", "")
    shown = "\n".join("".join(p.itertext()) for p in cell.findall(f"{_TEXT}p"))
    number = cell.get(f"{_OFFICE}value")
    if kind == "percentage" and number is not None:
        return f"{float(number) * 100:.12g} %"
    if kind in ("float", "currency") and number is not None:
        value = float(number)
        unit = _SHOWN_UNIT.match(shown.strip())
        word = unit_word(unit["unit"]) if unit else ""
        if word:
            return f"{value:.15g} {word}"
        return int(value) if value.is_integer() else value
    day = cell.get(f"{_OFFICE}date-value")
    if kind == "date" and day:
        return datetime.fromisoformat(day)
    return shown
