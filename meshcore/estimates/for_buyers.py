"""Priced lists as they may be looked at by those who are not to know what a line costs the mill."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from meshcore.costing.ledger import Ledger, WorkedItems
from meshcore.enquiry import SET_PRICE
from meshcore.messages import Message, MessageLog
from meshcore.reading.texts import is_blank

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.estimates.results import EstimateSet

#: Rooms of messages that tell of costs, rates and rules.
OF_THE_MILL = ("book.", "price.", "rule.")
#: Codes of what stands in place of such a message.
WITHHELD = ("price.withheld", "price.none_told")
_NOT_TRIED = (
    "a price or margin is tried only by those who may see costs. The price is the price book's."
)


def tells_costs(estimates: EstimateSet) -> bool:
    """Whether a priced list knows what its lines cost."""
    return not bool(np.isnan(estimates.ledger.cost_minor).any())


def without_set_prices(lines: pd.DataFrame) -> tuple[pd.DataFrame, dict[int, str]]:
    """Return lines with no price or margin set on them, and what was set, by row.

    A margin of nothing would be answered with the cost.
    """
    kept, tried = lines, dict[int, str]()
    for place, heading in enumerate(lines.columns):
        if str(heading) != SET_PRICE:
            continue
        texts = ["" if is_blank(str(cell)) else str(cell) for cell in lines.iloc[:, place]]
        tried |= {row: text for row, text in enumerate(texts) if text}
        kept = kept.copy(deep=False)
        kept.isetitem(place, [""] * len(lines))
    return kept, tried


def without_costs(estimates: EstimateSet, tried: Mapping[int, str] | None = None) -> EstimateSet:
    """Return a priced list that knows prices, and no cost, rate or rule.

    Parameters
    ----------
    estimates
        The list, priced from lines without set prices.
    tried
        What was set on lines all the same, by row; it is said there that it counts for nothing.

    Returns
    -------
    The list as it was, but: its ledger has no items and no number for a cost, what plugins did is
    not told, and each message on costs is put in words that tell none. Lines stand as they stood.
    Files written of it have neither costs nor rates, whatever is asked for.
    """
    ledger = estimates.ledger
    unknown = np.full(len(ledger.priced), np.nan)
    log = MessageLog(len(estimates))
    for row, said in estimates.log.by_line().items():
        for message in dict.fromkeys(map(_told, said)):
            if message is not None:
                log.add([row], message)
    for row, text in (tried or {}).items():
        log.add([row], Message(SET_PRICE, text, _NOT_TRIED, "review", code="price.not_tried"))
    return replace(
        estimates,
        log=log,
        faults=tuple(replace(f, error="the mill is to look at it") for f in estimates.faults),
        ledger=Ledger(
            priced=ledger.priced, currency=ledger.currency, digits=ledger.digits,
            cost_minor=unknown, before_tax_minor=ledger.before_tax_minor,
            price_minor=ledger.price_minor, faults=(), acts=(), item_source=WorkedItems(()),
        ),
    )  # fmt: skip


def _told(message: Message) -> Message | None:
    """Return a message in words for everybody; None where it is the mill's business alone."""
    if not message.code.startswith(OF_THE_MILL):
        return message
    if message.severity == "note":
        return None
    if message.severity == "review":
        text = "the mill has something to look at before this price is given to anybody."
        return Message("price", "", text, "review", code="price.withheld")
    text = "the mill's price book makes no price of this line. Ask whoever estimates."
    return Message("price", "", text, code="price.none_told")
