"""A price book's workbook brought up to date cell by cell, so that its looks and remarks stay."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.costing.book.checking import build_book
from meshcore.costing.book.files import book_cells
from meshcore.costing.book.history.pairing import paired
from meshcore.costing.book.history.sameness import is_same_book
from meshcore.costing.book.history.toml_text import (
    Changed,
    changed_cells,
    exchange_name,
    rate_name,
)
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.book.units import read_unit
from meshcore.costing.book.workbooks import keep_text, read_xlsx, shows_percent

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell import Cell, MergedCell
    from openpyxl.worksheet.worksheet import Worksheet


def revised_workbook(file: Path, book: PriceBook) -> bytes:
    """Return a book's workbook with the cells of another state of it.

    Parameters
    ----------
    file
        The workbook as it was; it reads as a book.
    book
        What it is to read as.

    Returns
    -------
    The workbook with what differs changed in place: remarks at cells, their looks, other sheets
    and the order of rows stay. New rows stand after the others.

    Raises
    ------
    ValueError
        If it would not read as the book.
    """
    from openpyxl import load_workbook  # noqa: PLC0415 - heavy

    before = build_book(file.name, *read_xlsx(file))
    workbook = load_workbook(file)
    old, new = book_cells(before), book_cells(book)
    _revise_settings(workbook["Book"], changed_cells(old["book"][0], new["book"][0]))
    exchanged = paired(before.exchange, book.exchange, exchange_name)
    rated = paired(before.rates, book.rates, rate_name)
    for title, held, (stays, added) in (
        ("Exchange", before.exchange, exchanged), ("Rates", before.rates, rated)
    ):  # fmt: skip
        cells, wanted = old[title.lower()], new[title.lower()]
        numbers = [_row_number(row.where) for row in held]
        sheet = _Sheet(workbook[title])
        for place, to in stays.items():
            sheet.put(numbers[place], changed_cells(cells[place], wanted[to]))
        for place in added:
            sheet.put(sheet.end(), wanted[place])
        for place in sorted(set(range(len(held))) - stays.keys(), reverse=True):
            sheet.cells.delete_rows(numbers[place])
    return _checked(workbook, file.name, book)


def _checked(workbook: Workbook, name: str, book: PriceBook) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        written = Path(folder) / name
        workbook.save(written)
        if not is_same_book(build_book(name, *read_xlsx(written)), book):
            raise ValueError("the workbook cannot be changed cell by cell: it would read otherwise")
        return written.read_bytes()


def _row_number(where: str) -> int:
    """Return the row of a place such as ``Rates!H12``."""
    return int(where[len(where.rstrip("0123456789")) :])


def _revise_settings(sheet: Worksheet, changed: Changed) -> None:
    rows = {str(cell.value).strip(): cell.row for cell in sheet["A"] if cell.value is not None}
    for name, value in changed.items():
        number = rows.get(name, sheet.max_row + 1)
        _write(sheet.cell(number, 1), name)
        _write(sheet.cell(number, 2), ", ".join(value) if isinstance(value, tuple) else value)


@dataclass(slots=True)
class _Sheet:
    """A sheet whose first row names its columns."""

    cells: Worksheet

    def end(self) -> int:
        """Return the row after the last that holds anything."""
        filled = (row for row in range(self.cells.max_row, 1, -1)
                  if any(cell.value is not None for cell in self.cells[row]))  # fmt: skip
        return next(filled, 1) + 1

    def put(self, number: int, changed: Changed) -> None:
        """Write cells of a row by column; a column that the sheet lacks is added."""
        headings = {str(cell.value).strip(): cell.column for cell in self.cells[1]
                    if cell.value is not None}  # fmt: skip
        unit = changed.get("unit") or self._unit(number, headings)
        for name, value in changed.items():
            if name not in headings:
                headings[name] = self.cells.max_column + 1
                _write(self.cells.cell(1, headings[name]), name)
            cell = self.cells.cell(number, headings[name])
            shown = {"amount": unit, "uncertainty_pct": "%"}.get(name, "")
            if value is not None and shown and shows_percent(str(cell.number_format)):
                per = read_unit(shown)
                _write(cell, value * per.factor if per else value)
            else:
                _write(cell, value)

    def _unit(self, number: int, headings: dict[str, int]) -> str:
        return str(self.cells.cell(number, headings["unit"]).value) if "unit" in headings else ""


def _write(cell: Cell | MergedCell, value: object) -> None:
    """Write a cell in which text stays text, whatever it begins with."""
    cell.value = value  # type: ignore[assignment]
    keep_text(cell)
