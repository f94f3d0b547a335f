"""Invoice of a roll line: what was delivered, billed at the rate that was quoted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from meshcore.costing.money import minor_digits, money_text
from meshcore.enquiry import ROLL
from meshcore.estimates.results import EstimateSet
from meshcore.messages import Message
from meshcore.reading.decimal_marks import with_decimal_mark
from meshcore.reading.refusals import about
from meshcore.reading.texts import Hints, Reading, is_blank, read_text
from meshcore.register.billing import Bill, bill


def bill_rolls(
    estimates: EstimateSet, delivered: Sequence[str], row: int = 0
) -> Bill | tuple[Message, ...]:
    """Bill the rolls of a line by the lengths delivered.

    Parameters
    ----------
    estimates
        The estimates that hold the line.
    delivered
        Length of each roll delivered, with its unit.
    row
        Place of the line, from 0.

    Returns
    -------
    The bill; or what is missing or cannot be read.

    Notes
    -----
    The quoted price is a rate a metre of cloth as ordered: the price over the length ordered.
    Each roll is billed its delivered length at that rate, also where it lies outside the
    tolerance, which is then said.

    Examples
    --------
    >>> import meshcore as mc
    >>> e = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    ...                            form=mc.Roll("48 in", "100 ft"), quantity=2))
    >>> invoice = bill_rolls(e.estimates, ["98 ft", "112 ft"])
    >>> invoice.within.tolist(), bool(invoice.total > e.price)
    ([True, False], True)
    """
    if estimates.log.refused()[row]:
        every = estimates.log.by_line()[row]
        return tuple(message for message in every if message.severity == "refused")
    if estimates.orders.form[row] != ROLL:
        return (
            Message(
                "form", "", "only rolls are billed by the length delivered.", code="bill.not_rolls"
            ),
        )
    texts = [text for text in delivered if not is_blank(text)]
    hints = with_decimal_mark(texts, Hints(form="roll"))
    read = [read_text(text, "length", "length", hints=hints) for text in texts]
    wrong = tuple(replace(r, field="delivered") for r in read if isinstance(r, Message))
    lengths = np.array([r.value for r in read if not isinstance(r, Message)])
    if wrong or not len(lengths) or (lengths <= 0).any():
        missing = Message(
            "delivered",
            "",
            'write the length of each roll, such as "98 ft, 101 ft".',
            code="bill.lengths_missing",
        )
        return wrong or (missing,)
    total_m = float(estimates.orders.run_length_m[row])
    ordered_m = total_m / float(estimates.orders.quantity[row])
    rate = float(estimates.ledger.price[row]) / total_m
    invoice = bill(lengths, ordered_m, rate, estimates.policy.rolls, estimates.book.currency, texts)
    said = tuple(
        about(r.said, "delivered", text)
        for text, r in zip(texts, read, strict=True)
        if isinstance(r, Reading) and r.said is not None
    )
    invoice = replace(invoice, messages=(*said, *invoice.messages))
    ordered = round(float(estimates.orders.quantity[row]))
    if len(lengths) == ordered:
        return invoice
    text = f"{len(lengths)} rolls are delivered on an order of {ordered}. Check the count."
    off = Message("delivered", ", ".join(texts), text, "review", code="bill.count_differs")
    return replace(invoice, messages=(*invoice.messages, off))


def bill_text(invoice: Bill) -> str:
    """Write a bill as a table, with what lies outside the tolerance."""
    digits = minor_digits(invoice.currency)
    rows = [f"{'roll':<6}{'ordered m':>11}{'delivered m':>13}{'deviation':>11}{'amount':>14}"]
    for number, (ordered, delivered, deviation, within, amount) in enumerate(
        zip(invoice.ordered_m, invoice.delivered_m, invoice.deviation, invoice.within,
            invoice.amounts, strict=True),
        start=1,
    ):  # fmt: skip
        mark = "" if within else "  outside tolerance"
        rows.append(f"{number:<6}{ordered:>11.3f}{delivered:>13.3f}{deviation:>+11.1%}"
                    f"{money_text(amount, digits=digits):>14}{mark}")  # fmt: skip
    rows.append(f"{'total':<41}{money_text(invoice.total, digits=digits):>14} {invoice.currency}")
    return "\n".join([*rows, *map(str, invoice.messages)])
