"""Facts of what follows a quotation: the order, what differs, and what was delivered."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from meshcore.documents.facts import ClothLine, Party, with_taxes
from meshcore.documents.plain_data import line_from, terms_from
from meshcore.documents.terms import Terms


@dataclass(frozen=True, slots=True)
class Difference:
    """What an order asks for other than was quoted: of which line, what, before and after.

    ``what`` is ``quantity``, ``unit_price`` or ``amount``, whose values are numbers;
    ``price_kept``, whose values are the quantities that share a unit price; or ``added``,
    ``missing``, ``option``, ``choice``, ``instead`` or ``part_kept``, with none: the last is of a
    line whose price, which shares what is charged once an order, is kept though others are not
    ordered.
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
    sample
        Whether the prices are of an invented book, and bind nobody.
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
    sample: bool = False

    @property
    def net_minor(self) -> int:
        """Sum of the lines [minor units]."""
        return sum(line.amount_minor for line in self.lines)

    @property
    def total_minor(self) -> int:
        """Sum with taxes [minor units]."""
        return with_taxes(self.net_minor, self.terms, self.taxes_in)


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
    count
        Strips or pieces delivered; zero for a roll.
    place
        Which delivery under its label this is, from 0.
    """

    label: str
    line: str
    ordered_m: float
    delivered_m: float
    amount_minor: int
    within: bool
    heat: str
    count: int = 0
    place: int = 0


def ordered_lines(
    quoted: Sequence[ClothLine],
    quantities: Mapping[str, int],
    anew: Mapping[str, ClothLine] | None = None,
) -> list[ClothLine]:
    """Return the lines of an order: those quoted, in the quantities ordered.

    Parameters
    ----------
    quoted
        The lines quoted.
    quantities
        Label → quantity, where it is other than quoted; 0 for a line that is not ordered.
    anew
        Label → the line priced anew. A line that is not there keeps its unit price: in another
        quantity its amount is the share of the amount quoted, rounded half-up.
    """
    lines: list[ClothLine] = []
    for line in quoted:
        count = quantities.get(line.label, line.quantity)
        if count > 0 and anew and line.label in anew:
            lines.append(anew[line.label])
        elif count == line.quantity:
            lines.append(line)
        elif count > 0:
            lines.append(_resized(line, count))
    return lines


def _resized(line: ClothLine, count: int) -> ClothLine:
    share = count / line.quantity
    return replace(
        line, quantity=count, net_mass_kg=line.net_mass_kg * share,
        # Half up in whole numbers: the rounded price of one is never multiplied.
        amount_minor=(2 * line.amount_minor * count + line.quantity) // (2 * line.quantity),
        packages=max(1, round(line.packages * share)), breaks=(),
    )  # fmt: skip


def differences(
    quoted: Sequence[ClothLine], ordered: Sequence[ClothLine],
    options: Sequence[ClothLine] = (), *, repriced: bool = False,
) -> tuple[Difference, ...]:  # fmt: skip
    """List what differs, line by line; an offer that is ordered is told as one.

    Where lines are left out, those that keep their price are told, unless all are ``repriced``.
    """
    taken = {line.label for line in ordered}
    optional = {line.label: line for line in options if line.label in taken}
    quoted = (*quoted, *optional.values())
    before, after = ({line.label: line for line in lines} for lines in (quoted, ordered))
    found: list[Difference] = []
    for label in dict.fromkeys([*before, *after]):
        old, new = before.get(label), after.get(label)
        if old is None or new is None:
            found.append(Difference(label, "missing" if new is None else "added", 0, 0))
            continue
        if label in optional:
            what = _OFFERED.get(optional[label].role, "option")
            found.append(Difference(label, what, 0, 0))
        pairs = (
            ("quantity", old.quantity, new.quantity),
            ("unit_price", old.unit_minor, new.unit_minor),
            ("amount", old.amount_minor, new.amount_minor),
        )
        found += [Difference(label, what, was, now) for what, was, now in pairs if was != now]
        if old.quantity != new.quantity and old.unit_minor == new.unit_minor:
            found.append(Difference(label, "price_kept", old.quantity, new.quantity))
    if not repriced and any(one.what == "missing" for one in found):
        told = {one.label for one in found} | set(optional)
        found += [
            Difference(label, "part_kept", 0, 0)
            for label in before
            if label in after and label not in told
        ]
    return tuple(found)


#: How an offer that is ordered is told, by its role where it is no mere option.
_OFFERED = {"instead": "instead", "choice": "choice"}


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
