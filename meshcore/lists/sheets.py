"""What the sheets of a workbook share: heading rows, widths, cells that cannot run."""

from __future__ import annotations

import io
import math
import re
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from textwrap import wrap
from typing import Any

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.header_footer import HeaderFooterItem
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
#: A text beside a number stands a little apart from it; a long one goes on below.
INDENT = Alignment(indent=1)
WRAPPED = Alignment(wrap_text=True, vertical="top")
TOP = Alignment(vertical="top")
#: Height of a line of text [pt], as spreadsheets set it in the default face.
LINE_POINTS = 15.0
_LEAST_WIDTH, _MOST_WIDTH, _PADDING = 9, 48, 2
#: Longest text that a cell may hold: Office Open XML spreadsheet limit.
CELL_LIMIT = 32_767


def put(sheet: Worksheet, row: int, column: int, value: object, number_format: str = "") -> Cell:
    """Write a value; text that opens like a formula stays text, and NaN is left blank.

    Formulas are written by `LiveCells` alone, so nothing that a user typed can run.
    """
    cell = sheet.cell(row, column)
    assert isinstance(cell, Cell)
    if isinstance(value, float) and not math.isfinite(value):
        return cell
    if value is not None and not isinstance(value, int | float | date):
        value = clean(str(value))
    cell.value = value
    if isinstance(value, str) and value:
        cell.data_type = "s"
    if number_format:
        cell.number_format = number_format
    return cell


@dataclass(slots=True)
class LiveCells:
    """Formulas of a workbook, each with the value that it has now.

    The writer stores formulas without values; `with_values` adds them, so that a preview or a
    reader that does not recalculate shows the prices too.
    """

    values: dict[str, dict[str, float]] = field(default_factory=dict)

    def put(
        self,
        sheet: Worksheet,
        row: int,
        column: int,
        formula: str,
        value: float,
        number_format: str = "",
    ) -> None:
        """Write a formula of our own making."""
        cell = sheet.cell(row, column)
        cell.value = formula
        if number_format:
            cell.number_format = number_format
        self.values.setdefault(sheet.title, {})[cell.coordinate] = float(value)

    def with_values(self, book: Workbook) -> bytes:
        """Return the workbook as a file whose formulas carry their values."""
        plain = io.BytesIO()
        book.save(plain)
        target = io.BytesIO()
        files = {
            f"xl/worksheets/sheet{n}.xml": self.values.get(sheet.title, {})
            for n, sheet in enumerate(book.worksheets, start=1)
        }
        with (
            zipfile.ZipFile(plain) as source,
            zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as written,
        ):
            for name in source.namelist():
                content = source.read(name)
                if files.get(name):
                    content = _filled(content.decode("utf-8"), files[name]).encode("utf-8")
                written.writestr(name, content)
        return target.getvalue()


#: A formula cell as the writer leaves it: its value element is empty.
_EMPTY_VALUE = re.compile(r'(<c r="([A-Z]+[0-9]+)"[^>]*><f>[^<]*</f>)<v\s*(?:/>|></v>)')


def _filled(xml: str, values: Mapping[str, float]) -> str:
    def fill(matched: re.Match[str]) -> str:
        value = values[matched[2]]
        return f"{matched[1]}<v>{value!r}</v>" if math.isfinite(value) else matched[0]

    return _EMPTY_VALUE.sub(fill, xml)


def clean(text: str) -> str:
    """Drop control characters that a workbook cannot hold, and what is beyond a cell's limit."""
    if not text.isprintable():
        text = "".join(c for c in text if c in "\t\n\r" or ord(c) >= ord(" "))
    return text[:CELL_LIMIT]


def put_headings(sheet: Worksheet, row: int, headings: Iterable[str]) -> None:
    """Write a row of headings, bold on a quiet ground."""
    for column, heading in enumerate(headings, start=1):
        cell = put(sheet, row, column, heading)
        cell.font = BOLD
        cell.fill = HEADING_FILL
        cell.alignment = WRAPPED


def fit_widths(sheet: Worksheet, texts: Mapping[int, Iterable[str]]) -> None:
    """Set each column's width from the texts that will show in it."""
    for column, shown in texts.items():
        longest = max((len(t) for t in shown), default=0) + _PADDING
        width = min(max(longest, _LEAST_WIDTH), _MOST_WIDTH)
        sheet.column_dimensions[get_column_letter(column)].width = width


#: Characters across a landscape page of A4 or Letter, margins taken off, where the 11 points of the
#: default face come out as 8: common practice for the smallest print that is read with ease.
_ACROSS = 190.0
#: Margins of a page [in].
_MARGIN_IN = 0.4
#: Share of a column's width that text may take before it is wrapped: other faces run wider.
_WRAPS_AT = 0.9


def lines_of(text: str, width: float) -> int:
    """How many lines a text takes in a column of that many characters.

    Examples
    --------
    >>> lines_of("short", 34), lines_of("a message that is longer than its column is wide", 34)
    (1, 2)
    """
    within = max(int(width * _WRAPS_AT), 1)
    return 1 if len(text) <= within and "\n" not in text else len(wrap(text, within)) or 1


def pages_across(widths: Sequence[float]) -> int:
    """How many pages columns of these widths take side by side, each whole, the first on each.

    Examples
    --------
    >>> pages_across([10.0, 90.0, 90.0]), pages_across([10.0, 90.0, 91.0]), pages_across([])
    (1, 2, 1)
    """
    pages, used = 1, 0.0
    for width in widths:
        if used + width > _ACROSS and used:
            pages, used = pages + 1, widths[0]
        used += width
    return pages


def set_print(sheet: Worksheet, heading_rows: int = 1, area: tuple[int, int] | None = None) -> None:
    """Print landscape, legibly: as many pages across as it takes, headings and lines on each.

    The paper is left to the printer; what is fitted is the number of pages, so A4 and Letter do.

    Parameters
    ----------
    sheet
        What is to be printed.
    heading_rows
        How many rows of headings come again on each page.
    area
        How many columns and rows are printed; all where it is None.
    """
    widths = [
        sheet.column_dimensions[letter].width
        for letter in map(get_column_letter, range(1, (area[0] if area else sheet.max_column) + 1))
    ]
    pages = pages_across(widths)
    if area:
        sheet.print_area = f"A1:{get_column_letter(area[0])}{area[1]}"
    margins = sheet.page_margins
    margins.left = margins.right = margins.top = margins.bottom = _MARGIN_IN
    if pages > 1:
        sheet.print_title_cols = "A:A"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToWidth = pages
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.print_title_rows = f"1:{heading_rows}"
    # Field codes of SpreadsheetML (ISO/IEC 29500-1, 18.3.1): the sheet, its page, all pages.
    foot = HeaderFooterItem()
    foot.left.text, foot.right.text = "&A", "&P / &N"
    sheet.HeaderFooter.oddFooter = foot


def put_rows(sheet: Worksheet, start: int, rows: Iterable[tuple[Any, ...]]) -> int:
    """Write rows of values from `start` on; return the row after the last."""
    row = start
    for values in rows:
        for column, value in enumerate(values, start=1):
            put(sheet, row, column, value)
        row += 1
    return row
