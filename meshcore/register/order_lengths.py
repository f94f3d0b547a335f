"""Lengths of an order's rolls: read as they are typed for it, and written as it was ordered."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.documents.orders import Order
from meshcore.documents.wording import words
from meshcore.register.deliveries import Delivery, typed_deliveries
from meshcore.register.entries import Entry
from meshcore.register.errors import RecordsError
from meshcore.register.labels import measured
from meshcore.register.proportions import is_in_proportion

#: Units that rolls are measured in: of an order in inches and feet first, and of one in metres.
_UNITS = ("ft", "m")


def deliveries_for(order: Order, text: str, unit: str = "") -> list[Delivery]:
    """Read lengths delivered on an order; bare numbers in the one unit that they can be meant in.

    Parameters
    ----------
    order, text
        Of which order, and the lengths as they are typed.
    unit
        Of bare numbers. Without it they take the unit of the others; where none has one, that of
        the order, if each comes to a roll of it so, and in the other unit to none.

    Raises
    ------
    RecordsError
        If one cannot be read; it names it.
    """
    try:
        return typed_deliveries(text, unit)
    except RecordsError:
        in_feet = {line.inches_first for line in order.lines if line.form == "roll"}
        if unit or len(in_feet) != 1:
            raise
        own, other = _UNITS if True in in_feet else _UNITS[::-1]
        found = _fitting(order, text, own)
        if not found or _fitting(order, text, other):
            raise
        return found


def _fitting(order: Order, text: str, unit: str) -> list[Delivery]:
    """Return the lengths in a unit; none where one of them is no roll of the order by far."""
    try:
        found = typed_deliveries(text, unit)
    except RecordsError:
        # What is wrong with it in every unit is said of it as it was typed.
        return []
    rolls = [line.length_m for line in order.lines if line.form == "roll"]
    good = all(
        one.count or any(is_in_proportion(one.length_m, length) for length in rolls)
        for one in found
    )
    return found if good else []


def delivered_texts(order: Order, label: Entry, *, every: bool = False) -> Sequence[str]:
    """Write what was delivered under a label, in the units of its line with the other beside it.

    Parameters
    ----------
    order, label
        Of which order, and its label.
    every
        Whether what was taken back is told too.
    """
    say = words("en")
    line = next(one for one in order.lines if one.label == label.body["line"])
    return [
        (
            f"{one.count} {say.form(line.form, one.count != 1)}"
            if one.count
            else say.length(one.length_m, line.inches_first)
        )
        + (f", heat {one.heat}" if one.heat else "")
        + (", taken back" if one.taken_back else "")
        for one in measured(label, every=every)
    ]
