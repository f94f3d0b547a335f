"""What is printed of one thing on file: what it holds, what came of it, and what was done."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.costing.money import money_text

if TYPE_CHECKING:
    from meshcore.documents.facts import ClothLine
    from meshcore.register.connecting import Register
    from meshcore.register.entries import Entry
    from meshcore.register.indexing import Head


def shown(register: Register, opened: Entry) -> Iterable[str]:
    """Write all that is on file of one thing."""
    from meshcore.register.entries import children, entry_of  # noqa: PLC0415 - only when it runs

    head = opened.head
    yield f"{opened.kind} {opened.number}, revision {head.revision}, {opened.state}"
    for name, text in (("for", head.sender), ("reference", head.reference), ("date", head.day),
                       ("holds until", head.until), ("about", head.title)):  # fmt: skip
        if text:
            yield f"  {name}: {text}"
    if head.currency:
        yield f"  amount: {_amount(head)}"
    yield from _contents(opened)
    if opened.parent is not None:
        parent = entry_of(register, opened.parent)
        if opened.kind == "label":
            yield from (f"  {one}" for one in _deliveries(parent, opened))
        yield f"  comes from {parent.kind} {parent.number}, {parent.state}"
    for kind in ("quotation", "order", "label", "bill"):
        for child in children(register, opened, kind):
            amount = f", {_amount(child.head)}" if child.head.currency else ""
            yield f"  {kind} {child.number}, {child.state}, of {child.head.day}{amount}"
            if kind == "label":
                yield from (f"    {one}" for one in _deliveries(opened, child))
    for change in opened.changes:
        note = f": {change.note}" if change.note else ""
        yield f"  {change.at:%Y-%m-%d %H:%M} UTC  {change.what} by {change.who}{note}"


def _amount(head: Head) -> str:
    from meshcore.register.amounts import amount_text  # noqa: PLC0415 - only when it runs

    return amount_text(head.total_minor, head.choice_minor, head.digits, head.currency)


def _money(minor: int, digits: int, currency: str) -> str:
    return money_text(minor / 10.0**digits, currency)


def _contents(opened: Entry) -> Iterable[str]:
    """Write the lines of a thing, with their amounts."""
    from meshcore.register.bills import billed_goods  # noqa: PLC0415 - only when it runs
    from meshcore.register.orders import ordered  # noqa: PLC0415
    from meshcore.register.quotations import quoted  # noqa: PLC0415

    head = opened.head
    if opened.kind == "quotation":
        facts = quoted(opened)
        yield from (_line(one, head.digits, head.currency) for one in facts.lines)
        for offer in facts.offers:
            told = _line(offer, head.digits, head.currency)
            yield f"{told} (offered {offer.role}, in no sum)"
        for bare in facts.unpriced:
            yield f"  line {bare.label}: {bare.asked} – not priced"
        if facts.sample:
            yield "  the prices are of an invented price book"
    elif opened.kind == "order":
        order = ordered(opened)
        yield f"  buyer's order: {order.buyer_number} of {order.buyer_day}"
        yield from (_line(one, head.digits, head.currency) for one in order.lines)
    elif opened.kind == "bill":
        for one in billed_goods(opened):
            size = f"{one.delivered_m:.3f} m" if one.delivered_m else f"{one.count} pieces"
            heat = f", heat {one.heat}" if one.heat else ""
            outside = "" if one.within else ", outside the tolerance"
            amount = _money(one.amount_minor, head.digits, head.currency)
            named = f"{one.label}, line" if one.label else "line"
            yield f"  {named} {one.line}: {size}{heat}{outside}: {amount}"
    elif opened.kind == "label":
        yield from (f"  {text}" for text in opened.body["lines"][1:])
    elif opened.kind == "sender":
        yield f"  language: {opened.body['language']}"
    elif opened.kind == "estimate":
        yield f"  lines: {opened.body['lines']}, refused {opened.body['refused']}"
        yield f"  price book: {opened.body['book_name']} ({opened.body['book_date']})"


def _line(line: ClothLine, digits: int, currency: str) -> str:
    from meshcore.documents.cloth_rows import cloth_heading, quantity_text, sizes_text  # noqa: PLC0415 - only when it runs
    from meshcore.documents.wording import words  # noqa: PLC0415

    say = words("en")
    amount = _money(line.amount_minor, digits, currency)
    open_ = [*line.not_included, *(f"{one.field} {one.read}".strip() for one in line.to_confirm)]
    told = f"; open: {', '.join(open_)}" if open_ else ""
    return (
        f"  line {line.label}: {cloth_heading(say, line)}, {sizes_text(say, line)}, "
        f"{quantity_text(say, line)}: {amount}{told}"
    )


def _deliveries(opened: Entry, label: Entry) -> Iterable[str]:
    """Write what was delivered under a label of an order."""
    from meshcore.register.order_lengths import delivered_texts  # noqa: PLC0415 - only when it runs
    from meshcore.register.orders import ordered  # noqa: PLC0415

    for one in delivered_texts(ordered(opened), label, every=True):
        yield f"delivered {one}"


def print_again(register: Register, opened: Entry, path: Path) -> str:
    """Print the document of a thing on file again; return what to know of it.

    Raises
    ------
    RecordsError
        If it has no document.
    """
    from meshcore.documents.order_sheets import bill_sheet, order_sheet  # noqa: PLC0415 - only when it runs
    from meshcore.documents.printing import write_document, write_quotation  # noqa: PLC0415
    from meshcore.register.bills import billed_goods  # noqa: PLC0415
    from meshcore.register.entries import entry_of  # noqa: PLC0415
    from meshcore.register.errors import RecordsError  # noqa: PLC0415
    from meshcore.register.orders import ordered  # noqa: PLC0415
    from meshcore.register.quotations import quoted  # noqa: PLC0415

    if opened.kind == "quotation":
        return write_quotation(quoted(opened), path)
    if opened.kind == "order":
        return write_document(order_sheet(ordered(opened)), path)
    if opened.kind == "bill":
        # One that no order is on file for holds itself what is billed.
        source = opened if opened.parent is None else entry_of(register, opened.parent)
        order = ordered(source)
        made = date.fromisoformat(opened.head.day)
        return write_document(bill_sheet(order, opened.number, made, billed_goods(opened)), path)
    raise RecordsError(
        f"a {opened.kind} is not printed from here; a quotation, an order or a bill is."
    )


def write_as_it_came(opened: Entry, path: Path) -> None:
    """Write a letter or a list on file just as it came.

    Raises
    ------
    TermsError
        If it cannot be written, or the name would make another kind of file of it.
    """
    from meshcore.documents.printing import write_bytes  # noqa: PLC0415 - only when it runs
    from meshcore.documents.terms import TermsError  # noqa: PLC0415
    from meshcore.register.intake import content_of  # noqa: PLC0415

    own = Path(opened.body["name"]).suffix
    if path.suffix.casefold() != own.casefold():
        raise TermsError(f"{path}: it came as {opened.body['name']}; end the name in {own}.")
    write_bytes(content_of(opened), path)
