"""The live workbook: a priced list whose prices are formulas of its cost items."""

from __future__ import annotations

import numpy as np
import pandas as pd
from openpyxl import Workbook
from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from meshcore.costing.money import money_format
from meshcore.estimates.priced_table import PRICED_COLUMNS
from meshcore.estimates.results import EstimateSet
from meshcore.estimates.unit_prices import delivered, unit_prices
from meshcore.lists import item_sheet
from meshcore.lists.item_sheet import ItemRows, fill_item_sheet, item_rows
from meshcore.lists.reading import ListError
from meshcore.lists.sheets import (
    BOLD,
    STATUS_FILLS,
    LiveCells,
    fit_widths,
    put,
    put_headings,
    put_rows,
    set_print,
)
from meshcore.lists.summary_sheet import LIST_SHEET, fill_summary
from meshcore.reading.tables.cells import column_under

#: Rows of a sheet: Office Open XML spreadsheet limit, less the heading.
MOST_ROWS = 1_048_575
_FORMATS: dict[str, str] = {
    "mesh_count_per_in": "0.00##", "pitch_mm": "0.000#", "aperture_mm": "0.000#",
    "wire_diameter_mm": "0.000#", "open_area_pct": "0.0", "path_ratio": "0.0000",
    "thickness_mm": "0.000", "density_kg_m3": "0", "mass_per_area_kg_m2": "0.0000",
    "net_area_m2": "#,##0.000", "gross_area_m2": "#,##0.000", "yield_pct": "0.0",
    "mass_kg": "#,##0.00", "mass_min_kg": "#,##0.00", "mass_max_kg": "#,##0.00",
}  # fmt: skip
_MONEY = ("cost", "price", "price_min", "price_max", "unit_price")
_SAMPLE = 200


def workbook_bytes(estimates: EstimateSet, made_from: str = "", *, per: str | None = None) -> bytes:
    """Build the workbook.

    Parameters
    ----------
    estimates
        The priced list.
    made_from
        What it was made from and when, for the first sheet; nothing is said where it is empty.
    per
        A unit whose price is to stand in a further column.

    Returns
    -------
    An .xlsx file. Sheets: the summary, the priced list, its cost items, the messages, and the
    data priced with. Costs, prices, masses and yields are formulas: change a rate or a quantity
    among the cost items and the prices follow. Prices at the delivery tolerances are values.

    Raises
    ------
    ListError
        If the list has more lines or cost items than a sheet has rows.
    """
    if max(len(estimates), item_rows(estimates.ledger)) > MOST_ROWS:
        raise ListError(
            f"{len(estimates)} lines have more cost items than a workbook's {MOST_ROWS} rows. "
            "Write .csv or .parquet instead."
        )
    book = Workbook()
    summary = book.active
    assert isinstance(summary, Worksheet)
    summary.title = "Summary"
    listed = book.create_sheet(LIST_SHEET)
    items = book.create_sheet(item_sheet.SHEET)
    live = LiveCells()
    table = estimates.table
    taken = table["order_taken"].tolist()
    rows = fill_item_sheet(items, live, estimates.ledger, line_names(estimates), taken)
    _fill_list(listed, live, estimates, table, rows)
    if per is not None:
        _fill_unit_price(listed, live, estimates, per)
    _fill_messages(book.create_sheet("Messages"), estimates)
    _fill_data(book.create_sheet("Data used"), estimates)
    fill_summary(summary, live, estimates, table, rows, made_from)
    for sheet in (listed, items, *book.worksheets[3:]):
        set_print(sheet)
    book.calculation.fullCalcOnLoad = True
    return live.with_values(book)


def line_names(estimates: EstimateSet) -> list[str]:
    """Name each line as the enquiry does, or by its row."""
    heading = estimates.headings.column.get("line")
    rows = [str(n) for n in range(1, len(estimates) + 1)]
    if heading is None:
        return rows
    named = column_under(estimates.enquiries, heading).astype(str).tolist()
    return [name.strip() or row for name, row in zip(named, rows, strict=True)]


def _fill_list(
    sheet: Worksheet, live: LiveCells, estimates: EstimateSet, table: pd.DataFrame, rows: ItemRows
) -> None:
    headings = [str(c) for c in table.columns]
    put_headings(sheet, 1, headings)
    places = {name: len(headings) - len(PRICED_COLUMNS) + n for n, name in
              enumerate(PRICED_COLUMNS, start=1)}  # fmt: skip
    formats = {places[n]: f for n, f in _FORMATS.items()}
    formats |= {places[n]: money_format(estimates.ledger.digits) for n in _MONEY}
    for number, record in enumerate(table.itertuples(index=False, name=None)):
        row = number + 2
        for column, value in enumerate(record, start=1):
            put(sheet, row, column, value, formats.get(column, ""))
        status = record[places["status"] - 1]
        if status in STATUS_FILLS:
            sheet.cell(row, places["status"]).fill = STATUS_FILLS[status]
        for name, formula in _formulas(row, number, places, estimates, rows).items():
            column = places[name]
            live.put(sheet, row, column, formula, record[column - 1], formats[column])
    shown = table.head(_SAMPLE)
    fit_widths(sheet, {n: [h, *(_short(v) for v in shown.iloc[:, n - 1])]
                       for n, h in enumerate(headings, start=1)})  # fmt: skip
    sheet.freeze_panes = "B2"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(headings))}{len(estimates) + 1}"


def _fill_unit_price(sheet: Worksheet, live: LiveCells, estimates: EstimateSet, per: str) -> None:
    """Write the price of a unit behind the list: the price over what is delivered."""
    headings = [str(cell.value) for cell in sheet[1]]
    price, place = get_column_letter(headings.index("price") + 1), len(headings) + 1
    put(sheet, 1, place, f"price_per_{per}").font = BOLD
    shown, counted = unit_prices(estimates, per), delivered(estimates, per)
    for number in np.flatnonzero(np.isfinite(shown)).tolist():
        row, digits = number + 2, estimates.ledger.digits
        formula = f"=ROUND({price}{row}/{float(counted[number])!r},{digits})"
        live.put(sheet, row, place, formula, float(shown[number]), money_format(digits))


def _short(value: object) -> str:
    return f"{value:.4f}" if isinstance(value, float) else str(value)


def _formulas(
    row: int, number: int, places: dict[str, int], estimates: EstimateSet, rows: ItemRows
) -> dict[str, str]:
    """Formulas of what follows from other cells, by column."""
    at = {name: f"{get_column_letter(column)}{row}" for name, column in places.items()}
    formulas: dict[str, str] = {}
    if estimates.supply.gross_area_m2[number] > 0:
        formulas["yield_pct"] = f"={at['net_area_m2']}/{at['gross_area_m2']}*100"
        if estimates.mass_per_area_kg_m2[number] > 0:
            formulas["mass_kg"] = f"={at['mass_per_area_kg_m2']}*{at['net_area_m2']}"
    if rows.first[number] and estimates.ledger.priced[number]:
        amount = get_column_letter(item_sheet.AMOUNT)
        for name, last in (("cost", rows.last_cost[number]), ("price", rows.last[number])):
            span = f"{amount}{rows.first[number]}:{amount}{last}"
            formulas[name] = f"=SUM('{item_sheet.SHEET}'!{span})"
        quantity = float(estimates.orders.quantity[number])
        formulas["unit_price"] = f"=ROUND({at['price']}/{quantity!r},{estimates.ledger.digits})"
    return formulas


def _fill_messages(sheet: Worksheet, estimates: EstimateSet) -> None:
    put_headings(sheet, 1, ("line", "severity", "field", "read", "message"))
    names = line_names(estimates)
    said = sorted(estimates.log.by_line().items())
    rows = [
        (names[line], m.severity, m.field, m.read, m.text) for line, found_ in said for m in found_
    ]
    put_rows(sheet, 2, rows)
    for cell in sheet["E"]:
        cell.alignment = Alignment(wrap_text=True, vertical="top")
    for letter, width in zip("ABCDE", (10, 10, 16, 28, 110), strict=True):
        sheet.column_dimensions[letter].width = width
    sheet.freeze_panes = "A2"


def _fill_data(sheet: Worksheet, estimates: EstimateSet) -> None:
    book, policy = estimates.book, estimates.policy
    put_headings(sheet, 1, ("what", "name", "date", "note"))
    row = put_rows(
        sheet,
        2,
        [
            ("price book", book.name, book.date, book.note),
            ("supply policy", policy.name, policy.date, policy.note),
            *(("plugin set aside", f.plugin, "", str(f)) for f in estimates.faults),
            *(("rule", "", "", act) for act in estimates.ledger.acts),
        ],
    )
    row += 1
    put_headings(sheet, row, ("rate", "amount and unit", "date", "note"))
    put_rows(
        sheet,
        row + 1,
        [
            (r.name, f"{r.amount:g} {r.currency or ''} {r.unit}".replace("  ", " "), r.date, r.note)
            for r in book.rates
        ],
    )
    for letter, width in zip("ABCD", (34, 30, 14, 90), strict=True):
        sheet.column_dimensions[letter].width = width
