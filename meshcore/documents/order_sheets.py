"""Order acknowledgement, bill and labels, written out."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from meshcore.documents.cloth_rows import (
    Row,
    cloth_heading,
    cloth_rows,
    services_text,
    sizes_text,
    specification,
)
from meshcore.documents.facts import ClothLine
from meshcore.documents.orders import Delivered, Difference, Order
from meshcore.documents.sections import Section, caution_section, export_section, terms_sections
from meshcore.documents.sheet import (
    Sheet,
    address_section,
    addressee,
    banner,
    columns,
    notes,
    numbered,
    totals,
)
from meshcore.documents.wording import Words, shortened, words
from meshcore.units import METRES_PER_INCH


def difference_texts(
    say: Words, found: Sequence[Difference], currency: str, digits: int
) -> tuple[str, ...]:
    """Write differences out."""
    texts: list[str] = []
    for one in found:
        if one.what in _TOLD_WHOLE:
            text = say.say("changed", one.what)
            texts.append(say.say("texts", "open", line=one.label, text=text))
            continue
        if one.what == "price_kept":
            texts.append(
                say.say("texts", "price_kept", line=one.label, old=one.quoted, new=one.ordered)
            )
            continue
        old, new = (
            say.number(n, 0) if one.what == "quantity" else say.money(n, digits, currency)
            for n in (one.quoted, one.ordered)
        )
        what = say.say("changed", one.what)
        texts.append(say.say("texts", "changed", line=one.label, what=what, old=old, new=new))
    return tuple(texts)


#: What is told of a line without values.
_TOLD_WHOLE = frozenset({"added", "missing", "option", "choice", "instead", "part_kept"})


def order_sheet(order: Order) -> Sheet:
    """Write an acknowledgement out."""
    say = words(order.language)
    ours = numbered(say, order.quotation, order.revision)
    head = [*_head(say, order), (say.say("head", "our_quotation"), ours)]
    # That a price is kept is for whoever takes the order to weigh; the buyer sees the price.
    differ = [one for one in order.differences if one.what != "part_kept"]
    told = difference_texts(say, differ, order.currency, order.digits)
    sections = [
        Section(say.say("sections", "differences"), told or (say.say("texts", "as_quoted"),)),
        *terms_sections(say, order.terms, order.lines),
        *export_section(say, order.lines, order.terms),
        caution_section(say, order.lines),
    ]
    rows = tuple(cloth_rows(say, order.lines, order.currency, order.digits))
    return _sheet(say, order, "order", order.number, order.day, head, rows, order.net_minor,
                  notes(say, order.lines, order.taxes_in), sections)  # fmt: skip


#: Terms that still matter once goods are delivered.
_BILLED_TERMS = ("payment", "delivery", "tax_text")


def bill_sheet(order: Order, number: str, day: date, goods: Sequence[Delivered]) -> Sheet:
    """Write a bill out: each line with what was delivered under it."""
    say = words(order.language)
    head = [
        (say.say("head", "number"), number),
        (say.say("head", "date"), say.day(day)),
        (say.say("head", "our_order"), order.number),
        *_head(say, order)[2:],
    ]
    billed = {one.line for one in goods}
    lines = [line for line in order.lines if line.label in billed]
    rows = tuple(_bill_row(say, order, line, goods) for line in lines)
    net = sum(one.amount_minor for one in goods)
    sections = [*terms_sections(say, order.terms, names=_BILLED_TERMS), caution_section(say)]
    below = (say.say("texts", "shares"),) if any(map(_is_share, rows)) else ()
    return _sheet(say, order, "bill", number, day, head, rows, net, below, sections)


def _bill_row(say: Words, order: Order, line: ClothLine, goods: Sequence[Delivered]) -> Row:
    held = [one for one in goods if one.line == line.label]
    amount = sum(one.amount_minor for one in held)
    count = sum(one.count for one in held) or line.quantity
    if line.form == "roll":
        return _rolls_row(say, order, line, held, amount)
    return Row(
        label=line.label,
        heading=cloth_heading(say, line),
        details=(
            sizes_text(say, line),
            *services_text(say, line),
            *(_goods_text(say, line, one) for one in held),
        ),
        quantity=f"{say.number(count, 0)} {say.form(line.form, count != 1)}",
        unit_price=say.money(line.unit_minor, order.digits),
        amount=say.money(amount, order.digits),
        numbers=(count, line.unit_minor, amount),
    )


def _is_share(row: Row) -> bool:
    """Tell whether a row's printed quantity times its printed price is not its amount."""
    if row.numbers is None:
        return False
    quantity, unit, amount = row.numbers
    return bool(row.unit_places) or quantity * unit != amount


#: Decimal places that a price by the length is told by beyond those of its currency (our choice).
_MORE_PLACES = 2
_FOOT_M = 12 * METRES_PER_INCH


def _rolls_row(
    say: Words, order: Order, line: ClothLine, held: Sequence[Delivered], amount: int
) -> Row:
    """Write rolls by the length charged and its price: what is multiplied stands there."""
    unit, metres = ("ft", _FOOT_M) if line.inches_first else ("m", 1.0)
    part = sum(one.delivered_m for one in held)
    whole = line.length_m * line.quantity
    per = round(line.amount_minor * metres / whole * 10**_MORE_PLACES)
    length = f"{say.number(part / metres, 3, trim=True)} {unit}"
    charged = say.say(
        "texts", "charged", part=length, whole=f"{say.number(whole / metres, 3, trim=True)} {unit}",
        amount=say.money(line.amount_minor, order.digits, order.currency),
    )  # fmt: skip
    return Row(
        label=line.label,
        heading=cloth_heading(say, line),
        details=(
            sizes_text(say, line),
            *services_text(say, line),
            *(_goods_text(say, line, one) for one in held),
            charged,
        ),
        quantity=length,
        unit_price=f"{say.money(per, order.digits + _MORE_PLACES)} / {unit}",
        amount=say.money(amount, order.digits),
        numbers=(part / metres, per, amount),
        unit_places=_MORE_PLACES,
    )


def _goods_text(say: Words, line: ClothLine, one: Delivered) -> str:
    parts = [say.say("cloth", "label", number=one.label)] if one.label else []
    if one.delivered_m:
        length = say.length(one.delivered_m, line.inches_first)
        parts.append(say.say("texts", "delivered", length=length))
    if one.count:
        count = f"{say.number(one.count, 0)} {say.form(line.form, one.count != 1)}"
        parts.append(say.say("texts", "delivered", length=count))
    if one.heat:
        parts.append(say.say("texts", "heat", text=one.heat))
    if not one.within:
        parts.append(say.say("texts", "outside"))
    return ", ".join(parts)


def _head(say: Words, order: Order) -> list[tuple[str, str]]:
    dated = say.say("head", "of", date=say.day(order.buyer_day))
    return [
        (say.say("head", "number"), order.number),
        (say.say("head", "date"), say.day(order.day)),
        (say.say("head", "your_order"), f"{order.buyer_number} {dated}".strip()),
        (say.say("head", "your_reference"), order.reference),
    ]


def _sheet(
    say: Words,
    order: Order,
    kind: str,
    number: str,
    day: date,
    head: Sequence[tuple[str, str]],
    rows: tuple[Row, ...],
    net: int,
    below: tuple[str, ...],
    sections: Sequence[Section],
) -> Sheet:
    return Sheet(
        language=order.language,
        paper=order.terms.paper,
        title=say.say("titles", kind),
        number=number,
        day=day.isoformat(),
        mill=order.terms.mill,
        mill_lines=order.terms.lines,
        contact=order.terms.contact,
        to=addressee(say, order.to),
        facts=tuple((name, text) for name, text in head if text),
        intro=say.say("texts", f"intro_{kind}"),
        columns=columns(say),
        rows=rows,
        totals=totals(say, net, order.currency, order.digits, order.terms, order.taxes_in),
        notes=below,
        offers=(),
        sections=(*sections, *address_section(say, order.to)),
        page=say.say("head", "page"),
        currency=order.currency,
        digits=order.digits,
        banner=banner(say, order.sample),
    )


#: Signs of a buyer's name that a label has room for.
_LABEL_NAME = 80


def label_lines(order: Order, line: ClothLine, number: str) -> tuple[str, ...]:
    """Return what a label says: its number first, then the goods in words."""
    say = words(order.language)
    bundle = "" if line.form == "roll" else f"{say.number(line.quantity, 0)} × "
    return (
        number,
        shortened(order.to.name, _LABEL_NAME),
        f"{say.say('head', 'your_order')} {order.buyer_number}".strip(),
        f"{say.say('head', 'our_order')} {order.number} / {line.label}",
        cloth_heading(say, line),
        specification(say, line)[0],
        f"{bundle}{specification(say, line)[-1]}",
        *services_text(say, line),
    )


def heat_line(language: str, heats: Sequence[str]) -> tuple[str, ...]:
    """Return what a label says of heats or batches; nothing where none is known."""
    return (words(language).say("texts", "heat", text=", ".join(heats)),) if heats else ()
