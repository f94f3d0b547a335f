"""Bills on file: what was delivered, charged from the same figures as the price."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from datetime import UTC, date, datetime

import numpy as np

from meshcore.costing.money import to_minor
from meshcore.documents.facts import ClothLine, with_taxes
from meshcore.documents.orders import Delivered, Order
from meshcore.register.amounts import amount_key
from meshcore.register.billing import running_shares
from meshcore.register.connecting import Register
from meshcore.register.entries import Entry, children, entry, kinds_of
from meshcore.register.errors import ChangedMeanwhileError, RecordsError
from meshcore.register.indexing import Head
from meshcore.register.labels import (
    Measured,
    billed_places,
    delivered_m,
    measured,
)
from meshcore.register.orders import found_line, standing
from meshcore.register.proportions import over_ordered
from meshcore.register.storing import insert, next_number
from meshcore.rounding import SLACK


def delivered_goods(
    order: Order, labels: Sequence[Entry], bills: Sequence[Entry] = ()
) -> list[Delivered]:
    """Reckon what is charged for what was delivered and is on no bill yet.

    Parameters
    ----------
    order, labels
        The order, and its labels with what was delivered under each.
    bills
        Those on file already.

    Notes
    -----
    A line is charged the share of its amount that its deliveries are of what was ordered: rolls by
    length, strips and pieces by count. The share of all deliveries so far is rounded, and what is
    billed already is taken off, so that a line delivered as ordered comes to its amount to the
    cent, on however many bills.
    """
    billed = billed_places(bills)
    before = [Delivered(**one) for bill in bills for one in bill.body["goods"]]
    goods: list[Delivered] = []
    for line in order.lines:
        held = [
            (label, one)
            for label in labels
            if label.body["line"] == line.label
            for one in measured(label)
        ]
        old = [one for label, one in held if (label.number, one.place) in billed]
        new = [(label, one) for label, one in held if (label.number, one.place) not in billed]
        charged = sum(one.amount_minor for one in before if one.line == line.label)
        amounts = _charges(line, [*old, *(one for _, one in new)], len(old), charged)
        goods += [
            Delivered(
                label=label.number, line=line.label, heat=one.heat, place=one.place,
                ordered_m=line.length_m if line.form == "roll" else 0.0,
                delivered_m=one.length_m, count=one.count, amount_minor=amount,
                within=_within(line, label),
            )
            for (label, one), amount in zip(new, amounts, strict=True)
        ]  # fmt: skip
    return goods


def _charges(line: ClothLine, every: list[Measured], old: int, charged: int) -> list[int]:
    """Charge each delivery after the first `old`, for which `charged` is billed [minor units]."""
    is_roll = line.form == "roll"
    whole = line.length_m * line.quantity if is_roll else float(line.quantity)
    parts = np.array([one.length_m if is_roll else float(one.count) for one in every])
    shares = running_shares(parts, float(line.amount_minor) / whole, 0)[old:]
    if not len(shares):
        return []
    due = int(to_minor(np.array([parts.sum() * line.amount_minor / whole]), 0)[0])
    # The first of them makes good what earlier bills rounded otherwise.
    first = due - charged - int(shares[1:].sum())
    return [first, *(int(share) for share in shares[1:])]


def over_charged(order: Order, labels: Sequence[Entry], goods: Sequence[Delivered]) -> list[str]:
    """Tell which lines on a bill come, with all their deliveries, to more than was ordered."""
    told = {one.line for one in goods}
    return [
        text
        for line in order.lines
        if line.label in told
        for text in over_ordered(
            line,
            sum(
                one.length_m if line.form == "roll" else one.count
                for label in labels
                if label.body["line"] == line.label
                for one in measured(label)
            ),
        )
    ]


def _within(line: ClothLine, label: Entry) -> bool:
    if line.form != "roll":
        return sum(one.count for one in measured(label)) <= line.quantity
    off = delivered_m(label) / line.length_m - 1.0
    return -line.under[0] - SLACK <= off <= line.over[0] + SLACK


def billed_goods(opened: Entry) -> list[Delivered]:
    """Return what a bill on file charges."""
    return [Delivered(**one) for one in opened.body["goods"]]


def file_bill(
    register: Register, opened: Entry, *, day: date | None = None, who: str = ""
) -> tuple[Entry, list[Delivered]]:
    """File the bill of what is delivered and not billed yet; return it, and what it charges.

    Raises
    ------
    RecordsError
        If nothing is left to be billed.
    """
    order = standing(opened)
    bills = children(register, opened, "bill")
    goods = delivered_goods(order, children(register, opened, "label"), bills)
    if not goods:
        raise RecordsError(
            f"order {order.number}: nothing delivered is left to be billed. Note what was."
        )
    made = day or datetime.now(UTC).date()
    net = sum(one.amount_minor for one in goods)
    head = Head(
        day=made.isoformat(), sender=order.to.name, reference=order.buyer_number,
        title=order.number, currency=order.currency, digits=order.digits,
        total_minor=net, state="billed",
        keys=(order.number,
              amount_key(with_taxes(net, order.terms, order.taxes_in), order.currency)),
    )  # fmt: skip
    body = {"goods": [asdict(one) for one in goods], "labels": [one.label for one in goods]}
    lines = [line for line in order.lines if line.label in {one.line for one in goods}]
    with register.writing() as connection:
        if kinds_of(connection, opened, "bill") != len(bills):
            raise ChangedMeanwhileError(
                f"order {order.number} was billed by somebody else meanwhile. Look at it again."
            )
        number = next_number(connection, "bill", made.isoformat()[:4])
        insert(connection, "bill", head, body, [found_line(line) for line in lines],
               parent=opened.id, number=number, who=who)  # fmt: skip
    return entry(register, "bill", number), goods
