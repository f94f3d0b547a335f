"""Orders on file: drawn up against a quotation, accepted, cancelled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

from meshcore.documents.facts import ClothLine, Quotation
from meshcore.documents.orders import Order, differences, order_data, order_from, ordered_lines
from meshcore.register.amounts import amount_key
from meshcore.register.connecting import Register
from meshcore.register.entries import Entry, children, entry
from meshcore.register.errors import DoubtError, RecordsError
from meshcore.register.indexing import DELETED, DRAFT, FoundLine, Head, mark
from meshcore.register.quotations import quoted
from meshcore.register.resizing import priced_anew
from meshcore.register.storing import append_mark, insert, mark_as, next_number
from meshcore.register.words import folded, line_words

if TYPE_CHECKING:
    from sqlalchemy import Connection

#: State of an order that is withdrawn; it stays on file.
CANCELLED = "cancelled"
_GONE = (CANCELLED, DELETED)
#: Hours by which the first places on earth are ahead of UTC: their day is the latest there is.
_FIRST_ZONE_H = 14


def draft_order(
    opened: Entry,
    buyer_number: str,
    buyer_day: date,
    quantities: Mapping[str, int] | None = None,
    day: date | None = None,
    *,
    keep_prices: bool = False,
    reprice: bool = False,
    prices: Mapping[str, int] | None = None,
) -> Order:
    """Return an order against a quotation, with what differs; nothing is filed yet.

    Parameters
    ----------
    opened
        The quotation on file, at the revision that is ordered.
    buyer_number, buyer_day
        The buyer's order.
    quantities
        Label → quantity, where it is other than quoted; 0 for a line that is not ordered. What is
        offered, beside a line or instead of it, is ordered only where its quantity is given.
    day
        Ours; today's (UTC) if None.
    keep_prices
        Whether a line of another quantity keeps the unit price quoted; else it is priced anew,
        with the book of the quotation. Either is told among the differences.
    reprice
        Whether lines in the quantity quoted are priced anew too, as of an order without the lines
        that are left out; else they keep their price, which is told where some are left out.
    prices
        Label → the price of one on the buyer's order [minor units], where it is other than quoted.

    Raises
    ------
    RecordsError
        If a label is none of the quotation's, nothing is left to be ordered, a line has no price
        at its new quantity, the buyer's day is still to come, or prices are to be kept and
        reckoned anew.
    """
    if keep_prices and reprice:
        raise RecordsError("prices are to be kept, and to be reckoned anew. Leave one of them.")
    _check_day(buyer_day, day)
    facts = quoted(opened)
    wanted = dict(quantities or {})
    options = facts.offers
    known = [line.label for line in (*facts.lines, *options)]
    unknown = [label for label in (*wanted, *(prices or {})) if label not in known]
    if unknown:
        raise RecordsError(
            f"quotation {facts.number} has no priced line {', '.join(unknown)}; there are "
            f"{', '.join(known) or 'none'}."
        )
    # What is offered is ordered only where it is asked for.
    wanted = {line.label: 0 for line in options} | wanted
    if all(wanted.get(line.label, line.quantity) <= 0 for line in (*facts.lines, *options)):
        raise RecordsError(_nothing_left(facts))
    anew = {} if keep_prices else priced_anew(opened, facts, wanted, every=reprice)
    # What another quantity would have cost is of the quotation alone.
    lines = [
        _at_price(replace(line, breaks=(), role="asked"), prices or {})
        for line in ordered_lines((*facts.lines, *options), wanted, anew)
    ]
    return Order(
        number="", day=day or datetime.now(UTC).date(), buyer_number=buyer_number.strip(),
        buyer_day=buyer_day, quotation=facts.number, revision=facts.revision, to=facts.to,
        reference=facts.reference, language=facts.language, currency=facts.currency,
        digits=facts.digits, taxes_in=facts.taxes_in, terms=facts.terms, lines=tuple(lines),
        differences=differences(facts.lines, lines, options, repriced=reprice),
        sample=facts.sample,
    )  # fmt: skip


def latest_day() -> date:
    """Return the latest day that it is anywhere now: no order can bear a later one."""
    return (datetime.now(UTC) + timedelta(hours=_FIRST_ZONE_H)).date()


def _check_day(buyer_day: date, day: date | None) -> None:
    """Refuse a buyer's order of a day that is still to come."""
    last = day or latest_day()
    if buyer_day > last:
        raise RecordsError(
            f"the buyer's order is dated {buyer_day}, which is still to come: today is "
            f"{day or datetime.now(UTC).date()}. Write the day that stands on it."
        )


def _nothing_left(facts: Quotation) -> str:
    told = f"nothing is left of quotation {facts.number} to be ordered."
    choice = [line for line in facts.offers if line.role == "choice"]
    if not choice or facts.lines:
        return told
    named = ", ".join(f"{line.label} ({line.quantity})" for line in choice)
    return f"{told} It offers a choice of lines {named}: give the quantity of the one ordered."


def _at_price(line: ClothLine, prices: Mapping[str, int]) -> ClothLine:
    """Return a line at the price of one that the buyer wrote, where one was written."""
    price = prices.get(line.label)
    if price is None:
        return line
    if price <= 0:
        raise RecordsError(f"line {line.label}: a price above zero is due.")
    return replace(line, unit_minor=price, amount_minor=price * line.quantity)


def accept_order(
    register: Register, opened: Entry, order: Order, *, anyway: bool = False, who: str = ""
) -> Entry:
    """File an order, and mark its quotation won.

    Parameters
    ----------
    register, opened
        Where, and the quotation.
    order
        As it was drawn up.
    anyway
        Whether it is to stand although something speaks against it.
    who
        By whom.

    Raises
    ------
    DoubtError
        If there is an order on the quotation already, the buyer's number is on file for the same
        sender, or the quotation is superseded, was never sent, has lapsed or is lost; unless it
        is to stand anyway.
    RecordsError
        If the order is of another quotation, or bears no number of the buyer's.
    """
    if opened.number != order.quotation:
        raise RecordsError(f"the order is against {order.quotation}, not {opened.number}.")
    if not folded(order.buyer_number):
        raise RecordsError("the order bears no number of the buyer's. Write it.")
    with register.writing() as connection:
        doubts = _doubts(connection, opened, order)
        if doubts and not anyway:
            raise DoubtError(doubts)
        number = next_number(connection, "order", order.day.isoformat()[:4])
        numbered = replace(order, number=number)
        head = Head(
            day=order.day.isoformat(), sender=order.to.name, reference=order.buyer_number,
            title=f"{order.quotation}", currency=order.currency, digits=order.digits,
            total_minor=order.net_minor, state="accepted",
            keys=(order.quotation, order.reference,
                  amount_key(order.total_minor, order.currency)),
        )  # fmt: skip
        note = f"in spite of: {' '.join(doubts)}" if doubts else ""
        lines = [found_line(line) for line in order.lines]
        insert(connection, "order", head, {"facts": order_data(numbered)}, lines,
               parent=opened.id, number=number, note=note, who=who)  # fmt: skip
        version = append_mark(connection, opened, "won", f"order {number}", who)
        mark(connection, opened.id, version, "won")
    return entry(register, "order", number)


def order_doubts(register: Register, opened: Entry, order: Order) -> list[str]:
    """Tell what speaks against an order, a sentence each, before it is taken."""
    with register.reading() as connection:
        return _doubts(connection, opened, order)


def _doubts(connection: Connection, opened: Entry, order: Order) -> list[str]:
    """Tell what speaks against an order, a sentence each."""
    from sqlalchemy import or_, select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import heads, items, keys  # noqa: PLC0415

    quotation = connection.execute(select(heads).where(heads.c.item == opened.id)).one()
    said: list[str] = []
    is_newest = quotation.revision == order.revision
    if not is_newest:
        said.append(f"{opened.number} is superseded by revision {quotation.revision}.")
    if quotation.state == DRAFT and not is_newest:
        # A revision is made of what was sent: it is the newer one that was not.
        pass
    elif quotation.state in (DRAFT, "lost", DELETED):
        told = "was never sent" if quotation.state == DRAFT else f"is {quotation.state}"
        said.append(f"{opened.number} {told}.")
    elif order.buyer_day.isoformat() > opened.head.until:
        said.append(f"{opened.number} lapsed: it held until {opened.head.until}.")
    if order.buyer_day.isoformat() < opened.head.day:
        said.append(
            f"the order is dated {order.buyer_day}, before {opened.number} of {opened.head.day}."
        )
    same = select(keys.c.item).where(keys.c.key == folded(order.buyer_number))
    others = connection.execute(
        select(heads.c.number, heads.c.reference, heads.c.sender, heads.c.state, items.c.parent)
        .join(items, items.c.id == heads.c.item)
        .where(items.c.kind == "order", or_(items.c.parent == opened.id, items.c.id.in_(same)))
        .order_by(items.c.id)
    ).all()
    for one in others:
        is_same = folded(one.reference) == folded(order.buyer_number)
        if one.state in _GONE:
            continue
        if is_same and one.sender == order.to.name:
            said.append(f"{order.buyer_number} is on file already, as order {one.number}.")
        elif one.parent == opened.id:
            said.append(f"order {one.number} ({one.reference}) is on {opened.number} already.")
    return said


def live_orders(register: Register, opened: Entry) -> list[Entry]:
    """Return the orders on a quotation that are not cancelled."""
    return [one for one in children(register, opened, "order") if one.state not in _GONE]


def cancel_order(register: Register, opened: Entry, reason: str, *, who: str = "") -> Entry:
    """Mark an order cancelled; it stays on file.

    Raises
    ------
    RecordsError
        If no reason is given, or something of it is billed.
    """
    if not reason.strip():
        raise RecordsError(f"order {opened.number}: say why it is cancelled.")
    if bills := children(register, opened, "bill"):
        raise RecordsError(
            f"order {opened.number} cannot be cancelled: {bills[0].number} bills it already."
        )
    return mark_as(register, opened, CANCELLED, reason, who=who)


def standing(opened: Entry) -> Order:
    """Return the facts of an order that is to be delivered.

    Raises
    ------
    RecordsError
        If it is cancelled.
    """
    if opened.state in _GONE:
        raise RecordsError(f"order {opened.number} is {opened.state}.")
    return ordered(opened)


def found_line(line: ClothLine) -> FoundLine:
    """Return a line with the words by which it is found."""
    texts = (line.asked, line.alloy, line.uns, line.en, line.sizes_text, line.reference)
    sizes = [size for size in (line.wire_m, line.aperture_m, line.width_m, line.length_m) if size]
    return FoundLine(line.label, line.asked, line_words(texts, sizes, [line.pitch_m]))


def ordered(opened: Entry) -> Order:
    """Return the facts of an order on file."""
    return order_from(opened.body["facts"])
