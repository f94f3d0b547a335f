"""The first sheet of a workbook: totals, stages, what was priced with, cautions."""

from __future__ import annotations

import math
from datetime import date

import numpy as np
import pandas as pd
from openpyxl.chart import BarChart, Reference
from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from meshcore.costing.money import money_format
from meshcore.estimates.live_ledger import LiveLedger
from meshcore.estimates.results import EstimateSet
from meshcore.estimates.summary import list_totals
from meshcore.estimates.wording import CAUTION, book_text, policy_text
from meshcore.lists.own_sheets import LISTED, RECKONING
from meshcore.lists.reckoning_parts import Places
from meshcore.lists.sheets import BOLD, TITLE, LiveCells, put, put_headings, set_print


def fill_summary(
    sheet: Worksheet,
    live: LiveCells,
    estimates: EstimateSet,
    table: pd.DataFrame,
    reckoned: tuple[Places, LiveLedger] | None,
    made_from: str,
) -> None:
    """Write totals, stages with their chart, what was priced with, and the caution."""
    put(sheet, 1, 1, "Estimate for woven wire cloth").font = TITLE
    if made_from:
        _put_wide(sheet, 2, 1, made_from, 1)
    facts = (("Priced on", date.today()), ("Price book", book_text(estimates.book)),
             ("Supply policy", policy_text(estimates.policy)),
             ("Priced as", estimates.orders_taken))  # fmt: skip
    for row, (label, fact) in enumerate(facts, start=3):
        put(sheet, row, 1, label).alignment = Alignment(vertical="top")
        _put_wide(sheet, row, 2, fact, 1)
    heads = [str(c) for c in table.columns]
    status, price, taken = (
        get_column_letter(heads.index(n) + 1) for n in ("status", "price", "order_taken")
    )
    last = len(estimates) + 1
    row = 8
    put_headings(sheet, row, ("Lines", "count"))
    totals = list_totals(estimates)
    for name, count in (("ok", totals.ok), ("review", totals.review), ("refused", totals.refused)):
        row += 1
        put(sheet, row, 1, name)
        counted = f"=COUNTIF('{LISTED}'!{status}2:{status}{last},\"{name}\")"
        live.put(sheet, row, 2, counted, count)
    first_stage = row + 2
    row = first_stage
    if reckoned is not None:
        row = _put_stage_totals(sheet, live, first_stage, estimates, reckoned[0])
    put(sheet, row, 1, "Total").font = BOLD
    spans = (f"'{LISTED}'!{letter}2:{letter}{last}" for letter in (taken, price))
    total = '=SUMIF({},">0",{})'.format(*spans)
    live.put(sheet, row, 2, total, totals.price, money_format(estimates.ledger.digits))
    sheet.cell(row, 2).font = BOLD
    _put_wide(sheet, row + 2, 1, CAUTION, _CAUTION_ROWS)
    for letter, width in zip("ABCDEFGH", (24, 18, *[12] * 6), strict=True):
        sheet.column_dimensions[letter].width = width
    if reckoned is not None and row > first_stage + 1:
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


def _put_stage_totals(
    sheet: Worksheet, live: LiveCells, start: int, estimates: EstimateSet, places: Places
) -> int:
    """Write the sum of each stage as a formula; return the row after the last."""
    put_headings(sheet, start, ("Stage", f"amount [{estimates.ledger.currency}]"))
    first, last = places.row(0), places.row(max(len(estimates) - 1, 0))
    order = f"{RECKONING}!B{first}:B{last}"
    totals = estimates.ledger.stage_totals()
    row = start
    for name, (begin, end) in places.stages.items():
        row += 1
        put(sheet, row, 1, name)
        amounts = f"{RECKONING}!{begin}{first}:{end}{last}"
        formula = f"=SUMPRODUCT(({order}>0)*({amounts}))"
        held = totals.get(name, np.zeros(len(estimates)))
        value = math.fsum(held[~estimates.options].tolist())
        live.put(sheet, row, 2, formula, value, money_format(estimates.ledger.digits))
    return row + 1
