"""What the sheets of a workbook share: heading rows, widths, cells that cannot run."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from openpyxl.cell import Cell
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

#: The default face of a new workbook, named because a font without a name loses it.
_FACE = "Calibri"
BOLD = Font(name=_FACE, size=11, bold=True)
TITLE = Font(name=_FACE, size=16, bold=True)
HEADING_FILL = PatternFill("solid", fgColor="DCE6EA")
STATUS_FILLS = {
    "review": PatternFill("solid", fgColor="FFF2CC"),
    "refused": PatternFill("solid", fgColor="F8D7DA"),
}
_LEAST_WIDTH, _MOST_WIDTH, _PADDING = 9, 48, 2
#: Longest text that a cell may hold: Office Open XML spreadsheet limit.
CELL_LIMIT = 32_767


def put(sheet: Worksheet, row: int, column: int, value: object, number_format: str = "") -> Cell:
    """Write a value; text that opens like a formula stays text, and NaN is left blank.

    Formulas are written by `put_formula` alone, so nothing that a user typed can run.
    """
    cell = sheet.cell(row, column)
    assert isinstance(cell, Cell)
    if isinstance(value, float) and not math.isfinite(value):
        return cell
    if value is not None and not isinstance(value, int | float | date):
        value = _clean(str(value))
    cell.value = value
    if isinstance(value, str) and value:
        cell.data_type = "s"
    if number_format:
        cell.number_format = number_format
    return cell


def put_formula(
    sheet: Worksheet, row: int, column: int, formula: str, number_format: str = ""
) -> None:
    """Write a formula of our own making."""
    cell = sheet.cell(row, column)
    cell.value = formula
    if number_format:
        cell.number_format = number_format


def _clean(text: str) -> str:
    """Drop control characters that a workbook cannot hold, and what is beyond a cell's limit."""
    kept = "".join(c for c in text if c in "\t\n\r" or ord(c) >= ord(" "))
    return kept[:CELL_LIMIT]


def put_headings(sheet: Worksheet, row: int, headings: Iterable[str]) -> None:
    """Write a row of headings, bold on a quiet ground."""
    for column, heading in enumerate(headings, start=1):
        cell = put(sheet, row, column, heading)
        cell.font = BOLD
        cell.fill = HEADING_FILL
        cell.alignment = Alignment(wrap_text=True, vertical="top")


def fit_widths(sheet: Worksheet, texts: Mapping[int, Iterable[str]]) -> None:
    """Set each column's width from the texts that will show in it."""
    for column, shown in texts.items():
        longest = max((len(t) for t in shown), default=0) + _PADDING
        width = min(max(longest, _LEAST_WIDTH), _MOST_WIDTH)
        sheet.column_dimensions[get_column_letter(column)].width = width


def set_print(sheet: Worksheet, heading_rows: int = 1) -> None:
    """Print landscape, all columns on one page's width, headings on each page."""
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToWidth = 1
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.print_title_rows = f"1:{heading_rows}"


def put_rows(sheet: Worksheet, start: int, rows: Iterable[tuple[Any, ...]]) -> int:
    """Write rows of values from `start` on; return the row after the last."""
    row = start
    for values in rows:
        for column, value in enumerate(values, start=1):
            put(sheet, row, column, value)
        row += 1
    return row
