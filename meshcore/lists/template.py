"""An empty enquiry list to fill in, with headings, choices and notes."""

from __future__ import annotations

import io
from pathlib import Path

from openpyxl import Workbook
from openpyxl.styles import PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from meshcore.enquiry import COLUMNS, FORMS, WEAVES
from meshcore.lists.reading import ListError
from meshcore.lists.sheets import BOLD, WRAPPED
from meshcore.reading.tables.field_names import ORDER
from meshcore.whole_files import save

#: Column → what to write in it, and an example.
NOTES: dict[str, tuple[str, str]] = {
    "line": ("Your own number for the line.", "1"),
    "order": ("Leave it empty where the list is one order; else a name for each order.", ""),
    "mesh_count": ("Openings per inch or per cm; with its unit.", "10 / in"),
    "pitch": ("Centre to centre of neighbouring wires.", "2.54 mm"),
    "aperture": ("Clear opening between wires.", "0.075 in"),
    "wire_diameter": ("Size with its unit, or a gauge with its system.", "16 SWG"),
    "open_area": ("Open share of the area, in percent.", "56 %"),
    "weave": ("Blank means plain.", "plain"),
    "alloy": ("Trade, UNS or EN number.", "316L"),
    "form": ("How it is supplied: roll, strip or piece.", "roll"),
    "width": ("Roll or strip width.", "48 in"),
    "length": ("Length of each; full roll and half roll are understood.", "100 ft"),
    "shape": ("Pieces only; blank means rectangle.", "disc"),
    "dimensions": ("Pieces only: each dimension by name.", "diameter 200 mm"),
    "quantity": ("How many rolls, strips or pieces.", "3"),
    "services": ("Work after weaving, separated by commas.", "certificate"),
    "note": ("Anything else; it is passed through.", ""),
}
_ANY_TWO = (
    "Any two of mesh_count, pitch, aperture, wire_diameter and open_area complete the "
    "specification (mesh_count and pitch count as one). Write sizes with their units; or put the "
    "unit in the heading, such as wire_diameter [mm], and plain numbers below. Columns of your own "
    "are passed through."
)
_ONE_ORDER = (
    "The list is priced as one order, unless the column order tells several apart: what is charged "
    "once an order is charged once, and lines of one order in the same cloth are woven and cut "
    "together."
)
#: The columns of a list, and the one that tells orders apart.
_COLUMNS = (COLUMNS[0], ORDER, *COLUMNS[1:])
_LINES = 500
_NARROW, _WIDE = 14, 22


def write_template(path: str | Path) -> None:
    """Write the template.

    Raises
    ------
    ListError
        If the name does not end in .xlsx, or the file cannot be written.
    """
    target = Path(path)
    if target.suffix.casefold() != ".xlsx":
        raise ListError(f"{path}: the template is a workbook; end its name in .xlsx.")
    book = Workbook()
    lines = book.active
    assert isinstance(lines, Worksheet)
    _fill_lines(lines)
    _fill_notes(book.create_sheet("How to fill in"))
    made = io.BytesIO()
    book.save(made)
    try:
        save(target, made.getvalue())
    except OSError as error:
        raise ListError(f"{path}: cannot be written ({error.strerror}).") from error


def _fill_lines(sheet: Worksheet) -> None:
    sheet.title = "Enquiry list"
    sheet.append(list(_COLUMNS))
    for number, name in enumerate(_COLUMNS, start=1):
        letter = get_column_letter(number)
        sheet.column_dimensions[letter].width = _WIDE if name == "dimensions" else _NARROW
        heading = sheet.cell(1, number)
        heading.font = BOLD
        heading.fill = PatternFill("solid", fgColor="DCE6EA")
        choices = {"form": FORMS, "weave": WEAVES}.get(name)
        if choices:
            offered = DataValidation("list", formula1=f'"{",".join(choices)}"', allow_blank=True)
            offered.showErrorMessage = False
            offered.add(f"{letter}2:{letter}{_LINES + 1}")
            sheet.add_data_validation(offered)
    for row in sheet.iter_rows(min_row=2, max_row=_LINES + 1, max_col=len(_COLUMNS)):
        for cell in row:
            cell.number_format = "@"
    sheet.freeze_panes = "B2"


def _fill_notes(sheet: Worksheet) -> None:
    sheet.append(["Column", "What to write", "Example"])
    for name in _COLUMNS:
        sheet.append([name, *NOTES[name]])
    for text in (_ANY_TWO, _ONE_ORDER):
        sheet.append([])
        sheet.append(["", text])
    for cell in sheet[1]:
        cell.font = BOLD
    for letter, width in (("A", 16), ("B", 70), ("C", 20)):
        sheet.column_dimensions[letter].width = width
    for cell in sheet["B"]:
        cell.alignment = WRAPPED
