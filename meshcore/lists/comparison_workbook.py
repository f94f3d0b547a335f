"""A comparison of alloys as a workbook, its cautions on the same sheet."""

from __future__ import annotations

import io
from pathlib import Path

import pandas as pd
from openpyxl import Workbook
from openpyxl.styles import PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from meshcore.costing.money import minor_digits, money_format
from meshcore.estimates.alloy_comparison_text import carried_on
from meshcore.lists.reading import ListError
from meshcore.lists.sheets import TITLE, WRAPPED, fit_widths, put, put_headings, set_print
from meshcore.lists.writing import without_formulas
from meshcore.whole_files import save

_FILLS = {
    "meets": PatternFill("solid", fgColor="DDEFE3"),
    "marginal": PatternFill("solid", fgColor="FFF2CC"),
    "fails": PatternFill("solid", fgColor="F8D7DA"),
}
_FORMATS = {
    "life_years": "0.0",
    "corrosion_margin": "+0.0;-0.0;0.0",
    "mass_kg": "#,##0.0",
}
_MONEY = ("price", "price_per_m2", "cost_over_years", "cost_per_year")
_REASON_WIDTH = 60
#: Columns across which a caution is written.
_CAUTION_COLUMNS = 8


def comparison_workbook(table: pd.DataFrame, made_from: str = "") -> bytes:
    """Write a comparison as .xlsx.

    Parameters
    ----------
    table
        From `meshcore.compare_alloys`; its cautions are written above the alloys.
    made_from
        What it was made from and when; nothing is said where it is empty.
    """
    book = Workbook()
    sheet = book.active
    assert isinstance(sheet, Worksheet)
    sheet.title = "Alloys"
    put(sheet, 1, 1, "Alloys compared for a service").font = TITLE
    if made_from:
        put(sheet, 2, 1, made_from)
    row = 3
    rests_on = [f"Rests on {one}" for one in table.attrs.get("assumptions", ())]
    papers = [f"To be asked: {one}" for one in table.attrs.get("papers", ())]
    carried = [carried_on(table)] if carried_on(table) else []
    said = (
        f"Compared for {table.attrs['asked']}.", *table.attrs["cautions"], *rests_on, *papers,
        *carried,
    )  # fmt: skip
    for caution in (*said, *table.attrs["messages"], *table.attrs.get("who_weaves", ())):
        put(sheet, row, 1, caution).alignment = WRAPPED
        sheet.merge_cells(
            start_row=row, end_row=row + 1, start_column=1, end_column=_CAUTION_COLUMNS
        )
        row += 2
    headings = [str(c) for c in table.columns]
    digits = minor_digits(str(table["currency"].iloc[0])) if len(table) else 0
    formats = _FORMATS | dict.fromkeys(_MONEY, money_format(digits))
    heading_row = row + 1
    put_headings(sheet, heading_row, headings)
    for number, record in enumerate(table.itertuples(index=False, name=None), heading_row + 1):
        for column, (name, value) in enumerate(zip(headings, record, strict=True), start=1):
            put(sheet, number, column, value, formats.get(name, ""))
        verdict = record[headings.index("verdict")]
        if verdict in _FILLS:
            sheet.cell(number, headings.index("verdict") + 1).fill = _FILLS[verdict]
    fit_widths(
        sheet,
        {n: [h, *table[h].map(_short)] for n, h in enumerate(headings, start=1)},
    )
    reason = get_column_letter(headings.index("reason") + 1)
    sheet.column_dimensions[reason].width = _REASON_WIDTH
    sheet.freeze_panes = f"B{heading_row + 1}"
    set_print(sheet, heading_row)
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()


def _short(value: object) -> str:
    return f"{value:.2f}" if isinstance(value, float) else str(value)


def write_comparison(table: pd.DataFrame, path: Path) -> None:
    """Write a comparison as .xlsx or .csv.

    Raises
    ------
    ListError
        If the suffix is another, or the file cannot be written.
    """
    suffix = path.suffix.casefold()
    if suffix not in (".xlsx", ".csv"):
        raise ListError(f"{path}: a comparison is written as .xlsx or .csv.")
    try:
        if suffix == ".csv":
            save(path, without_formulas(table).to_csv(index=False).encode())
        else:
            save(path, comparison_workbook(table))
    except OSError as error:
        raise ListError(f"{path}: cannot be written ({error.strerror or error}).") from error
