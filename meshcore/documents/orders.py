"""Facts of what follows a quotation: order, labels and bill, and their sheets."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from meshcore.documents.facts import ClothLine, Party, line_from, terms_from
from meshcore.documents.sheet import (
    Row,
    Section,
    Sheet,
    addressee,
    caution_section,
    cloth_heading,
    cloth_rows,
    columns,
    export_section,
    notes,
    numbered,
    sizes_text,
    specification,
    terms_sections,
    totals,
)
from meshcore.documents.terms import Terms
from meshcore.documents.wording import Words, words


@dataclass(frozen=True, slots=True)
class Difference:
    """What an order asks for other than was quoted: of which line, what, before and after.

    ``what`` is ``quantity``, ``unit_price`` or ``amount``, whose values are numbers; or ``added``
    or ``missing``, with none.
    """

    label: str
    what: str
    quoted: int
    ordered: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """An order against a revision of a quotation.

    Parameters
    ----------
    number, day
        Ours.
    buyer_number, buyer_day
        The buyer's.
    quotation, revision
        What is ordered.
    to, reference, language, currency, digits, taxes_in, terms
        As quoted.
    lines
        What is ordered.
    differences
        Against the quotation.
    """

    number: str
    day: date
    buyer_number: str
    buyer_day: date
    quotation: str
    revision: int
    to: Party
    reference: str
    language: str
    currency: str
    digits: int
    taxes_in: bool
    terms: Terms
    lines: tuple[ClothLine, ...]
    differences: tuple[Difference, ...]

    @property
    def net_minor(self) -> int:
        """Sum of the lines [minor units]."""
        return sum(line.amount_minor for line in self.lines)


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivered:
    """One label's goods as delivered.

    Parameters
    ----------
    label, line
        Number of the label, and the line of the order.
    ordered_m, delivered_m
        Length of the roll [m]; zero where no length is billed.
    amount_minor
        What is charged [minor units].
    within
        Whether it is within the delivery tolerance.
    heat
        Heat or batch, as it was typed.
    """

    label: str
    line: str
    ordered_m: float
    delivered_m: float
    amount_minor: int
    within: bool
    heat: str


def ordered_lines(quoted: Sequence[ClothLine], quantities: Mapping[str, int]) -> list[ClothLine]:
    """Return the lines of an order: those quoted, in the quantities ordered.

    Parameters
    ----------
    quoted
        The lines quoted.
    quantities
        Label → quantity, where it is other than quoted; 0 for a line that is not ordered.

    Notes
    -----
    The unit price stays as quoted, also where another quantity would be priced otherwise.
    """
    lines: list[ClothLine] = []
    for line in quoted:
        count = quantities.get(line.label, line.quantity)
        if count == line.quantity:
            lines.append(line)
        elif count > 0:
            share = count / line.quantity
            lines.append(
                replace(
                    line, quantity=count, amount_minor=line.unit_minor * count,
                    net_mass_kg=line.net_mass_kg * share,
                    packages=max(1, round(line.packages * share)),
                )
            )  # fmt: skip
    return lines


def differences(
    quoted: Sequence[ClothLine], ordered: Sequence[ClothLine]
) -> tuple[Difference, ...]:
    """List what differs, line by line."""
    before, after = ({line.label: line for line in lines} for lines in (quoted, ordered))
    found: list[Difference] = []
    for label in dict.fromkeys([*before, *after]):
        old, new = before.get(label), after.get(label)
        if old is None or new is None:
            found.append(Difference(label, "missing" if new is None else "added", 0, 0))
            continue
        pairs = (
            ("quantity", old.quantity, new.quantity),
            ("unit_price", old.unit_minor, new.unit_minor),
            ("amount", old.amount_minor, new.amount_minor),
        )
        found += [Difference(label, what, was, now) for what, was, now in pairs if was != now]
    return tuple(found)


def difference_texts(
    say: Words, found: Sequence[Difference], currency: str, digits: int
) -> tuple[str, ...]:
    """Write differences out."""
    texts: list[str] = []
    for one in found:
        if one.what in ("added", "missing"):
            text = say.say("changed", one.what)
            texts.append(say.say("texts", "open", line=one.label, text=text))
            continue
        old, new = (
            say.number(n, 0) if one.what == "quantity" else say.money(n, digits, currency)
            for n in (one.quoted, one.ordered)
        )
        what = say.say("changed", one.what)
        texts.append(say.say("texts", "changed", line=one.label, what=what, old=old, new=new))
    return tuple(texts)


def order_sheet(order: Order) -> Sheet:
    """Write an acknowledgement out."""
    say = words(order.language)
    ours = numbered(say, order.quotation, order.revision)
    head = [*_head(say, order), (say.say("head", "our_quotation"), ours)]
    told = difference_texts(say, order.differences, order.currency, order.digits)
    sections = [
        Section(say.say("sections", "differences"), told or (say.say("texts", "as_quoted"),)),
        *terms_sections(say, order.terms, order.lines),
        *export_section(say, order.lines, order.terms),
        caution_section(say),
    ]
    rows = tuple(cloth_rows(say, order.lines, order.currency, order.digits, order.terms))
    return _sheet(say, order, "order", order.number, order.day, head, rows, order.net_minor,
                  notes(say, order.lines, order.taxes_in), sections)  # fmt: skip


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
    sections = [*terms_sections(say, order.terms), caution_section(say)]
    return _sheet(say, order, "bill", number, day, head, rows, net, (), sections)


def _bill_row(say: Words, order: Order, line: ClothLine, goods: Sequence[Delivered]) -> Row:
    held = [one for one in goods if one.line == line.label]
    amount = sum(one.amount_minor for one in held)
    return Row(
        label=line.label,
        heading=cloth_heading(say, line),
        details=(sizes_text(say, line), *(_goods_text(say, line, one) for one in held)),
        quantity=f"{len(held)} {say.form(line.form, len(held) != 1)}"
        if line.form == "roll"
        else f"{say.number(line.quantity, 0)} {say.form(line.form, line.quantity != 1)}",
        unit_price=say.money(line.unit_minor, order.digits),
        amount=say.money(amount, order.digits),
        numbers=(len(held) if line.form == "roll" else line.quantity, line.unit_minor, amount),
    )


def _goods_text(say: Words, line: ClothLine, one: Delivered) -> str:
    parts = [say.say("cloth", "label", number=one.label)]
    if one.delivered_m:
        length = say.length(one.delivered_m, line.inches_first)
        parts.append(say.say("texts", "delivered", length=length))
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
        sections=tuple(sections),
        page=say.say("head", "page"),
        currency=order.currency,
        digits=order.digits,
    )


def label_lines(order: Order, line: ClothLine, number: str) -> tuple[str, ...]:
    """Return what a label says: its number first, then the goods in words."""
    say = words(order.language)
    bundle = "" if line.form == "roll" else f"{say.number(line.quantity, 0)} × "
    return (
        number,
        order.to.name,
        f"{say.say('head', 'your_order')} {order.buyer_number}".strip(),
        f"{say.say('head', 'our_order')} {order.number} / {line.label}",
        cloth_heading(say, line),
        f"{bundle}{specification(say, line)[-1]}",
    )


def order_data(order: Order) -> dict[str, Any]:
    """Return an order as plain data, as it is filed."""
    held = dataclasses.asdict(order)
    return held | {"day": order.day.isoformat(), "buyer_day": order.buyer_day.isoformat()}


def order_from(held: Mapping[str, Any]) -> Order:
    """Return an order from its plain data."""
    given = dict(held)
    for name in ("day", "buyer_day"):
        given[name] = date.fromisoformat(given[name])
    given["to"] = Party(tuple(given["to"]["lines"]), given["to"]["person"])
    given["terms"] = terms_from(given["terms"])
    given["lines"] = tuple(line_from(one) for one in given["lines"])
    given["differences"] = tuple(Difference(**one) for one in given["differences"])
    return Order(**given)
