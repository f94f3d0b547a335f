"""Price books in workbooks: one sheet of settings, one of exchange, one of rates."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from meshcore.costing.book.cells import Away, Row
from meshcore.costing.book.checking import EXCHANGE_COLUMNS, RATE_COLUMNS, SETTING_NAMES
from meshcore.costing.book.price_book import PriceBookError
from meshcore.costing.book.remarks import remark_in
from meshcore.costing.book.units import read_unit
from meshcore.messages import Message
from meshcore.reading.formulas import uncalculated
from meshcore.reading.texts import FORMULA

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell import Cell, MergedCell
    from openpyxl.worksheet.worksheet import Worksheet

#: Cells of a book by table, one mapping a row.
Cells = Mapping[str, list[dict[str, Any]]]
_SHEETS = {"Book": SETTING_NAMES, "Exchange": EXCHANGE_COLUMNS, "Rates": RATE_COLUMNS}
_KEY, _AMOUNT, _UNIT, _OFF = "key", "amount", "unit", "uncertainty_pct"


def unreadable(file: Path, text: str) -> PriceBookError:
    """Return the error for a file of a price book that cannot be read or written."""
    message = Message("file", str(file), text, code="book.file_unreadable")
    return PriceBookError(file.name, [message])


def read_xlsx(file: Path) -> tuple[Row, list[Row], list[Row]]:
    """Read the cells of a workbook: settings, rates of exchange, rates.

    Raises
    ------
    PriceBookError
        If it cannot be read, or a sheet is missing.
    """
    workbook = _opened(file)
    sheets = {sheet.title for sheet in workbook.worksheets}
    missing = [name for name in _SHEETS if name not in sheets]
    if missing:
        raise unreadable(file, f"sheet {', '.join(missing)} is missing. Write a book to see all.")
    settings, remarks = _settings_row(workbook["Book"])
    return (
        settings,
        [*remarks, *_sheet_rows(workbook["Exchange"])],
        list(_sheet_rows(workbook["Rates"])),
    )


def read_rate_rows(file: Path) -> list[Row]:
    """Read rates from a workbook: its sheet of rates, or the first where none has that name.

    Raises
    ------
    PriceBookError
        If it cannot be read.
    """
    workbook = _opened(file)
    named = [sheet for sheet in workbook.worksheets if sheet.title == "Rates"]
    return list(_sheet_rows((named or workbook.worksheets)[0]))


def _opened(file: Path) -> Workbook:
    import zlib  # noqa: PLC0415 - only for xlsx
    from xml.etree.ElementTree import ParseError  # noqa: PLC0415
    from zipfile import BadZipFile  # noqa: PLC0415

    from openpyxl import load_workbook  # noqa: PLC0415 - heavy
    from openpyxl.utils.exceptions import InvalidFileException  # noqa: PLC0415 - heavy

    try:
        return _with_formulas(load_workbook(file, data_only=True), file)
    except (BadZipFile, InvalidFileException, OSError, ParseError, zlib.error) as error:
        raise unreadable(file, f"not a workbook that can be opened: {error}.") from error
    except Exception as error:
        raise unreadable(file, f"a workbook with a damaged part: {error}.") from error


def _with_formulas(workbook: Workbook, file: Path) -> Workbook:
    """Return the workbook with each formula that has no value in place of the blank."""
    for title, cells in uncalculated(file.read_bytes()).items():
        for (row, column), formula in cells.items():
            cell = workbook[title].cell(row, column)
            if cell.value is None:
                cell.value = f"{FORMULA} {formula}"
                cell.data_type = "s"
    return workbook


def _settings_row(sheet: Worksheet) -> tuple[Row, list[Row]]:
    """Read the settings, and what is said below or beside them."""
    cells: dict[str, Any] = {}
    places: dict[str, str] = {}
    remarks = []
    for number, (name, value, *_) in enumerate(sheet.iter_rows(max_col=2, values_only=True), 1):
        if value is None and (text := remark_in({"setting": name}, apart=True)):
            remarks.append(Row({"setting": name}, _at(f"Book!A{number}"), remark=text))
        elif name is not None and str(name) != "setting":
            places[str(name).strip()] = f"Book!B{number}"
            if value is not None:
                cells[str(name).strip()] = value
    return Row(cells, lambda column: places.get(column, f"Book, setting {column}")), remarks


def _at(place: str) -> Callable[[str], str]:
    return lambda _column: place


def _sheet_rows(sheet: Worksheet) -> Iterable[Row]:
    from openpyxl.utils import get_column_letter  # noqa: PLC0415 - heavy

    rows = sheet.iter_rows()
    away = sheet.sheet_state != "visible"
    headings = [str(c.value).strip() if c.value is not None else "" for c in next(rows, ())]
    letters = {h: get_column_letter(i) for i, h in enumerate(headings, 1) if h}
    apart = False
    for number, row in enumerate(rows, 2):
        filled = {
            name: cell
            for name, cell in zip(headings, row, strict=False)
            if name and cell.value is not None
        }
        cells: dict[str, Any] = {name: cell.value for name, cell in filled.items()}
        if _AMOUNT in filled and shows_percent(str(filled[_AMOUNT].number_format)):
            cells[_AMOUNT] = _from_percent(filled[_AMOUNT], str(cells.get(_UNIT) or ""))
        if _OFF in filled and shows_percent(str(filled[_OFF].number_format)):
            cells[_OFF] = _from_percent(filled[_OFF], "%")
        remark = remark_in(cells, apart=apart)
        apart = bool(remark) or not cells
        if cells:
            hidden = away or bool(sheet.row_dimensions[number].hidden)
            looks = "hidden" if hidden else _struck(filled)
            yield Row(cells, _cell_namer(sheet.title, letters, number), looks, remark)


def _struck(filled: Mapping[str, Cell | MergedCell]) -> Away:
    """Whether a row's key or amount is struck through, as a rate is retired by hand."""
    cells = (filled[name] for name in (_KEY, _AMOUNT) if name in filled)
    return "struck through" if any(cell.font.strike for cell in cells) else ""


def _from_percent(cell: Cell | MergedCell, unit: str) -> object:
    """Return the number of a percent cell in the row's unit: 0.18 shown as 18 % is 18 of %.

    Where the unit is no share, the cell is given as it shows, and refused as no plain number.
    """
    value = cell.value
    if not isinstance(value, int | float) or isinstance(value, bool):
        return value
    per = read_unit(unit)
    if per is None or per.name:
        return f"{value * 100.0:.12g} %"
    # A spreadsheet keeps 15 digits; the last bits of the division are none of them.
    return float(f"{value / per.factor:.12g}")


_LITERAL = re.compile(r'"[^"]*"|\\.|_.|\*.|\[[^\]]*\]')


@lru_cache(maxsize=256)
def shows_percent(number_format: str) -> bool:
    """Whether a number format shows a hundred times the number, with a percent sign."""
    return "%" in _LITERAL.sub("", number_format)


def _cell_namer(title: str, letters: Mapping[str, str], number: int) -> Callable[[str], str]:
    """Name cells of a row; of a column that nobody knows, the heading that is to be mended."""
    known = (*_SHEETS.get(title, RATE_COLUMNS), "")
    return lambda column: f"{title}!{letters.get(column, '')}{number if column in known else 1}"


def to_workbook(cells: Cells, file: Path, remarks: Sequence[str] = ()) -> Workbook:
    """Return a book's cells, by table, as a workbook, with remarks below its rates.

    Raises
    ------
    PriceBookError
        If a text has a character that no workbook can hold; names `file`.
    """
    from openpyxl import Workbook  # noqa: PLC0415 - heavy
    from openpyxl.utils.exceptions import IllegalCharacterError  # noqa: PLC0415 - heavy

    try:
        return _filled(Workbook(), cells, remarks)
    except IllegalCharacterError as error:
        raise unreadable(
            file, f"a text has a character that no workbook can hold: {error}"
        ) from error


def _filled(workbook: Workbook, cells: Cells, remarks: Sequence[str]) -> Workbook:
    workbook.remove(workbook.worksheets[0])
    settings = workbook.create_sheet("Book")
    append_row(settings, ["setting", "value"])
    for name, value in cells["book"][0].items():
        append_row(settings, [name, ", ".join(value) if isinstance(value, tuple) else value])
    for title, columns in (("Exchange", EXCHANGE_COLUMNS), ("Rates", RATE_COLUMNS)):
        sheet = workbook.create_sheet(title)
        append_row(sheet, columns)
        for row in cells[title.lower()]:
            append_row(sheet, [row.get(column) for column in columns])
        sheet.freeze_panes = "A2"
    for below, text in enumerate(remarks, workbook["Rates"].max_row + 2):
        keep_text(workbook["Rates"].cell(below, 1, text))
    return workbook


def append_row(sheet: Worksheet, cells: Iterable[Any]) -> None:
    """Append a row in which text stays text, whatever it begins with."""
    sheet.append(list(cells))
    for cell in sheet[sheet.max_row]:
        keep_text(cell)


def keep_text(cell: Cell | MergedCell) -> None:
    """Let a text stay text, whatever it begins with."""
    if cell.data_type == "f":
        cell.data_type = "s"
