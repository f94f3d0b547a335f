"""The sheet of cost items: each amount is a live formula of its quantity and rate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from meshcore.costing.ledger import Ledger, LedgerItem
from meshcore.costing.money import from_minor, money_format
from meshcore.costing.stages import COST_STAGES
from meshcore.lists.sheets import LiveCells, fit_widths, put, put_headings

SHEET = "Cost items"
HEADINGS = (
    "line",
    "stage",
    "item",
    "driver",
    "quantity",
    "unit",
    "rate",
    "amount",
    "currency",
    "rule",
    "origin of the rate",
    "order_taken",
)
LINE, STAGE, ITEM, DRIVER, QUANTITY, UNIT, RATE, AMOUNT, CURRENCY, RULE, ORIGIN, ORDER = range(
    1, 13
)
_FIRST_ROW = 2


@dataclass(frozen=True, slots=True)
class ItemRows:
    """Where each line's items stand on the sheet: first row, last row of its cost, last row.

    A line without items has zeros.
    """

    first: Sequence[int]
    last_cost: Sequence[int]
    last: Sequence[int]
    end: int


def item_rows(ledger: Ledger) -> int:
    """Rows that the sheet will need."""
    return int(sum(np.count_nonzero(item.minor) for item in ledger.items))


def fill_item_sheet(
    sheet: Worksheet,
    live: LiveCells,
    ledger: Ledger,
    line_names: Sequence[str],
    orders_taken: Sequence[int],
) -> ItemRows:
    """Write every item of every line, line by line, in the order in which they were worked.

    Returns
    -------
    Where each line's items stand, for the formulas of other sheets.
    """
    put_headings(sheet, 1, HEADINGS)
    lines = len(line_names)
    first, last_cost, last = [0] * lines, [0] * lines, [0] * lines
    row = _FIRST_ROW
    for line in range(lines):
        arising = [item for item in ledger.items if item.minor[line] != 0.0]
        placed: list[tuple[LedgerItem, int]] = []
        first[line] = row if arising else 0
        for item in arising:
            _put_item(sheet, live, row, line, line_names[line], item, placed, ledger)
            put(sheet, row, ORDER, orders_taken[line])
            placed.append((item, row))
            last_cost[line] = row if item.stage in COST_STAGES else last_cost[line]
            last[line] = row
            row += 1
    _fit(sheet, ledger, line_names)
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(HEADINGS))}{max(row - 1, 1)}"
    return ItemRows(first, last_cost, last, row - 1)


def _put_item(
    sheet: Worksheet,
    live: LiveCells,
    row: int,
    line: int,
    name: str,
    item: LedgerItem,
    placed: Sequence[tuple[LedgerItem, int]],
    ledger: Ledger,
) -> None:
    origin = item.origins(np.array([line]))[0]
    texts = {
        LINE: name, STAGE: item.stage, ITEM: item.label, DRIVER: item.driver, UNIT: item.unit,
        CURRENCY: ledger.currency, RULE: item.rule, ORIGIN: origin,
    }  # fmt: skip
    for column, text in texts.items():
        put(sheet, row, column, text)
    base = _base_formula(item, line, placed)
    if base:
        sign = "-" if item.quantity[line] < 0 else ""
        quantity = float(item.quantity[line])
        live.put(sheet, row, QUANTITY, f"={sign}{base}", quantity, money_format(ledger.digits))
    else:
        put(sheet, row, QUANTITY, float(item.quantity[line]), "#,##0.####")
    put(sheet, row, RATE, float(item.rate[line]), "#,##0.0000##")
    amount = f"=ROUND({_at(QUANTITY, row)}*{_at(RATE, row)},{ledger.digits})"
    shown = money_format(ledger.digits)
    value = float(from_minor(item.minor, ledger.digits)[line])
    if item.shared:
        put(sheet, row, AMOUNT, value, shown)
    else:
        live.put(sheet, row, AMOUNT, amount, value, shown)


def _at(column: int, row: int) -> str:
    return f"{get_column_letter(column)}{row}"


def _base_formula(item: LedgerItem, line: int, placed: Sequence[tuple[LedgerItem, int]]) -> str:
    """Write the quantity of a share or top-up as a formula; empty where it is a plain number.

    An amount that an order shares over its lines depends on other lines; it stays a number.
    """
    if not item.base or item.shared or not placed:
        return ""
    if "subtotal" in item.base:
        total = f"SUM({_at(AMOUNT, placed[0][1])}:{_at(AMOUNT, placed[-1][1])})"
    else:
        cells = [_at(AMOUNT, row) for other, row in placed if other.stage in item.base]
        total = f"SUM({','.join(cells)})"
    target = float(item.target[line])
    match item.top_up:
        case "floor":
            return f"MAX(0,{target!r}-{total})"
        case "net":
            return f"{target!r}-{total}"
        case "step up":
            return f"CEILING({total},{target!r})-{total}"
        case "step nearest":
            return f"ROUND({total}/{target!r},0)*{target!r}-{total}"
        case _:
            return total


def _fit(sheet: Worksheet, ledger: Ledger, line_names: Sequence[str]) -> None:
    texts: dict[int, list[str]] = {n: [h] for n, h in enumerate(HEADINGS, start=1)}
    texts[LINE] += line_names
    for item in ledger.items:
        for column, text in (
            (STAGE, item.stage), (ITEM, item.label), (DRIVER, item.driver), (UNIT, item.unit),
            (RULE, item.rule), (ORIGIN, "m" * 40), (QUANTITY, "1,000,000.00"),
            (RATE, "10,000.0000"), (AMOUNT, "1,000,000.00"),
        ):  # fmt: skip
            texts[column].append(text)
    fit_widths(sheet, texts)
