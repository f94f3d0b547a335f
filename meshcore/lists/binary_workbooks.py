"""Lists in binary workbooks (.xls, .xlsb): cells as they show, what is hidden left out and said."""

from __future__ import annotations

import io
from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING, Any

from meshcore.lists.grids import Grid, ListError, numbered, says_something
from meshcore.lists.number_formats import with_format

if TYPE_CHECKING:
    from xlrd.book import Book
    from xlrd.sheet import Sheet

_VALUES_ONLY = "its number formats, hidden rows and hidden columns are not looked at"
_NUMBER, _DATE, _BOOLEAN, _ERROR = 2, 3, 4, 5


def read_xls(content: bytes, name: str) -> list[Grid]:
    """Read the sheets of an .xls workbook.

    Raises
    ------
    ListError
        If it is no such workbook, or cannot be read.
    """
    import xlrd  # noqa: PLC0415 - only for these workbooks

    try:
        book = xlrd.open_workbook(
            file_contents=content, formatting_info=True, logfile=io.StringIO()
        )
        return [_grid(sheet, book) for sheet in book.sheets()]
    except Exception as error:
        raise _unreadable(name, error) from error


def read_xlsb(content: bytes, name: str) -> list[Grid]:
    """Read the sheets of an .xlsb workbook, values alone.

    Raises
    ------
    ListError
        If it is no such workbook, or cannot be read.
    """
    import python_calamine as calamine  # noqa: PLC0415 - only for these workbooks

    try:
        book = calamine.load_workbook(io.BytesIO(content))
        sheets = [(meta, book.get_sheet_by_name(meta.name)) for meta in book.sheets_metadata
                  if meta.typ == calamine.SheetTypeEnum.WorkSheet]  # fmt: skip
    except (calamine.CalamineError, OSError) as error:
        raise _unreadable(name, error) from error
    return [
        Grid(
            meta.name,
            numbered([_values(row) for row in sheet.to_python(skip_empty_area=False)]),
            hidden=meta.visible != calamine.SheetVisibleEnum.Visible,
            about=(_VALUES_ONLY,),
        )
        for meta, sheet in sheets
    ]


def _unreadable(name: str, error: Exception) -> ListError:
    return ListError(
        f"{name}: not a workbook that can be read ({error}). Open it, save it again as .xlsx or "
        ".csv, and read that."
    )


def _values(row: Iterable[object]) -> list[object]:
    return [int(c) if isinstance(c, float) and c.is_integer() else c for c in row]


def _grid(sheet: Sheet, book: Book) -> Grid:
    """Take a sheet's cells; one merged down a column stands in each row that it spans."""
    rows = [[_value(sheet, book, r, c) for c in range(sheet.row_len(r))]
            for r in range(sheet.nrows)]  # fmt: skip
    for top, bottom, left, right in sheet.merged_cells:
        if right - left == 1 and left < len(rows[top]):
            for row in rows[top + 1 : bottom]:
                row.extend([None] * (left + 1 - len(row)))
                row[left] = rows[top][left]
    hidden_columns = {c for c, info in sheet.colinfo_map.items() if info.hidden}
    hidden_rows = {r for r, info in sheet.rowinfo_map.items() if info.hidden}
    told = [r + 1 for r in sorted(hidden_rows) if r < len(rows) and says_something(rows[r])]
    left_out = {
        c + 1 for c in hidden_columns for row in rows if c < len(row) and says_something([row[c]])
    }
    kept = [
        (n + 1, [None if c in hidden_columns else cell for c, cell in enumerate(row)])
        for n, row in enumerate(rows)
        if n not in hidden_rows
    ]
    return Grid(
        sheet.name,
        tuple((n, row) for n, row in kept if says_something(row)),
        hidden=bool(sheet.visibility),
        hidden_rows=tuple(told),
        hidden_columns=tuple(sorted(left_out)),
        merged=tuple(
            (top + 1, bottom, left)
            for top, bottom, left, right in sheet.merged_cells
            if right - left == 1
        ),
    )


def _value(sheet: Sheet, book: Book, row: int, column: int) -> object:
    """Value of a cell, with the unit or the percent sign that its number format shows."""
    kind: int = sheet.cell_type(row, column)
    value: Any = sheet.cell_value(row, column)
    if kind == _DATE:
        return _day(value, book)
    if kind == _NUMBER:
        style = book.xf_list[sheet.cell_xf_index(row, column)]
        number_format = str(book.format_map[style.format_key].format_str)
        whole = int(value) if value.is_integer() else value
        return whole if number_format == "General" else with_format(whole, number_format)
    if kind == _ERROR:
        return "#ERROR"
    return bool(value) if kind == _BOOLEAN else value


def _day(value: float, book: Book) -> date | float:
    from xlrd import xldate  # noqa: PLC0415 - only for these workbooks

    try:
        day: date = xldate.xldate_as_datetime(value, book.datemode)
    except (xldate.XLDateError, OverflowError):
        return value
    return day
