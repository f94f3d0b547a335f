"""What pricing says of lines: rates that are missing or stale, and what rules remark."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from meshcore.arrays import BoolArray
from meshcore.costing.book.plausible import row_name
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.ledger import LedgerItem
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.rates import RateColumn
from meshcore.costing.rules.checking import RuleCost
from meshcore.costing.rules.running import RuleResults
from meshcore.messages import Message, MessageLog, rule_code


def settle(
    results: RuleResults,
    columns: OrderColumns,
    book: PriceBook,
    alive: BoolArray,
    said: MessageLog,
) -> BoolArray:
    """Say what is missing or remarked; return the lines that are left to be priced."""
    left = alive.copy()
    for entry in results.remarks:
        remark = entry.remark
        by = f" (rule {entry.rule.name}, plugin {entry.plugin})"
        rows = remark.applies & alive
        said.add(
            rows,
            Message(
                remark.field,
                remark.read,
                remark.text + by,
                remark.severity,
                code=remark.code or rule_code(entry.rule.name),
            ),
        )
        if remark.severity == "refused":
            left &= ~rows
    for cost in results.costs:
        for used in cost.looked_up:
            left = _refuse_missing(cost, used, columns, book, left, said)
        if not isinstance(cost.column.rate, RateColumn):
            rows = left & np.isnan(cost.rate)
            text = f"rule {cost.rule.name} (plugin {cost.plugin}) has no rate for this line."
            said.add(
                rows, Message("price", cost.column.label, text, code="price.rule_without_rate")
            )
            left &= ~rows
        left = _refuse_astray(cost, left, said)
    return left


def refuse_beyond(
    beyond: Sequence[tuple[RuleCost, BoolArray]], priced: BoolArray, said: MessageLog
) -> BoolArray:
    """Refuse the lines whose amounts came out too large to be money; return those that are left.

    Parameters
    ----------
    beyond
        Costs, each with the lines on which it is, or makes the sum, too large.
    priced
        The lines priced so far.
    said
        Receives the refusals.
    """
    left = priced
    for cost, rows in beyond:
        left = _refuse(cost, "price", rows, left, said)
    return left


def _refuse_astray(cost: RuleCost, left: BoolArray, said: MessageLog) -> BoolArray:
    for name, rows in cost.astray.items():
        left = _refuse(cost, name, rows, left, said)
    return left


def _refuse(
    cost: RuleCost, field: str, rows: BoolArray, left: BoolArray, said: MessageLog
) -> BoolArray:
    """Refuse those of the lines left whose amount is no money."""
    text = (
        f"rule {cost.rule.name} (plugin {cost.plugin}) comes to an amount that is no finite "
        "number, or too large to be money: sizes beyond reason, or a rate of zero or beyond "
        "reason in the rule or the price book. Mend the sizes of the line, the rule or the book."
    )
    said.add(left & rows, Message(field, cost.column.label, text, code="price.amount_not_finite"))
    return left & ~rows


#: What keys of the rates of services begin with.
_SERVICE = "service."


def _refuse_missing(
    cost: RuleCost,
    used: RateColumn,
    columns: OrderColumns,
    book: PriceBook,
    left: BoolArray,
    said: MessageLog,
) -> BoolArray:
    values = used.values
    if not values.size or not np.isnan(values[0] if values.strides == (0,) else values.sum()):
        return left
    needed = left & np.isnan(values)
    if not cost.column.base:
        needed &= cost.quantity != 0.0
    if used.key.startswith(_SERVICE):
        # The cloth can be had all the same: it is the service that has no rate.
        text = f"price book {book.name} has {used.lacks}. Add it there, or leave the service out."
        name = used.key.removeprefix(_SERVICE)
        said.add(needed, Message("services", name, text, code="price.service_rate_missing"))
        return left & ~needed
    if whole := _lacking_altogether(used, book):
        said.add(needed, whole)
        return left & ~needed
    codes = columns.cloth.alloy[needed]
    for code in np.unique(codes).tolist():
        alloy = columns.cloth.alloys[code].designation
        text = f"price book {book.name} has {used.lacks}. Add it there, or ask for another alloy."
        said.add(
            needed & (columns.cloth.alloy == code),
            Message("alloy", alloy, text, code="price.rate_missing"),
        )
    return left & ~needed


def _lacking_altogether(used: RateColumn, book: PriceBook) -> Message | None:
    """Say that the book has no row of a key, or none of the kind; None where others lines have."""
    rows = book.by_key.get(used.key, ())
    if not rows:
        text = f"price book {book.name} has {used.lacks}, and a price needs it. Add it there."
        return Message("price book", used.key, text, code="price.key_missing")
    if not used.lacks.startswith("no "):
        text = f"{used.lacks}. Mend its unit or its currency in price book {book.name}."
        return Message("price book", row_name(rows[0]), text, code="price.key_of_another_kind")
    return None


def warn_of_stale(
    items: Sequence[LedgerItem], book: PriceBook, today: date, said: MessageLog
) -> None:
    """Warn of the rates that lines rest on and that are older than the book allows."""
    masks: dict[tuple[str, str], BoolArray] = {}
    for item in items:
        looked_up = (*item.uses, item.origin)
        for used in (column for column in looked_up if isinstance(column, RateColumn)):
            stale, age = used.stale(today, book.stale_after_days)
            if stale is not None and stale.any():
                rows = stale & (item.minor != 0.0)
                key = (used.key, age)
                masks[key] = rows if key not in masks else masks[key] | rows
    for (name, age), rows in masks.items():
        text = f"{age}; the book's rates are warned about after {book.stale_after_days} days."
        said.add(rows, Message("price book", name, text, "note", code="price.rate_stale"))
