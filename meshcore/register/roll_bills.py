"""Bills of rolls made straight from an enquiry, where no order is on file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from datetime import UTC, date, datetime

from meshcore.costing.money import to_minor
from meshcore.documents.cloth_lines import cloth_lines
from meshcore.documents.order_sheets import bill_sheet
from meshcore.documents.orders import Delivered, Order, order_data
from meshcore.documents.quotation import quotation
from meshcore.documents.sheet import Sheet
from meshcore.documents.terms import Terms
from meshcore.estimates.results import EstimateSet
from meshcore.register.billing import Bill
from meshcore.register.bills import billed_goods
from meshcore.register.connecting import Register
from meshcore.register.entries import Entry
from meshcore.register.errors import RecordsError
from meshcore.register.indexing import Head
from meshcore.register.orders import found_line, ordered
from meshcore.register.storing import add


def file_roll_bill(
    register: Register,
    estimates: EstimateSet,
    delivered: Bill,
    row: int = 0,
    *,
    terms: Terms | None = None,
    to: str | Sequence[str] = (),
    buyer_number: str = "",
    language: str = "",
    day: date | None = None,
    who: str = "",
) -> Entry:
    """File the bill of a line of rolls that was priced here and never ordered through the register.

    Parameters
    ----------
    register
        Where it is filed.
    estimates, row
        The line.
    delivered
        What `bill_rolls` made of its lengths.
    terms, to, buyer_number, language
        The mill's terms, name and address, the buyer's order, and the language it is written in;
        that of the terms if empty.
    day
        Of the bill; today's (UTC) if None.
    who
        By whom; whoever is at work if empty.

    Returns
    -------
    The bill on file: `roll_bill_sheet` prints it.

    Raises
    ------
    RecordsError
        If nothing is addressed, or it cannot be written.
    TermsError
        If there are no terms in that language.
    """
    made = day or datetime.now(UTC).date()
    facts = quotation(estimates, terms, to=to, day=made, language=language)
    if not facts.to.lines:
        raise RecordsError("a bill needs its addressee. Write a name, and an address below it.")
    lines = tuple(cloth_lines(estimates, [row]))
    order = Order(
        number="", day=made, buyer_number=buyer_number.strip(), buyer_day=made, quotation="",
        revision=1, to=facts.to, reference="", language=facts.language, currency=facts.currency,
        digits=facts.digits, taxes_in=facts.taxes_in, terms=facts.terms, lines=lines,
        differences=(), sample=facts.sample,
    )  # fmt: skip
    goods = _goods(lines[0].label, delivered, facts.digits)
    head = Head(
        day=made.isoformat(), sender=facts.to.name, reference=order.buyer_number,
        title=lines[0].asked, currency=facts.currency, digits=facts.digits,
        total_minor=sum(one.amount_minor for one in goods), state="billed",
    )  # fmt: skip
    body = {"facts": order_data(order), "goods": [asdict(one) for one in goods], "labels": []}
    return add(register, "bill", head, body, [found_line(line) for line in lines], who=who)


def roll_bill_sheet(opened: Entry) -> Sheet:
    """Write out a bill on file that was made straight from an enquiry."""
    made = date.fromisoformat(opened.head.day)
    return bill_sheet(ordered(opened), opened.number, made, billed_goods(opened))


def _goods(line: str, delivered: Bill, digits: int) -> list[Delivered]:
    minor = to_minor(delivered.amounts, digits)
    rolls = zip(delivered.ordered_m, delivered.delivered_m, minor, delivered.within, strict=True)
    return [
        Delivered(
            label="", line=line, ordered_m=float(ordered_m), delivered_m=float(delivered_m),
            amount_minor=int(amount), within=bool(within), heat="", place=place,
        )
        for place, (ordered_m, delivered_m, amount, within) in enumerate(rolls)
    ]  # fmt: skip
