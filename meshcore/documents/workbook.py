"""A document as a workbook, amounts as numbers."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from meshcore.costing.money import money_format
from meshcore.documents.cloth_rows import Row
from meshcore.documents.sheet import Sheet

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

#: Widths of the columns, in signs.
_WIDTHS = (8, 70, 18, 16, 16)


def workbook(sheet: Sheet) -> bytes:
    """Return a document as a workbook, amounts as numbers."""
    from openpyxl import Workbook  # noqa: PLC0415 - heavy: loaded when one is written

    book = Workbook()
    page = book.create_sheet(sheet.title[:31])
    book.remove(book.worksheets[0])
    for letter, width in zip("ABCDE", _WIDTHS, strict=True):
        page.column_dimensions[letter].width = width
    if sheet.banner:
        _put(page, [sheet.banner], bold=True)
    _put(page, [sheet.mill], bold=True)
    for line in (*sheet.mill_lines, "", *sheet.to, ""):
        _put(page, [line])
    _put(page, [f"{sheet.title} {sheet.number}"], bold=True)
    for name, value in sheet.facts[1:]:
        _put(page, [f"{name}: {value}"])
    _put(page, [""])
    _put(page, [*sheet.columns[:3], f"{sheet.columns[3]} {sheet.currency}",
                f"{sheet.columns[4]} {sheet.currency}"], bold=True)  # fmt: skip
    page.print_title_rows = f"{page.max_row}:{page.max_row}"
    for row in sheet.rows:
        _put_row(page, row, sheet.digits)
    for name, _, minor in sheet.totals:
        _put(page, ["", name, "", "", ""], bold=True)
        _put_amount(page, 5, minor, sheet.digits)
    for note in sheet.notes:
        _put(page, ["", note])
    if sheet.offers:
        _put(page, [""])
        _put(page, ["", sheet.offers_heading], bold=True)
    for row in sheet.offers:
        _put_row(page, row, sheet.digits)
    for section in sheet.sections:
        _put(page, [""])
        _put(page, [section.heading], bold=True)
        for one in section.texts:
            _put(page, ["", one])
    page.page_setup.paperSize = 9 if sheet.paper == "a4" else 1
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _put(page: Worksheet, cells: list[str], *, bold: bool = False) -> None:
    from openpyxl.styles import Alignment, Font  # noqa: PLC0415 - heavy: loaded when one is written

    place = page.max_row + (1 if page.max_row > 1 or page["A1"].value is not None else 0)
    for number, value in enumerate(cells, 1):
        cell = page.cell(place, number)
        # As a text, whatever it begins with.
        cell.value, cell.data_type = _without_controls(value), "s"
        cell.alignment = Alignment(wrap_text=number == 2, vertical="top")  # noqa: PLR2004 - the description
        if bold:
            cell.font = Font(bold=True)


def _without_controls(value: str) -> str:
    return "".join(sign for sign in value if sign.isprintable() or sign == "\n")


def _put_row(page: Worksheet, row: Row, digits: int) -> None:
    _put(page, [row.label, "\n".join((row.heading, *row.details)), row.quantity, "", ""])
    if row.numbers is None:
        return
    _put_amount(page, 4, row.numbers[1], digits + row.unit_places)
    _put_amount(page, 5, row.numbers[2], digits)


def _put_amount(page: Worksheet, column: int, minor: int, places: int) -> None:
    cell = page.cell(page.max_row, column)
    cell.value = minor / 10**places
    cell.number_format = money_format(places)
