"""Formulas of a workbook whose value its file does not hold."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

#: How a cell ends whose formula was never calculated: a program wrote it, and nobody opened it.
_UNVALUED = (b"</f></c>", b"</f><v/></c>", b"</f><v /></c>", b"</f><v></v></c>")


def uncalculated(content: bytes) -> Mapping[str, Mapping[tuple[int, int], str]]:
    """Return each formula of an .xlsx workbook without a value, by sheet and (row, column).

    Parameters
    ----------
    content
        The workbook, which opens as one.

    Returns
    -------
    Title of the sheet → (row, column), from 1 → the formula; empty where each has its value.
    """
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        sheets = [part for part in parts.namelist() if "worksheets/" in part]
        if not any(_lacks_values(parts.read(sheet)) for sheet in sheets):
            return {}
    import openpyxl  # noqa: PLC0415 - heavy: loaded when a workbook is first read

    book = openpyxl.load_workbook(io.BytesIO(content))
    return {
        sheet.title: {
            place: str(getattr(cell.value, "text", cell.value))
            for place, cell in sheet._cells.items()
            if cell.data_type == "f"
        }
        for sheet in book.worksheets
        if hasattr(sheet, "iter_rows")
    }


def _lacks_values(sheet: bytes) -> bool:
    return any(end in sheet for end in _UNVALUED)
