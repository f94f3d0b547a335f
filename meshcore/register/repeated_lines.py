"""Old lines beside the same today, item by item."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from meshcore.costing.item_tables import compare_items
from meshcore.costing.money import from_minor
from meshcore.documents.facts import ClothLine

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.documents.orders import Order
    from meshcore.estimates.results import EstimateSet
    from meshcore.messages import Message

#: The item by which a price agreed differs from what is reckoned anew of the same line.
_AGREED_STAGE, _AGREED = "surcharges", "agreed price, against its items"
#: The same where nothing was agreed but the price quoted, as of lines that were quoted together
#: and are ordered apart.
_QUOTED = "price quoted, against its items"


@dataclass(frozen=True, slots=True, eq=False)
class RepeatLine:
    """One old line and its price, then and today.

    Parameters
    ----------
    label
        What it was called.
    cloth
        What it was, as quoted or ordered; None where it had no price.
    is_option
        Whether it was offered beside what was asked, and is in no sum.
    then_minor, today_minor
        Price quoted or ordered then, and today's [minor units of each currency]; None where it
        has none.
    missing
        Why it has no price today although it had one then.
    """

    label: str
    cloth: ClothLine | None
    is_option: bool
    then_minor: int | None
    today_minor: int | None
    missing: tuple[Message, ...]

    @property
    def has_both(self) -> bool:
        """Whether it is in the sums, with a price then and today."""
        return not self.is_option and None not in (self.then_minor, self.today_minor)


def agreed_labels(order: Order) -> frozenset[str]:
    """Return the lines whose unit price was agreed: kept for another quantity, or the buyer's."""
    told: dict[str, set[str]] = {}
    for one in order.differences:
        told.setdefault(one.label, set()).add(one.what)
    return frozenset(
        label
        for label, what in told.items()
        if "price_kept" in what or ("unit_price" in what and "quantity" not in what)
    )


def compared(
    lines: Sequence[RepeatLine], then: EstimateSet, places: Sequence[int], today: EstimateSet,
    agreed: Collection[str],
) -> pd.DataFrame | None:  # fmt: skip
    """Set the items of lines that have both prices side by side; they add up to those prices."""
    both = [n for n, line in enumerate(lines) if line.has_both]
    if not both or then.ledger.currency != today.ledger.currency:
        return None
    first = then.ledger.items_frame(np.array([places[n] for n in both]))
    second = today.ledger.items_frame(np.array(both))
    first["line"] = first["line"].map({places[n]: n for n in both})
    return compare_items(_agreed(first, then, lines, both, places, agreed), second)


def _agreed(
    items: pd.DataFrame, then: EstimateSet, lines: Sequence[RepeatLine], both: Sequence[int],
    places: Sequence[int], agreed: Collection[str],
) -> pd.DataFrame:  # fmt: skip
    """Add to each line what its price agreed differs by from its items, as a kept price does."""
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    ledger = then.ledger
    off = {n: (lines[n].then_minor or 0) - int(ledger.price_minor[places[n]]) for n in both}
    money = ledger.currency
    rows = [
        {
            "line": n, "stage": _AGREED_STAGE, "unit": money, "rate": 1.0,
            "quantity": amount, "amount": amount, "currency": money,
            "label": _AGREED if lines[n].label in agreed else _QUOTED,
        }
        for n, minor in off.items()
        if minor
        for amount in (float(from_minor(np.array([float(minor)]), ledger.digits)[0]),)
    ]  # fmt: skip
    return pd.concat([items, pd.DataFrame(rows)], ignore_index=True) if rows else items
