"""The sheet on which every line is reckoned: amounts, and how each comes about, as formulas."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from textwrap import wrap

import numpy as np
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from meshcore.arrays import FloatArray
from meshcore.costing.ledger import LedgerItem
from meshcore.costing.money import from_minor, money_format
from meshcore.costing.stages import COST_STAGES
from meshcore.enquiry import ROLL
from meshcore.estimates.live_ledger import LiveLedger
from meshcore.estimates.results import EstimateSet
from meshcore.lists.bulk_rows import BulkRows
from meshcore.lists.rates_sheet import INPUT_FILL, OPEN, RateNames
from meshcore.lists.reckoning_formulas import own_amount, quantity_of, rate_of
from meshcore.lists.reckoning_parts import (
    FIRST_AMOUNT,
    HEAD_ROWS,
    LINE,
    ORDER,
    QUANTITY,
    Column,
    Places,
    SharedFigures,
    Working,
    runs,
)
from meshcore.lists.reckoning_shares import share_of
from meshcore.lists.sheets import BOLD, LINE_POINTS, WRAPPED, put, put_headings, set_print

#: Width of a column of amounts, quantities or rates, in characters.
_WIDTH = 13
LOCKED = (
    "Locked: strips and pieces are cut from a layout of all of them, and cloth on hand is counted "
    "out. Change the quantity in the enquiry list and price it again with the library."
)


def fill_reckoning(
    sheet: Worksheet,
    shared: Worksheet,
    bulk: BulkRows,
    live: LiveLedger,
    names: RateNames,
    estimates: EstimateSet,
    line_names: Sequence[str],
    orders_taken: Sequence[int],
) -> Places:
    """Write every line with every item that may arise on it.

    Returns
    -------
    Where the totals stand, for the formulas of other sheets.
    """
    put_headings(shared, 1, ("what several lines share", "figure"))
    shared.column_dimensions["A"].width, shared.column_dimensions["B"].width = 70, 18
    digits = estimates.ledger.digits
    made = Working(estimates, live, names, SharedFigures(shared), digits=digits)
    items = live.ledger.items
    amounts = [_amount(made, n) for n in range(len(items))]
    places = _places(items)
    totals = _totals(made, places)
    heads = [
        Column("", "", "line", lambda _n: ""),
        Column("", "", "order_taken", lambda _n: ""),
        Column("", "", "quantity", lambda _n: ""),
    ]
    every = [*heads, *amounts, *totals, *made.columns]
    _put_head(sheet, every)
    _put_rows(bulk, sheet, made, every, line_names, orders_taken)
    _explain_locks(sheet, live)
    sheet.freeze_panes = f"{get_column_letter(FIRST_AMOUNT)}{HEAD_ROWS + 1}"
    # What amounts are reckoned from is looked up on the screen; it would take ten pages across.
    columns = len(heads) + len(amounts) + len(totals)
    set_print(sheet, HEAD_ROWS, (columns, Places.row(max(len(estimates), 1) - 1)))
    set_print(shared)
    return places


def _places(items: Sequence[LedgerItem]) -> Places:
    first, last = FIRST_AMOUNT, FIRST_AMOUNT + len(items) - 1
    cost, price, low, high = (get_column_letter(last + n) for n in range(1, 5))
    stages: dict[str, tuple[str, str]] = {}
    for number, item in enumerate(items):
        letter = get_column_letter(first + number)
        begin, _ = stages.get(item.stage, (letter, letter))
        stages[item.stage] = (begin, letter)
    ends = (get_column_letter(first), get_column_letter(max(last, first)))
    return Places(cost, price, low, high, get_column_letter(QUANTITY), ends, stages)


def _totals(made: Working, places: Places) -> list[Column]:
    estimates, digits = made.estimates, made.digits
    items = made.live.ledger.items
    in_cost = [n for n, item in enumerate(items) if item.stage in COST_STAGES]
    cost_end = get_column_letter(FIRST_AMOUNT + max(in_cost, default=0))
    first, last = places.amounts

    def summed(end: str) -> Callable[[int], str]:
        return lambda n: f"ROUND(SUM({first}{Places.row(n)}:{end}{Places.row(n)}),{digits})"

    def billed(ratio: FloatArray) -> Callable[[int], str]:
        def formula(n: int) -> str:
            row = Places.row(n)
            if estimates.orders.form[n] != ROLL:
                return f"{places.price}{row}"
            return f"ROUND({places.price}{row}*{float(ratio[n])!r},{digits})"

        return formula

    supply, ledger = estimates.supply, estimates.ledger
    ends = (estimates.price_low_minor, estimates.price_high_minor)
    low, high = (from_minor(minor, digits) for minor in ends)
    return [
        Column("", "", "cost", summed(cost_end), ledger.cost, True),
        Column("", "", "price", summed(last), ledger.price, True),
        Column("", "", "price_min", billed(supply.length_low), low, True),
        Column("", "", "price_max", billed(supply.length_high), high, True),
    ]


def _amount(made: Working, number: int) -> Column:
    """Return the column of an item's amounts; what it is reckoned from goes to the workings."""
    item = made.live.ledger.items[number]
    quantity = quantity_of(made, number)
    rate = made.add(Column(item.stage, item.label, "rate", rate_of(made, number)))
    value = from_minor(item.minor, made.digits)
    own = own_amount(made, item, quantity, rate)
    formula = share_of(made, number, item, quantity, rate, own) if item.shared else own
    return Column(item.stage, item.label, item.driver, formula, value, True)


def _put_head(sheet: Worksheet, every: Sequence[Column]) -> None:
    for number, column in enumerate(every, start=1):
        for row, text in enumerate((column.stage, column.item, column.what), start=1):
            head = put(sheet, row, number, text)
            head.font, head.alignment = BOLD, WRAPPED
        sheet.column_dimensions[get_column_letter(number)].width = _WIDTH
    for row, texts in enumerate(
        zip(*((c.stage, c.item, c.what) for c in every), strict=True), start=1
    ):
        lines = max(_lines(text) for text in texts)
        sheet.row_dimensions[row].height = lines * LINE_POINTS


def _lines(text: str) -> int:
    """How many lines a heading takes in its column; bold letters are a little wider."""
    return len(wrap(text, _WIDTH - 2)) or 1


def _put_rows(
    bulk: BulkRows,
    sheet: Worksheet,
    made: Working,
    every: Sequence[Column],
    line_names: Sequence[str],
    orders_taken: Sequence[int],
) -> None:
    money = money_format(made.digits)
    styles = {
        is_money: bulk.style(sheet, money if is_money else "General") for is_money in (True, False)
    }
    open_cell = bulk.style(sheet, "General", OPEN, INPUT_FILL)
    quantity, priced = made.estimates.orders.quantity, made.live.ledger.priced
    formulas = list(enumerate(every, start=1))[FIRST_AMOUNT - 1 :]
    letters = {number: get_column_letter(number) for number, _ in formulas}
    for n in range(len(made.estimates)):
        row = bulk.row(sheet, Places.row(n))
        row.text(LINE, line_names[n])
        row.number_at(ORDER, float(orders_taken[n]))
        row.number_at(QUANTITY, float(quantity[n]),
                   open_cell if made.live.adjustable[n] else styles[False])  # fmt: skip
        if priced[n]:
            for number, column in formulas:
                value = None if column.value is None else float(column.value[n])
                row.formula(letters[number], column.formula(n), value, styles[column.is_money])
        row.end()


def _explain_locks(sheet: Worksheet, live: LiveLedger) -> None:
    """Say at each quantity that is locked why it is, when the cell is chosen."""
    locked = np.flatnonzero(~live.adjustable).tolist()
    if not locked:
        return
    letter = get_column_letter(QUANTITY)
    # All at once: added one by one, each is held against all before it.
    cells = " ".join(
        f"{letter}{Places.row(run[0])}:{letter}{Places.row(run[-1])}" for run in runs(locked)
    )
    said = DataValidation(sqref=cells, allow_blank=True, showInputMessage=True)
    said.promptTitle, said.prompt = "Locked", LOCKED[:255]
    sheet.add_data_validation(said)
