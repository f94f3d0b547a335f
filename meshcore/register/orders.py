"""Orders on file, their labels, what was delivered, and the bill."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from datetime import UTC, date, datetime

import numpy as np

from meshcore.documents.facts import ClothLine, Quotation
from meshcore.documents.labels import Label
from meshcore.documents.orders import (
    Delivered,
    Order,
    differences,
    label_lines,
    order_data,
    order_from,
    ordered_lines,
)
from meshcore.register.billing import bill
from meshcore.register.connecting import Register
from meshcore.register.deliveries import Delivery
from meshcore.register.errors import RecordsError
from meshcore.register.indexing import FoundLine, Head, mark
from meshcore.register.storing import (
    Entry,
    append_mark,
    children,
    entry,
    insert,
    next_number,
    revise,
)
from meshcore.register.words import line_words
from meshcore.supply.policy import Tolerance

#: Labels of one line beyond which a slip of the pen is likelier than an order (our choice).
_MOST_LABELS = 500


def draft_order(
    facts: Quotation,
    buyer_number: str,
    buyer_day: date,
    quantities: Mapping[str, int] | None = None,
    day: date | None = None,
) -> Order:
    """Return an order against a quotation, with what differs; nothing is filed yet.

    Parameters
    ----------
    facts
        The quotation.
    buyer_number, buyer_day
        The buyer's order.
    quantities
        Label → quantity, where it is other than quoted; 0 for a line that is not ordered.
    day
        Ours; today's (UTC) if None.

    Raises
    ------
    RecordsError
        If a label is none of the quotation's, or nothing is left to be ordered.
    """
    wanted = dict(quantities or {})
    known = {line.label for line in facts.lines}
    unknown = [label for label in wanted if label not in known]
    if unknown:
        raise RecordsError(
            f"quotation {facts.number} has no priced line {', '.join(unknown)}; there are "
            f"{', '.join(known) or 'none'}."
        )
    lines = ordered_lines(facts.lines, wanted)
    if not lines:
        raise RecordsError(f"nothing is left of quotation {facts.number} to be ordered.")
    return Order(
        number="", day=day or datetime.now(UTC).date(), buyer_number=buyer_number.strip(),
        buyer_day=buyer_day, quotation=facts.number, revision=facts.revision, to=facts.to,
        reference=facts.reference, language=facts.language, currency=facts.currency,
        digits=facts.digits, taxes_in=facts.taxes_in, terms=facts.terms, lines=tuple(lines),
        differences=differences(facts.lines, lines),
    )  # fmt: skip


def accept_order(register: Register, opened: Entry, order: Order, *, who: str = "") -> Entry:
    """File an order, and mark its quotation won.

    Raises
    ------
    RecordsError
        If the quotation is not the one that the order is against, or was never sent.
    """
    if opened.number != order.quotation or opened.head.revision != order.revision:
        raise RecordsError(
            f"the order is against {order.quotation}, revision {order.revision}; on file is "
            f"{opened.number}, revision {opened.head.revision}. Draw it up again."
        )
    with register.writing() as connection:
        number = next_number(connection, "order", order.day.isoformat()[:4])
        numbered = replace(order, number=number)
        head = Head(
            day=order.day.isoformat(), sender=order.to.name, reference=order.buyer_number,
            title=f"{order.quotation}", currency=order.currency, digits=order.digits,
            total_minor=order.net_minor, keys=(order.quotation, order.reference), state="accepted",
        )  # fmt: skip
        lines = [_found(line) for line in order.lines]
        insert(connection, "order", head, {"facts": order_data(numbered)}, lines,
               parent=opened.id, number=number, who=who)  # fmt: skip
        if opened.state != "won":
            version = append_mark(connection, opened, "won", f"order {number}", who)
            mark(connection, opened.id, version, "won")
    return entry(register, "order", number)


def _found(line: ClothLine) -> FoundLine:
    texts = (line.asked, line.alloy, line.uns, line.en, line.sizes_text)
    sizes = [size for size in (line.wire_m, line.aperture_m, line.width_m, line.length_m) if size]
    return FoundLine(line.label, line.asked, line_words(texts, sizes, [line.pitch_m]))


def ordered(opened: Entry) -> Order:
    """Return the facts of an order on file."""
    return order_from(opened.body["facts"])


def make_labels(register: Register, opened: Entry, *, who: str = "") -> list[Entry]:
    """Give each roll of an order a label, and each line of strips or pieces one.

    Returns
    -------
    The labels on file; those that there are already, where they were made before.

    Raises
    ------
    RecordsError
        If a line has more rolls than anybody labels at once.
    """
    made = children(register, opened, "label")
    if made:
        return made
    order = ordered(opened)
    for line in order.lines:
        if line.form == "roll" and line.quantity > _MOST_LABELS:
            raise RecordsError(
                f"line {line.label} of order {order.number} has {line.quantity} rolls; "
                f"labels are made for {_MOST_LABELS} at most. Split the order."
            )
    with register.writing() as connection:
        for line in order.lines:
            for roll in range(line.quantity if line.form == "roll" else 1):
                number = next_number(connection, "label", order.day.isoformat()[:4])
                said = label_lines(order, line, number)
                body = {
                    "order": order.number, "line": line.label, "roll": roll + 1,
                    "lines": list(said), "delivered_m": 0.0, "heat": "",
                }  # fmt: skip
                insert(connection, "label", _label_head(order, said, "cut"), body, [_found(line)],
                       parent=opened.id, number=number, who=who)  # fmt: skip
    return children(register, opened, "label")


def _label_head(order: Order, said: Sequence[str], state: str, heat: str = "") -> Head:
    return Head(
        day=order.day.isoformat(), sender=order.to.name, reference=order.buyer_number,
        title=" · ".join(said[4:]), keys=tuple(key for key in (heat,) if key), state=state,
    )  # fmt: skip


def printable(opened: Entry, labels: Sequence[Entry]) -> list[Label]:
    """Return the labels of an order as they are printed."""
    mill = ordered(opened).terms.mill
    return [Label(one.number, tuple(one.body["lines"]), mill) for one in labels]


def deliver(
    register: Register, opened: Entry, deliveries: Sequence[Delivery], *, who: str = ""
) -> list[Entry]:
    """Note what was delivered under each label.

    Parameters
    ----------
    register, opened
        The order, with its labels made.
    deliveries
        Each with its label; those without one go to the rolls in order.

    Raises
    ------
    RecordsError
        If a label is not of this order, or there are more lengths than rolls.
    """
    order = ordered(opened)
    labels = {one.number: one for one in children(register, opened, "label")}
    forms = {line.label: line.form for line in order.lines}
    rolls = iter([n for n, one in labels.items() if forms[one.body["line"]] == "roll"])
    for delivery in deliveries:
        number = delivery.label or next(rolls, "")
        if number not in labels:
            raise RecordsError(
                f"order {order.number} has no label {delivery.label or 'left'} for "
                f"{delivery.text}. Check the count of the lengths."
            )
        kept = labels[number]
        body = kept.body | {"delivered_m": delivery.length_m, "heat": delivery.heat}
        line = next(one for one in order.lines if one.label == kept.body["line"])
        head = _label_head(order, kept.body["lines"], "delivered", delivery.heat)
        labels[number] = revise(register, kept, head, body, [_found(line)], who=who)
    return list(labels.values())


def delivered_goods(order: Order, labels: Sequence[Entry]) -> list[Delivered]:
    """Reckon what is charged for each label: rolls by the length delivered, the rest as ordered.

    A roll for which no length is noted is not charged yet.
    """
    goods: list[Delivered] = []
    for line in order.lines:
        held = [one for one in labels if one.body["line"] == line.label]
        if line.form != "roll":
            goods += [
                Delivered(label=one.number, line=line.label, ordered_m=0.0, delivered_m=0.0,
                          amount_minor=line.amount_minor, within=True, heat=one.body["heat"])
                for one in held
            ]  # fmt: skip
            continue
        measured = [one for one in held if one.body["delivered_m"] > 0]
        if not measured:
            continue
        lengths = np.array([one.body["delivered_m"] for one in measured])
        tolerance = Tolerance(line.under[0], line.over[0], line.under[1], line.over[1])
        # The quoted amount over the length ordered: what a metre is charged.
        rate = line.amount_minor / 10**order.digits / (line.length_m * line.quantity)
        billed = bill(lengths, line.length_m, rate, tolerance, order.currency)
        for one, amount, within in zip(measured, billed.amounts, billed.within, strict=True):
            goods.append(
                Delivered(
                    label=one.number, line=line.label, ordered_m=line.length_m,
                    delivered_m=one.body["delivered_m"], within=bool(within),
                    amount_minor=round(float(amount) * 10**order.digits), heat=one.body["heat"],
                )
            )  # fmt: skip
    return goods


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
    order = ordered(opened)
    billed = {label for one in children(register, opened, "bill") for label in one.body["labels"]}
    labels = [one for one in children(register, opened, "label") if one.number not in billed]
    goods = delivered_goods(order, labels)
    if not goods:
        raise RecordsError(
            f"order {order.number}: no length delivered is left to be billed. Note the lengths."
        )
    made = day or datetime.now(UTC).date()
    head = Head(
        day=made.isoformat(), sender=order.to.name, reference=order.buyer_number,
        title=order.number, currency=order.currency, digits=order.digits,
        total_minor=sum(one.amount_minor for one in goods), keys=(order.number,), state="billed",
    )  # fmt: skip
    body = {"goods": [asdict(one) for one in goods], "labels": [one.label for one in goods]}
    with register.writing() as connection:
        number = next_number(connection, "bill", made.isoformat()[:4])
        insert(connection, "bill", head, body, [_found(line) for line in order.lines],
               parent=opened.id, number=number, who=who)  # fmt: skip
    return entry(register, "bill", number), goods
