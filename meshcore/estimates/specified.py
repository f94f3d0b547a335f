"""Specifications for a use as they are offered: with price, what each does, and what it trades."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from meshcore.messages import Message

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, slots=True)
class Offer:
    """One specification that does what is asked.

    Parameters
    ----------
    name
        As it is called: ``"18 / in × 0.009 in plain"``.
    cells
        Enquiry column → text that asks for it.
    price
        Price of the order in the book's currency; NaN where it has none.
    measures
        What it does → how much, as text with its unit.
    reasons
        Why this one.
    trade_off
        What it has more or less of than the first, in one line; empty of the first itself.
    told
        What its estimate says of it and not of every other.
    """

    name: str
    cells: Mapping[str, str]
    price: float
    measures: Mapping[str, str]
    reasons: tuple[str, ...]
    trade_off: str = ""
    told: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True)
class Specifications:
    """Specifications for a use, ranked.

    Parameters
    ----------
    use, title
        The use; empty where it was not understood.
    alloy
        Alloy that they are priced in.
    currency
        Of the prices.
    offers
        The specifications, best first.
    reasons
        What the figures ask of a cloth, and why.
    hints
        What else to think of.
    caution
        To stand beside them.
    sources
        What they rest on.
    messages
        What was not understood, is missing or cannot be had.
    ordered
        Enquiry column → text of what each price is for.
    told
        Notes and doubts: amounts in a sentence that are not used, ranges of which an end is taken,
        an alloy that rusts where the use is wet, and what the estimates of all of them say, as of
        invented rates or of the service that is stated.
    """

    use: str
    title: str
    alloy: str
    currency: str
    offers: tuple[Offer, ...]
    reasons: tuple[str, ...]
    hints: tuple[str, ...]
    caution: str
    sources: tuple[str, ...]
    messages: tuple[Message, ...]
    ordered: Mapping[str, str] = field(default_factory=dict)
    told: tuple[Message, ...] = ()

    def __len__(self) -> int:
        """Return the number of specifications."""
        return len(self.offers)

    def frame(self) -> pd.DataFrame:
        """Return the specifications as a table: name, cells, price and what each does, as text."""
        import pandas as pd  # noqa: PLC0415 - heavy, and specifying does not need it

        rows = [
            {
                "specification": one.name,
                **one.cells,
                "price": one.price,
                **one.measures,
                "trade_off": one.trade_off,
            }
            for one in self.offers
        ]
        return pd.DataFrame(rows, index=pd.RangeIndex(1, len(rows) + 1, name="rank"))
