"""Rows of long sheets, written as the file has them: 20,000 lines have millions of cells."""

from __future__ import annotations

import io
import math
import re
import shutil
import zipfile
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from tempfile import TemporaryFile
from typing import IO
from xml.sax.saxutils import escape

import numpy as np
from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.styles import Alignment, PatternFill, Protection
from openpyxl.utils import get_column_letter
from openpyxl.utils.datetime import to_excel
from openpyxl.worksheet.worksheet import Worksheet

from meshcore.lists.sheets import LINE_POINTS, clean

#: Rows between two tellings of how far the writing is: some tens a second.
_TOLD_EVERY = 64
#: What is copied at a time [bytes].
_PIECE = 2**20
_SIZE = re.compile(r"<dimension [^>]*/>")


@dataclass(slots=True)
class BulkRows:
    """Rows that are put behind those that the writer of the workbook knows.

    Parameters
    ----------
    rows
        By sheet, in files without a name: those of 100,000 lines are larger than memory should be.
    tell
        Told now and then how many rows are begun; what it raises ends the writing.
    """

    rows: dict[str, IO[bytes]] = field(default_factory=dict)
    tell: Callable[[int], None] | None = None
    begun: int = 0

    def style(
        self,
        sheet: Worksheet,
        number_format: str,
        protection: Protection | None = None,
        fill: PatternFill | None = None,
        alignment: Alignment | None = None,
    ) -> int:
        """Return the number of a style, made known to the workbook by a cell that is not kept."""
        cell = Cell(sheet, row=1, column=1)
        cell.number_format = number_format
        if protection is not None:
            cell.protection = protection
        if fill is not None:
            cell.fill = fill
        if alignment is not None:
            cell.alignment = alignment
        number: int = cell.style_id
        return number

    def row(self, sheet: Worksheet, number: int) -> Row:
        """Begin a row of a sheet; rows are to come in their order."""
        self.begun += 1
        if self.tell is not None and self.begun % _TOLD_EVERY == 0:
            self.tell(self.begun)
        if sheet.title not in self.rows:
            self.rows[sheet.title] = TemporaryFile()  # noqa: SIM115 - closed when it is read
        return Row(self.rows[sheet.title], number)

    def added(self, book: Workbook, content: bytes) -> bytes:
        """Return the file with the rows in it."""
        if not self.rows:
            return content
        target = io.BytesIO()
        files = {
            f"xl/worksheets/sheet{n}.xml": sheet.title
            for n, sheet in enumerate(book.worksheets, start=1)
            if sheet.title in self.rows
        }
        with (
            zipfile.ZipFile(io.BytesIO(content)) as source,
            zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=3) as written,
        ):
            for name in source.namelist():
                if name not in files:
                    written.writestr(name, source.read(name))
                    continue
                head, end, tail = source.read(name).decode("utf-8").partition("</sheetData>")
                with written.open(name, "w") as part:
                    # The size that the sheet had without its rows would hide them from readers.
                    part.write(_SIZE.sub("", head, count=1).encode("utf-8"))
                    with self.rows[files[name]] as rows:
                        rows.seek(0)
                        shutil.copyfileobj(rows, part, _PIECE)
                    part.write((end + tail).encode("utf-8"))
        return target.getvalue()


@dataclass(slots=True)
class Row:
    """One row in the making; cells are to come in their order."""

    rows: IO[bytes]
    number: int
    cells: list[str] = field(default_factory=list)

    def value(self, column: int, value: object, style: int, day_style: int) -> None:
        """Write whatever stands in a list: a number, a day, a text; nothing where there is none."""
        if isinstance(value, bool | np.bool_):
            place = f"{get_column_letter(column)}{self.number}"
            self.cells.append(f'<c r="{place}" t="b"><v>{int(value)}</v></c>')
        elif isinstance(value, int | float | np.number):
            self.number_at(column, float(value), style)
        elif isinstance(value, date):
            day = to_excel(value)  # type: ignore[no-untyped-call]
            self.number_at(column, float(day), day_style)
        elif value is not None and str(value):
            self.text(column, str(value), style)

    def text(self, column: int, text: str, style: int = 0) -> None:
        """Write a text, which stays text whatever it begins with."""
        place = f"{get_column_letter(column)}{self.number}"
        self.cells.append(
            f'<c r="{place}" s="{style}" t="inlineStr"><is><t xml:space="preserve">'
            f"{escape(clean(text))}</t></is></c>"
        )

    def number_at(self, column: int, value: float, style: int = 0) -> None:
        """Write a number; one that is none is left blank."""
        if math.isfinite(value):
            place = f"{get_column_letter(column)}{self.number}"
            self.cells.append(f'<c r="{place}" s="{style}"><v>{value!r}</v></c>')

    def formula(self, letter: str, formula: str, value: float | None, style: int) -> None:
        """Write a formula of our own making, with its value where that is known."""
        held = f"<v>{value!r}</v>" if value is not None and math.isfinite(value) else ""
        self.cells.append(
            f'<c r="{letter}{self.number}" s="{style}"><f>{escape(formula)}</f>{held}</c>'
        )

    def end(self, lines: int = 1) -> None:
        """Take the row in, as high as that many lines of text."""
        high = f' ht="{lines * LINE_POINTS:g}" customHeight="1"' if lines > 1 else ""
        row = f'<row r="{self.number}"{high}>{"".join(self.cells)}</row>'
        self.rows.write(row.encode("utf-8"))
