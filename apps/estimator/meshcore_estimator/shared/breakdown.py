"""Why an estimate is what it is: how the price is made up, the verdict, what it rests on."""

from __future__ import annotations

from collections.abc import Hashable, Mapping

import pandas as pd
import streamlit as st

from meshcore.costing.money import minor_digits
from meshcore.costing.stages import COST_STAGES
from meshcore.demo import is_demo_book
from meshcore.estimates.results import EstimateSet
from meshcore.weave.judging.practicality import VERDICTS
from meshcore_estimator.shared import charts
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.numbers import amount as plain
from meshcore_estimator.shared.numbers import percent, short
from meshcore_estimator.shared.parts import (
    VERDICT_TAGS,
    Bar,
    Cell,
    aside,
    bars,
    book_name,
    edited_tag,
    key,
    lines,
    soft,
    table,
    tag,
    whole,
)

_NAME_YOUR_OWN = "Name your own with --book or MESHCORE_PRICE_BOOK."
#: A margin beyond this is ample, and its figure says no more [-].
_AMPLE = 10.0


def price(line: Line) -> None:
    """Draw how the price is made up."""
    items, currency = line.items, str(line["currency"])
    if items.empty:
        return
    st.header("How the price is made up", anchor=False)
    st.html(key(((charts.COST, "cost"), (charts.ADDED, "added to make the price"))))
    with st.container(key="chart"):
        st.html(bars(_bar_rows(items, minor_digits(currency)), f"Amount [{currency}]"))


def _bar_rows(items: pd.DataFrame, digits: int) -> list[Bar]:
    return [
        Bar(
            str(item["label"]), float(item["amount"]), plain(item["amount"], digits),
            "cost" if item["stage"] in COST_STAGES else "added",
        )
        for item in items.to_dict("records")
    ]  # fmt: skip


def cost_items(line: Line) -> None:
    """Draw the cost items as a table that adds up to the price."""
    currency = str(line["currency"])
    st.html(_items_table(line, line.items, currency, minor_digits(currency)))


def _items_table(line: Line, items: pd.DataFrame, currency: str, digits: int) -> str:
    headings = ("Item", "Quantity", f"Rate [{currency}]", f"Amount [{currency}]", "Rule and origin")
    rows = [_item_row(item, currency, digits) for item in items.to_dict("records")]
    total, cost = (plain(float(line[column]), digits) for column in ("price", "cost"))
    foot = (("Price", "", "", total, ""), (soft("of which cost"), "", "", soft(cost), ""))
    return table(headings, rows, numeric=(1, 2, 3), foot=foot, wide=True)


def _item_row(item: Mapping[Hashable, object], currency: str, digits: int) -> tuple[Cell, ...]:
    quantity, rate, unit = float(str(item["quantity"])), float(str(item["rate"])), str(item["unit"])
    in_money = unit == currency
    return (
        lines(str(item["label"]), soft(f"{item['stage']}: {item['driver']}")),
        f"{plain(quantity, digits)} {unit}" if in_money else f"{short(quantity, 5)} {unit}",
        _rate(rate, unit, in_money),
        plain(float(str(item["amount"])), digits),
        lines(f"{item['rule']} ({item['plugin']})", soft(str(item["origin"]))),
    )


def _rate(rate: float, unit: str, in_money: bool) -> str:
    """Write a rate; an amount that is taken whole needs none."""
    if not in_money:
        return f"{short(rate, 5)} / {unit}"
    return "" if rate == 1.0 else percent(rate, 2)


def verdict(line: Line) -> None:
    """Draw whether the cloth can be woven, and what each rule found."""
    practicality = line.estimates.practicality
    code = int(practicality.verdict[line.number])
    st.html(
        f'<div class="mc-title">{tag(VERDICTS[code].capitalize(), VERDICT_TAGS[code]).html}</div>'
    )
    findings = practicality.findings(line.number)
    if not findings:
        return
    rows = [
        (
            lines(f.rule, soft(f.advice)),
            f.measured,
            f.limit,
            _margin(f.margin),
            tag(VERDICTS[f.verdict], VERDICT_TAGS[f.verdict]) if f.verdict else soft("within"),
            lines(f.origin, soft(f.plugin)),
        )
        for f in findings
    ]
    headings = ("Rule", "Found", "Allowed", "Margin", "", "Origin of the limit")
    st.html(table(headings, rows, numeric=(1, 2, 3), wide=True))


def _margin(share: float) -> str:
    return f"over +{percent(_AMPLE, 0)}" if share > _AMPLE else percent(share, 0, signed=True)


def priced_with(estimates: EstimateSet) -> None:
    """Say in a line which book the prices come from, plainly where it is the invented one."""
    book = estimates.book
    text = f"Price book: {book.name}, {book.date.isoformat()}."
    if book.terms is not None:
        text += f" On the terms of {book.terms.customer}."
    if is_demo_book(book):
        text += " Invented for demonstration: nobody's prices."
    mark = f" {edited_tag(book.name).html}"
    st.html(f'<div class="mc-soft">{lines(text).html}{mark}</div>')


def basis(estimates: EstimateSet) -> None:
    """Draw what was estimated with, and which plugins were set aside."""
    st.header("Estimated with", anchor=False)
    book, policy = estimates.book, estimates.policy
    own = _NAME_YOUR_OWN if is_demo_book(book) else ""
    rows: list[tuple[Cell, ...]] = [
        ("Price book", book_name(book.name), whole(book.date.isoformat()),
         lines(soft(book.note), soft(own))),
        ("Supply policy", policy.name, whole(policy.date.isoformat()), soft(policy.note)),
    ]  # fmt: skip
    st.html(table(("", "name", "date", "origin"), rows))
    if estimates.ledger.acts:
        st.html(table((), [(soft(act),) for act in estimates.ledger.acts]))
    faults(estimates)


def faults(estimates: EstimateSet) -> None:
    """Name each plugin that was set aside; the estimate stands without it."""
    for fault in dict.fromkeys(map(str, estimates.faults)):
        st.html(aside(fault, "refused"))
