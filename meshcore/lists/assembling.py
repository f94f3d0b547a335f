"""From the tables of a file to the one table of its lines."""

from __future__ import annotations

import re
from collections.abc import Sequence

import pandas as pd

from meshcore.lists.beside_lines import beside_lines
from meshcore.lists.enquiry_table import EnquiryTable
from meshcore.lists.grids import Mark, shown
from meshcore.lists.report import ReadingReport
from meshcore.lists.rows import is_ditto
from meshcore.lists.table import Column, Table
from meshcore.reading.tables.cells import FILE_ROW
from meshcore.reading.tables.headings import SEVERAL, Headings, headings_as

_BARE = re.compile(r"[+\-]?(?:\d[\d.,' ]*|[.,]\d+)")


def repeat_above(table: Table) -> tuple[Table, int]:
    """Fill ditto marks from the line above; return the table and how many were filled."""
    filled = 0
    above: tuple[object, ...] = ()
    lines = []
    for row, cells in table.lines:
        if above and any(is_ditto(cell) for cell in cells):
            copied = [
                above[n] if is_ditto(cell) and table.columns[n].field != "line" else cell
                for n, cell in enumerate(cells)
            ]
            filled += sum(1 for old, new in zip(cells, copied, strict=True) if old is not new)
            above = tuple(copied)
        else:
            above = cells
        lines.append((row, above))
    return Table(table.sheet, table.heading_rows, table.columns, tuple(lines)), filled


def assemble(
    tables: Sequence[Table], report: ReadingReport, marks: Sequence[Mark] = ()
) -> EnquiryTable:
    """Put the lines of all tables one below the other, each cell as it was typed.

    Tables of the same headings keep them. Where headings differ, columns go by the names of
    enquiry columns, and a bare number takes the unit of its own heading along.
    """
    if all(_meanings(table) == _meanings(tables[0]) for table in tables):
        columns: Sequence[Column] = tables[0].columns
        rows: Sequence[Sequence[object]] = [cells for table in tables for _, cells in table.lines]
    else:
        columns, rows = _under_one_head(tables)
    names = _names(columns)
    body = [[_kept(cell) for cell in cells] for cells in rows]
    frame = EnquiryTable(pd.DataFrame(body, columns=names, dtype=object))
    frame.index = pd.Index(_labels(tables), name=FILE_ROW)
    frame.report = report
    frame.remarks = beside_lines(tables, report, frame.index.tolist(), marks)
    frame.headings = _headings(columns, names)
    return frame


def _kept(cell: object) -> object:
    """Cell as it is kept: a truth as its word, for it counts nothing and Python takes it for 1."""
    if isinstance(cell, bool):
        return str(cell).upper()
    return "" if cell is None else cell


def _meanings(table: Table) -> list[tuple[str, str, str]]:
    return [(c.heading, c.field, c.unit) for c in table.columns]


def _headings(columns: Sequence[Column], names: Sequence[str]) -> Headings:
    return headings_as([(n, c.field, c.unit) for n, c in zip(names, columns, strict=True)])


def _names(columns: Sequence[Column]) -> list[str]:
    """Headings, each once: a second of its name is numbered by its place."""
    names: list[str] = []
    for number, column in enumerate(columns, start=1):
        name = column.heading
        names.append(name if name not in names else f"{name} ({number})")
    return names


def _labels(tables: Sequence[Table]) -> list[object]:
    """Rows of the file; with the sheet, or the first column, where that alone is not clear."""
    sheets = len({table.sheet for table in tables}) > 1
    rows = [row for table in tables for row, _ in table.lines]
    if len(set(rows)) == len(rows) and not sheets:
        return list(rows)
    labels: list[object] = []
    for table in tables:
        beside = any(
            other is not table and other.sheet == table.sheet
            and {r for r, _ in other.lines} & {r for r, _ in table.lines}
            for other in tables
        )  # fmt: skip
        where = f" of {table.sheet}" if sheets else ""
        where += f" from column {table.first_letters}" if beside else ""
        labels += [f"{row}{where}" for row, _ in table.lines]
    return labels


def _under_one_head(tables: Sequence[Table]) -> tuple[list[Column], list[list[object]]]:
    """Columns under the names of enquiry columns, and the lines of all tables in them."""
    keys: dict[str, Column] = {}
    for table in tables:
        for key, column in zip(_keys(table), table.columns, strict=True):
            keys.setdefault(key, Column(0, key, column.field, ""))
    place = {key: n for n, key in enumerate(keys)}
    rows = []
    for table in tables:
        own = [place[key] for key in _keys(table)]
        for _, cells in table.lines:
            row: list[object] = [None] * len(keys)
            for to, column, cell in zip(own, table.columns, cells, strict=True):
                row[to] = _with_unit(cell, column.unit)
            rows.append(row)
    return list(keys.values()), rows


def _keys(table: Table) -> list[str]:
    """Name of each column among those of all tables."""
    seen: set[str] = set()
    keys = []
    for column in table.columns:
        first = column.field and column.field not in seen and column.field not in SEVERAL
        keys.append(column.field if first else column.heading)
        seen.add(column.field)
    return keys


def _with_unit(cell: object, unit: str) -> object:
    """Cell with the unit of its heading where it is a bare number.

    Examples
    --------
    >>> _with_unit(0.63, "mm"), _with_unit("0,63", "mm"), _with_unit("4/cm", "/ in")
    ('0.63 mm', '0,63 mm', '4/cm')
    """
    if not unit or cell is None or isinstance(cell, bool):
        return cell
    text = shown(cell)
    return f"{text} {unit}" if _BARE.fullmatch(text) else cell
