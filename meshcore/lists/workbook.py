"""The live workbook: a priced list whose prices are formulas of its cost items."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import date

import pandas as pd
from openpyxl import Workbook
from openpyxl.chart import BarChart, Reference
from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from meshcore import report
from meshcore.lists import item_sheet
from meshcore.lists.item_sheet import ItemRows, fill_item_sheet, item_rows, money_format
from meshcore.lists.reading import ListError
from meshcore.lists.sheets import (
    BOLD,
    STATUS_FILLS,
    TITLE,
    fit_widths,
    put,
    put_formula,
    put_headings,
    put_rows,
    set_print,
)
from meshcore.priced_table import PRICED_COLUMNS, priced_table
from meshcore.results import EstimateSet

LIST_SHEET = "Priced list"
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


def workbook_bytes(found: EstimateSet) -> bytes:
    """Build the workbook.

    Parameters
    ----------
    found
        The priced list.

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
    if max(len(found), item_rows(found.ledger)) > MOST_ROWS:
        raise ListError(
            f"{len(found)} lines have more cost items than a workbook's {MOST_ROWS} rows. "
            "Write .csv or .parquet instead."
        )
    book = Workbook()
    summary = book.active
    assert isinstance(summary, Worksheet)
    summary.title = "Summary"
    listed = book.create_sheet(LIST_SHEET)
    items = book.create_sheet(item_sheet.SHEET)
    rows = fill_item_sheet(items, found.ledger, line_names(found))
    table = priced_table(found)
    _fill_list(listed, found, table, rows)
    _fill_messages(book.create_sheet("Messages"), found)
    _fill_data(book.create_sheet("Data used"), found)
    _fill_summary(summary, found, table, rows)
    for sheet in (listed, items, *book.worksheets[3:]):
        set_print(sheet)
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()


def line_names(found: EstimateSet) -> list[str]:
    """Name each line as the enquiry does, or by its row."""
    heading = found.headings.column.get("line")
    rows = [str(n) for n in range(1, len(found) + 1)]
    if heading is None:
        return rows
    named = found.enquiries[heading].astype(str).tolist()
    return [name.strip() or row for name, row in zip(named, rows, strict=True)]


def _fill_list(sheet: Worksheet, found: EstimateSet, table: pd.DataFrame, rows: ItemRows) -> None:
    headings = [str(c) for c in table.columns]
    put_headings(sheet, 1, headings)
    places = {name: len(headings) - len(PRICED_COLUMNS) + n for n, name in
              enumerate(PRICED_COLUMNS, start=1)}  # fmt: skip
    formats = {places[n]: f for n, f in _FORMATS.items()}
    formats |= {places[n]: money_format(found.ledger.digits) for n in _MONEY}
    for number, record in enumerate(table.itertuples(index=False, name=None)):
        row = number + 2
        for column, value in enumerate(record, start=1):
            put(sheet, row, column, value, formats.get(column, ""))
        status = record[places["status"] - 1]
        if status in STATUS_FILLS:
            sheet.cell(row, places["status"]).fill = STATUS_FILLS[status]
        _put_formulas(sheet, row, number, places, formats, found, rows)
    shown = table.head(_SAMPLE)
    fit_widths(sheet, {n: [h, *(_short(v) for v in shown.iloc[:, n - 1])]
                       for n, h in enumerate(headings, start=1)})  # fmt: skip
    sheet.freeze_panes = "B2"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(headings))}{len(found) + 1}"


def _short(value: object) -> str:
    return f"{value:.4f}" if isinstance(value, float) else str(value)


def _put_formulas(
    sheet: Worksheet,
    row: int,
    number: int,
    places: dict[str, int],
    formats: dict[int, str],
    found: EstimateSet,
    rows: ItemRows,
) -> None:
    """Write what follows from other cells as formulas."""
    at = {name: f"{get_column_letter(column)}{row}" for name, column in places.items()}
    formulas: dict[str, str] = {}
    if found.supply.gross_area_m2[number] > 0:
        formulas["yield_pct"] = f"={at['net_area_m2']}/{at['gross_area_m2']}*100"
        if found.mass_per_area_kg_m2[number] > 0:
            formulas["mass_kg"] = f"={at['mass_per_area_kg_m2']}*{at['net_area_m2']}"
    if rows.first[number] and found.ledger.priced[number]:
        amount = get_column_letter(item_sheet.AMOUNT)
        for name, last in (("cost", rows.last_cost[number]), ("price", rows.last[number])):
            span = f"{amount}{rows.first[number]}:{amount}{last}"
            formulas[name] = f"=SUM('{item_sheet.SHEET}'!{span})"
        quantity = float(found.orders.quantity[number])
        formulas["unit_price"] = f"=ROUND({at['price']}/{quantity!r},{found.ledger.digits})"
    for name, formula in formulas.items():
        put_formula(sheet, row, places[name], formula, formats[places[name]])


def _fill_messages(sheet: Worksheet, found: EstimateSet) -> None:
    put_headings(sheet, 1, ("line", "severity", "field", "read", "message"))
    names = line_names(found)
    said = sorted(found.log.by_line().items())
    rows = [
        (names[line], m.severity, m.field, m.read, m.text) for line, found_ in said for m in found_
    ]
    put_rows(sheet, 2, rows)
    for cell in sheet["E"]:
        cell.alignment = Alignment(wrap_text=True, vertical="top")
    for letter, width in zip("ABCDE", (10, 10, 16, 28, 110), strict=True):
        sheet.column_dimensions[letter].width = width
    sheet.freeze_panes = "A2"


def _fill_data(sheet: Worksheet, found: EstimateSet) -> None:
    book, policy = found.book, found.policy
    put_headings(sheet, 1, ("what", "name", "date", "note"))
    row = put_rows(
        sheet,
        2,
        [
            ("price book", book.name, book.date, book.note),
            ("supply policy", policy.name, policy.date, policy.note),
            *(("plugin set aside", f.plugin, "", str(f)) for f in found.faults),
            *(("rule", "", "", act) for act in found.ledger.acts),
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


def _fill_summary(
    sheet: Worksheet, found: EstimateSet, table: pd.DataFrame, rows: ItemRows
) -> None:
    put(sheet, 1, 1, "Estimate for woven wire cloth").font = TITLE
    facts = (("Priced on", date.today()), ("Price book", report.book_text(found)),
             ("Supply policy", report.policy_text(found)))  # fmt: skip
    for row, (label, fact) in enumerate(facts, start=3):
        put(sheet, row, 1, label).alignment = Alignment(vertical="top")
        _put_wide(sheet, row, 2, fact, 1)
    heads = [str(c) for c in table.columns]
    status, price = (get_column_letter(heads.index(n) + 1) for n in ("status", "price"))
    last = len(found) + 1
    row = 7
    put_headings(sheet, row, ("Lines", "count"))
    for name in ("ok", "review", "refused"):
        row += 1
        put(sheet, row, 1, name)
        put_formula(sheet, row, 2, f"=COUNTIF('{LIST_SHEET}'!{status}2:{status}{last},\"{name}\")")
    first_stage = row + 2
    row = _put_stage_totals(sheet, first_stage, found, rows)
    put(sheet, row, 1, "Total").font = BOLD
    total = f"=SUM('{LIST_SHEET}'!{price}2:{price}{last})"
    put_formula(sheet, row, 2, total, money_format(found.ledger.digits))
    sheet.cell(row, 2).font = BOLD
    _put_wide(sheet, row + 2, 1, report.CAUTION, _CAUTION_ROWS)
    for letter, width in zip("ABCDEFGH", (24, 18, *[12] * 6), strict=True):
        sheet.column_dimensions[letter].width = width
    if row > first_stage + 1:
        _add_chart(sheet, first_stage, row - 1)
    set_print(sheet)


#: Last column of the summary, and the rows that the caution takes when wrapped.
_SUMMARY_COLUMNS, _CAUTION_ROWS = 8, 3


def _put_wide(sheet: Worksheet, row: int, column: int, value: object, rows: int) -> None:
    """Write across the summary's columns, wrapped, left-aligned."""
    cell = put(sheet, row, column, value)
    cell.alignment = Alignment(wrap_text=True, vertical="top", horizontal="left")
    sheet.merge_cells(
        start_row=row, end_row=row + rows - 1, start_column=column, end_column=_SUMMARY_COLUMNS
    )
    if rows == 1 and len(str(value)) > _ONE_LINE:
        sheet.row_dimensions[row].height = 2 * _ROW_HEIGHT


#: Width and height of the chart [cm].
_CHART_SIZE_CM = (15, 8)
#: Characters that fit on one line of the summary, and the height of a row [pt].
_ONE_LINE, _ROW_HEIGHT = 95, 15


def _add_chart(sheet: Worksheet, first: int, last: int) -> None:
    """Draw the stages' amounts as bars beside their table, first stage on top."""
    chart = BarChart()
    chart.type = "bar"
    chart.add_data(Reference(sheet, min_col=2, min_row=first, max_row=last), titles_from_data=True)
    chart.set_categories(Reference(sheet, min_col=1, min_row=first + 1, max_row=last))
    chart.legend = None
    chart.title = None
    chart.x_axis.scaling.orientation = "maxMin"
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.x_axis.tickLblPos = "low"
    chart.y_axis.number_format = "#,##0"
    chart.gapWidth = 40
    chart.width, chart.height = _CHART_SIZE_CM
    sheet.add_chart(chart, f"D{first - 5}")


def _put_stage_totals(sheet: Worksheet, start: int, found: EstimateSet, rows: ItemRows) -> int:
    """Write the sum of each stage as a formula; return the row after the last."""
    put_headings(sheet, start, ("Stage", f"amount [{found.ledger.currency}]"))
    stage, amount = (get_column_letter(c) for c in (item_sheet.STAGE, item_sheet.AMOUNT))
    items = item_sheet.SHEET
    end = max(rows.end, 2)
    row = start
    for name in _stages(found):
        row += 1
        put(sheet, row, 1, name)
        formula = (
            f"=SUMIF('{items}'!{stage}2:{stage}{end},A{row},'{items}'!{amount}2:{amount}{end})"
        )
        put_formula(sheet, row, 2, formula, money_format(found.ledger.digits))
    return row + 1


def _stages(found: EstimateSet) -> Sequence[str]:
    return list(found.ledger.stage_totals())
